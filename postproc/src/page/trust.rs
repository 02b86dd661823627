//! What validation says, handed in as plain data: this crate stands below the one that validates.

use maud::{Markup, html};

use super::table::{Cell, Column, table};

/// A line of the table of validation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrustRow {
    /// Branch of physics.
    pub topic: String,
    /// What is compared.
    pub set: String,
    /// Who published it.
    pub against: String,
    /// Mean, worst and mean signed difference by quantity.
    pub found: String,
    /// How far ours may be off.
    pub band: String,
    /// Rows inside their bands, outside and understood, outside: PASS, KNOWN, FAIL.
    pub verdicts: [usize; 3],
}

/// A failure that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownFailure {
    /// The rows it covers.
    pub rows: String,
    /// What the engine leaves out.
    pub physics: String,
    /// How far off it is.
    pub figure: String,
    /// When that was found.
    pub date: String,
}

/// The table of validation and what is known to fail.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Trust {
    /// Lines of the table, those of a topic together.
    pub rows: Vec<TrustRow>,
    /// Known failures.
    pub known: Vec<KnownFailure>,
}

/// The summary by topic, known failures, and the table in full to open.
pub(super) fn shown(trust: &Trust) -> Markup {
    html! {
        h4 id="validation" { "Validation of the engine" }
        p {
            "The engine is held against published measurements and exact solutions. A row passes inside its band; known is outside with the \
             missing physics on record; fail is outside. Nothing was tuned to any of them."
        }
        (topics(trust))
        @if !trust.known.is_empty() {
            p { "Known failures:" }
            ul.warnings {
                @for known in &trust.known {
                    li { b { (known.rows.trim_end_matches("/*").replace(['*', '_'], " ").replace('/', ": ")) } ". " (known.physics) " " (known.figure) " (" (known.date) ")" }
                }
            }
        }
        details {
            summary { "Every set with its source, bands and differences" }
            (sets(trust))
        }
    }
}

fn topics(trust: &Trust) -> Markup {
    let mut topics: Vec<(&str, usize, [usize; 3], Vec<&str>)> = Vec::new();
    for row in &trust.rows {
        if topics.last().is_none_or(|(topic, ..)| *topic != row.topic) {
            topics.push((&row.topic, 0, [0; 3], Vec::new()));
        }
        if let Some((_, sets, verdicts, bands)) = topics.last_mut() {
            *sets += 1;
            verdicts.iter_mut().zip(row.verdicts).for_each(|(sum, count)| *sum += count);
            for band in row.band.split("; ") {
                if !bands.contains(&band) {
                    bands.push(band);
                }
            }
        }
    }
    let columns = [
        Column::new("topic", ""),
        Column::new("sets", ""),
        Column::new("pass", "rows"),
        Column::new("known", "rows"),
        Column::new("fail", "rows"),
        Column::new("bands", ""),
    ];
    let count = |n: usize| Cell::shown(n as f64, n.to_string());
    let rows: Vec<Vec<Cell>> = topics
        .iter()
        .map(|(topic, sets, [pass, known, fail], bands)| {
            vec![
                Cell::text(*topic),
                count(*sets),
                count(*pass),
                count(*known),
                count(*fail),
                Cell::text(bands.join("; ")),
            ]
        })
        .collect();
    table("Validation by topic", &columns, &rows)
}

fn sets(trust: &Trust) -> Markup {
    let columns = ["set", "against", "quantity: mean, worst, bias", "band", "verdict"]
        .map(|words| Column::new(words, ""));
    let rows: Vec<Vec<Cell>> = trust
        .rows
        .iter()
        .map(|row| {
            let words = row.verdicts.iter().zip(["pass", "known", "fail"]).filter(|(count, _)| **count > 0);
            let verdict = words.map(|(count, word)| format!("{count} {word}")).collect::<Vec<_>>().join(", ");
            vec![
                Cell::text(format!("{}: {}", row.topic, row.set)),
                Cell::text(&row.against),
                Cell::text(&row.found),
                Cell::text(&row.band),
                Cell::text(verdict),
            ]
        })
        .collect();
    table("Validation, every set", &columns, &rows)
}
