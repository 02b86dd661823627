//! No text makes the reader panic: cases and tables damaged at random end in a case or in problems.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;
use wakebeat_engine::case::{from_text, scenarios};

/// Knuth's linear congruential generator: the same damage in every run.
struct Random(u64);

impl Random {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % bound
    }
}

const SHARDS: [&str; 26] = [
    "",
    "nan",
    "-inf",
    "1e400",
    "-0.0",
    "[",
    "]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "\"",
    "'''",
    "#",
    "\n",
    "\r\n",
    "\t",
    "é",
    "\u{feff}",
    "[[surface]]\n",
    "true",
    "1979-05-27",
    "99999999999999999999",
    "name",
    "0x7f",
];

fn damaged(text: &str, random: &mut Random) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for _ in 0..=random.below(3) {
        let at = random.below(chars.len().max(1));
        let gone = random.below(12).min(chars.len() - at);
        chars.splice(at..at + gone, SHARDS[random.below(SHARDS.len())].chars());
    }
    chars.into_iter().collect()
}

#[test]
fn damaged_cases_and_tables_never_panic() {
    let scenario = &scenarios()[0];
    let files: BTreeMap<String, String> =
        scenario.files.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
    // Comments are long; damage there would test little.
    let bare = |text: &str| -> String {
        text.lines().filter(|l| !l.starts_with('#')).map(|l| l.to_owned() + "\n").collect()
    };
    let (case, table) = (bare(scenario.case_text()), bare(&files["da4022_9x6.75.csv"]));
    let mut random = Random(7);
    let (mut good, mut bad) = (0, 0);
    for round in 0..4000 {
        let mut held = files.clone();
        let mut text = case.clone();
        let mut sets = Vec::new();
        match round % 3 {
            0 => text = damaged(&case, &mut random),
            1 => drop(held.insert("da4022_9x6.75.csv".into(), damaged(&table, &mut random))),
            _ => sets.push(damaged("surface.wing.span_m=1.5", &mut random)),
        }
        match from_text("case.toml", &text, &held, &sets) {
            Ok(case) => {
                let again = from_text("again", &case.resolved_toml(), &held, &[]).unwrap();
                assert_eq!(format!("{:?}", case.point), format!("{:?}", again.point));
                good += 1;
            }
            Err(problems) => {
                assert!(!problems.0.is_empty() && !problems.to_string().is_empty());
                bad += 1;
            }
        }
    }
    assert!(good > 100 && bad > 1000, "{good} {bad}");
}
