//! The order of evaluation of one operating point.

use super::airframe;
use super::assemble::assemble;
use super::attribution::attribution;
use super::balance::{Balanced, balance};
use super::disk_fields::DiskFields;
use super::error::PointError;
use super::input::{OperatingPoint, Suction};
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
