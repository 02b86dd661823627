//! Rainflow counting by ASTM E1049-85(2017).
//!
//! X is the newest range, Y the one before it. While X ≥ Y, Y is counted: as half a cycle where it holds the start of the
//! history, whose first point then goes; else as a whole one, whose two points go. What is left at the end counts
//! half (section 5.4.4).
//!
//! A history that repeats itself (5.4.5) is turned round to start and end at its maximum; every range then closes
//! and counts as a whole cycle.

use super::turning::for_each_turning_point;
use super::{Cycle, NotFinite, finite};

/// The cycles of a history in the order of extraction (section 5.4.4).
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite.
///
/// # Examples
/// The example of the standard's Fig. 6:
/// ```
/// use wakebeat_postproc::counting::rainflow;
/// let cycles = rainflow(&[-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0])?;
/// let ranges: Vec<_> = cycles.iter().map(|c| (c.range, c.count)).collect();
/// assert_eq!(ranges, [(3.0, 0.5), (4.0, 0.5), (4.0, 1.0), (8.0, 0.5), (9.0, 0.5), (8.0, 0.5), (6.0, 0.5)]);
/// # Ok::<(), wakebeat_postproc::counting::NotFinite>(())
/// ```
pub fn rainflow(history: &[f64]) -> Result<Vec<Cycle>, NotFinite> {
    let mut cycles = Vec::new();
    rainflow_with(history, |cycle| cycles.push(cycle))?;
    Ok(cycles)
}

/// As [`rainflow`], handing each cycle on instead of storing it.
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite; then nothing is handed on.
pub fn rainflow_with(history: &[f64], mut take: impl FnMut(Cycle)) -> Result<(), NotFinite> {
    finite(history)?;
    let mut residue = Residue { points: Vec::with_capacity(64), start: 0 };
    for_each_turning_point(history, |point| residue.meet(point, &mut take));
    for pair in residue.points[residue.start..].windows(2) {
        take(Cycle::between(pair[0], pair[1], 0.5));
    }
    Ok(())
}

/// Points dropped from the front before their room is given back.
const SPARE: usize = 4096;

/// Turning points that are not counted yet.
struct Residue {
    points: Vec<f64>,
    /// Index of the start of the history as it still stands.
    start: usize,
}

impl Residue {
    /// Counts what the next turning point closes, then keeps it.
    fn meet(&mut self, point: f64, mut take: impl FnMut(Cycle)) {
        while let [.., first, second] = self.points[self.start..] {
            if (point - second).abs() < (second - first).abs() {
                break;
            }
            if self.points.len() - self.start == 2 {
                take(Cycle::between(first, second, 0.5));
                self.start += 1;
                break;
            }
            take(Cycle::between(first, second, 1.0));
            self.points.truncate(self.points.len() - 2);
        }
        if self.start == SPARE {
            self.points.drain(..SPARE);
            self.start = 0;
        }
        self.points.push(point);
    }
}

/// The cycles of one period of a history that repeats itself (section 5.4.5), all whole, in the order of extraction.
///
/// The period is closed by its first sample, which may or may not stand at its end too.
///
/// # Errors
/// [`NotFinite`] where a sample is NaN or infinite.
///
/// # Examples
/// One tone has one cycle a period:
/// ```
/// use wakebeat_postproc::counting::rainflow_repeating;
/// let cycles = rainflow_repeating(&[0.0, 2.0, 0.0, -2.0])?;
/// assert_eq!(cycles.len(), 1);
/// assert_eq!((cycles[0].range, cycles[0].mean, cycles[0].count), (4.0, 0.0, 1.0));
/// # Ok::<(), wakebeat_postproc::counting::NotFinite>(())
/// ```
pub fn rainflow_repeating(period: &[f64]) -> Result<Vec<Cycle>, NotFinite> {
    finite(period)?;
    let mut cycles = Vec::new();
    let mut stack: Vec<f64> = Vec::with_capacity(64);
    for_each_turning_point(&from_maximum(period), |point| {
        stack.push(point);
        while let [.., first, second, third] = stack[..] {
            if (third - second).abs() < (second - first).abs() {
                break;
            }
            // Nothing lies above the start, so even a range that holds it has come back to it: it is closed.
            cycles.push(Cycle::between(first, second, 1.0));
            drop_pair(&mut stack, third);
        }
    });
    Ok(cycles)
}

/// Drops the two points before the last.
fn drop_pair(stack: &mut Vec<f64>, last: f64) {
    let keep = stack.len() - 3;
    stack.truncate(keep);
    stack.push(last);
}

/// The period from its first maximum round to the same maximum.
fn from_maximum(period: &[f64]) -> Vec<f64> {
    let mut start = 0;
    for (index, value) in period.iter().enumerate() {
        if *value > period[start] {
            start = index;
        }
    }
    let (before, after) = period.split_at(start);
    after.iter().chain(before).chain(period.get(start)).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two points are half a cycle, one point or a constant none.
    #[test]
    fn short_histories() {
        assert!(rainflow(&[]).unwrap().is_empty());
        assert!(rainflow(&[3.0, 3.0, 3.0]).unwrap().is_empty());
        assert_eq!(rainflow(&[1.0, 4.0]).unwrap(), [Cycle { range: 3.0, mean: 2.5, count: 0.5 }]);
        assert!(rainflow_repeating(&[]).unwrap().is_empty());
        assert!(rainflow_repeating(&[3.0, 3.0]).unwrap().is_empty());
    }

    #[test]
    fn what_is_no_number_is_refused() {
        assert_eq!(rainflow(&[0.0, f64::NAN]).unwrap_err(), NotFinite { index: 1 });
        assert_eq!(rainflow_repeating(&[f64::INFINITY]).unwrap_err(), NotFinite { index: 0 });
    }

    /// Wherever the period starts, closed or not, the count is the same.
    #[test]
    fn a_period_may_start_anywhere() {
        let samples = 240;
        let signal: Vec<f64> = (0..samples)
            .map(|k| {
                let psi = f64::from(k) * std::f64::consts::TAU / f64::from(samples);
                3.0 + (psi - 0.3).cos() + 4.0 * (2.0 * psi).cos() + 2.0 * (4.0 * psi - 1.1).cos()
            })
            .collect();
        let sorted = |period: &[f64]| {
            let mut cycles = rainflow_repeating(period).unwrap();
            cycles.sort_by(|a, b| a.range.total_cmp(&b.range));
            cycles
        };
        let whole = sorted(&signal);
        for start in [1, 17, 120, 239] {
            let mut turned = signal.clone();
            turned.rotate_left(start);
            assert_eq!(sorted(&turned), whole);
            turned.push(turned[0]);
            assert_eq!(sorted(&turned), whole);
        }
        let largest = whole.last().unwrap().range;
        let highest = signal.iter().fold(f64::MIN, |a, b| a.max(*b));
        let lowest = signal.iter().fold(f64::MAX, |a, b| a.min(*b));
        assert_eq!(largest, highest - lowest);
    }
}
