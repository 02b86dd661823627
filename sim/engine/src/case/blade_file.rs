//! The blade table: chord and twist by radius.

use super::csv::{Column, Table, read};
use super::keys::Range;
use super::problem::Problem;
use crate::point::input::{BladeRow, BladeTable};

const RADIUS: Column =
    Column { name: "radius_ratio", required: true, number: Some((Range::above(0.0, 1.0), "1")) };
const CHORD: Column =
    Column { name: "chord_ratio", required: true, number: Some((Range::above(0.0, 2.0), "1")) };
const TWIST: Column =
    Column { name: "twist_deg", required: true, number: Some((Range::closed(-180.0, 180.0), "deg")) };
const SWEEP: Column =
    Column { name: "sweep_ratio", required: false, number: Some((Range::closed(-1.0, 1.0), "1")) };
const THICKNESS: Column =
    Column { name: "thickness_ratio", required: false, number: Some((Range::above(0.0, 1.0), "1")) };
const SECTION: Column = Column { name: "section", required: false, number: None };

const COLUMNS: [Column; 6] = [RADIUS, CHORD, TWIST, SWEEP, THICKNESS, SECTION];

/// Thickness where the file gives none; common practice for small propellers.
const DEFAULT_THICKNESS_RATIO: f64 = 0.12;

/// Reads a blade file. `sections` are the names rows may use; an empty name is the default section.
pub(super) fn blade_table(file: &str, text: &str, sections: &[String]) -> Result<BladeTable, Vec<Problem>> {
    let table = read(file, text, &COLUMNS)?;
    let mut problems = Vec::new();
    let radius = table.numbers(&RADIUS, &mut problems);
    let chord = table.numbers(&CHORD, &mut problems);
    let twist = table.numbers(&TWIST, &mut problems);
    let sweep = table.numbers(&SWEEP, &mut problems);
    let thickness = table.numbers(&THICKNESS, &mut problems);
    check_radii(&table, &radius, &mut problems);
    let section = section_indices(&table, sections, &mut problems);
    if !problems.is_empty() {
        return Err(problems);
    }
    let row = |i: usize| BladeRow {
        radius_ratio: radius[i],
        chord_ratio: chord[i],
        twist_rad: twist[i].to_radians(),
        sweep_ratio: sweep.get(i).copied().unwrap_or(0.0),
        thickness_ratio: thickness.get(i).copied().unwrap_or(DEFAULT_THICKNESS_RATIO),
        section: section[i],
    };
    Ok(BladeTable { generic: false, rows: (0..table.rows.len()).map(row).collect() })
}

/// Radii rise from root to tip and the last is the tip.
fn check_radii(table: &Table, radius: &[f64], problems: &mut Vec<Problem>) {
    let count = radius.len();
    if count < 2 {
        let problem = table.problem(0, RADIUS.name, "is the only row of the blade");
        return problems.push(problem.allowed("two rows or more, from root to tip"));
    }
    let root_text: Option<f64> = table.text(0, RADIUS.name).and_then(|text| text.parse().ok());
    if root_text.is_some_and(|root| root >= 1.0) {
        let problem = table.problem(0, RADIUS.name, "puts the root at or beyond the tip");
        // It is out of range as well: one message will do.
        problems.retain(|other| (other.line, &other.key) != (problem.line, &problem.key));
        problems.push(problem.allowed("the first row is the root, its radius below that of the tip"));
    }
    for i in 1..count {
        if radius[i] <= radius[i - 1] {
            let what = format!("does not rise: the row before has {}", radius[i - 1]);
            let problem = table.problem(i, RADIUS.name, what);
            problems.push(problem.allowed("radii that rise from root to tip, each once"));
        }
    }
    if radius[count - 1] < 1.0 {
        let problem =
            table.problem(count - 1, RADIUS.name, "does not cover the blade: the last row is not the tip");
        problems.push(problem.allowed("1 in the last row").hint("radii are ratios to the tip radius"));
    }
}

/// Index of the section of each row. A name without a section is reported once, at its first row.
fn section_indices(table: &Table, sections: &[String], problems: &mut Vec<Problem>) -> Vec<usize> {
    let name = |row: usize| table.text(row, SECTION.name).unwrap_or_default();
    let index = |row: usize| sections.iter().position(|known| known == name(row));
    let count = table.rows.len();
    let first = |row: &usize| (0..*row).all(|before| name(before) != name(*row));
    let unknown = (0..count).filter(|row| index(*row).is_none()).filter(first);
    problems.extend(unknown.map(|row| unknown_section(table, row, name(row), sections)));
    (0..count).map(|row| index(row).unwrap_or_default()).collect()
}

fn unknown_section(table: &Table, row: usize, name: &str, sections: &[String]) -> Problem {
    let names: Vec<&str> = sections.iter().map(String::as_str).filter(|n| !n.is_empty()).collect();
    if name.is_empty() {
        let hint = "add [section] to the case, or name a section in every row of the blade file";
        return table
            .problem(row, SECTION.name, "needs the default section, which the case does not have")
            .hint(hint);
    }
    let hint = format!("add [sections.{name}] to the case");
    let allowed =
        if names.is_empty() { "no names: the case has no [sections.NAME]".into() } else { names.join(", ") };
    table.problem(row, SECTION.name, "is not a section of the case").allowed(allowed).hint(hint)
}
