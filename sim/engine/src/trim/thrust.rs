//! Shaft speed or pitch that meets a thrust.
//!
//! The thrust is that of all propellers as [`ThrustSum`] counts it, N: further ones follow the shaft speed of the first by their ratio,
//! and its pitch where they have none of their own.

use super::error::TrimError;
use super::root::{NoRoot, Root, Search, find};
use super::shafts::ThrustSum;
use super::{By, Trim};
use crate::air::standard_air;
use crate::point::input::{FurtherPropeller, OperatingPoint};
use crate::point::result::PointResult;
use crate::point::{Kept, PointError, mean_thrust_and_power, rough_thrust_n};

/// Residual over the thrust wanted that the search aims at.
const AIM: f64 = 1e-7;

/// Residual that still counts as met.
const MOST_RESIDUAL: f64 = 1e-6;

/// A wanted thrust near zero is met to this part of the dynamic pressure on the disk: the scale of what is left over.
const LEAST_SCALE: f64 = 1e-3;

/// Secants from the rough answer before the search starts anew with the case's own grid.
const MOST_SECANTS: usize = 6;

/// How much more closely a point is solved whose thrust has a step where it is wanted, and the limit of that.
const CLOSER: f64 = 1e-3;
const LEAST_TOLERANCE: f64 = 1e-12;

/// Parts that a range is cut into where a search from the first guess reached its end.
const RANGE_PARTS: u32 = 16;

/// Most trials of a search.
const MOST_TRIALS: usize = 40;

/// How far pitch or speed may move in the first step of a search, over the range or the start.
const FIRST_SPEED_STEP: f64 = 0.05;
const FIRST_PITCH_STEP_RAD: f64 = 0.02;

/// What met the thrust.
#[derive(Debug, Clone)]
pub(super) struct Met {
    /// The point with its speed or pitch.
    pub point: OperatingPoint,
    /// Mean thrust of each propeller along its shaft, the first one's first, N.
    pub thrusts_n: Vec<f64>,
    /// Solutions of the operating point that it took, rough and full.
    pub solves: (usize, usize),
}

/// A thrust to be met.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// How the thrusts of all propellers add to it.
    pub sum: &'a ThrustSum,
    /// N.
    pub thrust_n: f64,
}

impl Wanted<'_> {
    /// What the thrusts of all propellers, each along its shaft, give beyond it, N.
    fn miss_n(&self, thrusts_n: &[f64]) -> f64 {
        self.sum.of_n(thrusts_n) - self.thrust_n
    }
}

/// Meets a thrust by the shaft speed or the pitch, starting from those of the case.
///
/// First the same model on few azimuths ([`rough_thrust_n`]) finds where thrust lies and how steeply it grows; then
/// secants on the case's own grid, two or three as a rule. The same steps every time, from this case alone.
///
/// A point that settles one iteration sooner or later than its neighbours leaves a step in thrust, of 1e-5 at times; where the
/// thrust wanted lies on it, the point is solved more closely, and stays so.
///
/// # Errors
/// [`TrimError`] naming the limit that was met.
pub(super) fn meet(
    point: &OperatingPoint,
    trim: &Trim,
    wanted: Wanted,
    kept: &mut Kept,
) -> Result<Met, TrimError> {
    match meet_once(point, trim, wanted, kept) {
        Err(TrimError::NotSettled { .. }) if point.solver.tolerance > LEAST_TOLERANCE => {
            let mut closer = point.clone();
            closer.solver.tolerance = (CLOSER * point.solver.tolerance).max(LEAST_TOLERANCE);
            meet_once(&closer, trim, wanted, kept)
        }
        met => met,
    }
}

fn meet_once(point: &OperatingPoint, trim: &Trim, wanted: Wanted, kept: &mut Kept) -> Result<Met, TrimError> {
    let bounds = bounds(point, trim.by);
    let scale_n = scale_n(point, wanted.thrust_n);
    let mut solves = (0, 0);
    let mut last = Thrusts::default();
    let rough = {
        let trial = |x: f64| {
            solves.0 += 1;
            thrusts_roughly_n(&with(point, trim.by, x), kept).map(|found_n| wanted.miss_n(&found_n) / scale_n)
        };
        find(trial, search(point, trim.by, bounds, 1e-4))
    };
    let mut trial = |x: f64| {
        solves.1 += 1;
        last = Thrusts::of(&with(point, trim.by, x), kept)?;
        Ok(wanted.miss_n(&last.along_shafts_n) / scale_n)
    };
    let root = match rough.ok().and_then(|root| polish(&mut trial, root, bounds)) {
        Some(root) => root,
        None => match find(&mut trial, search(point, trim.by, bounds, AIM)) {
            Ok(root) => root,
            Err(NoRoot::Function(error)) => return Err(error.into()),
            Err(NoRoot::NotSettled { x, residual }) if residual.abs() <= MOST_RESIDUAL => {
                trial(x)?;
                Root { x, residual, slope: f64::NAN }
            }
            Err(NoRoot::NotSettled { residual, .. }) => return Err(TrimError::NotSettled { residual }),
            Err(NoRoot::OutOfReach { x, residual, bound }) => {
                // From a start past the stall thrust falls with pitch where the search takes it to grow.
                let by_pitch = matches!(trim.by, By::Pitch { .. });
                let mut kept = Kept::default();
                let mut roughly = |x: f64| {
                    thrusts_roughly_n(&with(point, trim.by, x), &mut kept)
                        .map(|found_n| wanted.miss_n(&found_n))
                };
                let Some(between) = by_pitch.then(|| rising(&mut roughly, bounds)).flatten() else {
                    return Err(TrimError::Thrust {
                        limit: limit_words(trim.by, bound, bounds),
                        wanted_n: wanted.thrust_n,
                        reached_n: wanted.thrust_n + residual * scale_n,
                        at: in_words(trim.by, x),
                    });
                };
                root_between(&mut trial, between)?
            }
        },
    };
    if let Some(available_w) = trim.power_max_w
        && last.power_w > available_w
    {
        return Err(TrimError::Power { needed_w: last.power_w, available_w });
    }
    Ok(Met { point: with(point, trim.by, root.x), thrusts_n: last.along_shafts_n, solves })
}

/// The lowest part of a range, cut evenly, over which the rough residual grows through zero, with its neighbours; trials without an answer
/// are passed over.
fn rising(
    trial: &mut impl FnMut(f64) -> Result<f64, PointError>,
    (low, high): (f64, f64),
) -> Option<(f64, f64)> {
    let mut below: Option<f64> = None;
    for part in 0..=RANGE_PARTS {
        let x = low + (high - low) * f64::from(part) / f64::from(RANGE_PARTS);
        match (trial(x), below) {
            (Ok(residual), Some(before)) if residual >= 0.0 => {
                let step = x - before;
                return Some(((before - step).max(low), (x + step).min(high)));
            }
            (Ok(residual), _) => below = (residual < 0.0).then_some(x),
            (Err(_), _) => below = None,
        }
    }
    None
}

/// The root in a part over which the residual grows through zero.
fn root_between(
    trial: &mut impl FnMut(f64) -> Result<f64, PointError>,
    (low, high): (f64, f64),
) -> Result<Root, TrimError> {
    let search =
        Search { start: low, step: high - low, bounds: (low, high), tolerance: AIM, trials: MOST_TRIALS };
    Ok(find(trial, search)?)
}

/// Secants on the full grid from a rough root and its slope; `None` where they do not settle at once. The last trial is
/// the root.
fn polish(
    trial: &mut impl FnMut(f64) -> Result<f64, PointError>,
    rough: Root,
    (low, high): (f64, f64),
) -> Option<Root> {
    let (mut x, mut slope) = (rough.x, rough.slope);
    let mut last: Option<(f64, f64)> = None;
    for _ in 0..MOST_SECANTS {
        let residual = trial(x).ok()?;
        if residual.abs() <= AIM {
            return Some(Root { x, residual, slope });
        }
        if let Some((x_last, residual_last)) = last {
            slope = (residual - residual_last) / (x - x_last);
        }
        let next = x - residual / slope;
        if !(next.is_finite() && slope > 0.0 && (low..=high).contains(&next)) {
            return None;
        }
        last = Some((x, residual));
        x = next;
    }
    None
}

/// What all propellers make.
#[derive(Debug, Default)]
struct Thrusts {
    /// Mean thrust of each along its shaft, the first one's first, N.
    along_shafts_n: Vec<f64>,
    /// Shaft power of all, W.
    power_w: f64,
}

impl Thrusts {
    fn of(point: &OperatingPoint, kept: &mut Kept) -> Result<Self, PointError> {
        let mut power_w = 0.0;
        let along_shafts_n = of_each(point, |one| {
            let (thrust_n, power_of_one_w) = mean_thrust_and_power(one, point.orders(), kept)?;
            power_w += power_of_one_w;
            Ok(thrust_n)
        })?;
        Ok(Self { along_shafts_n, power_w })
    }
}

/// About the mean thrust of each propeller along its shaft, N.
fn thrusts_roughly_n(point: &OperatingPoint, kept: &mut Kept) -> Result<Vec<f64>, PointError> {
    of_each(point, |one| rough_thrust_n(one, point.orders(), kept))
}

/// Thrust of each propeller along its shaft, N, the first one's first.
fn of_each(
    point: &OperatingPoint,
    mut of_one: impl FnMut(&OperatingPoint) -> Result<f64, PointError>,
) -> Result<Vec<f64>, PointError> {
    let mut thrusts_n = vec![of_one(point)?];
    for further in &point.further {
        thrusts_n.push(of_one(&point.with_only(further))?);
    }
    Ok(thrusts_n)
}

fn thrust_n(result: &PointResult) -> f64 {
    result.scalar("thrust_n").unwrap_or(f64::NAN)
}

/// Residual of a computed point, over the scale of thrust; NaN where it lacks a propeller of the point.
pub(super) fn residual(point: &OperatingPoint, result: &PointResult, wanted: Wanted) -> f64 {
    let solved = result.airframe.as_ref().map_or(&[][..], |airframe| &airframe.further);
    let thrusts_n: Vec<f64> =
        std::iter::once(result).chain(solved.iter().map(|one| &one.result)).map(thrust_n).collect();
    wanted.miss_n(&thrusts_n) / scale_n(point, wanted.thrust_n)
}

/// What residuals are counted in, N.
fn scale_n(point: &OperatingPoint, wanted_n: f64) -> f64 {
    let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
    let radius_m = 0.5 * point.propeller.diameter_m;
    let tip_m_s = point.flight.airspeed_m_s.hypot(0.1 * point.propeller.speed_rad_s * radius_m);
    let head_n = 0.5 * air.density_kg_m3 * tip_m_s.powi(2) * std::f64::consts::PI * radius_m.powi(2);
    wanted_n.abs().max(LEAST_SCALE * head_n)
}

fn search(point: &OperatingPoint, by: By, bounds: (f64, f64), tolerance: f64) -> Search {
    let (start, step) = match by {
        By::Speed { .. } => (point.propeller.speed_rad_s, FIRST_SPEED_STEP * point.propeller.speed_rad_s),
        By::Pitch { .. } => (point.propeller.pitch_offset_rad, FIRST_PITCH_STEP_RAD),
    };
    Search { start, step, bounds, tolerance, trials: MOST_TRIALS }
}

/// Least and greatest speed, rad/s, or pitch, rad.
fn bounds(point: &OperatingPoint, by: By) -> (f64, f64) {
    match by {
        By::Pitch { min_rad, max_rad } => (min_rad, max_rad),
        By::Speed { min_rad_s, max_rad_s } => {
            let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
            let radius_m = 0.5 * point.propeller.diameter_m;
            // Of further propellers the radius that has their tip's speed at the first one's shaft speed.
            let reach_m = |one: &FurtherPropeller| {
                0.5 * one.speed_ratio.abs() * one.propeller(&point.propeller).diameter_m
            };
            let fastest_m = point.further.iter().map(reach_m).fold(radius_m, f64::max);
            let sound_m_s = air.speed_of_sound_m_s;
            // Rounded down a little: at the limit itself the tip would count as supersonic.
            let sonic_rad_s = (1.0 - 1e-9)
                * (sound_m_s.powi(2) - point.flight.airspeed_m_s.powi(2)).max(0.0).sqrt()
                / fastest_m;
            let low = min_rad_s.unwrap_or(0.05 * sound_m_s / radius_m).min(sonic_rad_s);
            (low, max_rad_s.unwrap_or(sonic_rad_s).min(sonic_rad_s).max(low))
        }
    }
}

/// The point with another speed, rad/s, or pitch, rad.
fn with(point: &OperatingPoint, by: By, x: f64) -> OperatingPoint {
    let mut point = point.clone();
    match by {
        By::Speed { .. } => point.propeller.speed_rad_s = x,
        By::Pitch { .. } => point.propeller.pitch_offset_rad = x,
    }
    point
}

fn limit_words(by: By, bound: f64, (low, high): (f64, f64)) -> &'static str {
    let upper = (bound - high).abs() < (bound - low).abs();
    match (by, upper) {
        (By::Speed { max_rad_s: Some(_), .. }, true) => "greatest shaft speed",
        (By::Speed { .. }, true) => "tip Mach number 1",
        (By::Speed { .. }, false) => "least shaft speed",
        (By::Pitch { .. }, true) => "greatest pitch offset",
        (By::Pitch { .. }, false) => "least pitch offset",
    }
}

fn in_words(by: By, x: f64) -> String {
    match by {
        By::Speed { .. } => format!("{:.0} rpm", x * 30.0 / std::f64::consts::PI),
        By::Pitch { .. } => format!("{:.2} deg of pitch offset", x.to_degrees()),
    }
}
