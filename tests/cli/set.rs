//! `--set KEY=VALUE`.

use crate::support::Place;

fn values(place: &Place, sets: &[&str]) -> serde_json::Value {
    let mut args = vec!["check", "pusher/case.toml", "--json"];
    for set in sets {
        args.extend(["--set", set]);
    }
    serde_json::from_str(&place.run(args).good()).unwrap()
}

#[test]
fn a_value_is_replaced_and_the_last_one_wins() {
    let place = Place::with_case();
    let hz = |sets: &[&str]| values(&place, sets)["consequences"]["shaft_frequency_hz"].as_f64().unwrap();
    assert!((hz(&["propeller.speed_rpm=6000"]) - 100.0).abs() < 1e-9);
    assert!((hz(&["propeller.speed_rpm=6000", "propeller.speed_rpm=3000"]) - 50.0).abs() < 1e-9);
}

#[test]
fn text_needs_no_quotes_and_negative_numbers_pass() {
    let place = Place::with_case();
    values(&place, &["solver.section_lift=quasi_steady", "placement.shaft_offset_m=-0.01"]);
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let place = Place::with_case();
    let text = place.run(["check", "pusher/case.toml", "--set", "propeller.blade_cout=3"]).bad();
    assert!(text.contains("blade_cout") && text.contains("blade_count"), "{text}");
}

#[test]
fn a_set_without_value_is_refused() {
    let place = Place::with_case();
    let text = place.run(["check", "pusher/case.toml", "--set", "propeller.blade_count"]).bad();
    assert!(text.contains("propeller.blade_count"), "{text}");
}
