//! Every file of `tests/data/bad` states the messages it must bring.
//!
//! A line `# expect: TEXT` must appear in the report; a line `# set: KEY=VALUE` is an override. No problem may be
//! reported that no line expects.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use wakebeat_engine::case::{Availability, Kind, Problem, Problems, groups, key_reference, load};

fn bad_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/bad")
}

fn bad_cases() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(bad_folder()).unwrap().map(|entry| entry.unwrap().path());
    let mut cases: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|extension| extension == "toml")).collect();
    cases.sort();
    assert!(cases.len() > 50, "only {} bad cases", cases.len());
    cases
}

fn lines_after(text: &str, mark: &str) -> Vec<String> {
    text.lines().filter_map(|line| line.strip_prefix(mark)).map(|rest| rest.trim().to_owned()).collect()
}

fn report(path: &Path) -> (Vec<String>, Problems) {
    let text = std::fs::read_to_string(path).unwrap();
    let problems = load(path, &lines_after(&text, "# set:"))
        .map(|case| panic!("{} was taken as good:\n{}", path.display(), case.resolved_toml()))
        .unwrap_err();
    (lines_after(&text, "# expect:"), problems)
}

#[test]
fn each_bad_case_brings_its_messages_and_no_others() {
    let mut faults = Vec::new();
    for path in bad_cases() {
        let (expected, problems) = report(&path);
        let name = path.file_name().unwrap().display();
        if expected.is_empty() {
            faults.push(format!("{name} expects nothing"));
        }
        for text in expected.iter().filter(|text| !problems.to_string().contains(*text)) {
            faults.push(format!("{name} lacks: {text}\n  in:\n{problems}"));
        }
        for block in problems.0.iter().map(Problem::to_string) {
            if !expected.iter().any(|text| block.contains(text)) {
                faults.push(format!("{name} brings a message it does not expect:\n{block}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

/// A message says where, what was written, and what would do instead.
#[test]
fn each_message_names_file_key_value_and_a_way_out() {
    let mut by_word: BTreeMap<&str, usize> = BTreeMap::new();
    for path in bad_cases() {
        for problem in report(&path).1.0 {
            let text = problem.to_string();
            let of_case = problem.file == path.display().to_string();
            let of_table = bad_folder().join(&problem.file).is_file() && problem.file.ends_with(".csv");
            assert!(of_case || of_table || problem.file == "--set", "{text}");
            // An override has no line, nor has a default, a file without content, or an outline as a whole.
            let outline = problem.what.starts_with("the outline ");
            let no_line = outline
                || ["no header", "`placement.hub_x_m = 0.0` lets"].iter().any(|word| text.contains(word));
            assert_eq!(problem.line.is_none(), problem.file == "--set" || no_line, "{text}");
            let whole_file = outline || ["is empty", "UTF-8"].iter().any(|word| problem.what.contains(word));
            assert!(whole_file || !problem.key.is_empty() || !problem.value.is_empty(), "{text}");
            let way_out = !problem.allowed.is_empty() || problem.hint.is_some();
            let stops = ["not available in this version", "not valid TOML"];
            assert!(way_out || stops.iter().any(|word| problem.what.contains(word)), "{text}");
            if problem.what.contains("range") || problem.what.contains("finite") {
                assert!(
                    !problem.value.is_empty() && !problem.key.is_empty() && !problem.allowed.is_empty(),
                    "{text}"
                );
                *by_word.entry("range").or_default() += 1;
            }
            assert!(!problem.what.ends_with('.'), "{text}");
        }
    }
    assert!(by_word["range"] > 10);
}

#[test]
fn several_problems_come_in_one_report_in_file_order() {
    let problems = report(&bad_folder().join("several_at_once.toml")).1;
    assert!(problems.0.len() >= 9, "{problems}");
    let lines: Vec<usize> =
        problems.0.iter().filter(|p| p.file.ends_with(".toml")).filter_map(|p| p.line).collect();
    assert!(lines.is_sorted(), "{problems}");
}

/// Whatever the table marks as not available is refused by name, wherever it can stand.
#[test]
fn everything_not_available_is_covered() {
    let reports: String = bad_cases().iter().map(|path| report(path).1.to_string() + "\n").collect();
    let refused = |key: &str, value: &str| {
        let start = format!("`{key}{value}` is not available in this version");
        assert!(reports.contains(&start), "no bad case shows {start}");
    };
    for group in groups().iter().filter(|g| g.availability == Availability::NotYet) {
        let path = group.path.strip_suffix(".NAME").unwrap_or(group.path);
        refused(&path.replace("NAME", "wing"), "");
    }
    for key in key_reference() {
        if key.availability == Availability::NotYet {
            let line = format!("`{} = ", key.path().replace("NAME", "wing"));
            assert!(reports.contains(&line), "no bad case shows {line}");
        }
        if let (Kind::Choice(choices), false) = (key.kind, key.path().contains("NAME")) {
            for choice in choices.iter().filter(|c| c.availability == Availability::NotYet) {
                refused(&key.path(), &format!(" = {:?}", choice.text));
            }
        }
    }
}

#[test]
fn a_case_that_is_no_file_or_no_text_is_one_problem() {
    let missing = load(&bad_folder().join("no_such_case.toml"), &[]).unwrap_err();
    assert!(missing.to_string().contains("no_such_case.toml: does not exist"), "{missing}");
    let folder = load(&bad_folder(), &[]).unwrap_err();
    assert!(folder.to_string().contains("is a folder, not a file"), "{folder}");
    let bytes = load(&bad_folder().join("blade_non_utf8.csv"), &[]).unwrap_err();
    assert!(bytes.to_string().contains("blade_non_utf8.csv:2: is not UTF-8 text"), "{bytes}");
}
