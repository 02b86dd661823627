//! The induced velocity of one annulus: a start from the mean flow, then quasi-Newton on the full revolution.

use super::bracket::{Bracket, Trial};
use crate::blade::BladeStation;
use crate::induction::momentum::{Annulus, Induced};
use crate::section::SectionModel;

/// Trial steps that made things worse before the iteration gives the step up.
const HALVINGS: usize = 12;

/// Azimuth-mean flow at a station, without induction.
#[derive(Debug, Clone, Copy)]
pub struct MeanFlow {
    /// Axial, m/s.
    pub axial_m_s: f64,
    /// Tangential against the motion, with rotation, m/s.
    pub tangential_m_s: f64,
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
}

/// Loads of all blades at a station in the mean flow, per unit radius: axial and tangential, N/m.
fn steady_loads_n_per_m(
    annulus: &Annulus,
    station: &BladeStation,
    blade_angle_rad: f64,
    section: &dyn SectionModel,
    flow: &MeanFlow,
    induced: Induced,
) -> (f64, f64) {
    let axial = flow.axial_m_s + induced.axial_m_s;
    let tangential = flow.tangential_m_s - induced.swirl_m_s;
    let speed = axial.hypot(tangential);
    let c = section.coefficients(blade_angle_rad - axial.atan2(tangential), speed / flow.speed_of_sound_m_s);
    let pressure = 0.5 * annulus.density_kg_m3 * speed * station.chord_m * annulus.blades;
    (pressure * (c.lift * tangential - c.drag * axial), pressure * (c.lift * axial + c.drag * tangential))
}

/// Steps below this many tolerances are never a setback, and nothing is learned from them: other annuli and the disk still
/// move a little.
const SETBACK: f64 = 1e4;

/// Share of the last step above which the derivative is worth improving. The derivative of the mean flow shrinks the
/// step twentyfold and more where the flow is nearly even over azimuth.
const SLOW: f64 = 0.2;

/// Sweeps after which the iteration gives way to a bracket.
const PATIENCE: usize = 40;

/// Induced velocity in the mean flow, by false position on the inflow angle.
///
/// With σ = Nc/(2πr) and forces written in the inflow angle φ, momentum gives v = W σ `c_n`/(4F sin φ) and
/// w = W σ `c_t`/(4F sin φ); the residual W sin φ − v − V̄ changes sign once between a small angle and 90° for
/// attached blades (one-equation form after Ning, Wind Energy 17, 2014, 1327–1345). Only a start: the full
/// balance follows with the loads of the whole revolution.
#[must_use]
pub fn start(
    annulus: &Annulus,
    station: &BladeStation,
    blade_angle_rad: f64,
    section: &dyn SectionModel,
    flow: &MeanFlow,
) -> Induced {
    let solidity = annulus.blades * station.chord_m / (std::f64::consts::TAU * annulus.radius_m);
    let at = |phi: f64| {
        let (sin, cos) = phi.sin_cos();
        let factor = annulus.factor(sin);
        let mach = flow.tangential_m_s / flow.speed_of_sound_m_s;
        let c = section.coefficients(blade_angle_rad - phi, mach);
        let load = solidity / (4.0 * factor * sin);
        let (normal, against) = (c.lift * cos - c.drag * sin, c.lift * sin + c.drag * cos);
        let speed = flow.tangential_m_s / (cos + load * against).max(1e-3);
        let induced = Induced { axial_m_s: speed * load * normal, swirl_m_s: speed * load * against };
        (speed * sin - induced.axial_m_s - flow.axial_m_s, induced)
    };
    regula_falsi(1e-4, std::f64::consts::FRAC_PI_2, at)
}

/// Root of a function that is negative at `low` and positive at `high` to a thousandth, by the Illinois form of the
/// false-position rule (Dowell and Jarratt, BIT 11, 1971, 168–174); returns what goes with it.
fn regula_falsi(mut low: f64, mut high: f64, at: impl Fn(f64) -> (f64, Induced)) -> Induced {
    // A first halving or two: the residual is very steep at small angles.
    let mut mid = 0.3;
    let (mut below, mut above) = (f64::NAN, f64::NAN);
    let mut last = Induced::default();
    for _ in 0..40 {
        let (residual, induced) = at(mid);
        last = induced;
        if residual > 0.0 {
            below *= if above.is_nan() { 1.0 } else { 0.5 };
            (high, above) = (mid, residual);
        } else {
            above *= if below.is_nan() { 1.0 } else { 0.5 };
            (low, below) = (mid, residual);
        }
        if high - low < 1e-3 * low || residual == 0.0 {
            break;
        }
        let share = if below.is_finite() && above.is_finite() { below / (below - above) } else { 0.5 };
        let next = low + share.clamp(0.02, 0.98) * (high - low);
        if (next - mid).abs() < 1e-3 * mid {
            return at(next).1;
        }
        mid = next;
    }
    last
}

/// What bounds the search for an annulus' balance.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Momentum taken up per swirl and an upper estimate of what the blades' tangential load loses by it, N s/m².
    pub swirl_stiffness_n_s_per_m2: f64,
    /// Speed through the annulus, m/s.
    pub through_m_s: f64,
    /// Least axial induced velocity to try, m/s.
    pub floor_m_s: f64,
    /// Least and most swirl, m/s.
    pub swirl_m_s: (f64, f64),
}

fn inverse(m: [[f64; 2]; 2]) -> Option<[[f64; 2]; 2]> {
    let determinant = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    (determinant.abs() > 0.0 && determinant.is_finite()).then(|| {
        [[m[1][1] / determinant, -m[0][1] / determinant], [-m[1][0] / determinant, m[0][0] / determinant]]
    })
}

impl Default for Balance {
    fn default() -> Self {
        Self {
            induced: Induced::default(),
            done: false,
            inverse: [[0.0; 2]; 2],
            kept: Induced::default(),
            kept_residual: [0.0; 2],
            kept_step: f64::INFINITY,
            halvings: 0,
            last_step: f64::INFINITY,
            taken: 0,
            bracket: Bracket::default(),
        }
    }
}

/// Quasi-Newton iteration (Broyden's first method, Math. Comp. 19, 1965, 577–593) for the two
/// induced velocities of one annulus, with step halving.
#[derive(Debug, Clone, Copy)]
pub struct Balance {
    /// Present trial.
    pub induced: Induced,
    /// Whether the last trial met the tolerance.
    pub done: bool,
    inverse: [[f64; 2]; 2],
    kept: Induced,
    kept_residual: [f64; 2],
    kept_step: f64,
    halvings: usize,
    last_step: f64,
    taken: usize,
    bracket: Bracket,
}

impl Balance {
    /// From a start and the derivative of the residual there, taken in the mean flow.
    #[must_use]
    pub fn new(
        annulus: &Annulus,
        station: &BladeStation,
        blade_angle_rad: f64,
        section: &dyn SectionModel,
        flow: &MeanFlow,
        start: Induced,
    ) -> Self {
        let residual = |induced: Induced| {
            let loads = steady_loads_n_per_m(annulus, station, blade_angle_rad, section, flow, induced);
            let momentum = annulus.momentum_n_per_m(flow.axial_m_s, flow.tangential_m_s, induced);
            [loads.0 - momentum.0, loads.1 - momentum.1]
        };
        let h = 1e-4 * flow.tangential_m_s.abs().max(1e-3);
        let shifted = |dv: f64, dw: f64| {
            residual(Induced { axial_m_s: start.axial_m_s + dv, swirl_m_s: start.swirl_m_s + dw })
        };
        let (a, b) = (shifted(h, 0.0), shifted(-h, 0.0));
        let (c, d) = (shifted(0.0, h), shifted(0.0, -h));
        let j = [
            [(a[0] - b[0]) / (2.0 * h), (c[0] - d[0]) / (2.0 * h)],
            [(a[1] - b[1]) / (2.0 * h), (c[1] - d[1]) / (2.0 * h)],
        ];
        Self { induced: start, kept: start, inverse: inverse(j).unwrap_or_default(), ..Self::default() }
    }

    /// Takes another derivative of the residual (axial and tangential, by axial velocity and swirl, N s/m²) where it can be
    /// inverted.
    pub fn set_derivative(&mut self, derivative: [[f64; 2]; 2]) {
        if let Some(inverse) = inverse(derivative) {
            self.inverse = inverse;
        }
    }

    /// Size of the step asked for last, m/s.
    #[must_use]
    pub fn last_step_m_s(&self) -> f64 {
        self.last_step
    }

    /// Takes the residual (blade loads minus momentum, N/m) at the present trial and moves on; `tolerance_m_s` bounds the
    /// last step.
    pub fn take(&mut self, residual: [f64; 2], limits: Limits, tolerance_m_s: f64) {
        self.take_freely(residual, &limits, tolerance_m_s);
        self.induced.axial_m_s = self.induced.axial_m_s.max(limits.floor_m_s);
        let (least, most) = limits.swirl_m_s;
        self.induced.swirl_m_s = self.induced.swirl_m_s.clamp(least, most);
    }

    fn take_freely(&mut self, residual: [f64; 2], limits: &Limits, tolerance_m_s: f64) {
        self.taken += 1;
        if self.taken > PATIENCE {
            let trial = Trial {
                residual_n_per_m: residual[0],
                swirl_step_m_s: residual[1] / limits.swirl_stiffness_n_s_per_m2,
                through_m_s: limits.through_m_s,
                tolerance_m_s,
                floor_m_s: limits.floor_m_s,
            };
            if let Some(left) = self.bracket.take(&mut self.induced, trial) {
                self.last_step = left;
                self.done = left <= tolerance_m_s;
            }
            return;
        }
        let step = self.times_inverse(residual);
        let size = step[0].hypot(step[1]);
        self.last_step = size;
        self.done = size <= tolerance_m_s;
        if self.done {
            return;
        }
        // Near the end other annuli and the disk still move a little: only a real setback asks for half a step.
        let setback = size > 2.0 * self.kept_step && size > SETBACK * tolerance_m_s;
        if (setback || !size.is_finite()) && self.halvings < HALVINGS {
            self.halvings += 1;
            self.induced = Induced {
                axial_m_s: 0.5 * (self.induced.axial_m_s + self.kept.axial_m_s),
                swirl_m_s: 0.5 * (self.induced.swirl_m_s + self.kept.swirl_m_s),
            };
            return;
        }
        self.halvings = 0;
        if self.kept_step.is_finite() && size > SLOW * self.kept_step && size > SETBACK * tolerance_m_s {
            self.learn(residual);
        }
        let step = self.times_inverse(residual);
        self.kept = self.induced;
        self.kept_residual = residual;
        self.kept_step = size;
        self.induced.axial_m_s -= step[0];
        self.induced.swirl_m_s -= step[1];
    }

    /// Lets the iteration move again, for a residual that has changed; what it has learned of the derivative stays.
    pub fn reopen(&mut self) {
        self.done = false;
        self.kept_step = f64::INFINITY;
        self.halvings = 0;
        self.taken = 0;
        self.bracket = Bracket::default();
    }

    /// The step a residual (N/m) asks for, m/s.
    #[must_use]
    pub fn times_inverse(&self, r: [f64; 2]) -> [f64; 2] {
        let m = &self.inverse;
        [m[0][0] * r[0] + m[0][1] * r[1], m[1][0] * r[0] + m[1][1] * r[1]]
    }

    /// Broyden's update of the inverse, by Sherman and Morrison.
    fn learn(&mut self, residual: [f64; 2]) {
        let moved =
            [self.induced.axial_m_s - self.kept.axial_m_s, self.induced.swirl_m_s - self.kept.swirl_m_s];
        let change = [residual[0] - self.kept_residual[0], residual[1] - self.kept_residual[1]];
        let predicted = self.times_inverse(change);
        let m = &self.inverse;
        let row = [moved[0] * m[0][0] + moved[1] * m[1][0], moved[0] * m[0][1] + moved[1] * m[1][1]];
        let below = row[0] * change[0] + row[1] * change[1];
        if below.abs() < 1e-300 || !below.is_finite() {
            return;
        }
        for (i, wanted) in moved.iter().enumerate() {
            let miss = (wanted - predicted[i]) / below;
            self.inverse[i][0] += miss * row[0];
            self.inverse[i][1] += miss * row[1];
        }
    }
}
