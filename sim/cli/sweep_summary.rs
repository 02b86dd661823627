//! What `sweep` and `merge` say of a sweep: one screen of text, or JSON.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::{Value, json};
use wakebeat_engine::record::{RecordError, SweepRecord};
use wakebeat_engine::study::{Axis, Grid, PointStatus};

use crate::numbers::{given, significant};
use crate::output::indented;
use crate::summary::CAUTION;
use crate::table;

/// Reasons shown of points without an answer.
const MOST_REASONS: usize = 5;

/// Significant digits of a load.
const DIGITS: usize = 3;

/// A sweep and the file it is in.
pub struct SweepSummary<'a> {
    record: &'a SweepRecord,
    file: &'a Path,
    thrust_n: Vec<f64>,
    thrust_np_n: Vec<f64>,
    warnings: Vec<(String, usize)>,
}

impl<'a> SweepSummary<'a> {
    /// Reads what is shown.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn new(record: &'a SweepRecord, file: &'a Path) -> Result<Self, RecordError> {
        // Where no point has an answer there is no summary.
        let answered = record.status.contains(&PointStatus::Computed);
        let scalar = |name: &str| if answered { record.summary(name) } else { Ok(Vec::new()) };
        let count = |(name, set): (String, Vec<u8>)| (name, set.iter().filter(|set| **set != 0).count());
        Ok(Self {
            thrust_n: scalar("thrust_n")?,
            thrust_np_n: scalar("thrust_np_n")?,
            warnings: record.warnings()?.into_iter().map(count).collect(),
            record,
            file,
        })
    }

    /// One screen of text.
    pub fn text(&self) -> String {
        let mut parts = vec![self.grid_line(), axis_table(&self.record.grid.axes), self.count_line()];
        parts.extend(self.extremes());
        parts.extend(self.reasons());
        parts.extend(self.warning_lines());
        parts.push(format!("result file: {}\n{CAUTION}", self.file.display()));
        parts.join("\n\n")
    }

    /// Counts, extremes and reasons for scripts.
    pub fn json(&self) -> Value {
        let axes: Vec<Value> = self
            .record
            .grid
            .axes
            .iter()
            .map(|axis| json!({ "name": axis.name, "key": axis.key, "unit": axis.unit, "count": axis.values.len() }))
            .collect();
        let statuses: BTreeMap<&str, usize> =
            PointStatus::ALL.into_iter().map(|status| (status.word(), self.count(status))).collect();
        let point = |at: Option<usize>| {
            at.map(|at| json!({ "thrust_np_n": self.thrust_np_n[at], "thrust_n": self.thrust_n[at], "point": self.values(at) }))
        };
        let reasons: Vec<Value> = self
            .reason_counts()
            .into_iter()
            .map(|(reason, count)| json!({ "points": count, "reason": reason }))
            .collect();
        json!({
            "file": self.file.display().to_string(),
            "shard": self.record.shard.to_string(),
            "points": self.record.status.len(),
            "status": statuses,
            "axes": axes,
            "least_thrust_np": point(self.extreme(|a, b| a < b)),
            "greatest_thrust_np": point(self.extreme(|a, b| a > b)),
            "without_answer": reasons,
            "warnings": self.warnings.iter().map(|(name, count)| json!({ "name": name, "points": count })).collect::<Vec<_>>(),
            "caution": CAUTION,
        })
    }

    fn grid_line(&self) -> String {
        let mut line = grid_line(&self.record.grid);
        if !self.record.shard.is_whole() {
            line.push_str(&format!(", shard {} of it", self.record.shard));
        }
        line
    }

    fn count(&self, status: PointStatus) -> usize {
        self.record.status.iter().filter(|s| **s == status).count()
    }

    fn count_line(&self) -> String {
        let computed = self.count(PointStatus::Computed);
        let failed = self.record.status.len() - computed;
        match failed {
            0 => format!("{computed} points computed"),
            _ => format!("{computed} points computed, {failed} without answer"),
        }
    }

    /// The point with the least, or greatest, NP thrust; the first of equals.
    fn extreme(&self, better: impl Fn(f64, f64) -> bool) -> Option<usize> {
        let known = |at: &usize| self.thrust_np_n[*at].is_finite();
        (0..self.thrust_np_n.len())
            .filter(known)
            .reduce(|best, at| if better(self.thrust_np_n[at], self.thrust_np_n[best]) { at } else { best })
    }

    fn values(&self, at: usize) -> BTreeMap<String, Value> {
        let grid = &self.record.grid;
        let subscripts = grid.subscripts(self.record.first_point() + at);
        let value = |axis: &Axis| {
            let i = subscripts[axis.dimension];
            axis.values.number(i).map_or_else(|| json!(axis.values.text(i)), |number| json!(number))
        };
        grid.axes.iter().map(|axis| (axis.key.clone(), value(axis))).collect()
    }

    fn extremes(&self) -> Option<String> {
        let (least, greatest) = (self.extreme(|a, b| a < b)?, self.extreme(|a, b| a > b)?);
        let line = |word: &str, at: usize| {
            let text = format!(
                "{word} NP thrust {} N ({} N mean) at {}",
                significant(self.thrust_np_n[at], DIGITS),
                significant(self.thrust_n[at], DIGITS),
                self.record.grid.describe(self.record.first_point() + at)
            );
            indented("", &text)
        };
        Some(format!("{}\n{}", line("least", least), line("greatest", greatest)))
    }

    /// Reasons why points have no answer, each by its first point, the most frequent first. Reasons that differ only in
    /// their numbers count as one.
    fn reason_counts(&self) -> Vec<(&str, usize)> {
        let mut counts: Vec<(&str, usize)> = Vec::new();
        let mut places: BTreeMap<String, usize> = BTreeMap::new();
        for message in self.record.message.iter().filter_map(|message| message.lines().next()) {
            let words = message.chars().filter(|c| !c.is_ascii_digit()).collect();
            let at = *places.entry(words).or_insert(counts.len());
            if at == counts.len() {
                counts.push((message, 0));
            }
            counts[at].1 += 1;
        }
        counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        counts
    }

    fn reasons(&self) -> Option<String> {
        let counts = self.reason_counts();
        let shown = counts.iter().take(MOST_REASONS);
        let mut lines: Vec<String> =
            shown.map(|(reason, count)| indented("", &format!("{count} without answer: {reason}"))).collect();
        if counts.len() > MOST_REASONS {
            lines.push(format!("{} more reasons: /message in the file", counts.len() - MOST_REASONS));
        }
        (!lines.is_empty()).then(|| lines.join("\n"))
    }

    fn warning_lines(&self) -> Option<String> {
        let one = |(name, count): &(String, usize)| format!("{name} ({count})");
        let all: Vec<String> = self.warnings.iter().map(one).collect();
        (!all.is_empty())
            .then(|| indented("", &format!("warnings, with the number of points: {}", all.join(", "))))
    }
}

/// Size of a grid in words.
pub fn grid_line(grid: &Grid) -> String {
    let sizes: Vec<String> = grid.shape.iter().map(usize::to_string).collect();
    match sizes.len() {
        1 => format!("grid of {} points", grid.points()),
        _ => format!("grid of {} = {} points", sizes.join(" x "), grid.points()),
    }
}

/// One line an axis.
pub fn axis_table(axes: &[Axis]) -> String {
    let row = |axis: &Axis| {
        let last = axis.values.len().saturating_sub(1);
        let shown = |i| axis.values.number(i).map_or_else(|| axis.values.text(i), given);
        let paired = if axis.leads {
            String::new()
        } else {
            let leader = axes.iter().find(|other| other.leads && other.dimension == axis.dimension);
            leader.map_or_else(String::new, |leader| format!("with {}", leader.key))
        };
        let unit = if axis.unit == "1" { String::new() } else { axis.unit.clone() };
        vec![axis.key.clone(), axis.values.len().to_string(), shown(0), shown(last), unit, paired]
    };
    let heading = ["axis", "values", "first", "last", "unit", "paired"].map(str::to_owned).to_vec();
    table::plain(heading, axes.iter().map(row).collect(), 1..4)
}
