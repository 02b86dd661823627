//! Ripple of an annulus' induced velocity at multiples of blade passage, by its time constant.

use realfft::num_complex::Complex64;

use crate::base::lanes::{LANES, Lanes};
use crate::rotor::tones::MULTIPLES;

/// Ripple states of eight annuli: v = Σ Re(cₘ e^{i mNψ}).
#[derive(Debug, Clone)]
pub(super) struct Ripple {
    states: [[State; MULTIPLES]; LANES],
    /// Whether every state met the tolerance.
    pub done: bool,
}

/// What an annulus asks of its ripple.
#[derive(Debug, Clone, Copy)]
pub(super) struct RippleDemand {
    /// Derivative of the annulus' axial momentum by v, per unit radius, N s/m².
    pub momentum_slope: f64,
    /// Derivative of the blades' axial force by v, estimated, N s/m².
    pub load_slope: f64,
    /// Shaft speed times time constant, per order.
    pub lag_per_order: f64,
    /// Blade count.
    pub blades: usize,
    /// Bound on the last step, m/s.
    pub tolerance_m_s: f64,
}

/// One complex amplitude and what the secant needs of the trial before.
#[derive(Debug, Clone, Copy, Default)]
struct State {
    value: Complex64,
    last: Option<(Complex64, Complex64)>,
}

impl Ripple {
    pub(super) fn new() -> Self {
        Self { states: [[State::default(); MULTIPLES]; LANES], done: false }
    }

    /// Cosine and sine parts of the ripple at each multiple of NP, m/s.
    pub(super) fn parts(&self) -> [(Lanes, Lanes); MULTIPLES] {
        std::array::from_fn(|m| {
            (
                Lanes::from_fn(|lane| self.states[lane][m].value.re),
                Lanes::from_fn(|lane| -self.states[lane][m].value.im),
            )
        })
    }

    /// Takes the axial load of all blades at the multiples of NP, N/m, and moves on: M′(1 + iωτ) v = load, a secant
    /// step for each amplitude.
    pub(super) fn take(&mut self, loads: &[(Lanes, Lanes); MULTIPLES], demands: &[RippleDemand]) {
        self.done = true;
        for (lane, demand) in demands.iter().enumerate() {
            for (m, state) in self.states[lane].iter_mut().enumerate() {
                let load = Complex64::new(loads[m].0.0[lane], -loads[m].1.0[lane]);
                self.done &= state.take(load, (m + 1) * demand.blades, demand) <= demand.tolerance_m_s;
            }
        }
    }
}

impl State {
    /// Moves one amplitude unless its step meets the tolerance; returns the size of the step, m/s.
    fn take(&mut self, load: Complex64, order: usize, demand: &RippleDemand) -> f64 {
        let momentum = demand.momentum_slope * Complex64::new(1.0, demand.lag_per_order * order as f64);
        let residual = load - momentum * self.value;
        let guess = -momentum - demand.load_slope;
        let slope = match self.last {
            Some((value, before)) if (self.value - value).norm() > 100.0 * demand.tolerance_m_s => {
                (residual - before) / (self.value - value)
            }
            _ => guess,
        };
        // A secant through noise may point anywhere: the first guess bounds it.
        let plain = -residual / guess;
        let step = -residual / slope;
        let step = if step.norm() <= 3.0 * plain.norm() { step } else { plain };
        if step.norm() <= demand.tolerance_m_s {
            return step.norm();
        }
        self.last = Some((self.value, residual));
        self.value += step;
        step.norm()
    }
}
