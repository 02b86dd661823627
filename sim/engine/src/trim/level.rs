//! The angle of attack of steady level flight.

use super::error::TrimError;
use super::forces::{AirframeForces, AirframeModel};
use super::root::{NoRoot, Search, find};
use super::shafts::ThrustLine;
use crate::air::GRAVITY_M_S2;
use crate::point::PointError;
use crate::point::input::OperatingPoint;

/// Angles of attack that are tried, rad.
const RANGE_RAD: (f64, f64) = (-0.262, 0.436);

/// Step of the search over the whole range, rad.
const SCAN_RAD: f64 = 0.0175;

/// Lift left over weight at which the angle stands; well below what the thrust is met to.
const TOLERANCE: f64 = 1e-10;

/// What the thrust is, as far as lift asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum ThrustShare {
    /// Nothing: it is not known.
    Unknown,
    /// A wanted thrust, N.
    Wanted(f64),
    /// Whatever meets the drag with this drag area, m².
    Drag(f64),
}

/// Forces of the airframe in level flight and the angle of attack, rad.
///
/// L(α) + T·up(α) + `beyond_n` = m g, with `beyond_n` the lift that further propellers on unlike shafts add, and T the wanted thrust, or D(α)/along(α) where it meets the drag, or left out where it is not
/// known before the propeller is computed. The engine's forces are smooth and grow with α up to the stall; the attached answer
/// is the lowest root. Two secants usually meet it; where they lead past the stall, the range is scanned from below.
///
/// # Errors
/// [`TrimError::Stall`] with the greatest lift, [`TrimError::TooMuchLift`], or a lifting line without an answer.
pub(super) fn level_flight(
    model: &AirframeModel,
    point: &OperatingPoint,
    mass_kg: f64,
    (thrust, beyond_n): (ThrustShare, f64),
) -> Result<(f64, AirframeForces), TrimError> {
    let weight_n = mass_kg * GRAVITY_M_S2;
    let excess = |angle_rad: f64| -> Result<f64, PointError> {
        let carried_n = carried_n(model, point, thrust, angle_rad, &model.forces(angle_rad)?);
        Ok((carried_n + beyond_n) / weight_n - 1.0)
    };
    let start = point.flight.angle_of_attack_rad.clamp(RANGE_RAD.0, RANGE_RAD.1);
    let search = Search { start, step: 0.02, bounds: RANGE_RAD, tolerance: TOLERANCE, trials: 24 };
    let angle_rad = match find(excess, search) {
        // A root on the falling side of the stall is no flight.
        Ok(root) if root.slope.is_nan() || root.slope > 0.0 => root.x,
        Err(NoRoot::Function(error)) => return Err(error.into()),
        _ => scan(excess, model, weight_n)?,
    };
    Ok((angle_rad, model.forces(angle_rad)?))
}

/// Lift and the thrust's part of it, N.
fn carried_n(
    model: &AirframeModel,
    point: &OperatingPoint,
    thrust: ThrustShare,
    angle_rad: f64,
    forces: &AirframeForces,
) -> f64 {
    let line = ThrustLine::new(&point.placement, point, angle_rad);
    let thrust_n = match thrust {
        ThrustShare::Unknown => 0.0,
        ThrustShare::Wanted(thrust_n) => thrust_n,
        ThrustShare::Drag(area_m2) => {
            (model.dynamic_pressure_pa() * area_m2 + forces.drag_of_lift_n) / line.along
        }
    };
    forces.lift_n + thrust_n * line.up
}

/// The lowest root by steps over the whole range.
fn scan(
    excess: impl Fn(f64) -> Result<f64, PointError>,
    model: &AirframeModel,
    weight_n: f64,
) -> Result<f64, TrimError> {
    let mut below = (RANGE_RAD.0, excess(RANGE_RAD.0)?);
    if below.1 > 0.0 {
        return Err(TrimError::TooMuchLift { angle_deg: RANGE_RAD.0.to_degrees(), weight_n });
    }
    let mut most = below.1;
    let mut greatest = (below.0, model.forces(below.0)?.lift_n);
    while below.0 < RANGE_RAD.1 {
        let angle_rad = (below.0 + SCAN_RAD).min(RANGE_RAD.1);
        let here = (angle_rad, excess(angle_rad)?);
        if here.1 >= 0.0 {
            let bounds = (below.0, here.0);
            let search =
                Search { start: here.0, step: here.0 - below.0, bounds, tolerance: TOLERANCE, trials: 60 };
            return Ok(find(excess, search)?.x);
        }
        most = most.max(here.1);
        let lift_n = model.forces(angle_rad)?.lift_n;
        if lift_n > greatest.1 {
            greatest = (angle_rad, lift_n);
        }
        below = here;
    }
    let carried_n = weight_n * (1.0 + most);
    Err(TrimError::Stall {
        greatest_n: greatest.1,
        angle_deg: greatest.0.to_degrees(),
        carried_n,
        weight_n,
        airspeed_m_s: model.airspeed_m_s() * (weight_n / carried_n.max(f64::MIN_POSITIVE)).sqrt(),
    })
}
