//! `wakebeat check`: every value with its origin, and what the geometry implies.

use comfy_table::{CellAlignment, Table, presets};
use serde_json::{Map, Value, json};
use wakebeat_engine::case::Case;
use wakebeat_engine::point::consequences::consequences;
use wakebeat_engine::point::result::Scalar;

use crate::args::CheckArgs;
use crate::failure::Failure;
use crate::load::load;
use crate::numbers::significant;
use crate::output::Output;

/// Reads the case and shows it; computes nothing that takes time.
///
/// # Errors
/// Every problem of the case at once.
pub fn check(args: &CheckArgs, output: Output) -> Result<(), Failure> {
    let case = load(&args.case)?;
    let implied = consequences(&case.point);
    output.answer(|| text(&case, &implied), || as_json(&case, &implied))
}

fn text(case: &Case, implied: &[Scalar]) -> String {
    let mut parts = Vec::new();
    if !case.title.is_empty() {
        parts.push(case.title.clone());
    }
    parts.push(value_table(case));
    if !case.inputs.is_empty() {
        let files: Vec<&str> = case.inputs.iter().map(|input| input.path.as_str()).collect();
        parts.push(format!("input files: {}", files.join(", ")));
    }
    parts.push(format!("what follows from the geometry\n{}", implied_table(implied)));
    parts.push("no problem found".to_owned());
    parts.join("\n\n")
}

fn value_table(case: &Case) -> String {
    let mut table = plain_table(&["key", "value", "unit", "origin"]);
    for value in &case.values {
        table.add_row([value.path.as_str(), &value.value, unit_shown(value.unit), value.origin.word()]);
    }
    align_right(&mut table, 1);
    table.trim_fmt()
}

fn implied_table(implied: &[Scalar]) -> String {
    let mut table = plain_table(&["quantity", "value", "unit"]);
    for scalar in implied {
        table.add_row([scalar.long_name.as_str(), &significant(scalar.value, 4), unit_shown(scalar.unit)]);
    }
    align_right(&mut table, 1);
    table.trim_fmt()
}

fn plain_table(heading: &[&str]) -> Table {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_header(heading.to_vec());
    table
}

fn align_right(table: &mut Table, column: usize) {
    if let Some(column) = table.column_mut(column) {
        column.set_cell_alignment(CellAlignment::Right);
    }
}

/// A ratio needs no unit on the screen.
fn unit_shown(unit: &str) -> &str {
    if unit == "1" { "" } else { unit }
}

fn as_json(case: &Case, implied: &[Scalar]) -> Value {
    let values: Vec<Value> = case
        .values
        .iter()
        .map(|v| json!({ "key": v.path, "value": v.value, "unit": v.unit, "origin": v.origin.word() }))
        .collect();
    let inputs: Vec<Value> =
        case.inputs.iter().map(|i| json!({ "path": i.path, "sha256": i.sha256 })).collect();
    let implied: Map<String, Value> = implied.iter().map(|s| (s.name.clone(), json!(s.value))).collect();
    json!({ "title": case.title, "values": values, "inputs": inputs, "consequences": implied })
}
