//! The chordwise part of a gust, by Horlock's function.
//!
//! A flat plate at small incidence in a gust u₀ along the stream has L = 2πρbU u₀ α T(k), T = S + J₀ + iJ₁ (Horlock,
//! J. Basic Eng. 90, 1968, 494–500; form from memory, derived again: mid-chord reference). S belongs to the gust's part square to
//! the plate and passes through Küssner's lag like any other. J₀ + iJ₁ is the gust passing over the plate's steady
//! vorticity, γ ∝ √((1 − x)/(1 + x)): a memory of two semichords, with the step response
//!
//! g(s) = (θ + sin θ)/π, cos θ = 1 − s, for s = 0 to 2 semichords behind the leading edge.
//!
//! Range: thin flat sections at small lift, incompressible; camber needs a further function. Quasi-steady limit 1.

use crate::base::complex_lanes::ComplexLanes;
use crate::base::lanes::{LANES, Lanes};
use crate::base::turn::Turn;

/// Share of the plate's lift that feels a gust front s semichords behind the leading edge.
#[must_use]
pub fn plate_step_response(semichords: f64) -> f64 {
    let angle = (1.0 - semichords.clamp(0.0, 2.0)).acos();
    (angle + angle.sin()) / std::f64::consts::PI
}

/// How much of the velocity met at the leading edge each step back acts, at eight stations.
#[derive(Debug, Clone)]
pub struct PlateMemory {
    /// By lane, the present step first: the growth of the step response over the cell around each step (second order).
    weights: [Vec<f64>; LANES],
}

impl PlateMemory {
    /// For steps of `semichords` travelled.
    #[must_use]
    pub fn new(semichords: Lanes) -> Self {
        Self { weights: semichords.0.map(cell_weights) }
    }

    /// Lags a periodic velocity met at the leading edge, `from`; the lagged value goes to `to`.
    pub fn lag(&self, from: &[Lanes], to: &mut [Lanes]) {
        let count = from.len();
        for (lane, weights) in self.weights.iter().enumerate() {
            for (j, value) in to.iter_mut().enumerate() {
                let back = |m: usize| from[(j + count - m % count) % count].0[lane];
                value.0[lane] = weights.iter().enumerate().map(|(m, weight)| weight * back(m)).sum();
            }
        }
    }

    /// Lagged over present velocity for one that turns `order` times a revolution; `turn` as many steps as there are azimuths.
    #[must_use]
    pub fn answer(&self, turn: &Turn, order: usize) -> ComplexLanes {
        let mut answer = ComplexLanes::ZERO;
        for (lane, weights) in self.weights.iter().enumerate() {
            for (m, weight) in weights.iter().enumerate() {
                let (cos, sin) = turn[m * order % turn.len()];
                answer.re.0[lane] += weight * cos;
                answer.im.0[lane] -= weight * sin;
            }
        }
        answer
    }
}

/// Growth of the step response over the cell around each step back; the sum is 1.
fn cell_weights(step: f64) -> Vec<f64> {
    let edge = |m: usize| plate_step_response((m as f64 + 0.5) * step);
    let cells = (2.0 / step + 0.5).ceil() as usize;
    (0..=cells).map(|m| edge(m) - if m == 0 { 0.0 } else { edge(m - 1) }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn weights_sum_to_one_at_any_step() {
        for step in [0.01, 0.09, 0.7, 3.0] {
            assert_relative_eq!(cell_weights(step).iter().sum::<f64>(), 1.0, epsilon = 1e-14);
        }
        assert_eq!(plate_step_response(-1.0), 0.0);
        assert_eq!(plate_step_response(2.0), 1.0);
    }
}
