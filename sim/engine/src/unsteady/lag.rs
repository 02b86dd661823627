//! The lag of a velocity history through an indicial function, stepped in time.
//!
//! With y the lagged value of w, the states zᵢ = (lagged by rate i) − w obey, for w running straight
//! between steps over Δs semichords,
//!
//! zᵢ ← eᵢ zᵢ − (1 − eᵢ)/(bᵢΔs) Δw, eᵢ = exp(−bᵢΔs), y = w + Σ Aᵢ zᵢ.
//!
//! Kept are the shares Aᵢ zᵢ, whose sum is the lag; eᵢ Aᵢ zᵢ − (1 − eᵢ) tᵢ with tᵢ = AᵢΔw/(bᵢΔs) waits less than eᵢ (Aᵢ zᵢ + tᵢ) − tᵢ.
//!
//! The step is exact for any Δs; only the straight line between samples is an approximation (error
//! of order (ωΔt)²/12, 0.08 % at 64 steps a cycle). A constant w leaves zᵢ at zero to the last bit.

use super::indicial::{Indicial, RATE_RATIO};
use crate::base::complex_lanes::ComplexLanes;
use crate::base::lanes::Lanes;

/// Speed below which a decaying state counts for nothing beside any blade's, m/s: the rounding of a gust of 100 m/s.
const GONE_M_S: f64 = 1e-14;

/// States of the lag at eight stations, each times its weight: what it adds to y − w.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag<const STATES: usize> {
    shares: [Lanes; STATES],
}

/// Factors of a step of given length.
#[derive(Debug, Clone, Copy)]
pub struct LagStep<const STATES: usize> {
    decay: [Lanes; STATES],
    gain: [Lanes; STATES],
}

impl<const STATES: usize> LagStep<STATES> {
    /// Factors of steps of `semichords` travelled.
    #[must_use]
    pub fn new(function: &Indicial<STATES>, semichords: Lanes) -> Self {
        let rates = function.rates();
        let decay = rates.map(|b| (-(semichords * b)).exp_decay());
        let mut gain = decay;
        for ((gain, rate), weight) in gain.iter_mut().zip(rates).zip(function.weights) {
            *gain = (Lanes::splat(1.0) - *gain) * weight / (semichords * rate);
        }
        Self { decay, gain }
    }

    /// y over w for w that turns by `turn` (cosine, sine) each step, once all else has decayed.
    ///
    /// With w = zʲ a state is X zʲ, X z = e X − g (z − 1): y/w = 1 − Σ gᵢ (z − 1)/(z − eᵢ).
    #[must_use]
    pub fn answer(&self, turn: (f64, f64)) -> ComplexLanes {
        let z = ComplexLanes::splat(turn);
        let change = z - ComplexLanes::ONE;
        let states = self.decay.iter().zip(&self.gain);
        states.fold(ComplexLanes::ONE, |sum, (decay, gain)| {
            let away = ComplexLanes { re: z.re - *decay, im: z.im };
            sum - change * away.inverse() * *gain
        })
    }
}

impl<const STATES: usize> Lag<STATES> {
    /// At rest with the present value: y = w.
    pub const AT_REST: Self = Self { shares: [Lanes::ZERO; STATES] };

    /// Advances by `semichords` of travel while w changes by `change`; returns y − w at the end.
    #[inline(always)]
    pub fn step(&mut self, function: &Indicial<STATES>, semichords: Lanes, change: Lanes) -> Lanes {
        let x = semichords * function.slowest_rate;
        let mut decay = (-x).exp_short_decay();
        let slope = change / x;
        let mut over_slowest = 1.0;
        let mut sum = Lanes::ZERO;
        for (share, weight) in self.shares.iter_mut().zip(function.weights) {
            let towards = slope * (weight / over_slowest);
            *share = decay * *share - (Lanes::splat(1.0) - decay) * towards;
            sum = sum + *share;
            decay = decay * decay * decay;
            over_slowest *= RATE_RATIO;
        }
        sum
    }

    /// Advances by a step whose factors are at hand; returns y − w at the end. The same as [`Self::step`] where every step is
    /// alike.
    #[inline(always)]
    pub fn step_by(&mut self, step: &LagStep<STATES>, change: Lanes) -> Lanes {
        let mut sum = Lanes::ZERO;
        for (i, share) in self.shares.iter_mut().enumerate() {
            *share = step.decay[i] * *share - step.gain[i] * change;
            sum = sum + *share;
        }
        sum
    }

    /// The present y − w.
    #[inline(always)]
    #[must_use]
    pub fn value(&self) -> Lanes {
        self.shares.iter().fold(Lanes::ZERO, |sum, share| sum + *share)
    }

    /// From the states after one revolution, begun with `start`, to the states that repeat each revolution.
    ///
    /// The states are linear in their start: z(end) = z(start) exp(−bᵢ S) + q with S the semichords travelled in a
    /// revolution. Repetition asks z(end) = z(start) = q/(1 − exp(−bᵢ S)).
    #[inline(always)]
    #[must_use]
    pub fn repeating(&self, start: &Self, function: &Indicial<STATES>, semichords: Lanes) -> Self {
        let mut decay = (-(semichords * function.slowest_rate)).exp_decay();
        let mut shares = self.shares;
        for (share, begun) in shares.iter_mut().zip(&start.shares) {
            *share = (*share - *begun * decay) / (Lanes::splat(1.0) - decay);
            decay = decay * decay * decay;
        }
        Self { shares }
    }

    /// What these states are beyond others, to be left to decay.
    #[inline(always)]
    #[must_use]
    pub fn beyond(&self, other: &Self) -> Decaying<STATES> {
        let mut left = self.shares;
        for (left, other) in left.iter_mut().zip(&other.shares) {
            *left = *left - *other;
        }
        Decaying { left, felt: STATES }
    }
}

/// What states leave of y − w as they decay, without a gust.
#[derive(Debug, Clone, Copy)]
pub struct Decaying<const STATES: usize> {
    left: [Lanes; STATES],
    /// States that still count; the fastest are gone first.
    felt: usize,
}

impl<const STATES: usize> Decaying<STATES> {
    /// States that leave nothing.
    pub const NOTHING: Self = Self { left: [Lanes::ZERO; STATES], felt: 0 };

    /// Whether anything is left.
    #[inline(always)]
    #[must_use]
    pub fn is_felt(&self) -> bool {
        self.felt > 0
    }

    /// The present part of y − w.
    #[inline(always)]
    #[must_use]
    pub fn value(&self) -> Lanes {
        self.left[..self.felt].iter().fold(Lanes::ZERO, |sum, left| sum + *left)
    }

    /// Decays over `semichords` of travel.
    #[inline(always)]
    pub fn step(&mut self, function: &Indicial<STATES>, semichords: Lanes) {
        let mut decay = (-(semichords * function.slowest_rate)).exp_short_decay();
        for left in &mut self.left[..self.felt] {
            *left = *left * decay;
            decay = decay * decay * decay;
        }
        let gone = |left: &Lanes| left.abs().all(Lanes::splat(GONE_M_S), |left, gone| left < gone);
        while self.felt > 0 && gone(&self.left[self.felt - 1]) {
            self.felt -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unsteady::indicial::{KUSSNER, WAGNER};
    use approx::assert_relative_eq;

    #[test]
    fn a_ramp_in_any_steps_is_the_integral_of_the_step_response() {
        // w = s for 6 semichords: y = ∫ψ ds, by the closed integral of the exponentials.
        let exact = 6.0
            - WAGNER
                .weights
                .iter()
                .zip(WAGNER.rates())
                .map(|(a, b)| a / b * (1.0 - (-b * 6.0_f64).exp()))
                .sum::<f64>();
        for steps in [1, 7, 60] {
            let ds = Lanes::splat(6.0 / f64::from(steps));
            let mut lag = Lag::AT_REST;
            let mut y = 0.0;
            for i in 1..=steps {
                y = lag.step(&WAGNER, ds, ds).0[3] + f64::from(i) * ds.0[3];
            }
            // A ramp from rest: y(0) = w(0) = 0 there, as the integral.
            assert_relative_eq!(y, exact, max_relative = 1e-11);
        }
    }

    #[test]
    fn steps_with_ready_factors_are_the_same_steps() {
        let (mut a, mut b) = (Lag::AT_REST, Lag::AT_REST);
        let ds = Lanes::splat(0.37);
        let step = LagStep::new(&KUSSNER, ds);
        for i in 0..50 {
            let change = Lanes::splat(f64::from(i % 7) - 2.5);
            let (x, y) = (a.step(&KUSSNER, ds, change), b.step_by(&step, change));
            assert_relative_eq!(x.0[1], y.0[1], epsilon = 1e-12);
        }
    }

    #[test]
    fn a_turning_gust_is_answered_as_the_steps_answer_it() {
        let steps = 90;
        let ds = Lanes::splat(0.4);
        let step = LagStep::new(&KUSSNER, ds);
        for order in [1, 7] {
            let w = |j: usize| (std::f64::consts::TAU * (j * order % steps) as f64 / steps as f64).sin_cos();
            let mut lag = Lag::AT_REST;
            let mut late = 0.0;
            for j in 0..steps * 200 {
                late = lag.step_by(&step, Lanes::splat(w(j + 1).0 - w(j).0)).0[6];
            }
            // At azimuth 0 again, w = sin: the imaginary part of the answer.
            let turn = w(1);
            assert_relative_eq!(late, step.answer((turn.1, turn.0)).im.0[6], epsilon = 1e-12);
        }
    }

    #[test]
    fn closed_periodic_states_equal_marching_until_transients_die() {
        let steps = 90;
        let w = |i: usize| (std::f64::consts::TAU * i as f64 / steps as f64).cos();
        let ds = |i: usize| Lanes::splat(0.4 + 0.1 * w(2 * i));
        let dw = |i: usize| Lanes::splat(w(i + 1) - w(i));
        let mut marched = Lag::AT_REST;
        for i in 0..steps * 200 {
            marched.step(&KUSSNER, ds(i % steps), dw(i % steps));
        }
        let mut closed = Lag::AT_REST;
        let mut total = Lanes::ZERO;
        for i in 0..steps {
            closed.step(&KUSSNER, ds(i), dw(i));
            total = total + ds(i);
        }
        let from_rest = closed;
        let closed = closed.repeating(&Lag::AT_REST, &KUSSNER, total);
        // What the start from rest lacks decays until nothing of it is left of the end but the difference.
        let mut lacking = closed.beyond(&Lag::AT_REST);
        for i in 0..steps {
            lacking.step(&KUSSNER, ds(i));
        }
        let end = closed.value() - from_rest.value();
        assert_relative_eq!(lacking.value().0[2], end.0[2], epsilon = 1e-13);
        for (a, b) in closed.shares.iter().zip(&marched.shares) {
            assert_relative_eq!(a.0[0], b.0[0], epsilon = 1e-13);
        }
    }
}
