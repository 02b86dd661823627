//! The outline of a section: x and y over chord.

use super::csv::{Column, Table, read};
use super::keys::Range;
use super::problem::Problem;
use crate::section::shape::{OutlineError, SectionShape};

const X: Column = Column { name: "x", required: true, number: Some((Range::closed(-1e4, 1e4), "1")) };
const Y: Column = Column { name: "y", required: true, number: Some((Range::closed(-1e4, 1e4), "1")) };

/// Reads the outline of a section.
pub(super) fn section_shape(file: &str, text: &str) -> Result<SectionShape, Vec<Problem>> {
    let table = read(file, text, &[X, Y])?;
    let mut problems = Vec::new();
    let x = table.numbers(&X, &mut problems);
    let y = table.numbers(&Y, &mut problems);
    if !problems.is_empty() {
        return Err(problems);
    }
    let points = x.into_iter().zip(y).map(|(x, y)| [x, y]).collect();
    SectionShape::new(points).map_err(|error| vec![outline_problem(&table, error)])
}

/// The row at which an outline goes wrong, and what would do.
fn outline_problem(table: &Table, error: OutlineError) -> Problem {
    let last = table.rows.len() - 1;
    let at = |row: usize, column: &str| table.problem(row, column, error.to_string());
    let whole = || table.problem_as_a_whole(format!("the outline {error}"));
    match error {
        OutlineError::PointCount { .. } => whole()
            .allowed("20 to 2000 points all round the section")
            .hint("give more points near the nose, where the outline bends most"),
        OutlineError::NotFinite { point } => at(point, X.name).allowed("numbers"),
        OutlineError::Scale { .. } => whole()
            .allowed("x from 0 at the nose to 1 at the trailing edge, within 0.02")
            .hint("divide both columns by the chord"),
        OutlineError::NoNose { least } => {
            let row = (0..=last).find(|row| number(table, *row) == Some(least)).unwrap_or(0);
            at(row, X.name).allowed("points up to the nose, at x below 0.02")
        }
        OutlineError::NotClosed { .. } => whole()
            .allowed("a loop round the section, open by at most 0.1 chord at its trailing edge")
            .hint("list the trailing edge, one surface to the nose, and the other surface back to the trailing edge"),
        OutlineError::Crosses { first, second } => {
            let (line, _) = table.rows[second];
            table
                .problem(first, X.name, format!("begins a side that crosses the one from line {line}"))
                .allowed("points in order round the section")
        }
        OutlineError::DoublesBack { point } => at(point, X.name)
            .allowed("x that falls steadily to the nose and rises steadily to the trailing edge"),
    }
}

fn number(table: &Table, row: usize) -> Option<f64> {
    table.text(row, X.name)?.parse().ok()
}
