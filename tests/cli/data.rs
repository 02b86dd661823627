//! The good and the bad inputs of `tests/data` through the binary.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use crate::support::Place;

/// Exit 2, the stated words, nothing else on stdout, nothing on disk, no panic.
#[test]
fn bad_inputs_are_refused_by_check_and_run_with_the_stated_words() {
    for case in cases("bad", 50) {
        let text = fs::read_to_string(&case).unwrap();
        let expected = lines_after(&text, "# expect:");
        assert!(!expected.is_empty(), "{}: states no message", case.display());
        let place = Place::empty();
        for command in ["check", "run"] {
            let mut args: Vec<OsString> = vec![command.into(), case.clone().into()];
            for set in lines_after(&text, "# set:") {
                args.extend(["--set".into(), set.into()]);
            }
            let report = place.run(args).bad();
            for words in &expected {
                assert!(report.contains(words), "{}: expected `{words}` in\n{report}", case.display());
            }
        }
        assert!(place.names().is_empty(), "{} left {:?}", case.display(), place.names());
    }
}

#[test]
fn good_inputs_are_computed_and_drawn() {
    for case in cases("good", 4) {
        let place = Place::empty();
        let run: [OsString; 5] =
            ["run".into(), "--json".into(), "-o".into(), "a.h5".into(), case.clone().into()];
        let answer: serde_json::Value = serde_json::from_str(&place.run(run).good()).unwrap();
        let thrust = answer["summary"]["thrust_n"].as_f64();
        assert!(thrust.is_some_and(|thrust| thrust > 0.0), "{}: {thrust:?}", case.display());
        place.run(["plot", "a.h5"]).good();
    }
}

fn cases(folder: &str, at_least: usize) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(folder);
    let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut cases: Vec<PathBuf> =
        files.filter(|path| path.extension().is_some_and(|e| e == "toml")).collect();
    cases.sort();
    assert!(cases.len() >= at_least, "only {} cases", cases.len());
    cases
}

fn lines_after<'a>(text: &'a str, mark: &str) -> Vec<&'a str> {
    text.lines().filter_map(|line| line.strip_prefix(mark)).map(str::trim).collect()
}
