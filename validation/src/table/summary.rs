//! Mean, worst and bias of each set.

use super::row::Text;
use super::run::{Judged, Table, Verdict};

/// Statistics of one quantity over one set. Differences are ours minus published, in per cent of the published value or in
/// the quantity's unit, as its band is stated.
#[derive(Debug, Clone)]
pub struct Summary {
    /// Topic of the set.
    pub topic: &'static str,
    /// The set.
    pub set: Text,
    /// Who published it.
    pub source: &'static str,
    /// The quantity.
    pub symbol: &'static str,
    /// `%`, or the unit of the quantity.
    pub unit: &'static str,
    /// Comparisons that count.
    pub points: usize,
    /// Mean size of the difference.
    pub mean: f64,
    /// Difference of largest size, with its sign.
    pub worst: f64,
    /// Mean difference.
    pub bias: f64,
    /// The band of the first row, in words.
    pub band: String,
    /// Rows by verdict: PASS, KNOWN, FAIL.
    pub verdicts: [usize; 3],
}

/// The statistics, in the order of the table.
#[must_use]
pub fn summaries(table: &Table) -> Vec<Summary> {
    let mut groups: Vec<Vec<&Judged>> = Vec::new();
    for row in &table.rows {
        let same = |group: &&mut Vec<&Judged>| {
            let first = group[0];
            (first.topic, &first.set, first.row.symbol, first.row.band.in_per_cent())
                == (row.topic, &row.set, row.row.symbol, row.row.band.in_per_cent())
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(row),
            None => groups.push(vec![row]),
        }
    }
    groups.iter().map(|group| summary(group)).collect()
}

fn summary(group: &[&Judged]) -> Summary {
    let first = group[0];
    let per_cent = first.row.band.in_per_cent();
    let differences: Vec<f64> = group
        .iter()
        .flat_map(|row| row.row.judged())
        .map(|p| {
            let apart = p.ours - p.published;
            if per_cent { 100.0 * apart / p.published.abs() } else { apart }
        })
        .collect();
    let count = differences.len().max(1) as f64;
    let larger = |a: f64, b: f64| if b.is_nan() || b.abs() > a.abs() { b } else { a };
    let of = |verdict| group.iter().filter(|row| row.verdict == verdict).count();
    Summary {
        topic: first.topic,
        set: first.set.clone(),
        source: first.source,
        symbol: first.row.symbol,
        unit: if per_cent { "%" } else { first.row.unit },
        points: differences.len(),
        mean: differences.iter().map(|d| d.abs()).sum::<f64>() / count,
        worst: differences.iter().copied().fold(0.0, larger),
        bias: differences.iter().sum::<f64>() / count,
        band: first.row.band.words(first.row.unit),
        verdicts: [Verdict::Pass, Verdict::Known, Verdict::Fail].map(of),
    }
}
