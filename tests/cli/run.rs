//! `wakebeat run`.

use serde_json::Value;

use crate::support::Place;

fn answer(place: &Place, args: &[&str]) -> Value {
    let mut all = vec!["run", "--json"];
    all.extend(args);
    let ran = place.run(all);
    assert_eq!(ran.stderr, "");
    serde_json::from_str(&ran.good()).unwrap()
}

#[test]
fn the_summary_is_one_screen_with_every_load() {
    let place = Place::with_case();
    let ran = place.run(["run", "pusher/case.toml"]);
    assert_eq!(ran.stderr, "");
    let text = ran.good();
    for words in [
        "thrust",
        "torque",
        "power",
        "efficiency",
        "side force",
        "vertical force",
        "rolling moment",
        "pitching moment",
        "yawing moment",
        "peak to peak",
        "1P",
        "2P",
        "4P",
        "Hz",
        "where 2P comes from",
        "wing wake",
        "incidence",
        "remainder",
        "total",
        "pusher.h5",
        "licensed practice",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(text.lines().count() <= 44, "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    assert_eq!(place.names(), ["pusher", "pusher.h5"]);
}

#[test]
fn json_holds_summary_and_harmonics_with_units_in_the_keys() {
    let place = Place::with_case();
    let answer = answer(&place, &["pusher/case.toml", "--quiet"]);
    assert!(answer["summary"]["thrust_n"].as_f64().unwrap() > 0.0);
    let harmonics = &answer["hub_harmonics"];
    let orders = harmonics["order"].as_array().unwrap().len();
    assert!(orders > 8 * 2);
    assert_eq!(harmonics["thrust_n"].as_array().unwrap().len(), orders);
    assert_eq!(harmonics["pitching_moment_phase_rad"].as_array().unwrap().len(), orders);
    assert_eq!(harmonics["thrust_n"][0], answer["summary"]["thrust_n"]);
    let sources = answer["attribution"].as_array().unwrap();
    assert_eq!(sources[0]["source"], "incidence");
    assert_eq!(sources.last().unwrap()["source"], "remainder");
    assert!(sources.iter().all(|one| one["torque_phase_rad"].as_array().unwrap().len() == orders));
    for load in ["thrust", "vertical_force", "pitching_moment", "torque"] {
        let parts = sources.iter().map(|one| one["np_part"][load].as_f64().unwrap());
        assert!((parts.sum::<f64>() - 1.0).abs() < 1e-9, "{load}");
    }
}

#[test]
fn quiet_says_nothing_and_writes_the_file() {
    let place = Place::with_case();
    let ran = place.run(["run", "pusher/case.toml", "--quiet", "-o", "quiet.h5"]);
    assert_eq!((ran.stdout.as_str(), ran.stderr.as_str(), ran.code), ("", "", Some(0)));
    assert_eq!(place.names(), ["pusher", "quiet.h5"]);
}

#[test]
fn a_case_in_the_current_folder_gives_its_folders_name() {
    let place = Place::with_case();
    let ran = place.shell("cd pusher && \"$WAKEBEAT\" run case.toml && ls");
    assert!(ran.good().lines().any(|line| line == "pusher.h5"));
}

#[test]
fn a_result_file_is_a_case_and_gives_the_same_answer() {
    let place = Place::with_case();
    let set = ["--set", "propeller.blade_count=3", "--set", "placement.shaft_offset_m=0.04"];
    let mut first = answer(&place, &[&["pusher/case.toml", "-o", "a.h5"], &set[..]].concat());
    // The inputs are in the result file: the case's folder is no longer needed.
    std::fs::remove_dir_all(place.path().join("pusher")).unwrap();
    let mut second = answer(&place, &["a.h5", "-o", "b.h5"]);
    first["file"] = Value::Null;
    second["file"] = Value::Null;
    assert_eq!(first, second);
    let changed = answer(&place, &["b.h5", "-o", "c.h5", "--set", "placement.shaft_offset_m=0.02"]);
    assert_ne!(first["hub_harmonics"]["thrust_n"][3], changed["hub_harmonics"]["thrust_n"][3]);
}

#[test]
fn a_damaged_result_file_is_named_as_such() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q"]).good();
    let bytes = std::fs::read(place.path().join("pusher.h5")).unwrap();
    std::fs::write(place.path().join("cut.h5"), &bytes[..bytes.len() / 2]).unwrap();
    for command in ["run", "check", "plot"] {
        let text = place.run([command, "cut.h5"]).bad();
        assert!(text.contains("cut.h5: is damaged or cut short"), "{text}");
    }
}

#[test]
fn a_result_file_that_another_program_writes_is_named_as_such() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q"]).good();
    // As HDF5 locks what it writes.
    let open = std::fs::File::open(place.path().join("pusher.h5")).unwrap();
    open.lock().unwrap();
    let text = place.run(["check", "pusher.h5"]).bad();
    assert!(text.contains("pusher.h5: is open for writing in another program"), "{text}");
    open.unlock().unwrap();
    place.run(["check", "pusher.h5"]).good();
}

#[test]
fn the_blade_count_moves_the_columns() {
    let place = Place::with_case();
    let text = place.run(["run", "pusher/case.toml", "--set", "propeller.blade_count=3"]).good();
    assert!(text.contains("3P") && text.contains("6P") && !text.contains("4P"), "{text}");
}
