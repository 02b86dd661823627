//! Cases that are right: the starter scenarios and the odd ones in `tests/data/good`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use wakebeat_engine::case::{Case, from_text, load, scenarios};

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
