//! NP thrust at the limits of how the propeller's suction shapes the wakes: its uncertainty.
//!
//! Where along the chord the boundary layer meets the propeller's suction decides how deep the wake is: made far ahead at the
//! undisturbed speed, or at the trailing edge under full suction. The truth lies between.
//!
//! A limit lies near the answer, from which its balance starts. The thinned grid settles there, the full grid is swept once, and the
//! thinned one settles again with what that tells ([`super::balance`]). What the thrust still moves by on the thinned grid is added to
//! that of the one full sweep: the move is small, and what the thinned grid lacks of it smaller still. The full grid is not swept
//! again to see that it is in balance.

use std::sync::Arc;

use realfft::num_complex::Complex64;

use super::ahead::Ahead;
use super::assemble::passage_thrust_n;
use super::balance::{Balanced, Grid, balance, on_full_grid, settle_corrected, settle_first, stride};
use super::disk_state::{Asked, DiskState};
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
    let groups = answer.groups.iter().map(|group| group.limited(limit)).collect();
    let mut full = Grid::new(setup, groups, setup.point.solver.tolerance.max(TOLERANCE));
    let mut disk = answer.disk.clone();
    disk.iter_mut().for_each(DiskState::uncorrected);
    let Some(stride) = stride(setup) else {
        let balanced = on_full_grid(setup, full, disk)?;
        return Ok(Some(passage_thrust_n(setup, &balanced.groups)));
    };
    let mut thinned = full.thinned(setup, stride);
    thinned.evaluate(setup, disk.as_ref())?;
    if !settle_first(setup, &mut thinned, &mut disk)? {
        return Ok(None);
    }
    full.follow(setup, &thinned, disk.as_ref())?;
    let swept_n = passage_thrust_n(setup, &full.groups);
    let before_n = passage_thrust_n(setup, &thinned.groups);
    let asked = disk.as_ref().map(|_| Asked::new(setup, &full.groups));
    if !settle_corrected(setup, &mut thinned, full.groups.iter().map(Some), (&mut disk, asked))? {
        return Ok(None);
    }
    Ok(Some(swept_n + passage_thrust_n(setup, &thinned.groups) - before_n))
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
