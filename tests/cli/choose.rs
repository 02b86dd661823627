//! `wakebeat choose`: from a sweep file to a ranking and a case that runs.

use std::time::Instant;

use serde_json::Value;

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
