//! Indicial lift functions as sums of exponentials.
//!
//! ψ(s) or φ(s) = 1 − Σ Aᵢ exp(−bᵢ s), s the distance travelled in semichords. The published
//! two-term forms (Jones, NACA Report 681, 1940; Sears and Sparks 1941) are within 2 % for Wagner but
//! miss Küssner's square-root start by half below s = 1. Here the weights Aᵢ are the least-squares fit, at rates bᵢ = b₀ 3ⁱ,
//! to the exact frequency responses
//!
//! C(k) = H₁/(H₁ + iH₀) (Theodorsen, NACA Report 496, 1935) and
//! `S_LE(k)` = [C (J₀ − iJ₁) + iJ₁] e^(−ik) (Sears, J. Aeronaut. Sci. 8, 1941, 104–108; phase at the leading edge),
//!
//! made by `validation/fits/indicial_exponentials.py`; nothing is fitted to measurements. Largest relative error for
//! k = 0.01 to 6: Küssner 1.6e-3, Wagner 6e-4. Incompressible thin section, attached flow;
//! compressibility enters the gust response as kM/β², small below 0.4.

/// Number of states of the gust lag.
pub const GUST_STATES: usize = 9;
/// Number of states of the motion lag.
pub const MOTION_STATES: usize = 8;
/// Ratio of neighbouring rates: each decay factor is the cube of the slower one.
pub const RATE_RATIO: f64 = 3.0;

/// One indicial function: the slowest rate per semichord and the weights, slowest first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Indicial<const STATES: usize> {
    /// b₀, per semichord travelled.
    pub slowest_rate: f64,
    /// Aᵢ.
    pub weights: [f64; STATES],
}

/// Küssner: a sharp-edged gust reaching the leading edge at s = 0; ψ(0) = 0.
pub const KUSSNER: Indicial<GUST_STATES> = Indicial {
    slowest_rate: 0.00578,
    weights: [
        0.012_840_879_354,
        0.020_497_867_124,
        0.081_767_516_876,
        0.301_999_298_598, // carries the rounding of the others, so that the sum is exactly 1
        0.292_483_166_159,
        0.122_435_975_596,
        0.082_602_158_974,
        0.008_281_470_42,
        0.077_091_666_899,
    ],
};

/// Wagner: a step of incidence at s = 0; φ(0) = 1/2.
pub const WAGNER: Indicial<MOTION_STATES> = Indicial {
    slowest_rate: 0.00279,
    weights: [
        0.005_376_539_57,
        0.010_700_904_253,
        0.028_594_141_73,
        0.132_662_996_482,
        0.239_316_791_796, // carries the rounding of the others, so that the sum is exactly 1/2
        0.082_071_912_687,
        0.000_258_709_771,
        0.001_018_003_711,
    ],
};

impl<const STATES: usize> Indicial<STATES> {
    /// Rate of each state, per semichord.
    #[must_use]
    pub fn rates(&self) -> [f64; STATES] {
        let mut rate = self.slowest_rate / RATE_RATIO;
        std::array::from_fn(|_| {
            rate *= RATE_RATIO;
            rate
        })
    }

    /// Response to a unit step after s semichords.
    #[must_use]
    pub fn step_response(&self, semichords: f64) -> f64 {
        1.0 - self.weights.iter().zip(self.rates()).map(|(a, b)| a * (-b * semichords).exp()).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn starts_at_nothing_or_half_and_ends_at_one() {
        assert_relative_eq!(KUSSNER.step_response(0.0), 0.0, epsilon = 1e-10);
        assert_relative_eq!(WAGNER.step_response(0.0), 0.5, epsilon = 1e-10);
        assert_relative_eq!(KUSSNER.step_response(1e5), 1.0, epsilon = 1e-12);
        assert_relative_eq!(WAGNER.step_response(1e5), 1.0, epsilon = 1e-12);
    }
}
