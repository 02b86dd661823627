//! Cycles to failure at a range about a mean.

use super::{Cycle, MeanStress};

/// An S-N curve. Levels have the unit of the history it is used on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SnCurve {
    /// Basquin's line N = `cycles` (`range`/R)^`slope` of fully reversed cycles, R the range after correction for the mean.
    Power {
        /// Range (maximum minus minimum) at the reference, fully reversed.
        range: f64,
        /// Cycles to failure there.
        cycles: f64,
        /// Exponent m > 0.
        slope: f64,
        /// Range below which a cycle does nothing; 0 for none.
        endurance_range: f64,
        /// How the mean acts.
        mean: MeanStress,
    },
    /// log₁₀ N = A1 − A2 log₁₀(σeq − A4), σeq = σmax (1 − R)^A3: the form of MIL-HDBK-5 and its successor. Their
    /// constants are in ksi; levels here are those of the constants.
    Handbook {
        /// A1, A2, A3, A4.
        constants: [f64; 4],
    },
}

impl SnCurve {
    /// Cycles to failure at a range about a mean; infinite where a cycle does nothing, 0 where the first one breaks the part.
    #[must_use]
    pub fn cycles_to_failure(&self, range: f64, mean_level: f64) -> f64 {
        match *self {
            Self::Power { range: reference, cycles, slope, endurance_range, mean } => {
                let reversed = 2.0 * mean.reversed_amplitude(0.5 * range, mean_level);
                if reversed <= endurance_range || reversed == 0.0 {
                    return f64::INFINITY;
                }
                cycles * (reference / reversed).powf(slope)
            }
            Self::Handbook { constants: [a1, a2, a3, a4] } => {
                let highest = mean_level + 0.5 * range;
                if highest <= 0.0 {
                    return f64::INFINITY;
                }
                // σmax (1 − R) is the range, so that σeq needs no ratio.
                let equivalent = highest * (range / highest).powf(a3);
                if equivalent <= a4 {
                    return f64::INFINITY;
                }
                10_f64.powf(a1 - a2 * (equivalent - a4).log10())
            }
        }
    }

    /// Share of life that cycles use up.
    #[must_use]
    pub fn damage(&self, cycle: Cycle) -> f64 {
        if cycle.count == 0.0 { 0.0 } else { cycle.count / self.cycles_to_failure(cycle.range, cycle.mean) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reference_lies_on_the_line_and_half_the_range_lives_two_to_the_slope_longer() {
        let curve = SnCurve::Power {
            range: 30.0,
            cycles: 2e6,
            slope: 5.0,
            endurance_range: 4.0,
            mean: MeanStress::Ignored,
        };
        assert!((curve.cycles_to_failure(30.0, 7.0) / 2e6 - 1.0).abs() < 1e-15);
        assert!((curve.cycles_to_failure(15.0, 0.0) / 64e6 - 1.0).abs() < 1e-14);
        assert_eq!(curve.cycles_to_failure(4.0, 0.0), f64::INFINITY);
        assert_eq!(curve.damage(Cycle { range: 1.0, mean: 0.0, count: 1e9 }), 0.0);
    }
}
