//! The older counts of ASTM E1049-85(2017), sections 5.1 to 5.3.
//!
//! They lose which peak belongs to which valley; damage is taken from rainflow cycles. The time at level and the
//! comparison with old records use them.

use super::turning::turning_points;
use super::{Cycle, NotFinite, finite};

/// How often something happened at a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelCount {
    /// Level, unit of the history.
    pub level: f64,
    /// Count.
    pub count: f64,
}

/// Level crossings (5.1): rising ones at and above the reference, falling ones below it.
///
/// A level that a flank reaches exactly counts as crossed.
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite.
pub fn level_crossings(
    history: &[f64],
    levels: &[f64],
    reference: f64,
) -> Result<Vec<LevelCount>, NotFinite> {
    finite(history)?;
    let crossed = |level: f64| {
        let counts = |pair: &&[f64]| {
            let (from, to) = (pair[0], pair[1]);
            if level >= reference { from < level && to >= level } else { from > level && to <= level }
        };
        history.windows(2).filter(counts).count() as f64
    };
    Ok(levels.iter().map(|&level| LevelCount { level, count: crossed(level) }).collect())
}

/// Peaks above and valleys below the reference (5.2), by level, lowest first.
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite.
pub fn peak_counts(history: &[f64], reference: f64) -> Result<Vec<LevelCount>, NotFinite> {
    finite(history)?;
    let points = turning_points(history);
    let extreme = |triple: &[f64]| {
        let [before, here, after] = [triple[0], triple[1], triple[2]];
        let peak = here > before && here > after && here > reference;
        let valley = here < before && here < after && here < reference;
        (peak || valley).then_some(here)
    };
    let mut levels: Vec<f64> = points.windows(3).filter_map(extreme).collect();
    levels.sort_by(f64::total_cmp);
    let mut counts: Vec<LevelCount> = Vec::new();
    for level in levels {
        match counts.last_mut() {
            Some(last) if last.level == level => last.count += 1.0,
            _ => counts.push(LevelCount { level, count: 1.0 }),
        }
    }
    Ok(counts)
}

/// Simple ranges (5.2 of the standard's figure 4): every flank half a cycle, in order.
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite.
pub fn simple_ranges(history: &[f64]) -> Result<Vec<Cycle>, NotFinite> {
    finite(history)?;
    Ok(turning_points(history).windows(2).map(|pair| Cycle::between(pair[0], pair[1], 0.5)).collect())
}

/// Range pairs (5.3): a range counts once it is matched by one as large the other way; what is left is counted
/// backwards from the end.
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite.
pub fn range_pairs(history: &[f64]) -> Result<Vec<Cycle>, NotFinite> {
    finite(history)?;
    let mut cycles = Vec::new();
    let left = pair_up(turning_points(history).into_iter(), &mut cycles);
    pair_up(left.into_iter().rev(), &mut cycles);
    Ok(cycles)
}

/// Counts what is matched going this way; returns the points left over.
fn pair_up(points: impl Iterator<Item = f64>, cycles: &mut Vec<Cycle>) -> Vec<f64> {
    let mut stack = Vec::new();
    for point in points {
        stack.push(point);
        while let [.., first, second, third] = stack[..] {
            if (third - second).abs() < (second - first).abs() {
                break;
            }
            cycles.push(Cycle::between(first, second, 1.0));
            stack.truncate(stack.len() - 3);
            stack.push(third);
        }
    }
    stack
}
