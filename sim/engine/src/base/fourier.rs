//! Periodic signals on an even azimuth grid.

use std::sync::Arc;

use realfft::num_complex::Complex64;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use super::kept::Kept;
use crate::point::result::Harmonics;

/// Grid sizes whose transforms are kept.
const KEPT: usize = 8;

static TRANSFORMS: Kept<Fourier> = Kept::new(KEPT);

/// Forward and inverse transforms for one grid size.
#[derive(Clone)]
pub struct Fourier {
    length: usize,
    forward: Arc<dyn RealToComplex<f64>>,
    inverse: Arc<dyn ComplexToReal<f64>>,
}

impl Fourier {
    /// Transforms for `length` samples of one revolution; planned once for each count and shared.
    #[must_use]
    pub fn new(length: usize) -> Self {
        TRANSFORMS.of(length, || {
            let mut planner = RealFftPlanner::new();
            Self {
                length,
                forward: planner.plan_fft_forward(length),
                inverse: planner.plan_fft_inverse(length),
            }
        })
    }

    /// Coefficients of a signal: orders 0 to A/2.
    #[must_use]
    pub fn kept(&self) -> usize {
        self.length / 2 + 1
    }

    /// Complex coefficients cₙ, n = 0 … A/2, with x(ψ) = c₀ + Re Σ cₙ e^{inψ}.
    ///
    /// The real transform cannot fail for buffers of its own size; a failure would leave zeros.
    #[must_use]
    pub fn coefficients(&self, samples: &[f64]) -> Vec<Complex64> {
        let mut input = samples.to_vec();
        let mut spectrum = self.forward.make_output_vec();
        if self.forward.process(&mut input, &mut spectrum).is_err() {
            return vec![Complex64::default(); self.kept()];
        }
        let scale = 2.0 / self.length as f64;
        for c in &mut spectrum {
            *c *= scale;
        }
        spectrum[0] *= 0.5;
        if self.length.is_multiple_of(2) {
            spectrum[self.length / 2] *= 0.5;
        }
        spectrum
    }

    /// Samples of the signal whose coefficients [`Self::coefficients`] would return.
    #[must_use]
    pub fn samples(&self, coefficients: &[Complex64]) -> Vec<f64> {
        let mut spectrum: Vec<Complex64> = coefficients.iter().map(|c| c * 0.5).collect();
        spectrum[0] = Complex64::new(coefficients[0].re, 0.0);
        if self.length.is_multiple_of(2) {
            let last = self.length / 2;
            spectrum[last] = Complex64::new(coefficients[last].re, 0.0);
        }
        let mut out = self.inverse.make_output_vec();
        if self.inverse.process(&mut spectrum, &mut out).is_err() {
            out.fill(f64::NAN);
        }
        out
    }
}

/// Amplitudes and phases of the first `orders` coefficients: x(ψ) = a₀ + Σ aₙ cos(nψ − φₙ).
#[must_use]
pub fn harmonics(coefficients: &[Complex64], orders: usize) -> Harmonics {
    let kept = &coefficients[..orders.min(coefficients.len())];
    let amplitude = kept.iter().enumerate().map(|(n, c)| if n == 0 { c.re } else { c.norm() });
    let phase = kept.iter().enumerate().map(|(n, c)| if n == 0 { 0.0 } else { -c.arg() });
    Harmonics { amplitude: amplitude.collect(), phase_rad: phase.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_known_signal_gives_its_amplitudes_and_phases_and_comes_back() {
        for length in [45, 64] {
            let fourier = Fourier::new(length);
            let psi = |j: usize| std::f64::consts::TAU * j as f64 / length as f64;
            let x: Vec<f64> = (0..length)
                .map(|j| -2.0 + 3.0 * (psi(j) - 0.4).cos() + 0.5 * (7.0 * psi(j) + 1.0).cos())
                .collect();
            let c = fourier.coefficients(&x);
            let h = harmonics(&c, 9);
            assert_relative_eq!(h.amplitude[0], -2.0, epsilon = 1e-14);
            assert_relative_eq!(h.amplitude[1], 3.0, epsilon = 1e-13);
            assert_relative_eq!(h.phase_rad[1], 0.4, epsilon = 1e-13);
            assert_relative_eq!(h.amplitude[7], 0.5, epsilon = 1e-13);
            assert_relative_eq!(h.phase_rad[7], -1.0, epsilon = 1e-13);
            for (a, b) in fourier.samples(&c).iter().zip(&x) {
                assert_relative_eq!(a, b, epsilon = 1e-13);
            }
        }
    }
}
