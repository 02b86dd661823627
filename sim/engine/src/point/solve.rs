//! The order of evaluation of one operating point.

use super::airframe;
use super::assemble::{assemble, passage_thrust_n};
use super::attribution::attribution;
use super::balance::{Balanced, balance, balance_at_limit};
use super::disk_fields::DiskFields;
use super::error::PointError;
use super::input::{OperatingPoint, Suction};
use super::result::{HubLoad, LoadHistory, PointResult, Scalar, Warning};
use super::setup::Setup;
use crate::inflow::InflowSource;

/// Spread of NP thrust between the limits of suction, relative to the answer, above which it is told.
const TELLING_SPREAD: f64 = 0.2;

/// Solves one operating point: the propeller, where wakes are drawn in also at the two limits of suction, further
/// propellers, and the sum of all at the airframe.
///
/// # Errors
/// [`PointError`] when an annulus does not settle or a surface's circulation cannot be found.
pub fn solve(point: &OperatingPoint) -> Result<PointResult, PointError> {
    let mut setup = Setup::new(point, Vec::new())?;
    let (mut result, balanced) = solved_with_shares(&mut setup)?;
    let surface_sheds = point.surfaces.iter().any(|s| s.wake != super::input::SurfaceWake::None);
    let sheds = surface_sheds || point.bodies.iter().any(|b| b.wake);
    if sheds && !point.survey_replaces() && point.solver.suction == Suction::ChordMean {
        add_suction_limits(&setup, &balanced, &mut result);
    }
    result.disk = DiskFields::of_groups(&setup, balanced.groups);
    airframe::add(point, &mut result)?;
    Ok(result)
}

/// Solves the first propeller with the shares of every source, `orders` harmonics kept.
pub(super) fn solve_with_shares(point: &OperatingPoint, orders: usize) -> Result<PointResult, PointError> {
    let mut setup = Setup::new(point, Vec::new())?;
    setup.orders = orders;
    let (mut result, balanced) = solved_with_shares(&mut setup)?;
    result.disk = DiskFields::of_groups(&setup, balanced.groups);
    Ok(result)
}

fn solved_with_shares(setup: &mut Setup) -> Result<(PointResult, Balanced), PointError> {
    setup.shares = true;
    let balanced = balance(setup)?;
    let mut result = assemble(setup, &balanced.groups);
    result.attribution = attribution(setup, &balanced.groups, &result);
    Ok((result, balanced))
}

/// Solves one operating point as its solver keys say, nothing else.
///
/// # Errors
/// As [`solve`].
pub fn solve_once(point: &OperatingPoint) -> Result<PointResult, PointError> {
    solve_with(point, Vec::new())
}

/// As [`solve_once`], with further inflow sources beside the surfaces of the point.
///
/// # Errors
/// As [`solve`].
pub fn solve_with(
    point: &OperatingPoint,
    extra: Vec<Box<dyn InflowSource>>,
) -> Result<PointResult, PointError> {
    let setup = Setup::new(point, extra)?;
    let balanced = balance(&setup)?;
    let mut result = assemble(&setup, &balanced.groups);
    result.disk = DiskFields::of_groups(&setup, balanced.groups);
    Ok(result)
}

/// Adds NP thrust at the two limits of suction, and a warning where they are far apart.
///
/// Where along the chord the boundary layer meets the propeller's suction decides how deep the wake
/// is: made far ahead at the undisturbed speed, or at the trailing edge under full suction. The truth lies between. A limit
/// may lie outside what the annuli can carry (at low speed and full suction the wake stops the flow); that is told, and the
/// answer stands.
fn add_suction_limits(setup: &Setup, answer: &Balanced, result: &mut PointResult) {
    let order = setup.point.propeller.blade_count;
    let mut limits = Vec::new();
    for (suction, name, words) in [
        (Suction::Far, "far", "wake made at the undisturbed edge speed"),
        (Suction::TrailingEdge, "trailing_edge", "wake made at the trailing edge's speed under suction"),
    ] {
        match passage_thrust_at_limit_n(setup, answer, suction) {
            Ok(value) => {
                limits.push(value);
                result.summary.push(Scalar {
                    name: format!("thrust_np_suction_{name}_n"),
                    unit: "N",
                    long_name: format!("NP thrust amplitude, {words}"),
                    value,
                });
            }
            Err(error) => result.warnings.push(Warning {
                name: "suction_limit_missing",
                text: format!("the limit of suction \"{name}\" has no answer here: {error}"),
            }),
        }
    }
    let thrust = result.hub(HubLoad::Thrust);
    let spread = suction_spread(thrust.harmonics.amplitude[order], &limits, thrust);
    result.warnings.extend(spread);
}

/// NP thrust at a limit of suction, N: from the balance of the answer, which lies near, else from the mean flow.
fn passage_thrust_at_limit_n(setup: &Setup, answer: &Balanced, limit: Suction) -> Result<f64, PointError> {
    if let Ok(balanced) = balance_at_limit(setup, answer, limit) {
        return Ok(passage_thrust_n(setup, &balanced.groups));
    }
    let mut point = setup.point.clone();
    point.solver.suction = limit;
    let setup = Setup::new(&point, Vec::new())?;
    Ok(passage_thrust_n(&setup, &balance(&setup)?.groups))
}

/// A remark where NP thrust differs much between the limits.
fn suction_spread(answer: f64, limits: &[f64], thrust: &LoadHistory) -> Option<Warning> {
    let [far, edge] = *limits else { return None };
    let spread = (edge - far).abs() / answer.abs().max(f64::MIN_POSITIVE);
    // Below a ten-thousandth of the mean there is no NP thrust to speak of, and its spread is noise.
    let telling = spread > TELLING_SPREAD && answer > 1e-4 * thrust.harmonics.amplitude[0].abs();
    telling.then(|| Warning {
        name: "suction_spread",
        text: format!(
            "NP thrust is {answer:.3} N, {:.3} to {:.3} N between the limits of how the propeller's suction \
             shapes the wake ({:.0} % spread): take the spread as its uncertainty",
            far.min(edge),
            far.max(edge),
            100.0 * spread
        ),
    })
}
