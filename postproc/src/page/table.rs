//! Tables that sort, scroll inside themselves and are read out with their headings.

use maud::{Markup, html};

use crate::pictures::number::short;

/// A column: words and unit; empty for texts and pure numbers.
pub(super) struct Column {
    words: String,
    unit: String,
}

impl Column {
    /// A column of numbers with a unit, or of texts without.
    pub fn new(words: impl Into<String>, unit: &str) -> Self {
        Self { words: words.into(), unit: if unit == "1" { String::new() } else { unit.to_owned() } }
    }
}

/// What stands in a cell.
pub(super) enum Cell {
    /// Words.
    Text(String),
    /// A number with the text it is shown as.
    Number(f64, String),
    /// A number with three digits.
    Figure(f64),
}

impl Cell {
    /// Words.
    pub fn text(words: impl Into<String>) -> Self {
        Self::Text(words.into())
    }

    /// A number, with some text for it.
    pub fn shown(value: f64, text: impl Into<String>) -> Self {
        Self::Number(value, text.into())
    }

    fn markup(&self, first: bool) -> Markup {
        let (value, text, number) = match self {
            Self::Text(text) => (None, text.clone(), false),
            Self::Number(value, text) => (Some(*value), text.clone(), true),
            Self::Figure(value) => (Some(*value), figure(*value), true),
        };
        let value = value.filter(|v| v.is_finite()).map(|v| format!("{v:e}"));
        let class = number.then_some("n");
        html! {
            @if first {
                th scope="row" class=[class] data-v=[value] { (text) }
            } @else {
                td class=[class] data-v=[value] { (text) }
            }
        }
    }
}

/// Three digits, a dash where there is no number, 0 for an exact zero.
pub(super) fn figure(value: f64) -> String {
    if value == 0.0 { "0".to_owned() } else { short(value) }
}

/// A table; rows as in the columns.
pub(super) fn table(caption: &str, columns: &[Column], rows: &[Vec<Cell>]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(caption) {
            table.sortable {
                caption { (caption) }
                thead {
                    tr {
                        @for column in columns {
                            th scope="col" aria-sort="none" {
                                button type="button" {
                                    (column.words)
                                    @if !column.unit.is_empty() { " " span.unit { (column.unit) } }
                                }
                            }
                        }
                    }
                }
                tbody {
                    @for row in rows {
                        tr {
                            @for (index, cell) in row.iter().enumerate() { (cell.markup(index == 0)) }
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_users_type_is_escaped_and_numbers_sort_by_their_value() {
        let rows = [vec![Cell::text("<b>"), Cell::Figure(-0.0123)]];
        let text = table("a & b", &[Column::new("name", ""), Column::new("load", "N")], &rows).into_string();
        assert!(text.contains("&lt;b&gt;") && text.contains("a &amp; b") && !text.contains("<b>"), "{text}");
        assert!(text.contains("data-v=\"-1.23e-2\"") && text.contains("−0.0123"), "{text}");
        assert!(text.contains("<span class=\"unit\">N</span>"), "{text}");
    }
}
