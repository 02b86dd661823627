//! `--json` of every command: valid JSON on stdout, and on stderr where a command fails.

use std::path::Path;

use serde_json::Value;

use crate::support::Place;

/// A command of every kind, with arguments that make it succeed in the folder of [`prepared`].
const COMMANDS: [&[&str]; 18] = [
    &["new", "another", "--scenario", "body-only"],
    &["new", "--list"],
    &["check", "pusher/case.toml"],
    &["run", "pusher/case.toml", "-o", "run.h5"],
    &["sweep", "paired.toml", "-o", "whole.h5"],
    &["merge", "one.h5", "two.h5", "-o", "merged.h5"],
    &["choose", "study.h5"],
    &["march", "mount/case.toml", "-o", "march.h5", "--set", "schedule.cruise.time_s=0.05"],
    &["mount", "mount/case.toml", "-o", "mount.h5"],
    &["plot", "run.h5"],
    &["report", "run.h5"],
    &["validate", "--only", "atmosphere"],
    &["explain", "propeller"],
    &["explain"],
    &["schema"],
    &["completions", "bash"],
    &["man", "run"],
    &["man", "-o", "pages"],
];

fn prepared() -> Place {
    let place = Place::with_case();
    place.run(["new", "mount", "--scenario", "mount-response", "-q"]).good();
    let good = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/good");
    for file in ["sweep_paired.toml", "blade.csv"] {
        let name = if file == "blade.csv" { file } else { "paired.toml" };
        std::fs::copy(good.join(file), place.path().join(name)).unwrap();
    }
    place.run(["sweep", "paired.toml", "-q", "--shard", "1/2", "-o", "one.h5"]).good();
    place.run(["sweep", "paired.toml", "-q", "--shard", "2/2", "-o", "two.h5"]).good();
    let axes = "sweep.axis=[{key=\"placement.shaft_offset_m\",values=[0.02,0.04]},{key=\"flight.airspeed_m_s\",values=[16.0]}]";
    let few = ["--set", axes, "--set", "solver.stations=8", "--set", "solver.azimuths=72"];
    place.run([&["sweep", "pusher/case.toml", "-q", "-o", "study.h5"][..], &few].concat()).good();
    place
}

/// The names of the commands that help offers, but for `help` itself.
fn offered(place: &Place) -> Vec<String> {
    let text = place.run(["-h"]).good();
    let lines = text.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = lines.take_while(|line| !line.is_empty()).filter_map(|line| {
        let indented = line.starts_with("  ") && !line.starts_with("   ");
        line.split_whitespace().next().filter(|_| indented).map(str::to_owned)
    });
    names.filter(|name| name != "help").collect()
}

#[test]
fn every_command_answers_in_json() {
    let place = prepared();
    for name in offered(&place) {
        assert!(COMMANDS.iter().any(|command| command[0] == name), "{name} is not tried with --json");
    }
    for command in COMMANDS {
        let ran = place.run(command.iter().copied().chain(["--json"]));
        let stderr = ran.stderr.clone();
        let answer: Value =
            serde_json::from_str(&ran.good()).unwrap_or_else(|error| panic!("{command:?}: {error}"));
        assert!(answer.as_object().is_some_and(|object| !object.is_empty()), "{command:?}: {answer}");
        assert_eq!(stderr, "", "{command:?}");
        let mut bare = Vec::new();
        bare_quantities(&answer, "", false, &mut bare);
        assert!(bare.is_empty(), "{command:?}: no unit in {bare:?}");
    }
}

/// Numbers of these names are quantities with a unit.
const QUANTITIES: [&str; 13] = [
    "speed",
    "airspeed",
    "thrust",
    "torque",
    "moment",
    "force",
    "frequency",
    "diameter",
    "time",
    "value",
    "worst",
    "mean",
    "largest_range",
];

/// Quantities that have a unit say so in their key, or have `unit` beside or above them.
fn bare_quantities(value: &Value, path: &str, has_unit: bool, bare: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            let has_unit = has_unit || members.contains_key("unit");
            // Parts of a whole are pure numbers.
            for (name, member) in members.iter().filter(|(name, _)| *name != "np_part") {
                let here = format!("{path}/{name}");
                if member.is_number() && !has_unit && QUANTITIES.contains(&name.as_str()) {
                    bare.push(here.clone());
                }
                bare_quantities(member, &here, has_unit, bare);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| bare_quantities(item, path, has_unit, bare)),
        _ => {}
    }
}

/// One failure of each kind: the command line, a case, a file, a result, a name.
#[test]
fn failures_are_told_in_json_on_stderr() {
    let place = Place::with_case();
    std::fs::write(place.path().join("text.h5"), "no result").unwrap();
    let failures: [&[&str]; 9] = [
        &["run"],
        &["rnu", "pusher/case.toml"],
        &["new", "x", "--scenario", "no-such"],
        &["new", "pusher"],
        &["check", "pusher/case.toml", "--set", "propeller.diameter_m=-1"],
        &["run", "nowhere/case.toml"],
        &["plot", "text.h5"],
        &["mount", "pusher/case.toml"],
        &["explain", "propeler.speed"],
    ];
    for command in failures {
        let plain = place.run(command.iter().copied()).code;
        let ran = place.run(command.iter().copied().chain(["--json"]));
        assert_eq!(ran.code, plain, "{command:?}");
        let report: Value =
            serde_json::from_str(&ran.bad()).unwrap_or_else(|error| panic!("{command:?}: {error}"));
        assert!(report["error"].as_str().is_some_and(|text| !text.is_empty()), "{command:?}: {report}");
        let problems = report["problems"].as_array().unwrap();
        assert!(!problems.is_empty(), "{command:?}: {report}");
        for problem in problems {
            assert!(problem["what"].as_str().is_some_and(|what| !what.is_empty()), "{command:?}: {report}");
            for part in ["file", "line", "key", "value", "allowed", "hint"] {
                assert!(problem.get(part).is_some(), "{command:?}: no {part} in {report}");
            }
        }
    }
}

#[test]
fn a_bad_value_is_told_in_its_parts() {
    let place = Place::with_case();
    let sets = ["--set", "propeller.diameter_m=-1", "--set", "solver.suction=fra"];
    let stderr = place.run([&["check", "pusher/case.toml", "--json"][..], &sets].concat()).bad();
    let report: Value = serde_json::from_str(&stderr).unwrap();
    let [diameter, suction] = report["problems"].as_array().unwrap().as_slice() else { panic!("{report}") };
    assert_eq!(diameter["file"], "--set");
    assert_eq!((&diameter["key"], &diameter["value"]), (&"propeller.diameter_m".into(), &"-1".into()));
    assert_eq!(diameter["allowed"], "a number, more than 0 and at most 20 m");
    assert!(suction["hint"].as_str().unwrap().contains("far"));
}
