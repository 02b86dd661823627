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

/// A propeller in the ground is no case without a problem, and the further one counts as the first does.
#[test]
fn the_last_line_tells_of_clearances() {
    let place = Place::empty();
    place.run(["new", "twin", "--scenario", "nacelle-pusher"]).good();
    let gear = [
        "airframe.gear=nose_wheel",
        "airframe.main_wheel_m=[0.3,0.4,-0.3]",
        "airframe.third_wheel_m=[-0.5,0,-0.3]",
    ];
    let check = |more: &[&str]| {
        let sets = gear.iter().chain(more).flat_map(|set| ["--set", set]);
        place.run(["check", "twin/case.toml"].into_iter().chain(sets)).good()
    };
    let low = ["further_propeller.port.shaft_offset_m=-0.35"];
    let into = check(&low);
    assert!(into.contains("tips and ground, static, `port`"), "{into}");
    assert!(into.contains("blades hit what they should clear"), "{into}");
    let text = check(&[]);
    assert!(text.contains("blades of two propellers"), "{text}");
    assert!(!text.contains("blades hit"), "{text}");
    let sets = gear.iter().chain(&low).flat_map(|set| ["--set", set]);
    let ran = place.run(["run", "twin/case.toml"].into_iter().chain(sets)).good();
    assert!(
        ran.replace("\n         ", " ").contains("propeller `port`: clearance between blade tips and ground"),
        "{ran}"
    );
}

/// Velocities in m/s and axes that point forward are told as such.
#[test]
fn a_survey_in_other_units_is_refused() {
    let place = Place::empty();
    place.run(["new", "wake", "--scenario", "wake-survey"]).good();
    let rows = |axial: f64| {
        let at = |radius: f64, azimuth: u32| format!("{radius},{azimuth},{axial},0,0\n");
        let grid = [0.1, 0.5, 1.0].iter().flat_map(|r| (0..12).map(move |i| at(*r, 30 * i)));
        format!("radius_ratio,azimuth_deg,u_x,u_y,u_z\n{}", grid.collect::<String>())
    };
    for (axial, hint) in [(15.2, "divide them by the airspeed"), (-0.95, "points forward")] {
        std::fs::write(place.path().join("wake/measured.csv"), rows(axial)).unwrap();
        let text = place.run(["check", "wake/case.toml", "--set", "survey.file=measured.csv"]).bad();
        assert!(text.contains("survey.file") && text.contains(hint), "{text}");
    }
    std::fs::write(place.path().join("wake/measured.csv"), rows(0.95)).unwrap();
    let text = place.run(["check", "wake/case.toml", "--set", "survey.file=measured.csv"]).good();
    assert!(text.contains("axial velocity of the survey over airspeed, mean over the disk"), "{text}");
}

/// What trim will find is told apart from what the case gives.
#[test]
fn numbers_before_trim_are_told_as_such() {
    let place = Place::with_case();
    let set = ["--set", "trim.thrust_n=2.5"];
    let text = place.run(["check", "pusher/case.toml"].into_iter().chain(set)).good();
    assert!(text.contains("before trim: shaft speed below"), "{text}");
    assert!(!place.run(["check", "pusher/case.toml"]).good().contains("before trim"));
}
