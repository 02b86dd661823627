//! NP thrust at the limits of how the propeller's suction shapes the wakes: its uncertainty.
//!
//! Where along the chord the boundary layer meets the propeller's suction decides how deep the wake is: made far ahead at the
//! undisturbed speed, or at the trailing edge under full suction. The truth lies between.
//!
//! A limit lies near the answer, from which its balance starts. The thinned grid that led to the answer ([`super::balance`]) settles there
//! with what it was found to lack at the answer, which changes little, and the full grid is swept once at the induced velocities found.
//! It is not swept again to see that it is in balance: that leaves a few ten-thousandths of NP thrust, two thousandths where a propeller
//! windmills, in what is the spread of an uncertainty.

use std::sync::Arc;

use realfft::num_complex::Complex64;

use super::ahead::Ahead;
use super::assemble::passage_thrust_n;
use super::balance::{Balanced, Grid, balance, on_full_grid};
use super::disk_state::DiskState;
use super::error::PointError;
use super::input::Suction;
use super::result::{HubLoad, LoadHistory, PointResult, Scalar, Warning};
use super::setup::Setup;

/// Spread of NP thrust between the limits, relative to the answer, above which it is told.
const TELLING_SPREAD: f64 = 0.2;

/// Tolerance of the balance at the limits: what they tell is a spread.
const TOLERANCE: f64 = 1e-6;

/// Adds NP thrust at the two limits of suction, and a warning where they are far apart.
///
/// A limit may lie outside what the annuli can carry (at low speed and full suction the wake stops the flow); that is told, and the
/// answer stands.
pub(super) fn add_suction_limits(setup: &Setup, answer: &Balanced, result: &mut PointResult) {
    let order = setup.point.propeller.blade_count;
    let mut limits = Vec::new();
    for (suction, name, words) in [
        (Suction::Far, "far", "wake made at the undisturbed edge speed"),
        (Suction::TrailingEdge, "trailing_edge", "wake made at the trailing edge's speed under suction"),
    ] {
        match at_limit_n(setup, answer, suction) {
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

/// Amplitude of NP thrust at a limit, N: from the answer, which lies near, else from the mean flow.
fn at_limit_n(setup: &Setup, answer: &Balanced, limit: Suction) -> Result<f64, PointError> {
    if let Ok(Some(thrust_n)) = beside_answer_n(setup, answer, limit) {
        return Ok(thrust_n.norm());
    }
    let mut point = setup.point.clone();
    point.solver.suction = limit;
    let ahead = Ahead::new(&point, Vec::new(), None)?;
    let setup = Setup::behind(&point, Arc::new(ahead), setup.orders);
    Ok(passage_thrust_n(&setup, &balance(&setup)?.groups).norm())
}

/// NP thrust at a limit, N, from the balance of the answer; `None` where that does not lead on.
fn beside_answer_n(
    setup: &Setup,
    answer: &Balanced,
    limit: Suction,
) -> Result<Option<Complex64>, PointError> {
    let tolerance = setup.point.solver.tolerance.max(TOLERANCE);
    let mut full = Grid::limited(setup, &answer.groups, limit, tolerance);
    let mut disk = answer.disk.clone();
    let Some(thinned) = &answer.thinned else {
        let balanced = on_full_grid(setup, full, disk)?;
        return Ok(Some(passage_thrust_n(setup, &balanced.groups)));
    };
    let mut thinned = Grid::limited(setup, &thinned.groups, limit, tolerance);
    disk.iter_mut().for_each(DiskState::reopen);
    if !thinned.settle_anew(setup, &mut disk)? {
        return Ok(None);
    }
    full.follow(setup, &thinned, disk.as_ref())?;
    Ok(Some(passage_thrust_n(setup, &full.groups)))
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
