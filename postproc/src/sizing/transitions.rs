//! The few large cycles that tie the segments together.
//!
//! A flight is taken as the sequence: at rest, then for each segment its highest, lowest and highest level, then at rest again; as
//! flights follow each other it repeats. Of its rainflow cycles those of a segment's own highest and lowest level are left
//! out: they are counted with the revolutions. What remains pairs the highest peak of one segment with the lowest valley of
//! another, and the largest of all is the ground–air–ground cycle.

use crate::counting::{Cycle, NotFinite, rainflow_repeating};

/// Highest and lowest level of a segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Extremes {
    pub highest: f64,
    pub lowest: f64,
}

impl Extremes {
    /// Of a revolution.
    pub fn of(samples: &[f64]) -> Self {
        let highest = samples.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let lowest = samples.iter().copied().fold(f64::INFINITY, f64::min);
        Self { highest, lowest }
    }
}

/// Cycles of one flight beyond those of the revolutions. `sequence` holds indices into `extremes`.
pub(super) fn transitions(
    sequence: &[usize],
    extremes: &[Extremes],
    rest: f64,
) -> Result<Vec<Cycle>, NotFinite> {
    let flown = || sequence.iter().filter_map(|&segment| extremes.get(segment));
    let mut levels = vec![rest];
    levels.extend(flown().flat_map(|e| [e.highest, e.lowest, e.highest]));
    let mut cycles = rainflow_repeating(&levels)?;
    for own in flown().map(|e| Cycle::between(e.highest, e.lowest, 1.0)) {
        // The levels are the same numbers, so the cycle is the same to the bit.
        if let Some(index) = cycles.iter().position(|cycle| *cycle == own) {
            cycles.swap_remove(index);
        }
    }
    cycles.retain(|cycle| cycle.range > 0.0);
    cycles.sort_by(|a, b| b.range.total_cmp(&a.range));
    Ok(cycles)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranges(sequence: &[usize], levels: &[(f64, f64)]) -> Vec<f64> {
        let extremes: Vec<Extremes> =
            levels.iter().map(|&(lowest, highest)| Extremes { highest, lowest }).collect();
        transitions(sequence, &extremes, 0.0).unwrap().iter().map(|cycle| cycle.range).collect()
    }

    /// Up to the highest peak and back to rest, whatever lies between.
    #[test]
    fn a_simple_flight_has_one_ground_air_ground_cycle() {
        assert_eq!(ranges(&[0, 1, 2], &[(32.7, 48.9), (17.5, 26.6), (3.1, 9.6)]), [48.9]);
        assert_eq!(ranges(&[0], &[(-4.0, -1.0)]), [4.0]);
    }

    /// Two climbs with a descent between: the second climb closes a cycle with the valley of the descent.
    #[test]
    fn a_circuit_adds_a_cycle_between_segments() {
        assert_eq!(ranges(&[0, 1, 0, 1], &[(80.0, 100.0), (5.0, 9.0)]), [100.0, 95.0]);
    }

    #[test]
    fn loads_that_change_sign_span_rest() {
        assert_eq!(ranges(&[0, 1], &[(2.0, 6.0), (-3.0, -1.0)]), [9.0]);
    }

    #[test]
    fn a_load_that_stays_at_rest_has_no_cycle() {
        assert!(ranges(&[0], &[(0.0, 0.0)]).is_empty());
    }
}
