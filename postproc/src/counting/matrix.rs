//! The range–mean matrix of a count.

use super::Cycle;

/// Cycles by range and mean, in equal steps.
///
/// A cycle on the edge of two bins belongs to the upper one; the last bin holds its upper edge too.
#[derive(Debug, Clone, PartialEq)]
pub struct RangeMeanMatrix {
    /// Edges of the range bins, rising from 0, one more than bins; unit of the history.
    pub range_edges: Vec<f64>,
    /// Edges of the mean bins, rising, one more than bins; unit of the history.
    pub mean_edges: Vec<f64>,
    /// Cycles at `[range bin * mean bins + mean bin]`.
    pub cycles: Vec<f64>,
}

impl RangeMeanMatrix {
    /// Sorts cycles into bins that just hold them all; without cycles one bin of width 1 about zero.
    #[must_use]
    pub fn of(cycles: &[Cycle], range_bins: usize, mean_bins: usize) -> Self {
        let largest = cycles.iter().fold(0.0_f64, |most, cycle| most.max(cycle.range));
        let lowest = cycles.iter().fold(f64::INFINITY, |least, cycle| least.min(cycle.mean));
        let highest = cycles.iter().fold(f64::NEG_INFINITY, |most, cycle| most.max(cycle.mean));
        let mut matrix = Self {
            range_edges: edges(0.0, largest, range_bins.max(1)),
            mean_edges: edges(lowest, highest, mean_bins.max(1)),
            cycles: vec![0.0; range_bins.max(1) * mean_bins.max(1)],
        };
        for cycle in cycles {
            let row = bin(&matrix.range_edges, cycle.range);
            let column = bin(&matrix.mean_edges, cycle.mean);
            matrix.cycles[row * mean_bins.max(1) + column] += cycle.count;
        }
        matrix
    }

    /// All cycles.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.cycles.iter().sum()
    }
}

/// Equal steps; an interval without width is widened about its middle.
fn edges(low: f64, high: f64, bins: usize) -> Vec<f64> {
    let (low, high) = match (low.is_finite() && high.is_finite(), high > low) {
        (true, true) => (low, high),
        (true, false) if low == 0.0 => (0.0, 1.0),
        (true, false) => (low - 0.5 * low.abs(), low + 0.5 * low.abs()),
        (false, _) => (-0.5, 0.5),
    };
    (0..=bins).map(|k| low + (high - low) * k as f64 / bins as f64).collect()
}

fn bin(edges: &[f64], value: f64) -> usize {
    edges.partition_point(|edge| *edge <= value).saturating_sub(1).min(edges.len() - 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cycle_is_in_one_bin() {
        let cycles: Vec<Cycle> =
            (1..=20).map(|k| Cycle { range: f64::from(k), mean: f64::from(k % 7), count: 0.5 }).collect();
        let matrix = RangeMeanMatrix::of(&cycles, 8, 5);
        assert_eq!(matrix.total(), 10.0);
        assert_eq!((matrix.range_edges.len(), matrix.mean_edges.len()), (9, 6));
        assert_eq!(matrix.range_edges[8], 20.0);
        // Range 20 with mean 6 stands in the last bin of both.
        assert!(matrix.cycles[7 * 5 + 4] >= 0.5);
    }

    #[test]
    fn equal_means_and_no_cycles_have_a_matrix() {
        let one = RangeMeanMatrix::of(&[Cycle { range: 2.0, mean: -3.0, count: 4.0 }], 4, 4);
        assert_eq!(one.total(), 4.0);
        assert!(one.mean_edges[0] < -3.0 && one.mean_edges[4] > -3.0);
        let none = RangeMeanMatrix::of(&[], 3, 3);
        assert_eq!(none.total(), 0.0);
        assert!(none.range_edges.windows(2).all(|pair| pair[1] > pair[0]));
    }
}
