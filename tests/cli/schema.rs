//! `wakebeat schema`, in the hands of a JSON-schema library.

use std::path::{Path, PathBuf};

use serde_json::Value;
use wakebeat_engine::case::{self, Problem};

use crate::support::Place;

/// What the loader says of a value that the schema can see by itself.
const SEEN_BY_SCHEMA: [&str; 7] = [
    "is out of range",
    "is not a known key",
    "is not a known choice",
    "has the wrong type",
    "is missing",
    "means nothing here",
    "is not a finite number",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn validator() -> jsonschema::Validator {
    let text = Place::empty().run(["schema"]).good();
    let schema: Value = serde_json::from_str(&text).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    jsonschema::draft202012::new(&schema).unwrap()
}

/// A case as an editor sees it; `None` where it is no TOML.
fn document(file: &Path) -> Option<Value> {
    toml::from_str(&std::fs::read_to_string(file).ok()?).ok()
}

fn cases_in(folder: &Path) -> Vec<PathBuf> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> =
        files.filter(|path| path.extension().is_some_and(|e| e == "toml")).collect();
    files.sort();
    files
}

fn shipped_cases() -> Vec<PathBuf> {
    let folders = std::fs::read_dir(root().join("cases")).unwrap().map(|entry| entry.unwrap().path());
    let cases: Vec<PathBuf> =
        folders.map(|folder| folder.join("case.toml")).filter(|c| c.is_file()).collect();
    assert!(cases.len() >= 9, "only {} cases", cases.len());
    cases
}

#[test]
fn schema_names_keys_with_unit_range_and_default() {
    let schema: Value = serde_json::from_str(&Place::empty().run(["schema"]).good()).unwrap();
    let airspeed = &schema["properties"]["flight"]["properties"]["airspeed_m_s"];
    assert_eq!((&airspeed["x-unit"], airspeed["maximum"].as_f64()), (&Value::from("m/s"), Some(340.0)));
    let altitude = &schema["properties"]["flight"]["properties"]["altitude_m"];
    assert_eq!(altitude["default"].as_f64(), Some(0.0));
    assert!(
        altitude["description"].as_str().unwrap().contains("unit m; range -2000 to 20000 m; default 0.0")
    );
}

#[test]
fn every_shipped_and_every_good_case_is_valid() {
    let validator = validator();
    let mut cases = shipped_cases();
    cases.extend(cases_in(&root().join("tests/data/good")));
    for file in cases {
        let document = document(&file).unwrap();
        let errors: Vec<String> =
            validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", file.display());
    }
}

/// The schema refuses what the loader refuses by the table of keys, and nothing that the loader takes: over all bad inputs.
#[test]
fn schema_and_loader_agree_on_the_bad_inputs() {
    let validator = validator();
    let (mut refused, mut taken) = (0, 0);
    for file in cases_in(&root().join("tests/data/bad")) {
        let Some(document) = document(&file) else { continue };
        let problems = case::load(&file, &[]).err().map(|problems| problems.0).unwrap_or_default();
        let by_table: Vec<&Problem> = problems.iter().filter(|problem| is_seen(problem, &file)).collect();
        let valid = validator.is_valid(&document);
        let errors: Vec<String> =
            validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        if by_table.is_empty() {
            taken += usize::from(valid);
        } else {
            assert!(!valid, "{}: the schema takes what the loader refuses: {by_table:#?}", file.display());
            refused += 1;
        }
        assert!(valid || !problems.is_empty(), "{}: {errors:#?}", file.display());
    }
    assert!(refused >= 60 && taken >= 20, "{refused} refused, {taken} taken");
}

/// Whether a problem lies in the case itself and can be seen by the schema. Values of an axis are judged by the key of the axis,
/// lists of names and TOML beyond JSON by the loader alone.
fn is_seen(problem: &Problem, file: &Path) -> bool {
    let in_case = problem.file == file.display().to_string();
    let by_axis = problem.key.starts_with("sweep.axis") && problem.key.ends_with(".key");
    let line = problem.line.and_then(|line| {
        let text = std::fs::read_to_string(file).ok()?;
        text.lines().nth(line - 1).map(str::to_owned)
    });
    let of_axis_value = line.is_some_and(|line| {
        ["values", "from", "to", "count"].iter().any(|key| line.starts_with(key))
            && !problem.key.starts_with("sweep.")
    });
    in_case && !by_axis && !of_axis_value && SEEN_BY_SCHEMA.iter().any(|words| problem.what.contains(words))
}

#[test]
fn new_writes_a_case_that_names_its_schema() {
    let place = Place::empty();
    place.run(["new", "pusher", "--schema", "-q"]).good();
    let case = std::fs::read_to_string(place.path().join("pusher/case.toml")).unwrap();
    assert_eq!(case.lines().next(), Some("#:schema ./case.schema.json"));
    let written = std::fs::read_to_string(place.path().join("pusher/case.schema.json")).unwrap();
    assert_eq!(written, place.run(["schema"]).good());
    place.run(["check", "pusher/case.toml", "-q"]).good();
}
