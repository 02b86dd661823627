//! `wakebeat choose`: from a sweep file to a ranking and a case that runs.

use std::time::Instant;

use serde_json::Value;
use wakebeat_engine::point::airframe::AirframeSums;
use wakebeat_engine::record::{read_run, read_sweep};

use crate::support::Place;

/// A coarse study of the starter case, trimmed in level flight; the lowest airspeed is too slow to fly.
const STUDY: &str = r#"
[airframe]
mass_kg = 1.8
centre_of_gravity_m = [0.05, 0.0, 0.01]
drag_area_m2 = 0.009

[trim]
level = true
drag = true

[solver]
stations = 6
azimuths = 60
harmonics = 3

[[sweep.axis]]
key = "flight.airspeed_m_s"
values = [7.0, 13.0, 19.0]

[[sweep.axis]]
key = "propeller.blade_count"
values = [2, 3]

[[sweep.axis]]
key = "placement.shaft_offset_m"
values = [0.0, 0.02, 0.04, 0.06]

[choose]
pitching_moment_max_n_m = 0.08
"#;

fn study() -> Place {
    let place = Place::with_case_and(STUDY);
    place.run(["sweep", "pusher/case.toml", "-o", "study.h5"]).good();
    place
}

fn answer(place: &Place, more: &[&str]) -> Value {
    let args = [&["choose", "study.h5", "--json"][..], more].concat();
    serde_json::from_str(&place.run(args).good()).unwrap()
}

#[test]
fn a_study_is_ranked_and_its_choice_handed_on() {
    let place = study();
    let start = Instant::now();
    let told = answer(&place, &[]);
    assert!(start.elapsed().as_secs_f64() < 1.0, "{:?}", start.elapsed());
    let rows = told["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 8);
    // What is too slow for all is left out, with the reason.
    assert_eq!(told["left_out"].as_array().unwrap().len(), 1);
    assert!(told["left_out"][0]["reason"].as_str().unwrap().contains("stall"), "{told}");
    // The highest shafts pass the limit on the moment.
    let out: Vec<&Value> = rows.iter().filter(|row| row["allowed"] == false).collect();
    assert!(!out.is_empty() && out.len() < 8, "{told}");
    for row in &out {
        assert!(row["reason"].as_str().unwrap().contains("thrust-line moment"), "{row}");
        assert!(row["pitching_moment_n_m"].as_f64().unwrap().abs() > 0.08);
    }
    let values: Vec<f64> =
        rows.iter().filter(|r| r["allowed"] == true).map(|r| r["value"].as_f64().unwrap()).collect();
    assert!(values.is_sorted());
    assert!(told["odd_even"]["sentence"].as_str().unwrap().contains("3 blades against 2"));

    // Another question of the same file.
    let bending = answer(&place, &["--set", "choose.keep_low=bending"]);
    assert_eq!(bending["unit"], "N m");

    // The second candidate as a case, run by itself, is the point of the study bit for bit.
    place.run(["choose", "study.h5", "--rank", "2", "--write", "chosen/case.toml"]).good();
    let text = std::fs::read_to_string(place.path().join("chosen/case.toml")).unwrap();
    assert!(!text.contains("[[sweep") && !text.contains("[choose]") && text.contains("[trim]"), "{text}");
    let speed = rows[1]["condition"].as_str().unwrap().rsplit(' ').next().unwrap().to_owned();
    let set = format!("flight.airspeed_m_s={speed}");
    let run = place.run(["run", "chosen/case.toml", "--json", "--set", &set]).good();
    let run: Value = serde_json::from_str(&run).unwrap();
    assert_eq!(run["summary"]["thrust_np_n"], rows[1]["value"], "{}", rows[1]);
    assert!(run["summary"]["trim_residual"].as_f64().unwrap().abs() < 1e-6);
    // Nothing is overwritten.
    let refused = place.run(["choose", "study.h5", "--write", "chosen/case.toml"]).bad();
    assert!(refused.contains("chosen/case.toml") && refused.contains("overwrites nothing"), "{refused}");
    for folder in ["chosen", "chosen/", "nowhere/"] {
        let refused = place.run(["choose", "study.h5", "--write", folder]).bad();
        assert!(refused.contains("is a folder") && refused.contains("case.toml"), "{refused}");
    }
    let refused = place.run(["choose", "study.h5", "--write", "study.h5/case.toml"]).bad();
    assert!(refused.contains("a file stands where its folder should be"), "{refused}");
    let refused = place.run(["choose", "study.h5", "--rank", "9", "--write", "other/case.toml"]).bad();
    assert!(refused.contains("1 to 8"), "{refused}");
}

#[test]
fn the_ranking_in_words_and_pictures() {
    let place = study();
    let text = place.run(["choose", "study.h5"]).good();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in
        ["why not first", "winner:", "2.00 %", "left out", "same blade", "rules and licensed practice"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let names = place.run(["plot", "study.h5", "-d", "pictures"]).good();
    for stem in ["study_envelope", "study_offset", "study_pareto"] {
        assert!(names.contains(stem), "{stem}: {names}");
    }
    let refused = place.run(["choose", "pusher/case.toml"]).bad();
    assert!(refused.contains("case.toml"), "{refused}");
}

#[test]
fn a_run_says_how_it_was_trimmed() {
    let place = Place::with_case();
    let sets = [
        "airframe.mass_kg=1.8",
        "airframe.drag_area_m2=0.009",
        "airframe.centre_of_gravity_m=[0.05, 0.0, 0.01]",
        "trim.level=true",
        "trim.drag=true",
        "solver.stations=8",
        "solver.azimuths=120",
    ];
    let args: Vec<&str> =
        ["run", "pusher/case.toml"].into_iter().chain(sets.iter().flat_map(|s| ["--set", s])).collect();
    let text = place.run(args).good();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in
        ["trimmed: angle of attack for level flight of 1.8 kg", "shaft speed to meet the drag", "thrust line"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let slow = [&["run", "pusher/case.toml", "--set", "flight.airspeed_m_s=7"][..], &[]].concat();
    let slow: Vec<&str> = slow.into_iter().chain(sets.iter().flat_map(|s| ["--set", s])).collect();
    let refused = place.run(slow).bad();
    assert!(refused.contains("not trimmable, stall"), "{refused}");
}

/// Twin propellers whose port one has another phase or blade count, at two angles of attack.
const TWIN: &str = "
[solver]
stations = 5
azimuths = 60
harmonics = 4

[[sweep.axis]]
key = \"flight.angle_of_attack_deg\"
values = [1.0, 5.0]

[[sweep.axis]]
key = \"further_propeller.port.phase_deg\"
values = [0.0, 35.0, 80.0]

[[sweep.axis]]
key = \"further_propeller.port.blade_count\"
values = [2, 3]

[choose]
keep_low = \"airframe_force\"
";

/// Force and moment at the centre of gravity at the blade passages of both propellers, and mean forward force.
fn at_airframe(sums: &AirframeSums, blades: [usize; 2], any_phase: bool) -> [f64; 3] {
    let orders = if blades[0] == blades[1] { &blades[..1] } else { &blades[..] };
    let size = |loads: std::ops::Range<usize>| {
        let amplitude = |load: usize, n: usize| {
            if any_phase { sums.greatest[load][n] } else { sums.loads[load].harmonics.amplitude[n] }
        };
        let squares = loads
            .flat_map(|load| orders.iter().map(move |n| (load, *n)))
            .map(|(l, n)| amplitude(l, n).powi(2));
        squares.sum::<f64>().sqrt()
    };
    [size(0..3), size(3..6), sums.loads[0].harmonics.amplitude[0]]
}

/// Every point by a run of its own, every candidate by its worst condition, by hand.
#[test]
fn twins_are_ranked_by_what_they_do_together() {
    let place = Place::empty();
    place.run(["new", "twin", "--scenario", "nacelle-pusher"]).good();
    let path = place.path().join("twin/case.toml");
    std::fs::write(&path, std::fs::read_to_string(&path).unwrap() + TWIN).unwrap();
    place.run(["sweep", "twin/case.toml", "-q", "-o", "study.h5"]).good();
    let grid = read_sweep(&place.path().join("study.h5")).unwrap().grid;
    let runs: Vec<_> = (0..12)
        .map(|point| {
            let sets: Vec<String> =
                grid.sets(point).into_iter().flat_map(|s| ["--set".to_owned(), s]).collect();
            let mut args: Vec<&str> = vec!["run", "twin/case.toml", "-q", "-o", "one.h5"];
            args.extend(sets.iter().map(String::as_str));
            place.run(args).good();
            read_run(&place.path().join("one.h5")).unwrap().result
        })
        .collect();
    // Point 6 i + 2 j + k: angle i, phase j, blade count k.
    let phases = [0.0, 35.0, 80.0];
    for (keep_low, choose_phases) in [
        ("airframe_force", "as_given"),
        ("airframe_moment", "as_given"),
        ("airframe_index", "as_given"),
        ("airframe_force", "any"),
        ("airframe_index", "any"),
    ] {
        let mut expected = Vec::new();
        for (j, phase) in phases.into_iter().enumerate() {
            for (k, blades) in [2_usize, 3].into_iter().enumerate() {
                let own = [0, 1].map(|i| {
                    let sums = runs[6 * i + 2 * j + k].airframe.as_ref().unwrap().sums.as_ref().unwrap();
                    at_airframe(sums, [2, blades], choose_phases == "any")
                });
                let thrust = 0.5 * (own[0][2] + own[1][2]);
                let value = own.map(|[force, moment, _]| match keep_low {
                    "airframe_force" => force,
                    "airframe_moment" => moment,
                    _ => ((force / thrust).powi(2) + (moment / thrust / 0.15).powi(2)).sqrt(),
                });
                expected.push((value[0].max(value[1]), phase, blades));
            }
        }
        expected.sort_by(|a, b| a.0.total_cmp(&b.0));
        let sets = [format!("choose.keep_low={keep_low}"), format!("choose.phases={choose_phases}")];
        let told = answer(&place, &["--set", &sets[0], "--set", &sets[1]]);
        let rows = told["rows"].as_array().unwrap();
        assert_eq!(rows.len(), 6);
        for (row, (value, phase, blades)) in rows.iter().zip(&expected) {
            let found = row["value"].as_f64().unwrap();
            // Sums in another order.
            assert!((found - value).abs() <= 1e-12 * value, "{keep_low} {choose_phases}: {found} {value}");
            // Where no phase counts, all phases tie to rounding: unlike blade counts have no order in common.
            let settings = &row["settings"];
            if choose_phases == "as_given" && *blades == 2 {
                assert_eq!(settings["phase_deg"].as_f64(), Some(*phase), "{keep_low}: {told}");
            }
            let count = &settings["further_propeller_port_blade_count"];
            assert_eq!(count.as_u64(), Some(*blades as u64), "{keep_low}: {told}");
        }
    }
    // Thrust for power is that of both.
    let told = answer(&place, &[]);
    let per_power = |run: &wakebeat_engine::point::result::PointResult| {
        let other = &run.airframe.as_ref().unwrap().further[0].result;
        let both = |name: &str| run.scalar(name).unwrap() + other.scalar(name).unwrap();
        both("thrust_n") / both("power_w")
    };
    for row in told["rows"].as_array().unwrap() {
        let k = usize::from(row["settings"]["further_propeller_port_blade_count"] == 3);
        let loss = (0..2)
            .map(|i| {
                let all = (0..6).map(|c| per_power(&runs[6 * i + c]));
                1.0 - per_power(&runs[6 * i + k]) / all.fold(0.0, f64::max)
            })
            .fold(0.0, f64::max);
        assert!((row["efficiency_loss"].as_f64().unwrap() - loss).abs() < 1e-9, "{row} {loss}");
    }
}

#[test]
fn a_ranking_says_which_propellers_it_speaks_of() {
    let place = Place::empty();
    place.run(["new", "twin", "--scenario", "nacelle-pusher"]).good();
    let path = place.path().join("twin/case.toml");
    let more = TWIN.replace(
        "\n[choose]",
        "[[sweep.axis]]\nkey = \"placement.shaft_offset_m\"\nvalues = [0.02, 0.03]\n[choose]",
    );
    std::fs::write(&path, std::fs::read_to_string(&path).unwrap() + &more).unwrap();
    place.run(["sweep", "twin/case.toml", "-q", "-o", "study.h5"]).good();
    let words = |more: &[&str]| {
        let text = place.run([&["choose", "study.h5"][..], more].concat()).good();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let together = words(&[]);
    for part in [
        "NP force on the airframe to be kept low",
        "the loads of [propeller] and `port` together at the centre of gravity, in phase as the case gives it",
        "tip Mach number and clearances are those of all propellers",
    ] {
        assert!(together.contains(part), "{part}: {together}");
    }
    let alone = words(&["--set", "choose.keep_low=thrust"]);
    assert!(alone.contains("[propeller] alone, at its hub: `port` not counted"), "{alone}");
    let drifting = words(&["--set", "choose.phases=any"]);
    assert!(drifting.contains("each component at its worst phase"), "{drifting}");
    let names = place.run(["plot", "study.h5", "-d", "pictures", "--format", "svg"]).good();
    assert!(names.contains("study_offset.svg") && names.contains("study_pareto.svg"), "{names}");
    let picture = std::fs::read_to_string(place.path().join("pictures/study_offset.svg")).unwrap();
    assert!(picture.contains("NP force on the airframe against shaft offset"));
    assert!(picture.contains("both propellers in phase as given"));
    place.run(["report", "study.h5", "-o", "page.html"]).good();
    let page = std::fs::read_to_string(place.path().join("page.html")).unwrap();
    assert!(page.contains("together at the centre of gravity"));
    // One propeller has no sum to be ranked by.
    let one = study();
    let refused = one.run(["choose", "study.h5", "--set", "choose.keep_low=airframe_force"]).bad();
    assert!(refused.contains("choose.keep_low") && refused.contains("[[further_propeller]]"), "{refused}");
}

#[test]
fn all_weight_on_what_cannot_be_flown_is_told() {
    let place = study();
    let weigh = |weights: &'static str| {
        [
            "--set",
            "choose.over=weighted_mean",
            "--set",
            "choose.weight_axis=flight.airspeed_m_s",
            "--set",
            weights,
        ]
    };
    let sets = weigh("choose.weights=[1,0,0]");
    let text = place.run([&["choose", "study.h5"][..], &sets].concat()).good();
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("all weight is on conditions left out"), "{text}");
    assert!(!text.contains("No candidate keeps all limits"), "{text}");
    let told = answer(&place, &sets);
    assert!(told["rows"].as_array().unwrap().iter().all(|row| row["reason"] != ""), "{told}");
}

/// A grid that decides nothing and flies one condition has words too.
#[test]
fn a_study_of_nothing_has_words() {
    let one = "\n[[sweep.axis]]\nkey = \"flight.airspeed_m_s\"\nvalues = [15.0]\n";
    let place = Place::with_case_and(one);
    let coarse = ["--set", "solver.stations=6", "--set", "solver.azimuths=60", "--set", "solver.harmonics=3"];
    place.run([&["sweep", "pusher/case.toml", "-o", "study.h5"][..], &coarse].concat()).good();
    let text = place.run(["choose", "study.h5"]).good();
    for words in ["one candidate, the case: no axis of the grid is decided", "winner: the case as it is"] {
        assert!(text.contains(words), "{text}");
    }
    assert!(!text.contains("nothing"), "{text}");
    place.run(["report", "study.h5"]).good();
    let page = std::fs::read_to_string(place.path().join("study.html")).unwrap();
    assert!(page.contains("The one candidate has <strong>") && !page.contains("</strong> has the lowest"));
    place.run(["plot", "study.h5", "--format", "svg"]).good();
}
