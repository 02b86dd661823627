//! What cycles add up to: damage-equivalent range and Miner's sum.

use super::{Cycle, SnCurve};

/// Σ n Rᵐ, unit of the history to the m.
#[must_use]
pub fn range_sum(cycles: &[Cycle], exponent: f64) -> f64 {
    cycles.iter().map(|cycle| cycle.count * cycle.range.powf(exponent)).sum()
}

/// Damage-equivalent range (Σ n Rᵐ / N)^(1/m): the range that, N times, does on a line of slope m what the cycles do together.
#[must_use]
pub fn equivalent_range(cycles: &[Cycle], exponent: f64, equivalent_cycles: f64) -> f64 {
    (range_sum(cycles, exponent) / equivalent_cycles).powf(1.0 / exponent)
}

/// Miner's sum Σ n/N; failure is expected near 1. The order of loads and what lies below the endurance range once a
/// crack runs are not in it; sums at failure of 0.3 to 3 are common.
#[must_use]
pub fn miner_damage(cycles: &[Cycle], curve: &SnCurve) -> f64 {
    cycles.iter().map(|cycle| curve.damage(*cycle)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// n (2A)^m of one tone, and the range itself at its own count.
    #[test]
    fn one_tone_is_its_own_equivalent() {
        let tone = [Cycle { range: 10.0, mean: 3.0, count: 3e5 }];
        assert_eq!(range_sum(&tone, 3.0), 3e8);
        assert!((equivalent_range(&tone, 5.0, 3e5) - 10.0).abs() < 1e-13);
        assert_eq!(equivalent_range(&[], 5.0, 1e6), 0.0);
    }
}
