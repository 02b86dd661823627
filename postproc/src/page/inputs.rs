//! Every key of the case with unit, value and origin, and the files it reads.

use maud::{Markup, html};

use super::Source;
use super::table::{Cell, Column, table};

/// The table of keys, the files with their hashes, and what made the result.
pub(super) fn shown(source: &Source) -> Markup {
    let case = &source.case;
    let columns = [
        Column::new("key", ""),
        Column::new("value", ""),
        Column::new("unit", ""),
        Column::new("origin", ""),
    ];
    let rows: Vec<Vec<Cell>> = case
        .values
        .iter()
        // The title heads the section, the notes stand below it.
        .filter(|value| !matches!(value.path.as_str(), "title" | "notes"))
        .map(|value| {
            let shown = match value.value.parse::<f64>() {
                Ok(number) => Cell::shown(number, value.value.clone()),
                Err(_) => Cell::text(&value.value),
            };
            vec![
                Cell::text(&value.path),
                shown,
                Cell::text(unit(value.unit)),
                Cell::text(value.origin.word()),
            ]
        })
        .collect();
    let (version, created) = source.made();
    html! {
        p {
            "given: written in the case; default: the documented default; estimated: worked out from other values by a stated rule; override: \
             set on the command line."
        }
        (table("Keys of the case", &columns, &rows))
        @if !case.inputs.is_empty() { (files(source)) }
        p.note { "Computed by wakebeat " (version) ", " time datetime=(created) { (created) } "." }
    }
}

fn files(source: &Source) -> Markup {
    let columns = [Column::new("input file", ""), Column::new("lines", "1"), Column::new("SHA-256", "")];
    let rows: Vec<Vec<Cell>> = source
        .case
        .inputs
        .iter()
        .map(|file| {
            let lines = file.text.lines().count();
            vec![
                Cell::text(&file.path),
                Cell::shown(lines as f64, lines.to_string()),
                Cell::text(&file.sha256),
            ]
        })
        .collect();
    table("Files the case reads", &columns, &rows)
}

/// A ratio needs no unit.
fn unit(unit: &str) -> &str {
    if unit == "1" { "–" } else { unit }
}
