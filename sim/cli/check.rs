//! `wakebeat check`: every value with its origin, and what the geometry implies.

use serde_json::{Map, Value, json};
use wakebeat_engine::case::{Case, ResolvedValue};
use wakebeat_engine::point::consequences::{
    ClearanceRule, airframe_consequences, clearance_rules, consequences,
};
use wakebeat_engine::point::result::Scalar;
use wakebeat_engine::trim::{By, Trim};

use crate::args::CheckArgs;
use crate::check_grid::GridCheck;
use crate::clearances;
use crate::failure::Failure;
use crate::load::load;
use crate::numbers::significant;
use crate::output::{Output, WIDTH};
use crate::table;

/// Reads the case and shows it; computes nothing that takes time.
///
/// # Errors
/// Every problem of the case at once.
pub fn check(args: &CheckArgs, output: Output) -> Result<(), Failure> {
    let case = load(&args.case)?;
    let mut implied = consequences(&case.point);
    implied.extend(airframe_consequences(&case.point));
    let grid = GridCheck::new(&case);
    output.answer(|| text(&case, &implied, grid.as_ref()), || as_json(&case, &implied, grid.as_ref()))
}

fn text(case: &Case, implied: &[Scalar], grid: Option<&GridCheck>) -> String {
    let mut parts = Vec::new();
    if !case.title.is_empty() {
        parts.push(case.title.clone());
    }
    if !case.notes.is_empty() {
        parts.push(textwrap::fill(&case.notes, WIDTH));
    }
    parts.push(value_table(case));
    if !case.inputs.is_empty() {
        let files: Vec<&str> = case.inputs.iter().map(|input| input.path.as_str()).collect();
        parts.push(format!("input files: {}", files.join(", ")));
    }
    parts.extend(case.trim.as_ref().map(|trim| textwrap::fill(&before_trim(trim), WIDTH)));
    parts.push(implied_table(implied));
    let rules = clearance_rules(&case.point);
    parts.extend(clearances::text(&rules));
    parts.extend(grid.map(GridCheck::text));
    parts.push(verdict(&rules));
    parts.join("\n\n")
}

/// That the case can be computed, and what had better be changed first.
fn verdict(rules: &[ClearanceRule]) -> String {
    let less = rules.iter().filter(|rule| !rule.is_met()).count();
    let into = rules.iter().filter(|rule| rule.clearance_m < 0.0).count();
    let words = |count: usize| {
        if count == 1 { "1 clearance is".to_owned() } else { format!("{count} clearances are") }
    };
    match (less, into) {
        (0, _) => "no problem found".to_owned(),
        (less, 0) => format!("no problem found in the keys; {} less than the rule asks for", words(less)),
        (less, into) => format!(
            "no problem found in the keys; {} less than the rule asks for, of which {into} below zero: blades hit what they should clear",
            words(less)
        ),
    }
}

/// What of the numbers below trim will change.
fn before_trim(trim: &Trim) -> String {
    let by = match trim.by {
        By::Speed { .. } => "shaft speed",
        By::Pitch { .. } => "pitch",
    };
    let met = match (trim.level, trim.thrust.is_some()) {
        (true, true) => format!("angle of attack and {by}"),
        (true, false) => "angle of attack".to_owned(),
        (false, _) => by.to_owned(),
    };
    format!(
        "before trim: {met} below are the first guess of the case; `run` finds them, and all that goes with them"
    )
}

fn value_table(case: &Case) -> String {
    // The first two stand above the table as they are, the axes of a sweep below it in a table of their own.
    let elsewhere = |path: &str| matches!(path, "title" | "notes") || path.starts_with("sweep.");
    let shown = case.values.iter().filter(|v| !elsewhere(&v.path));
    let row = |v: &ResolvedValue| {
        vec![v.path.clone(), v.value.clone(), unit_shown(v.unit).to_owned(), v.origin.word().to_owned()]
    };
    table::plain(words(["key", "value", "unit", "origin"]), shown.map(row).collect(), 1..2)
}

fn implied_table(implied: &[Scalar]) -> String {
    let row = |s: &Scalar| vec![s.long_name.clone(), significant(s.value, 4), unit_shown(s.unit).to_owned()];
    table::plain(words(["what follows", "value", "unit"]), implied.iter().map(row).collect(), 1..2)
}

fn words<const N: usize>(words: [&str; N]) -> Vec<String> {
    words.map(str::to_owned).to_vec()
}

/// A ratio needs no unit on the screen.
fn unit_shown(unit: &str) -> &str {
    if unit == "1" { "" } else { unit }
}

fn as_json(case: &Case, implied_list: &[Scalar], grid: Option<&GridCheck>) -> Value {
    let values: Vec<Value> = case
        .values
        .iter()
        .map(|v| json!({ "key": v.path, "value": v.value, "unit": v.unit, "origin": v.origin.word() }))
        .collect();
    let inputs: Vec<Value> =
        case.inputs.iter().map(|i| json!({ "path": i.path, "sha256": i.sha256 })).collect();
    let implied: Map<String, Value> = implied_list.iter().map(|s| (s.name.clone(), json!(s.value))).collect();
    let rules = clearances::json(&clearance_rules(&case.point));
    json!({ "title": case.title, "values": values, "inputs": inputs, "consequences": implied, "before_trim": case.trim.is_some(), "clearances": rules, "grid": grid.map(GridCheck::json) })
}
