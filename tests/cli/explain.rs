//! `wakebeat explain`, the reference page, and that both say what the loader does.

use std::path::Path;

use serde_json::Value;
use wakebeat_engine::case::{
    Availability, Fallback, KeySpec, from_text, groups, key_reference, scenarios, schema,
};

use crate::support::Place;

fn available() -> impl Iterator<Item = &'static KeySpec> {
    key_reference().iter().filter(|key| key.availability == Availability::Available)
}

fn all_explained(place: &Place) -> Vec<Value> {
    let answer: Value = serde_json::from_str(&place.run(["explain", "--all", "--json"]).good()).unwrap();
    answer["keys"].as_array().unwrap().clone()
}

/// The schema of a key by its path, through tables, arrays and tables by name.
fn in_schema(schema: &Value, key: &KeySpec) -> Value {
    let mut at = schema.clone();
    for part in key.path().split('.').filter(|part| *part != "NAME") {
        at = at["properties"][part].clone();
        if let Some(items) = at.get("items").filter(|items| items.get("properties").is_some()) {
            at = items.clone();
        } else if at["additionalProperties"].is_object() {
            at = at["additionalProperties"].clone();
        }
    }
    at
}

/// Every key of the table is on the page, in `explain` and in the schema, with one and the same default.
#[test]
fn every_key_is_on_the_page_in_explain_and_in_the_schema() {
    let place = Place::empty();
    let page = place.run(["explain", "--all", "--markdown"]).good();
    let (explained, schema) = (all_explained(&place), schema());
    assert_eq!(explained.len(), available().count());
    for (key, told) in available().zip(&explained) {
        let path = key.path();
        assert_eq!(told["key"], path.as_str());
        let mut row = page.lines().filter(|line| line.starts_with(&format!("| `{path}` |")));
        let row = row.next().unwrap_or_else(|| panic!("{path} is not on the page"));
        let in_schema = in_schema(&schema, key);
        assert!(
            in_schema["description"].as_str().is_some_and(|d| d.starts_with(key.doc)),
            "{path}: {in_schema}"
        );
        assert_eq!(in_schema.get("default").unwrap_or(&Value::Null), &told["default"], "{path}");
        assert!(!told["model"].as_str().unwrap().is_empty(), "{path} belongs to no model");
        let text = place.run(["explain", &path]).good();
        for words in [key.default_in_words().as_str(), key.model(), &path] {
            assert!(text.replace('\n', " ").contains(words), "{path}: no {words} in\n{text}");
        }
        if let Some(default) = key.default_toml() {
            assert!(row.contains(&format!("| `{default}` |")), "{path}: {row}");
        }
        if let Some(range) = key.range() {
            assert!(row.contains(&range.describe("1")), "{path}: {row}");
            assert!(text.replace('\n', " ").contains(&range.describe(key.unit)), "{path}: {text}");
        }
    }
    for group in groups() {
        assert!(page.contains(group.header().as_str()), "{}", group.path);
    }
}

/// The default printed is the one the loader fills in: every value of every starter case that was left out.
#[test]
fn defaults_printed_are_the_defaults_the_loader_uses() {
    let explained = all_explained(&Place::empty());
    let printed = |path: &str| {
        let found = wakebeat_engine::case::explain(path).ok().filter(|found| found.exact)?;
        let path = found.keys.first()?.path();
        explained
            .iter()
            .find(|told| told["key"] == path.as_str())
            .map(|told| told["default_in_words"].clone())
    };
    let mut seen = std::collections::BTreeSet::new();
    for scenario in scenarios() {
        let case = from_text("case.toml", scenario.case_text(), scenario, &[]).unwrap();
        let left_out = case.values.iter().filter(|value| value.origin.word() == "default");
        for value in left_out {
            let told = printed(&value.path).unwrap_or_else(|| panic!("{} is not explained", value.path));
            let spec = wakebeat_engine::case::explain(&value.path).unwrap().keys[0];
            match spec.default {
                Fallback::Value(_) => assert_eq!(told, value.value.as_str(), "{}", value.path),
                Fallback::SameAs(other) => assert_eq!(told, format!("that of {other}"), "{}", value.path),
                _ => panic!("{} has no default, and the loader fills in {}", value.path, value.value),
            }
            seen.insert(spec.path());
        }
    }
    assert!(seen.len() >= 40, "only {} defaults were met: {seen:?}", seen.len());
}

#[test]
fn the_page_in_cases_is_the_one_that_is_printed() {
    let printed = Place::empty().run(["explain", "--all", "--markdown"]).good();
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/KEYS.md");
    let kept = std::fs::read_to_string(file).unwrap();
    assert!(
        printed == kept,
        "cases/KEYS.md is old; print it anew: cargo run -- explain --all --markdown > cases/KEYS.md"
    );
}

#[test]
fn one_key_a_group_a_beginning_and_a_member_are_explained() {
    let place = Place::empty();
    let text = place.run(["explain", "surface.wing.span_m"]).good();
    for words in
        ["surface.NAME.span_m", "Tip to tip", "unit       m", "more than 0 and at most 1000 m", "[[surface]]"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let text = place.run(["explain", "propeller"]).good();
    assert!(text.contains("propeller.speed_rpm") && text.contains("propeller.pitch_m"), "{text}");
    assert!(!text.contains("further_propeller"), "{text}");
    assert!(place.run(["explain", "solver.suction"]).good().contains("\"trailing_edge\": "));
    assert!(place.run(["explain"]).good().contains("[[surface.flap]]"));
    for line in place.run(["explain", "--all"]).good().lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn an_unknown_key_names_the_nearest_ones() {
    let text = Place::empty().run(["explain", "propeller.blade_cuont"]).bad();
    assert!(text.contains("did you mean `propeller.blade_count`"), "{text}");
    let text = Place::empty().run(["explain", "xyzzy"]).bad();
    assert!(text.contains("wakebeat explain") && text.contains("xyzzy"), "{text}");
}
