//! The statistics as the table of the README.

use super::run::Table;
use super::summary::{Summary, summaries};

/// Line before the table in the README.
pub const README_BEGIN: &str = "<!-- table of wakebeat validate --markdown -->";

/// Line after it.
pub const README_END: &str = "<!-- end of table -->";

/// The statistics of a table as Markdown, a line a check.
#[must_use]
pub fn markdown(table: &Table) -> String {
    let mut text = String::from(
        "| Check | Against | Quantity: mean, worst, bias | Band | Verdict |\n|---|---|---|---|---|\n",
    );
    let all = summaries(table);
    let mut rest = all.as_slice();
    while let Some(first) = rest.first() {
        let same = |s: &&Summary| (s.topic, &s.set) == (first.topic, &first.set);
        let (check, others) = rest.split_at(rest.iter().take_while(same).count());
        text.push_str(&line(check));
        rest = others;
    }
    text
}

fn line(check: &[Summary]) -> String {
    let first = &check[0];
    let found: Vec<String> = check.iter().map(found).collect();
    let mut bands: Vec<&str> = check.iter().map(|s| s.band.as_str()).collect();
    bands.dedup();
    let mut verdicts = [0; 3];
    for summary in check {
        for (sum, count) in verdicts.iter_mut().zip(summary.verdicts) {
            *sum += count;
        }
    }
    format!(
        "| {}: {} | {} | {} | {} | {} |\n",
        first.topic.replace('_', " "),
        first.set,
        first.source,
        found.join("; "),
        bands.join("; "),
        verdict(verdicts)
    )
}

/// `CT: 6.7, +26.1, +6.7 %`.
fn found(s: &Summary) -> String {
    let unit = if s.unit == "1" { String::new() } else { format!(" {}", s.unit) };
    let figures = [figure(s.mean, false), figure(s.worst, true), figure(s.bias, true)];
    format!("{}: {}{unit}", s.symbol, figures.join(", "))
}

/// Two digits: what is left out is smaller than any band.
fn figure(value: f64, signed: bool) -> String {
    let size = value.abs();
    let digits = match size {
        0.0 => "0".to_owned(),
        _ if size < 1e-2 => format!("{size:.0e}"),
        _ if size < 0.95 => format!("{size:.2}"),
        _ => format!("{size:.1}"),
    };
    let sign = match (signed && size > 0.0, value < 0.0) {
        (true, true) => "−",
        (true, false) => "+",
        _ => "",
    };
    format!("{sign}{digits}")
}

fn verdict(counts: [usize; 3]) -> String {
    let words = ["PASS", "KNOWN", "FAIL"];
    let some = counts.iter().zip(words).filter(|(count, _)| **count > 0);
    some.map(|(count, word)| format!("{count} {word}")).collect::<Vec<_>>().join(", ")
}

/// Whether a printed table still tells what the present one does: the same lines, words and verdicts, figures within a tenth,
/// or within half of the worst where they are rounding and truncation. Another machine's last digit and a gentle change of the
/// physics leave it valid; a row that is new, gone, or has another verdict does not.
///
/// # Errors
/// The first pair of lines that differ, printed and present.
pub fn same_table(printed: &str, present: &str) -> Result<(), String> {
    let lines = |text: &str| text.trim().lines().map(str::to_owned).collect::<Vec<_>>();
    let (printed, present) = (lines(printed), lines(present));
    let at = |lines: &[String], i: usize| lines.get(i).cloned().unwrap_or_default();
    for i in 0..printed.len().max(present.len()) {
        let (a, b) = (at(&printed, i), at(&present, i));
        if !same_line(&a, &b) {
            return Err(format!("printed: {a}\npresent: {b}"));
        }
    }
    Ok(())
}

/// Column that holds figures.
const FIGURES: usize = 3;

fn same_line(a: &str, b: &str) -> bool {
    let cells = |line: &str| line.split('|').map(|c| c.trim().to_owned()).collect::<Vec<_>>();
    let (a, b) = (cells(a), cells(b));
    a.len() == b.len()
        && a.iter()
            .zip(&b)
            .enumerate()
            .all(|(i, (a, b))| if i == FIGURES { same_found(a, b) } else { a == b })
}

fn same_found(a: &str, b: &str) -> bool {
    let (a, b): (Vec<&str>, Vec<&str>) = (a.split("; ").collect(), b.split("; ").collect());
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| same_quantity(a, b))
}

/// Figures below this, as a share or in their unit, are rounding or nearly so.
const ROUNDING: f64 = 2e-4;

/// Words are equal and figures near.
fn same_quantity(a: &str, b: &str) -> bool {
    let split = |text: &str| -> (Vec<f64>, Vec<String>) {
        // What stands before the last colon names the quantity.
        let (name, rest) = text.rsplit_once(": ").unwrap_or((text, ""));
        let mut words = vec![name.to_owned()];
        let mut figures = Vec::new();
        for word in rest.split_whitespace() {
            match number(word) {
                Some(value) => figures.push(value),
                None => words.push(word.to_owned()),
            }
        }
        (figures, words)
    };
    let ((x, words_x), (y, words_y)) = (split(a), split(b));
    let scale = x.iter().chain(&y).fold(0.0_f64, |most, v| most.max(v.abs()));
    let per_cent = words_x.last().is_some_and(|unit| unit == "%");
    let room = match scale {
        // Rounding: another machine has another, and the verdict says that it is small.
        _ if scale < if per_cent { 100.0 * ROUNDING } else { ROUNDING } => f64::INFINITY,
        _ if per_cent && scale > 0.5 => 0.1 * scale + 0.2,
        _ => 0.5 * scale,
    };
    words_x == words_y && x.len() == y.len() && x.iter().zip(&y).all(|(x, y)| (x - y).abs() <= room)
}

fn number(word: &str) -> Option<f64> {
    word.trim_end_matches(',').replace('−', "-").trim_start_matches('+').parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: &str =
        "| a: b | someone | C(3)/C(2): 4.1, −7.0, −2.0 %; x: 1e-3, +2e-3, +1e-3 | 8 % | 3 PASS |";

    #[test]
    fn last_digits_may_change_and_verdicts_may_not() {
        assert!(same_table(LINE, LINE).is_ok());
        assert!(same_table(LINE, &LINE.replace("7.0", "7.3")).is_ok());
        assert!(same_table(LINE, &LINE.replace("+1e-3", "+5e-4")).is_ok());
        assert!(same_table(LINE, &LINE.replace("+2e-3", "+2e-2")).is_err());
        assert!(same_table(LINE, &LINE.replace("7.0", "9.0")).is_err());
        assert!(same_table(LINE, &LINE.replace("C(3)", "C(4)")).is_err());
        assert!(same_table(LINE, &LINE.replace("3 PASS", "2 PASS, 1 FAIL")).is_err());
        assert!(same_table(LINE, &LINE.replace("someone", "nobody")).is_err());
        assert!(same_table(LINE, &format!("{LINE}\n{LINE}")).is_err());
    }
}
