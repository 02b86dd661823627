//! `wakebeat check`.

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::Place;

#[test]
fn every_value_has_an_origin_and_a_unit() {
    let place = Place::with_case();
    let text = place.run(["check", "pusher/case.toml"]).good();
    for words in
        ["flight.airspeed_m_s", "given", "default", "axial gap", "blade-passage frequency", "tip Mach"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let answer = place.run(["check", "pusher/case.toml", "--json"]).good();
    let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
    let values = answer["values"].as_array().unwrap();
    assert!(values.len() > 20);
    for value in values {
        assert!(value["origin"].as_str().is_some_and(|o| !o.is_empty()), "{value}");
        assert!(value["unit"].is_string(), "{value}");
    }
    assert!(answer["consequences"]["blade_passage_hz"].as_f64().unwrap() > 0.0);
}

#[test]
fn check_writes_nothing() {
    let place = Place::with_case();
    place.run(["check", "pusher/case.toml"]).good();
    assert_eq!(place.names(), ["pusher"]);
}

#[test]
fn all_problems_come_at_once_and_alone() {
    let place = Place::with_case();
    let sets = ["propeller.blade_count=0", "flight.airspeed_m_s=-3", "solver.azimuth=720"];
    let text =
        place.run(["check", "pusher/case.toml", "--set", sets[0], "--set", sets[1], "--set", sets[2]]).bad();
    for words in ["blade_count", "airspeed_m_s", "azimuths"] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

/// Every bad input of `tests/data/bad` through `check` and `run`: exit 2, the expected words, nothing written.
#[test]
fn bad_inputs_are_refused_with_the_expected_words() {
    let cases = bad_cases();
    assert!(cases.len() > 20, "only {} bad cases found", cases.len());
    for case in cases {
        let expected = expected_words(&case);
        assert!(!expected.is_empty(), "{}: states no expected message", case.display());
        let place = Place::empty();
        for command in ["check", "run"] {
            let text = place.run([command.as_ref(), case.as_os_str()]).bad();
            for words in &expected {
                assert!(text.contains(words.as_str()), "{}: expected `{words}` in\n{text}", case.display());
            }
        }
        assert!(place.names().is_empty(), "{}: left {:?}", case.display(), place.names());
    }
}

fn bad_cases() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad");
    let mut cases: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    cases.sort();
    cases
}

/// The lines `# expect: words` of a bad case.
fn expected_words(case: &Path) -> Vec<String> {
    let bytes = fs::read(case).unwrap();
    String::from_utf8_lossy(&bytes)
        .lines()
        .filter_map(|line| line.strip_prefix("# expect: ").map(str::to_owned))
        .collect()
}
