//! `wakebeat validate`: published results against the engine.

use std::process::ExitCode;
use std::sync::atomic::{AtomicUsize, Ordering};

use serde_json::{Value, json};
use wakebeat_postproc::{Folder, PictureFormat};
use wakebeat_validation::plot;
use wakebeat_validation::table::{
    Fineness, Judged, Moved, Pattern, Summary, Table, Verdict, convergence, held_against, markdown, run,
    summaries,
};
use wakebeat_validation::topics;

use crate::args::ValidateArgs;
use crate::failure::Failure;
use crate::output::{Output, indented};
use crate::table::plain;

/// A check that failed.
const CHECK_FAILED: u8 = 1;

/// Largest movement of a row when stations and azimuths double, over its band.
const MOST_MOVEMENT: f64 = 0.1;

/// Computes the rows that are asked for, prints them, and tells by the exit code whether they hold.
///
/// # Errors
/// When nothing fits the pattern, or a picture cannot be written.
pub fn validate(args: &ValidateArgs, output: Output) -> Result<ExitCode, Failure> {
    let checks = topics::checks();
    let only = args.only.as_deref().map(Pattern::new);
    let compute = |fineness| {
        let shown = AtomicUsize::new(0);
        run(&checks, only.as_ref(), fineness, &|done, of, name| {
            // Ends may be told out of order by neighbouring threads.
            if shown.fetch_max(done, Ordering::Relaxed) < done {
                output.progress(&format!("{done} of {of} checks: {name}"));
            }
        })
    };
    let table = compute(Fineness(1));
    if table.rows.is_empty() {
        output.progress_done();
        return Err(Failure::NothingToValidate {
            pattern: args.only.clone().unwrap_or_default(),
            topics: topics_of(&checks),
        });
    }
    let moved = if args.convergence { Some(convergence(&table, &compute(Fineness(2)))) } else { None };
    output.progress_done();
    if let Some(dir) = &args.plot {
        let pictures = plot::draw(&table, Folder { path: dir, force: args.force }, PictureFormat::Png)?;
        output.hint(&format!("{} pictures in {}", pictures.len(), dir.display()));
    }
    if args.markdown {
        output.data(markdown(&table).trim_end())?;
    } else {
        output.answer(|| text(&table, moved.as_deref()), || to_json(&table, moved.as_deref()))?;
    }
    let unsettled = moved.is_some_and(|m| m.iter().any(|row| row.share_of_band > MOST_MOVEMENT));
    Ok(if table.failed(args.strict) || unsettled { ExitCode::from(CHECK_FAILED) } else { ExitCode::SUCCESS })
}

fn topics_of(checks: &[wakebeat_validation::table::Check]) -> String {
    let mut names: Vec<&str> = checks.iter().map(|check| check.topic).collect();
    names.dedup();
    names.join(", ")
}

fn text(table: &Table, moved: Option<&[Moved]>) -> String {
    let mut text = String::new();
    let mut rest = table.rows.as_slice();
    while let Some(first) = rest.first() {
        let same = |row: &Judged| (row.topic, &row.set) == (first.topic, &first.set);
        let (set, others) = rest.split_at(rest.iter().take_while(|row| same(row)).count());
        text.push_str(&set_text(set));
        rest = others;
    }
    text.push_str(&known_text(table));
    text.push_str(&summary_text(table));
    if let Some(moved) = moved {
        text.push_str(&convergence_text(moved));
    }
    text.push_str(&verdict_text(table));
    text
}

/// Rows of one check: what and whose, what sets the bands, the comparisons.
fn set_text(rows: &[Judged]) -> String {
    let first = &rows[0];
    let mut reasons: Vec<String> = Vec::new();
    let mut lines = Vec::new();
    for row in rows {
        let reason = row.row.band_from.to_string();
        let number = reasons.iter().position(|r| *r == reason).unwrap_or_else(|| {
            reasons.push(reason);
            reasons.len() - 1
        });
        lines.push(line(row, number));
    }
    let other = if held_against(rows) { "held against" } else { "published" };
    let heading = ["quantity", other, "ours", "difference", "band", "set by", "verdict"];
    let table = plain(heading.map(str::to_owned).to_vec(), lines, 1..4);
    let set_by = reasons.iter().enumerate().map(|(i, reason)| format!("({}) {reason}", i + 1));
    let about = format!("source: {}\nband set by: {}", first.source, set_by.collect::<Vec<_>>().join("; "));
    let failed =
        rows.iter().filter_map(|row| row.no_answer.as_ref().map(|why| format!("no answer: {why}\n")));
    format!(
        "{}: {}\n{}\n{table}\n{}\n",
        first.topic.replace('_', " "),
        first.set,
        indented("", &about),
        failed.collect::<String>()
    )
}

/// A line of the table; a curve shows the point that uses most of its band.
fn line(row: &Judged, reason: usize) -> Vec<String> {
    let worst = row.row.worst();
    let place = match row.row.along {
        "" => String::new(),
        along => format!(" at {} {}", along_name(along), figure(worst.at)),
    };
    let unit = if row.row.unit == "1" { String::new() } else { format!(", {}", row.row.unit) };
    vec![
        format!("{}{unit}{place}", row.row.quantity),
        figure(worst.published),
        figure(worst.ours),
        difference(row),
        row.row.band.words("1"),
        format!("({})", reason + 1),
        verdict_word(row),
    ]
}

/// The letter or word a curve runs along, without its unit.
fn along_name(along: &str) -> &str {
    let name = along.split(',').next().unwrap_or(along);
    name.rsplit(' ').next().filter(|last| last.chars().count() == 1).unwrap_or(name)
}

fn verdict_word(row: &Judged) -> String {
    if row.passes_though_known() { "PASS, listed as KNOWN".to_owned() } else { row.verdict.word().to_owned() }
}

fn difference(row: &Judged) -> String {
    let worst = row.row.worst();
    let apart = worst.ours - worst.published;
    if row.row.band.in_per_cent() {
        format!("{:+.2} %", 100.0 * apart / worst.published.abs())
    } else {
        let sign = if apart >= 0.0 { "+" } else { "-" };
        format!("{sign}{}", figure(apart.abs()))
    }
}

/// Four digits.
fn figure(value: f64) -> String {
    let size = value.abs();
    match size {
        _ if value.is_nan() => "none".to_owned(),
        0.0 => "0".to_owned(),
        _ if !(1e-3..1e5).contains(&size) => format!("{value:.2e}"),
        _ => {
            let digits = (3 - size.log10().floor() as i32).max(0) as usize;
            format!("{value:.digits$}")
        }
    }
}

fn known_text(table: &Table) -> String {
    let mut seen: Vec<&str> = Vec::new();
    let mut text = String::new();
    for known in table.rows.iter().filter_map(|row| row.known) {
        if !seen.contains(&known.rows) {
            seen.push(known.rows);
            let words = format!("{} ({}): {} {}", known.rows, known.date, known.figure, known.physics);
            text.push_str(&indented("", &words));
            text.push('\n');
        }
    }
    if text.is_empty() { text } else { format!("known failures\n{}\n{text}\n", "-".repeat(14)) }
}

fn summary_text(table: &Table) -> String {
    let lines = summaries(table).iter().map(summary_line).collect::<Vec<_>>();
    let heading = ["set", "quantity", "points", "mean", "worst", "bias", "pass", "known", "fail"];
    format!("{}\n", plain(heading.map(str::to_owned).to_vec(), lines, 2..9))
}

fn summary_line(s: &Summary) -> Vec<String> {
    let shown = |value: f64, signed: bool| {
        let sign = if signed && value > 0.0 { "+" } else { "" };
        match s.unit {
            "%" => format!("{sign}{value:.2} %"),
            "1" => format!("{sign}{}", figure(value)),
            unit => format!("{sign}{} {unit}", figure(value)),
        }
    };
    let set = format!("{}: {}", s.topic.replace('_', " "), s.set);
    let mut cells = vec![set, s.symbol.to_owned(), s.points.to_string()];
    cells.extend([shown(s.mean, false), shown(s.worst, true), shown(s.bias, true)]);
    cells.extend(s.verdicts.iter().map(ToString::to_string));
    cells
}

fn convergence_text(moved: &[Moved]) -> String {
    let far: Vec<_> = moved.iter().filter(|row| row.share_of_band > MOST_MOVEMENT).collect();
    let settled = moved.len() - far.len();
    let mut text = format!(
        "twice the stations and azimuths: {settled} of {} rows move by less than a tenth of their band\n",
        moved.len()
    );
    for row in far {
        text.push_str(&format!(
            "  {} moves by {:.0} % of its band at {}\n",
            row.name,
            100.0 * row.share_of_band,
            figure(row.at)
        ));
    }
    text.push('\n');
    text
}

fn verdict_text(table: &Table) -> String {
    let counts = [Verdict::Pass, Verdict::Known, Verdict::Fail]
        .map(|verdict| format!("{} {}", table.count(verdict), verdict.word()));
    let mut text = format!("{} rows: {}", table.rows.len(), counts.join(", "));
    if table.rows.iter().any(Judged::passes_though_known) {
        text.push_str("\na row that is listed as a known failure passes: take it off the list");
    }
    if table.too_many_known() {
        text.push_str("\nmore than one row in ten is listed as a known failure");
    }
    text
}

fn to_json(table: &Table, moved: Option<&[Moved]>) -> Value {
    let rows: Vec<Value> = table.rows.iter().map(row_json).collect();
    let sets: Vec<Value> = summaries(table)
        .iter()
        .map(|s| {
            json!({
                "topic": s.topic, "set": s.set, "source": s.source, "quantity": s.symbol, "unit": s.unit,
                "points": s.points, "mean": s.mean, "worst": s.worst, "bias": s.bias,
                "pass": s.verdicts[0], "known": s.verdicts[1], "fail": s.verdicts[2],
            })
        })
        .collect();
    let mut all = json!({
        "rows": rows,
        "sets": sets,
        "pass": table.count(Verdict::Pass),
        "known": table.count(Verdict::Known),
        "fail": table.count(Verdict::Fail),
    });
    if let Some(moved) = moved {
        all["convergence"] = moved
            .iter()
            .map(|row| json!({ "row": row.name, "share_of_band": row.share_of_band, "at": row.at }))
            .collect();
    }
    all
}

fn row_json(row: &Judged) -> Value {
    let worst = row.row.worst();
    let points: Vec<Value> = row
        .row
        .points
        .iter()
        .map(|p| json!({ "at": p.at, "published": p.published, "ours": p.ours, "judged": p.judged }))
        .collect();
    let known = row.known.map(|k| json!({ "physics": k.physics, "figure": k.figure, "date": k.date }));
    json!({
        "check": format!("{}/{}", row.topic, row.set),
        "source": row.source,
        "quantity": row.row.quantity,
        "unit": row.row.unit,
        "at": worst.at,
        "along": row.row.along,
        "published": worst.published,
        "ours": worst.ours,
        "difference": worst.ours - worst.published,
        "band": row.row.band.words(row.row.unit),
        "band_used": row.row.used(),
        "band_set_by": row.row.band_from,
        "verdict": row.verdict.word(),
        "known": known,
        "no_answer": row.no_answer,
        "points": points,
    })
}
