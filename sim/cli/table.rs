//! Plain tables: columns that line up, a rule under the heading, nothing else.

use comfy_table::{CellAlignment, Row, Table, presets};

/// Blanks between two columns.
const GAP: u16 = 2;

/// Lines up rows of text; columns in `numbers` are set flush right.
pub fn plain<R: Into<Row>>(heading: R, rows: Vec<R>, numbers: std::ops::Range<usize>) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING).set_header(heading).add_rows(rows);
    for (index, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, GAP));
        if numbers.contains(&index) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    under_heading(&table.trim_fmt())
}

/// Draws the rule as long as the longest line.
fn under_heading(text: &str) -> String {
    let width = text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    let (heading, rest) = text.split_once('\n').unwrap_or((text, ""));
    format!("{heading}\n{}\n{rest}", "-".repeat(width))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_flush_right_and_the_rule_is_as_long_as_the_lines() {
        let text = plain(vec!["load", "N"], vec![vec!["thrust", "10.5"], vec!["side force", "0.5"]], 1..2);
        assert_eq!(text, "load           N\n----------------\nthrust      10.5\nside force   0.5");
    }
}
