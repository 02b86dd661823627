//! Help and version.

use crate::support::Place;

#[test]
fn help_teaches_units_frames_and_exit_codes() {
    let text = Place::empty().run(["--help"]).good();
    for words in [
        "x aft, y starboard, z up",
        "single-sided peaks",
        "0 good, 1 a check failed, 2 bad input or failure, 130",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn every_command_has_help_with_an_example_and_no_other_is_offered() {
    let place = Place::empty();
    let text = place.run(["-h"]).good();
    let offered: Vec<&str> = text
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter(|line| !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert_eq!(
        offered,
        [
            "new",
            "check",
            "run",
            "sweep",
            "merge",
            "choose",
            "march",
            "mount",
            "plot",
            "report",
            "validate",
            "explain",
            "schema",
            "completions",
            "man",
            "help"
        ]
    );
    for command in offered.iter().filter(|c| **c != "help") {
        for flag in ["-h", "--help"] {
            let text = place.run([command, flag]).good();
            assert!(text.contains("Example"), "{command} {flag}: {text}");
            assert!(text.contains("--json") && text.contains("--quiet"), "{command} {flag}: {text}");
        }
    }
}

#[test]
fn a_missing_or_unknown_command_is_bad_input() {
    let place = Place::empty();
    assert!(place.run::<&str>([]).bad().contains("Usage"));
    assert!(place.run(["chek", "case.toml"]).bad().contains("check"));
    assert!(place.run(["run"]).bad().contains("CASE"));
}

#[test]
fn version_is_the_package_version() {
    assert_eq!(
        Place::empty().run(["--version"]).good().trim(),
        format!("wakebeat {}", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn a_reader_that_stops_reading_is_no_failure() {
    let place = Place::with_case();
    let ran = place.shell("{ \"$WAKEBEAT\" schema; echo $? >code; } | true; cat code");
    assert_eq!(ran.good().trim(), "0");
}
