//! Further propellers, and the loads of all propellers on the airframe.
//!
//! Every propeller is solved by itself in the field of the same surfaces and bodies. What propellers do to each other in the air
//! is left out: the slipstream of one that runs into the disk of another, the air that a disk draws sideways from its
//! neighbour, and the change that a slipstream makes to surfaces it washes. `neighbours` says with figures where the first two matter.

mod centre;
mod neighbours;
mod sum;
#[cfg(test)]
mod tests;

use ndarray::Array2;

use super::error::PointError;
use super::input::{FurtherPropeller, OperatingPoint};
use super::kept::Kept;
use super::result::{HubLoad, LoadHistory, PointResult, Scalar, Warning};
use super::solve::solve_with_shares;

/// Loads on the airframe, in the order of the result file: those of a hub but for the shaft torque, which is part of the
/// moments.
pub const AIRFRAME_LOADS: [HubLoad; 6] = [
    HubLoad::Thrust,
    HubLoad::SideForce,
    HubLoad::VerticalForce,
    HubLoad::RollingMoment,
    HubLoad::PitchingMoment,
    HubLoad::YawingMoment,
];

/// Phases of a revolution at which sums are told; blade passages of up to 12 blades have six phases or more each.
pub const PHASES: usize = 72;

/// Further propellers and what all of them do to the airframe.
#[derive(Debug, Clone)]
pub struct AirframeResult {
    /// Further propellers, in the order of the case.
    pub further: Vec<FurtherResult>,
    /// Sums at the centre of gravity; `None` where it is not known.
    pub sums: Option<AirframeSums>,
}

/// What a further propeller yields.
#[derive(Debug, Clone)]
pub struct FurtherResult {
    /// Its name.
    pub name: String,
    /// Its loads over its own azimuth; it has no airframe of its own, and its remarks are among those of the first.
    pub result: PointResult,
}

/// Loads of all propellers about the centre of gravity, in aircraft axes with the signs of hub loads.
///
/// Orders are cycles per revolution of the first propeller. With speed ratios off 1 the amplitudes are those of the
/// instant at which the phases are as given; in time they run between `least` and `greatest`.
#[derive(Debug, Clone, PartialEq)]
pub struct AirframeSums {
    /// Over the first propeller's revolution that begins with the phases as given, in the order of [`AIRFRAME_LOADS`].
    pub loads: Vec<LoadHistory>,
    /// Greatest amplitude over all phases of the further propellers, for each load and order (K); the mean at order 0.
    pub greatest: Vec<Vec<f64>>,
    /// Least amplitude over all phases, likewise.
    pub least: Vec<Vec<f64>>,
    /// Phases of one further propeller, rad (P); none without further propellers.
    pub phase_rad: Vec<f64>,
    /// For each further propeller: amplitudes (P, K) of each load while it takes every phase and the others keep theirs.
    pub by_phase: Vec<Vec<Array2<f64>>>,
}

impl AirframeSums {
    /// Place of a load in [`AIRFRAME_LOADS`]; `None` for the shaft torque.
    #[must_use]
    pub fn place(load: HubLoad) -> Option<usize> {
        AIRFRAME_LOADS.iter().position(|one| *one == load)
    }
}

/// Adds further propellers, sums, their scalars and remarks to the result of the first propeller.
pub(super) fn add(
    point: &OperatingPoint,
    result: &mut PointResult,
    kept: &mut Kept,
) -> Result<(), PointError> {
    let centre_m = point.airframe.centre_of_gravity_m;
    if point.further.is_empty() && centre_m.is_none() {
        return Ok(());
    }
    let further = point
        .further
        .iter()
        .map(|one| solve_further(point, one, &mut result.warnings, kept))
        .collect::<Result<Vec<_>, _>>()?;
    result.warnings.extend(neighbours::warnings(point, result, &further));
    let sums = centre_m.map(|centre_m| sum::sums(point, &centre_m, result, &further));
    if let Some(sums) = &sums {
        result.summary.extend(scalars(point, sums, result.blade_count));
    }
    result.airframe = Some(AirframeResult { further, sums });
    Ok(())
}

/// Solves a further propeller; its remarks go to `warnings` under its name, those that the first made too left out.
fn solve_further(
    point: &OperatingPoint,
    further: &FurtherPropeller,
    warnings: &mut Vec<Warning>,
    kept: &mut Kept,
) -> Result<FurtherResult, PointError> {
    let name = further.name.clone();
    let mut result = solve_with_shares(&point.with_only(further), point.orders(), kept)
        .map_err(|reason| PointError::Further { name: name.clone(), reason: Box::new(reason) })?;
    for warning in result.warnings.drain(..) {
        if !warnings.iter().any(|known| known.text == warning.text) {
            warnings
                .push(Warning { name: warning.name, text: format!("propeller `{name}`: {}", warning.text) });
        }
    }
    Ok(FurtherResult { name, result })
}

/// Means, NP amplitudes with their range over all phases, peak-to-peak, and the beats.
fn scalars(point: &OperatingPoint, sums: &AirframeSums, blade_count: usize) -> Vec<Scalar> {
    let mut list = Vec::new();
    for (place, load) in AIRFRAME_LOADS.into_iter().enumerate() {
        let suffix = load.key().strip_prefix(load.name()).unwrap_or("_n");
        let history = &sums.loads[place];
        let (low, high) = range(&history.history);
        let np = |row: &[f64]| row.get(blade_count).copied().unwrap_or(0.0);
        let mut add = |what: &str, words: &str, value: f64| {
            list.push(Scalar {
                name: format!("airframe_{}_{what}{suffix}", load.name()),
                unit: load.unit(),
                long_name: format!("{words} at the centre of gravity: {}", load.long_name()),
                value,
            });
        };
        add("mean", "mean of the sum", history.harmonics.amplitude[0]);
        add("np", "amplitude at blade-passage frequency of the sum", np(&history.harmonics.amplitude));
        add("peak_to_peak", "peak-to-peak over a revolution of the sum", high - low);
        if !point.further.is_empty() {
            add("np_greatest", "greatest blade-passage amplitude over all phases", np(&sums.greatest[place]));
            add("np_least", "least blade-passage amplitude over all phases", np(&sums.least[place]));
        }
    }
    for further in &point.further {
        let passages = blade_count as f64 * point.propeller.speed_rad_s / std::f64::consts::TAU;
        list.push(Scalar {
            name: format!("{}_beat_np_hz", further.name),
            unit: "Hz",
            long_name: format!(
                "beat at blade-passage frequency between the first propeller and {}; 0 where speeds are equal",
                further.name
            ),
            value: passages * (further.speed_ratio - 1.0).abs(),
        });
    }
    list
}

fn range(values: &[f64]) -> (f64, f64) {
    values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)))
}
