//! Trimmed flight: operating points that compare like with like.
//!
//! A placement that needs more shaft speed for the same thrust, or a slower flight that comes with a higher angle of attack,
//! must be judged so, not at one fixed shaft speed. Two steps, in this order:
//!
//! 1. `level`: the angle of attack at which lift and the thrust's part of it carry the weight (`level_flight`). It needs only the
//!    airframe, not the propeller.
//! 2. thrust: a given one, or the one that meets the drag of the airframe, met by shaft speed or pitch. It is that of all
//!    propellers together (`shafts`); further ones follow the first by their speed ratio.
//!
//! Where shafts lie at angles to each other, lift needs the thrust of each: both steps are taken in turn until they agree.
//!
//! Drag is q (drag area) + induced drag + drag rise of the sections with lift ([`AirframeModel`]). Thrust is the azimuth mean along
//! the shaft; its parts along and square to the flight path count, the propeller's normal and side force do not. Neither the
//! propeller's action on the airframe (thrust deduction, slipstream) nor pitch balance is in it: for a pusher close behind a wing or
//! body thrust deduction is a few per cent of thrust. Every answer starts from its own case and depends on no other.

mod error;
mod forces;
mod level;
mod root;
mod shafts;
mod solve;
#[cfg(test)]
mod tests;
mod thrust;

pub use error::TrimError;
pub use forces::{AirframeForces, AirframeModel, area_from_above_m2};
pub use solve::{Flown, solve, solve_keeping};

use crate::air::GRAVITY_M_S2;
use crate::point::Kept;
use crate::point::input::OperatingPoint;
use crate::point::result::{PointResult, Scalar, Warning};
use crate::surface::geometry::halves;
use level::{ThrustShare, level_flight};
use shafts::{ThrustLine, ThrustSum};
use thrust::Wanted;

/// Change of the lift of unlike shafts over weight at which angle of attack and thrust stand together, well below what thrust is met to.
const LIFT_TOLERANCE: f64 = 1e-8;

/// Most turns of angle of attack and thrust. That lift changes little with the angle: each turn leaves a hundredth as a rule.
const MOST_TURNS: usize = 12;

/// What is adjusted, and to what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trim {
    /// The thrust to be met; `None` leaves speed and pitch as they are.
    pub thrust: Option<ThrustTarget>,
    /// Whether the angle of attack is that of level flight.
    pub level: bool,
    /// What meets the thrust.
    pub by: By,
    /// Greatest shaft power of all propellers together, W.
    pub power_max_w: Option<f64>,
    /// Whether another blade count keeps the solidity, not the blade.
    pub keeps_solidity: bool,
    /// Factor on the blade's chords that keeps it; 1 for the same blade. Already in the blade table.
    pub chord_factor: f64,
}

/// A thrust to be met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ThrustTarget {
    /// A given one, N.
    Given(f64),
    /// The one that meets the drag of the airframe.
    Drag,
}

/// What meets the thrust, within which limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// The shaft speed, rad/s.
    Speed {
        /// Least; `None`: a twentieth of the tip speed of sound.
        min_rad_s: Option<f64>,
        /// Greatest; `None`: helical tip Mach number 1.
        max_rad_s: Option<f64>,
    },
    /// The pitch offset, rad.
    Pitch {
        /// Least.
        min_rad: f64,
        /// Greatest.
        max_rad: f64,
    },
}

/// A trimmed operating point.
#[derive(Debug, Clone)]
pub struct Trimmed {
    /// The point with angle of attack, speed and pitch as trimmed.
    pub point: OperatingPoint,
    /// Thrust wanted, N.
    pub thrust_wanted_n: Option<f64>,
    /// Airframe forces at the angle of attack, drag of lift only; `None` where the airframe is not known.
    pub forces: Option<AirframeForces>,
    /// Drag of the airframe, N; `None` without a drag area.
    pub drag_n: Option<f64>,
    /// Area of the coefficients, m².
    pub reference_area_m2: f64,
    /// Factor on the blade's chords.
    pub chord_factor: f64,
    /// Solutions of the operating point it took: rough, full.
    pub solves: (usize, usize),
    dynamic_pressure_pa: f64,
    lifting_area_m2: f64,
    sum: ThrustSum,
    /// Lift of the thrusts beyond that of their sum along the first shaft, N.
    lift_beyond_n: f64,
}

/// Trims an operating point: angle of attack, then thrust; what lies ahead of it and its balance are left in `kept`.
///
/// # Errors
/// [`TrimError`] with the limit that was met.
pub fn trim(point: &OperatingPoint, trim: &Trim, kept: &mut Kept) -> Result<Trimmed, TrimError> {
    let mut found = trim_once(point, trim, 0.0, kept)?;
    let mut reckoned_n = 0.0;
    let weight_n = point.airframe.mass_kg.unwrap_or_default() * GRAVITY_M_S2;
    for _ in 0..MOST_TURNS {
        let miss_n = found.lift_beyond_n - reckoned_n;
        if !trim.level || miss_n.abs() <= LIFT_TOLERANCE * weight_n {
            return Ok(found);
        }
        reckoned_n = found.lift_beyond_n;
        let solves = found.solves;
        found = trim_once(&found.point, trim, reckoned_n, kept)?;
        found.solves = (found.solves.0 + solves.0, found.solves.1 + solves.1);
    }
    Err(TrimError::NotSettled { residual: (found.lift_beyond_n - reckoned_n) / weight_n })
}

/// As [`trim`], with the lift that unlike shafts add beyond the sum of thrust along the first, N, as it was reckoned before.
fn trim_once(
    point: &OperatingPoint,
    trim: &Trim,
    lift_beyond_n: f64,
    kept: &mut Kept,
) -> Result<Trimmed, TrimError> {
    let mut point = point.clone();
    let airframe = point.airframe.clone();
    let wants_drag = trim.thrust == Some(ThrustTarget::Drag);
    let drag_area_m2 = match (wants_drag, airframe.drag_area_m2) {
        (true, None) => return Err(TrimError::Missing { key: "airframe.drag_area_m2" }),
        (_, area) => area,
    };
    let mut forces = None;
    if trim.level {
        let mass_kg = airframe.mass_kg.ok_or(TrimError::Missing { key: "airframe.mass_kg" })?;
        let share = match trim.thrust {
            None => ThrustShare::Unknown,
            Some(ThrustTarget::Given(thrust_n)) => ThrustShare::Wanted(thrust_n),
            Some(ThrustTarget::Drag) => ThrustShare::Drag(drag_area_m2.unwrap_or_default()),
        };
        let model = AirframeModel::new(&point);
        let (angle_rad, found) = level_flight(&model, &point, mass_kg, (share, lift_beyond_n))?;
        forces = Some(found);
        point.flight.angle_of_attack_rad = angle_rad;
    }
    let model = AirframeModel::new(&point);
    let dynamic_pressure_pa = model.dynamic_pressure_pa();
    if forces.is_none() && drag_area_m2.is_some() {
        forces = Some(model.forces(point.flight.angle_of_attack_rad)?);
    }
    let drag_n = match (drag_area_m2, forces) {
        (Some(area_m2), Some(forces)) => Some(dynamic_pressure_pa * area_m2 + forces.drag_of_lift_n),
        _ => None,
    };
    let line = ThrustLine::of(&point.placement, &point);
    let thrust_wanted_n = match trim.thrust {
        None => None,
        Some(ThrustTarget::Given(thrust_n)) => Some(thrust_n),
        Some(ThrustTarget::Drag) => drag_n.map(|drag_n| drag_n / line.along),
    };
    let sum = ThrustSum::new(&point, trim.thrust.unwrap_or(ThrustTarget::Drag));
    let mut solves = (0, 0);
    let mut lift_beyond_n = 0.0;
    if let Some(thrust_n) = thrust_wanted_n {
        let met = thrust::meet(&point, trim, Wanted { sum: &sum, thrust_n }, kept)?;
        (point, solves) = (met.point, met.solves);
        lift_beyond_n = sum.lift_beyond_n(&point, &met.thrusts_n);
    }
    let reference_area_m2 = airframe.reference_area_m2.unwrap_or_else(|| area_from_above_m2(&point.surfaces));
    let lifting_area_m2 = airframe.lift.map_or_else(
        || point.surfaces.iter().flat_map(halves).map(|half| half.area_m2()).sum(),
        |lift| lift.reference_area_m2,
    );
    Ok(Trimmed {
        thrust_wanted_n,
        forces,
        drag_n,
        reference_area_m2,
        chord_factor: trim.chord_factor,
        solves,
        dynamic_pressure_pa,
        lifting_area_m2,
        sum,
        lift_beyond_n,
        point,
    })
}

impl Trimmed {
    /// Thrust left over the thrust wanted, of the computed point.
    #[must_use]
    pub fn residual(&self, result: &PointResult) -> Option<f64> {
        let wanted = |thrust_n| Wanted { sum: &self.sum, thrust_n };
        self.thrust_wanted_n.map(|thrust_n| thrust::residual(&self.point, result, wanted(thrust_n)))
    }

    /// What the trim adds to the warnings of the point.
    #[must_use]
    pub fn warnings(&self) -> Vec<Warning> {
        let stalled_m2 = self.forces.map_or(0.0, |forces| forces.stalled_m2);
        if stalled_m2 <= 0.0 {
            return Vec::new();
        }
        let share = 100.0 * stalled_m2 / self.lifting_area_m2;
        let text = format!(
            "{share:.0} % of the lifting surface is past its greatest lift at the trimmed {:.1} deg angle of attack: no flight that can be \
             held, and drag and wake there are rough",
            self.point.flight.angle_of_attack_rad.to_degrees()
        );
        vec![Warning { name: "stalled_wing", text }]
    }

    /// What the trim adds to the summary of the point.
    #[must_use]
    pub fn scalars(&self, result: &PointResult) -> Vec<Scalar> {
        let mut list = Vec::new();
        let mut add = |name: &str, unit: &'static str, words: &str, value: f64| {
            list.push(Scalar { name: name.into(), unit, long_name: words.into(), value });
        };
        let flight = &self.point.flight;
        add("angle_of_attack_rad", "rad", "angle of attack as trimmed", flight.angle_of_attack_rad);
        add("pitch_offset_rad", "rad", "pitch offset as trimmed", self.point.propeller.pitch_offset_rad);
        add("blade_chord_factor", "1", "factor on the blade's chords that keeps solidity", self.chord_factor);
        if let Some(forces) = self.forces {
            add("airframe_lift_n", "N", "lift of the airframe without its propeller", forces.lift_n);
            let head_n = self.dynamic_pressure_pa * self.reference_area_m2;
            if head_n > 0.0 {
                let words = "lift over dynamic pressure and reference area";
                add("airframe_lift_coefficient", "1", words, forces.lift_n / head_n);
            }
        }
        if let Some(drag_n) = self.drag_n {
            add("airframe_drag_n", "N", "drag of the airframe without its propeller", drag_n);
        }
        if let Some(wanted_n) = self.thrust_wanted_n {
            add("trim_thrust_n", "N", "thrust of all propellers to be met", wanted_n);
        }
        if let Some(residual) = self.residual(result) {
            add("trim_residual", "1", "thrust less the thrust to be met, over it", residual);
        }
        list
    }
}
