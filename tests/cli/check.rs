//! `wakebeat check`.

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

/// What follows from an outline and a pitch is shown as estimated, and the answer says that the blade is generic.
#[test]
fn a_generic_blade_and_an_outline_are_marked_as_such() {
    let case = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/good/generic_blade.toml");
    let case = case.to_str().unwrap();
    let place = Place::empty();
    let answer: serde_json::Value =
        serde_json::from_str(&place.run(["check", case, "--json"]).good()).unwrap();
    for key in ["propeller.generic_blade.chord_ratio", "section.shape.zero_lift_deg"] {
        let value = answer["values"].as_array().unwrap().iter().find(|v| v["key"] == key).unwrap();
        assert_eq!(value["origin"], "estimated", "{value}");
    }
    let text = place.run(["run", case]).good();
    assert!(text.contains("2 generic blades") && text.contains("warning: generic blade"), "{text}");
    let answer: serde_json::Value =
        serde_json::from_str(&place.run(["run", case, "--json", "--force"]).good()).unwrap();
    let warnings = answer["warnings"].as_array().unwrap();
    for name in ["generic_blade", "laminar_sections"] {
        assert!(warnings.iter().any(|w| w["name"] == name), "{name}: {warnings:?}");
    }
}
