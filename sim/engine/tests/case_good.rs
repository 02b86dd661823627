//! Cases that are right: the starter scenarios and the odd ones in `tests/data/good`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use wakebeat_engine::case::{Case, Origin, from_text, load, scenarios};

fn good_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/good")
}

fn held(case: &Case) -> BTreeMap<String, String> {
    case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect()
}

/// Debug text of a number in Rust is the shortest that reads back to the same bits, so equal text is equal bits.
fn assert_survives_resolving(case: &Case) {
    let again = from_text("resolved", &case.resolved_toml(), &held(case), &[]).unwrap();
    assert_eq!(format!("{:?}", case.point), format!("{:?}", again.point), "{}", case.file);
    assert_eq!(case.trim, again.trim, "{}", case.file);
    assert_eq!(case.resolved_toml(), again.resolved_toml(), "{}", case.file);
    assert_eq!((&case.title, &case.notes), (&again.title, &again.notes));
    // What was chosen and what was left to its default is still known; an override is a choice.
    let chosen = |origin: Origin| if origin == Origin::Override { Origin::Given } else { origin };
    for (value, again) in case.values.iter().zip(&again.values) {
        assert_eq!((&value.path, chosen(value.origin)), (&again.path, again.origin), "{}", case.file);
    }
}

/// A mark that says `default` behind another value is not believed.
#[test]
fn a_default_that_was_changed_is_given() {
    let scenario = &scenarios()[0];
    let case = from_text("case.toml", scenario.case_text(), scenario, &[]).unwrap();
    let (old, new) = ("sideslip_deg = 0.0  # default", "sideslip_deg = 2.0  # default");
    let text = case.resolved_toml();
    assert!(text.contains(old), "{text}");
    let origin = |text: &str| {
        let case = from_text("resolved", text, &held(&case), &[]).unwrap();
        case.values.iter().find(|value| value.path == "flight.sideslip_deg").unwrap().origin
    };
    assert_eq!(origin(&text), Origin::Default);
    assert_eq!(origin(&text.replace(old, new)), Origin::Given);
}

#[test]
fn scenarios_load_and_survive_resolving() {
    for scenario in scenarios() {
        let sets = ["placement.tilt_deg=1.1", "flight.sideslip_deg=-0.7"].map(str::to_owned);
        for sets in [&[][..], &sets] {
            let case = from_text("case.toml", scenario.case_text(), scenario, sets).unwrap();
            let ahead = case.point.surfaces.len()
                + case.point.bodies.len()
                + usize::from(case.point.survey.is_some());
            assert!(!case.title.is_empty() && ahead > 0);
            assert_survives_resolving(&case);
        }
    }
}

#[test]
fn good_cases_load_and_survive_resolving() {
    let mut count = 0;
    for entry in std::fs::read_dir(good_folder()).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "toml") {
            let case = load(&path, &[]).unwrap_or_else(|problems| panic!("{}\n{problems}", path.display()));
            assert_survives_resolving(&case);
            count += 1;
        }
    }
    assert!(count >= 4, "only {count} good cases");
}
