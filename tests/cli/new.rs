//! `wakebeat new`.

use crate::support::Place;

#[test]
fn the_starter_case_is_good_and_the_next_step_is_named() {
    let place = Place::empty();
    let ran = place.run(["new", "my-pusher"]);
    assert!(ran.stderr.contains("wakebeat run my-pusher/case.toml"), "{ran:?}");
    assert!(ran.good().contains("my-pusher/case.toml"));
    place.run(["check", "my-pusher/case.toml"]).good();
}

#[test]
fn existing_files_are_never_overwritten() {
    let place = Place::empty();
    std::fs::create_dir(place.path().join("mine")).unwrap();
    std::fs::write(place.path().join("mine/case.toml"), "mine").unwrap();
    let text = place.run(["new", "mine"]).bad();
    assert!(text.contains("mine/case.toml") && text.contains("hint"), "{text}");
    assert_eq!(std::fs::read_to_string(place.path().join("mine/case.toml")).unwrap(), "mine");
    assert_eq!(std::fs::read_dir(place.path().join("mine")).unwrap().count(), 1);
}

#[test]
fn a_file_in_place_of_the_folder_is_refused() {
    let place = Place::empty();
    std::fs::write(place.path().join("taken"), "mine").unwrap();
    assert!(place.run(["new", "taken"]).bad().contains("taken"));
}

#[test]
fn an_unknown_scenario_lists_the_known_ones() {
    let place = Place::empty();
    let text = place.run(["new", "x", "--scenario", "survey-pushr"]).bad();
    assert!(text.contains("survey-pusher"), "{text}");
    assert!(place.names().is_empty());
    place.run(["new", "x", "--scenario", "survey-pusher"]).good();
}

#[test]
fn json_lists_the_files_and_quiet_says_nothing() {
    let place = Place::empty();
    let ran = place.run(["new", "a", "--json"]);
    assert_eq!(ran.stderr, "");
    let answer: serde_json::Value = serde_json::from_str(&ran.good()).unwrap();
    assert_eq!(answer["files"][0], "a/case.toml");
    let ran = place.run(["new", "b", "--quiet"]);
    assert_eq!((ran.stderr.as_str(), ran.stdout.as_str()), ("", ""));
    ran.good();
}

#[test]
fn a_file_in_the_place_of_the_folder_is_told_in_words() {
    let place = Place::empty();
    std::fs::write(place.path().join("taken"), "mine").unwrap();
    let text = place.run(["new", "taken"]).bad();
    assert!(text.contains("taken/case.toml: a file stands where its folder should be"), "{text}");
    assert_eq!(std::fs::read_to_string(place.path().join("taken")).unwrap(), "mine");
}

/// Every folder of `cases/` that holds a case is a starter case with all that it reads, under its own name, listed once.
#[test]
fn every_case_can_be_made() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let folders = std::fs::read_dir(&root).unwrap().map(|entry| entry.unwrap().path());
    let mut cases: Vec<String> = folders
        .filter(|folder| folder.join("case.toml").is_file())
        .map(|folder| folder.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    cases.sort();
    let place = Place::empty();
    let list = place.run(["new", "--list"]).good();
    let mut listed: Vec<String> = list
        .lines()
        .filter(|line| !line.starts_with(' '))
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned))
        .collect();
    assert_eq!(listed.len(), list.lines().count(), "one line each: {list}");
    assert_eq!(listed[0], "survey-pusher");
    listed.sort();
    assert_eq!(listed, cases);
    for case in cases {
        place.run(["new", &case, "--scenario", &case, "-q"]).good();
        place.run(["check", &format!("{case}/case.toml"), "-q"]).good();
        let made = std::fs::read_to_string(place.path().join(&case).join("case.toml")).unwrap();
        assert_eq!(made, std::fs::read_to_string(root.join(&case).join("case.toml")).unwrap());
    }
    assert!(place.run(["new"]).bad().contains("DIR"));
}
