//! The statistics as the table of the README.

use super::run::Table;
use super::summary::{Summary, summaries};

/// Line before the table in the README.
pub const README_BEGIN: &str = "<!-- table of wakebeat validate --markdown -->";

/// Line after it.
pub const README_END: &str = "<!-- end of table -->";

/// The statistics of a table as Markdown.
#[must_use]
pub fn markdown(table: &Table) -> String {
    let mut text = String::from(
        "| Check | Against | Quantity | Points | Mean | Worst | Bias | Band | Verdict |\n\
         |---|---|---|--:|--:|--:|--:|---|---|\n",
    );
    let mut last = (String::new(), "");
    for s in summaries(table) {
        let check = format!("{}: {}", s.topic.replace('_', " "), s.set);
        // Words that the line above has said are not said again.
        let again = last == (check.clone(), s.source);
        let shown = if again { (String::new(), "") } else { (check.clone(), s.source) };
        text.push_str(&format!(
            "| {} | {} | {} | {} | {} | {} | {} | {} | {} |\n",
            shown.0,
            shown.1,
            s.symbol,
            s.points,
            figure(&s, s.mean, false),
            figure(&s, s.worst, true),
            figure(&s, s.bias, true),
            s.band,
            verdict(&s),
        ));
        last = (check, s.source);
    }
    text
}

/// Three digits at most: what is left out is smaller than any band.
fn figure(summary: &Summary, value: f64, signed: bool) -> String {
    let size = value.abs();
    let digits = match summary.unit {
        "%" if size >= 0.95 => format!("{size:.1}"),
        _ if size == 0.0 => "0".to_owned(),
        _ if size < 1e-2 => format!("{size:.0e}"),
        _ if size < 1.0 => format!("{size:.2}"),
        _ => format!("{size:.1}"),
    };
    let sign = match (signed && size > 0.0, value < 0.0) {
        (true, true) => "−",
        (true, false) => "+",
        _ => "",
    };
    match summary.unit {
        "1" => format!("{sign}{digits}"),
        unit => format!("{sign}{digits} {unit}"),
    }
}

fn verdict(summary: &Summary) -> String {
    let words = ["PASS", "KNOWN", "FAIL"];
    let counts = summary.verdicts.iter().zip(words).filter(|(count, _)| **count > 0);
    counts.map(|(count, word)| format!("{count} {word}")).collect::<Vec<_>>().join(", ")
}

/// Whether a printed table still tells what the present one does: the same lines, words and verdicts; figures within a tenth,
/// or within half of the line's worst where that is small. Another machine's last digit and a gentle change of the physics
/// leave it valid; a row that is new, gone, or has another verdict does not.
///
/// # Errors
/// The first pair of lines that differ, printed and present.
pub fn same_table(printed: &str, present: &str) -> Result<(), String> {
    let lines = |text: &str| text.trim().lines().map(str::to_owned).collect::<Vec<_>>();
    let (printed, present) = (lines(printed), lines(present));
    let count = printed.len().max(present.len());
    let at = |lines: &[String], i: usize| lines.get(i).cloned().unwrap_or_default();
    for i in 0..count {
        let (a, b) = (at(&printed, i), at(&present, i));
        if !same_line(&a, &b) {
            return Err(format!("printed: {a}\npresent: {b}"));
        }
    }
    Ok(())
}

/// Columns that hold figures: mean, worst, bias.
const FIGURES: std::ops::Range<usize> = 5..8;

fn same_line(a: &str, b: &str) -> bool {
    let cells = |line: &str| line.split('|').map(|c| c.trim().to_owned()).collect::<Vec<_>>();
    let (a, b) = (cells(a), cells(b));
    let numbers = |cells: &[String]| -> Option<Vec<f64>> {
        cells.get(FIGURES).map(|c| c.iter().filter_map(|cell| number(cell)).collect())
    };
    let words = |cells: &[String]| -> Vec<String> {
        cells.iter().enumerate().filter(|(i, _)| !FIGURES.contains(i)).map(|(_, c)| c.clone()).collect()
    };
    if words(&a) != words(&b) {
        return false;
    }
    let (Some(x), Some(y)) = (numbers(&a), numbers(&b)) else { return a == b };
    let scale = x.iter().chain(&y).fold(0.0_f64, |most, v| most.max(v.abs()));
    let per_cent = a.get(FIGURES.start).is_some_and(|cell| cell.ends_with('%'));
    // A tenth of the greatest figure; half of it where the figures are rounding and truncation.
    let room = if per_cent && scale > 0.5 { 0.1 * scale + 0.2 } else { 0.5 * scale };
    x.len() == y.len() && x.iter().zip(&y).all(|(x, y)| (x - y).abs() <= room)
}

fn number(cell: &str) -> Option<f64> {
    let first = cell.split_whitespace().next()?;
    first.replace('−', "-").replace('+', "").parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: &str = "| a: b | someone | CT | 12 | 4.1 % | −7.0 % | −2.0 % | 8 % | 3 PASS |";

    #[test]
    fn last_digits_may_change_and_verdicts_may_not() {
        assert!(same_table(LINE, &LINE.replace("7.0", "7.3")).is_ok());
        assert!(same_table(LINE, &LINE.replace("7.0", "9.0")).is_err());
        assert!(same_table(LINE, &LINE.replace("3 PASS", "2 PASS, 1 FAIL")).is_err());
        assert!(same_table(LINE, &LINE.replace("someone", "nobody")).is_err());
        assert!(same_table(LINE, &format!("{LINE}\n{LINE}")).is_err());
    }
}
