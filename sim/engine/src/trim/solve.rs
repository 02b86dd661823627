//! An operating point as a case asks for it: trimmed, solved, and what it means for the airframe.

use super::error::TrimError;
use super::{Trim, Trimmed, trim};
use crate::point::consequences::{airframe_consequences, hits, pitching_arm_m};
use crate::point::input::OperatingPoint;
use crate::point::result::{PointResult, Scalar, Warning};
use crate::point::{self, Kept};

/// A solved point and how it was trimmed.
#[derive(Debug, Clone)]
pub struct Flown {
    /// The point as solved: angle of attack, speed and pitch as trimmed.
    pub point: OperatingPoint,
    /// Its loads; the summary holds what the trim and the airframe add.
    pub result: PointResult,
    /// The trim, where the case asks for one.
    pub trimmed: Option<Trimmed>,
}

/// Trims, if asked to, and solves an operating point.
///
/// # Errors
/// [`TrimError`] with the limit that was met, or what keeps the point from having an answer.
pub fn solve(point: &OperatingPoint, how: Option<&Trim>) -> Result<Flown, TrimError> {
    solve_keeping(point, how, &mut Kept::for_shares())
}

/// As [`solve`], with what earlier points left.
///
/// # Errors
/// As [`solve`].
pub fn solve_keeping(
    point: &OperatingPoint,
    how: Option<&Trim>,
    kept: &mut Kept,
) -> Result<Flown, TrimError> {
    let trimmed = how.map(|how| trim(point, how, kept)).transpose()?;
    let point = trimmed.as_ref().map_or(point, |trimmed| &trimmed.point).clone();
    let mut result = point::solve_keeping(&point, kept)?;
    if let Some(trimmed) = &trimmed {
        let scalars = trimmed.scalars(&result);
        result.summary.extend(scalars);
        result.warnings.extend(trimmed.warnings());
    }
    let mut blades_hit = add_consequences(None, &point, &mut result);
    // Blades of every propeller keep clear of structure and ground, and every thrust line has its arm.
    let solved = result.airframe.iter_mut().flat_map(|airframe| &mut airframe.further);
    for (one, solved) in point.further.iter().zip(solved) {
        blades_hit.extend(add_consequences(Some(&one.name), &point.with_only(one), &mut solved.result));
    }
    result.warnings.extend(blades_hit);
    Ok(Flown { point, result, trimmed })
}

/// Adds what the placement of one propeller means for the airframe; returns what its blades hit.
fn add_consequences(name: Option<&str>, point: &OperatingPoint, result: &mut PointResult) -> Vec<Warning> {
    let consequences = airframe_consequences(point);
    let blades_hit = hits(name, &consequences);
    result.summary.extend(consequences);
    result.summary.extend(thrust_line_moment(point, result));
    blades_hit
}

/// Nose-up moment of the mean thrust about the centre of gravity.
fn thrust_line_moment(point: &OperatingPoint, result: &PointResult) -> Option<Scalar> {
    let about_m = point.airframe.centre_of_gravity_m.as_ref()?;
    Some(Scalar {
        name: "thrust_line_moment_n_m".into(),
        unit: "N m",
        long_name: "moment of the mean thrust about the centre of gravity, nose up positive".into(),
        value: result.scalar("thrust_n")? * pitching_arm_m(point, about_m),
    })
}
