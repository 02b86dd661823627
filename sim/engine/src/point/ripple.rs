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

/// Axial loads of eight annuli at the multiples of NP, N/m.
#[derive(Debug, Clone, Default)]
pub(super) struct RippleLoads([[Complex64; MULTIPLES]; LANES]);

impl RippleLoads {
    /// From cosine and sine parts.
    pub(super) fn new(parts: &[(Lanes, Lanes); MULTIPLES]) -> Self {
        Self(std::array::from_fn(|lane| {
            std::array::from_fn(|m| Complex64::new(parts[m].0.0[lane], -parts[m].1.0[lane]))
        }))
    }

    pub(super) fn plus(&self, other: &Self) -> Self {
        self.with(other, |a, b| a + b)
    }

    pub(super) fn less(&self, other: &Self) -> Self {
        self.with(other, |a, b| a - b)
    }

    fn with(&self, other: &Self, f: impl Fn(Complex64, Complex64) -> Complex64) -> Self {
        Self(std::array::from_fn(|lane| std::array::from_fn(|m| f(self.0[lane][m], other.0[lane][m]))))
    }

    /// Whether, as residuals, they ask for no step beyond the tolerance.
    pub(super) fn within(&self, demands: &[RippleDemand], tolerance: f64) -> bool {
        demands.iter().zip(&self.0).all(|(demand, lane)| {
            lane.iter().zip(1..).all(|(residual, multiple)| {
                let step = residual / demand.guess(multiple * demand.blades);
                step.norm_sqr() <= (tolerance * demand.scale_m_s).powi(2)
            })
        })
    }
}

impl RippleDemand {
    /// Momentum taken up per ripple of an order, N s/m².
    fn momentum(&self, order: usize) -> Complex64 {
        self.momentum_slope * Complex64::new(1.0, self.lag_per_order * order as f64)
    }

    /// Derivative of the residual by the ripple, estimated, N s/m².
    fn guess(&self, order: usize) -> Complex64 {
        -self.momentum(order) - self.load_slope
    }
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
    /// Speed by which tolerances of the ripple are measured, m/s.
    pub scale_m_s: f64,
}

/// One complex amplitude, what the secant needs of the trial before, and the slope it found last, N s/m².
#[derive(Debug, Clone, Copy, Default)]
struct State {
    value: Complex64,
    last: Option<(Complex64, Complex64)>,
    slope: Option<Complex64>,
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

    /// Lets the ripple move again, for a balance that has changed; the slopes found stay.
    pub(super) fn reopen(&mut self) {
        self.done = false;
        self.states.iter_mut().flatten().for_each(|state| state.last = None);
    }

    /// Axial load of all blades at the multiples of NP less what momentum takes up: load − M′(1 + iωτ) v, N/m.
    pub(super) fn residual(&self, loads: &RippleLoads, demands: &[RippleDemand]) -> RippleLoads {
        let mut left = RippleLoads::default();
        for (lane, demand) in demands.iter().enumerate() {
            for (m, state) in self.states[lane].iter().enumerate() {
                let order = (m + 1) * demand.blades;
                // The ripple of a single blade at order 1 is the disk's first harmonic, which carries it.
                if order > 1 {
                    left.0[lane][m] = loads.0[lane][m] - demand.momentum(order) * state.value;
                }
            }
        }
        left
    }

    /// Moves each amplitude by what its residual asks for, a secant step.
    pub(super) fn take(&mut self, residual: &RippleLoads, demands: &[RippleDemand], tolerance: f64) {
        self.done = true;
        for (lane, demand) in demands.iter().enumerate() {
            let tolerance_m_s = tolerance * demand.scale_m_s;
            for (m, state) in self.states[lane].iter_mut().enumerate() {
                let guess = demand.guess((m + 1) * demand.blades);
                self.done &= state.take(residual.0[lane][m], guess, tolerance_m_s);
            }
        }
    }
}

impl State {
    /// Moves one amplitude unless its step meets the tolerance; whether it does.
    fn take(&mut self, residual: Complex64, guess: Complex64, tolerance_m_s: f64) -> bool {
        let tolerance_square = tolerance_m_s * tolerance_m_s;
        if let Some((value, before)) = self.last
            && (self.value - value).norm_sqr() > 1e4 * tolerance_square
        {
            self.slope = Some((residual - before) / (self.value - value));
        }
        let slope = self.slope.unwrap_or(guess);
        // A secant through noise may point anywhere: the first guess bounds it.
        let plain = -residual / guess;
        let step = -residual / slope;
        let step = if step.norm_sqr() <= 9.0 * plain.norm_sqr() { step } else { plain };
        if step.norm_sqr() <= tolerance_square {
            return true;
        }
        self.last = Some((self.value, residual));
        self.value += step;
        false
    }
}
