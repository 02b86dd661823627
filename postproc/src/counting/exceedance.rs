//! The exceedance curve of a count.

use super::Cycle;

/// One step of an exceedance curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExceedanceStep {
    /// Range, unit of the history.
    pub range: f64,
    /// Cycles of this range or a larger one.
    pub cycles: f64,
}

/// Cycles at or above each range that occurs, largest range first; equal ranges are one step.
#[must_use]
pub fn exceedance(cycles: &[Cycle]) -> Vec<ExceedanceStep> {
    let mut sorted = cycles.to_vec();
    sorted.sort_by(|a, b| b.range.total_cmp(&a.range));
    let mut steps: Vec<ExceedanceStep> = Vec::new();
    let mut total = 0.0;
    for cycle in sorted {
        total += cycle.count;
        match steps.last_mut() {
            Some(last) if last.range == cycle.range => last.cycles = total,
            _ => steps.push(ExceedanceStep { range: cycle.range, cycles: total }),
        }
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_add_up_from_the_largest_range() {
        let cycle = |range, count| Cycle { range, mean: 0.0, count };
        let steps = exceedance(&[cycle(2.0, 10.0), cycle(5.0, 1.0), cycle(2.0, 5.0), cycle(1.0, 100.0)]);
        let pairs: Vec<_> = steps.iter().map(|s| (s.range, s.cycles)).collect();
        assert_eq!(pairs, [(5.0, 1.0), (2.0, 16.0), (1.0, 116.0)]);
    }
}
