//! The slow sure way to an annulus' balance, where Newton's steps lead nowhere.
//!
//! Blade loads fall and momentum grows with the axial induced velocity, so that their difference changes sign once for
//! attached blades and at least once for stalled ones. The axial velocity is kept between a value where the loads are in
//! excess and one where momentum is; the swirl follows its own momentum. The lag's states and the wake's shape belong to the
//! velocity of the sweep before, so that a value counts only when it has been swept twice.

use crate::induction::momentum::Induced;

/// First step in search of a change of sign, over the speed through the annulus.
const FIRST_REACH: f64 = 0.02;

/// A bracket of the axial induced velocity.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Bracket {
    /// Velocity and residual where the loads are in excess.
    low: Option<(f64, f64)>,
    /// Velocity and residual where momentum is in excess.
    high: Option<(f64, f64)>,
    reach_m_s: f64,
    fresh: bool,
}

/// What a trial showed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Trial {
    /// Blade loads minus momentum along the axis, N/m.
    pub residual_n_per_m: f64,
    /// Change of swirl towards its own balance, m/s.
    pub swirl_step_m_s: f64,
    /// Speed through the annulus, m/s.
    pub through_m_s: f64,
    /// Bound on what is left, m/s.
    pub tolerance_m_s: f64,
    /// Least axial induced velocity to try, m/s.
    pub floor_m_s: f64,
}

impl Bracket {
    /// Takes a trial at `induced` and sets the next; returns the size of what is left, m/s, once both velocities are known
    /// to it.
    pub(super) fn take(&mut self, induced: &mut Induced, trial: Trial) -> Option<f64> {
        self.fresh = !self.fresh;
        if self.fresh {
            return None;
        }
        let v = induced.axial_m_s;
        let swirl_left = trial.swirl_step_m_s;
        let end = (v, trial.residual_n_per_m);
        if end.1 > 0.0 {
            self.low = Some(end);
        } else {
            self.high = Some(end);
        }
        let left = self.left(v).max(swirl_left.abs());
        if left <= trial.tolerance_m_s {
            return Some(left);
        }
        induced.axial_m_s = self.next(v, &trial);
        induced.swirl_m_s += swirl_left;
        Some(left)
    }

    /// Distance to the root by the secant of the bracket, m/s.
    fn left(&self, v: f64) -> f64 {
        let (Some(low), Some(high)) = (self.low, self.high) else { return f64::INFINITY };
        let secant = low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1);
        (secant - v).abs()
    }

    fn next(&mut self, v: f64, trial: &Trial) -> f64 {
        match (self.low, self.high) {
            (Some(low), Some(high)) => {
                if (high.0 - low.0).abs() <= 0.1 * trial.tolerance_m_s {
                    // Swirl, lag or the disk moved on and left the root outside: look around again.
                    *self = Self { reach_m_s: 10.0 * trial.tolerance_m_s, ..Self::default() };
                    return v;
                }
                self.reach_m_s = (high.0 - low.0).abs();
                // The secant, kept off the ends so that the bracket shrinks from both sides.
                let share = (low.1 / (low.1 - high.1)).clamp(0.1, 0.9);
                low.0 + share * (high.0 - low.0)
            }
            (found, _) => {
                let least = (FIRST_REACH * trial.through_m_s).max(trial.tolerance_m_s);
                self.reach_m_s = if self.reach_m_s > 0.0 { 2.0 * self.reach_m_s } else { least };
                if found.is_some() { v + self.reach_m_s } else { (v - self.reach_m_s).max(trial.floor_m_s) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bent_residual_with_coupled_swirl_is_bracketed() {
        // Momentum against a load that stalls: steep, then flat, then falling.
        let load = |v: f64| 4.0 * ((6.0 - v) * 0.9).tanh() + 0.2 * (9.0 * v).sin();
        let mut induced = Induced { axial_m_s: -3.0, swirl_m_s: 0.0 };
        let mut bracket = Bracket::default();
        for sweep in 0..400 {
            let v = induced.axial_m_s;
            let trial = Trial {
                residual_n_per_m: load(v) - 0.3 * v * (v.abs() + 2.0) - 0.1 * induced.swirl_m_s,
                swirl_step_m_s: 0.5 * (0.2 * v - induced.swirl_m_s),
                through_m_s: v.abs() + 2.0,
                tolerance_m_s: 1e-9,
                floor_m_s: -5.0,
            };
            if let Some(left) = bracket.take(&mut induced, trial)
                && left <= 1e-9
            {
                assert!(trial.residual_n_per_m.abs() < 1e-7);
                assert!(sweep < 300);
                return;
            }
        }
        panic!("not found");
    }
}
