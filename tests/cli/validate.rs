//! `wakebeat validate`.

use std::fs;

use crate::support::Place;

#[test]
fn rows_inside_their_bands_are_good_and_drawn() {
    let place = Place::empty();
    let text = place.run(["validate", "--only", "atmosphere", "--plot", "pictures"]).good();
    for word in ["published", "ours", "difference", "band", "verdict", "ISO 2533", "6 PASS, 0 KNOWN, 0 FAIL"]
    {
        assert!(text.contains(word), "{word}: {text}");
    }
    let pictures: Vec<_> = fs::read_dir(place.path().join("pictures")).unwrap().collect();
    assert!(!pictures.is_empty());
    for picture in pictures {
        assert!(fs::read(picture.unwrap().path()).unwrap().starts_with(b"\x89PNG"));
    }
}

#[test]
fn answers_for_scripts_hold_every_column() {
    let answer = Place::empty().run(["validate", "--only", "unsteady_section/steps", "--json"]).good();
    let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
    let row = &answer["rows"][0];
    for key in
        ["check", "source", "quantity", "published", "ours", "difference", "band", "band_set_by", "verdict"]
    {
        assert!(!row[key].is_null(), "{key}");
    }
    assert_eq!(answer["pass"], 2);
}

#[test]
fn known_failures_fail_only_where_it_is_strict() {
    let only = ["validate", "--only", "growth with thrust"];
    let known = Place::empty().run(only).good();
    assert!(known.contains("KNOWN") && known.contains("known failures"), "{known}");
    let strict = Place::empty().run(only.into_iter().chain(["--strict"]));
    assert_eq!(strict.code, Some(1), "{strict:#?}");
}

#[test]
fn a_pattern_that_fits_nothing_names_the_topics() {
    let message = Place::empty().run(["validate", "--only", "no such thing"]).bad();
    assert!(message.contains("no such thing") && message.contains("propellers"), "{message}");
}
