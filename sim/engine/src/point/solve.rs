//! The order of evaluation of one operating point.

use std::sync::Arc;

use super::ahead::Ahead;
use super::airframe;
use super::assemble::{assemble, mean_thrust_and_torque};
use super::attribution::attribution;
use super::balance::{Balanced, balance, balance_roughly};
use super::disk_fields::DiskFields;
use super::error::PointError;
use super::input::{OperatingPoint, Suction, SurfaceWake};
use super::kept::Kept;
use super::result::PointResult;
use super::setup::Setup;
use super::suction_limits::add_suction_limits;
use crate::inflow::InflowSource;

/// Solves one operating point: the propeller, where wakes are drawn in also at the two limits of suction, further
/// propellers, and the sum of all at the airframe.
///
/// # Errors
/// [`PointError`] when an annulus does not settle or a surface's circulation cannot be found.
pub fn solve(point: &OperatingPoint) -> Result<PointResult, PointError> {
    solve_keeping(point, &mut Kept::default())
}

/// As [`solve`], with what earlier points left.
///
/// # Errors
/// As [`solve`].
pub fn solve_keeping(point: &OperatingPoint, kept: &mut Kept) -> Result<PointResult, PointError> {
    let setup = kept.setup(point, point.orders(), true)?;
    let (mut result, balanced) = solved_with_shares(&setup, kept)?;
    let surface_sheds = point.surfaces.iter().any(|s| s.wake != SurfaceWake::None);
    let sheds = surface_sheds || point.bodies.iter().any(|b| b.wake);
    if sheds && !point.survey_replaces() && point.solver.suction == Suction::ChordMean {
        add_suction_limits(&setup, &balanced, &mut result);
    }
    result.disk = DiskFields::of_groups(&setup, balanced.groups);
    airframe::add(point, &mut result, kept)?;
    Ok(result)
}

/// Solves the first propeller with the shares of every source, `orders` harmonics kept.
pub(super) fn solve_with_shares(
    point: &OperatingPoint,
    orders: usize,
    kept: &mut Kept,
) -> Result<PointResult, PointError> {
    let setup = kept.setup(point, orders, true)?;
    let (mut result, balanced) = solved_with_shares(&setup, kept)?;
    result.disk = DiskFields::of_groups(&setup, balanced.groups);
    Ok(result)
}

fn solved_with_shares(setup: &Setup, kept: &mut Kept) -> Result<(PointResult, Balanced), PointError> {
    let balanced = kept.balance(setup)?;
    let mut result = assemble(setup, &balanced.groups);
    result.attribution = attribution(setup, &balanced.groups, &result);
    Ok((result, balanced))
}

/// Solves one operating point as its solver keys say, nothing else.
///
/// # Errors
/// As [`solve`].
pub fn solve_once(point: &OperatingPoint) -> Result<PointResult, PointError> {
    solve_once_keeping(point, &mut Kept::default())
}

/// As [`solve_once`], with what earlier points left.
///
/// # Errors
/// As [`solve`].
pub fn solve_once_keeping(point: &OperatingPoint, kept: &mut Kept) -> Result<PointResult, PointError> {
    let setup = kept.setup(point, point.orders(), false)?;
    let balanced = kept.balance(&setup)?;
    Ok(solved_plainly(&setup, balanced))
}

/// As [`solve_once`], with further inflow sources beside the surfaces of the point.
///
/// # Errors
/// As [`solve`].
pub fn solve_with(
    point: &OperatingPoint,
    extra: Vec<Box<dyn InflowSource>>,
) -> Result<PointResult, PointError> {
    let ahead = Ahead::new(point, extra, None)?;
    let setup = Setup::behind(point, Arc::new(ahead), point.orders());
    let balanced = balance(&setup)?;
    Ok(solved_plainly(&setup, balanced))
}

fn solved_plainly(setup: &Setup, balanced: Balanced) -> PointResult {
    let mut result = assemble(setup, &balanced.groups);
    result.disk = DiskFields::of_groups(setup, balanced.groups);
    result
}

/// About the mean thrust of the propeller of a point, N, as [`solve`] gives it: on few azimuths, which takes a tenth. Wakes narrower than
/// their spacing are averaged over it, so that the mean thrust stays within about a hundredth.
///
/// # Errors
/// As [`solve`].
pub fn rough_thrust_n(point: &OperatingPoint, orders: usize, kept: &mut Kept) -> Result<f64, PointError> {
    let setup = kept.setup_searching(point, orders)?;
    let (thrust_n, _) = mean_thrust_and_torque(&setup, &balance_roughly(&setup)?);
    Ok(thrust_n)
}

/// Mean thrust, N, and shaft power, W, of the propeller of a point, as [`solve`] gives them with `orders` harmonics; its balance is kept
/// for that.
///
/// # Errors
/// As [`solve`].
pub fn mean_thrust_and_power(
    point: &OperatingPoint,
    orders: usize,
    kept: &mut Kept,
) -> Result<(f64, f64), PointError> {
    let setup = kept.setup_searching(point, orders)?;
    let balanced = kept.balance(&setup)?;
    let (thrust_n, torque_n_m) = mean_thrust_and_torque(&setup, &balanced.groups);
    kept.keep(&setup, balanced);
    Ok((thrust_n, torque_n_m * point.propeller.speed_rad_s))
}
