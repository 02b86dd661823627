//! A case sized from beginning to end: segments flown, loads counted, limit loads worked out.

use wakebeat_engine::case::{Case, LimitSpec};
use wakebeat_engine::duty::fly::{DutyError, FlownSegment, fly};
use wakebeat_engine::duty::isolators::isolator_loads;
use wakebeat_engine::duty::loads::{DutyLoad, hub_loads};
use wakebeat_engine::limit::combined::{alternating_n, combined};
use wakebeat_engine::limit::input::{Power, PowerSource};
use wakebeat_engine::limit::{CombinedLoad, LimitError, LimitLoads, from_mount, limit_loads};
use wakebeat_engine::mount::MountError;
use wakebeat_engine::mount::input::Mount;
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::trim::{self, TrimError};

use super::{SizingData, SizingError, size};

/// Why a case cannot be sized.
#[derive(Debug, thiserror::Error)]
pub enum RunError {
    /// Segments that cannot be flown.
    #[error(transparent)]
    Duty(#[from] DutyError),
    /// A segment meets an undamped mode of the mount.
    #[error("mount under the loads of the duty cycle: {0}")]
    Mount(#[from] MountError),
    /// A load cannot be counted.
    #[error(transparent)]
    Sizing(#[from] SizingError),
    /// The limit loads cannot be shared.
    #[error(transparent)]
    Limit(#[from] LimitError),
    /// The operating point that stands for take-off cannot be flown.
    #[error("operating point of the limit loads: {0}")]
    Point(#[from] TrimError),
}

/// Sizes the mount of a case: spectra where it has a duty cycle, limit loads where it asks for them.
///
/// # Errors
/// [`RunError`] with every segment that cannot be flown, or what else is in the way.
pub fn size_case(case: &Case) -> Result<SizingData, RunError> {
    let flown = case.duty.as_ref().map(fly).transpose()?.unwrap_or_default();
    let mut loads = hub_loads(&flown.iter().map(|segment| &segment.result).collect::<Vec<_>>());
    if let (Some(mount), false) = (&case.mount, flown.is_empty()) {
        loads.extend(isolator_loads(mount, &flown)?);
    }
    let limit = match (&case.limit, &case.mount) {
        (Some(spec), Some(mount)) => Some(limit_of(case, spec, mount, &flown, &loads)?),
        _ => None,
    };
    let states = flown.into_iter().map(|segment| segment.state).collect();
    let duty = case.duty.as_ref().map(|duty| size(duty, states, &loads)).transpose()?;
    Ok(SizingData { duty, limit })
}

fn limit_of(
    case: &Case,
    spec: &LimitSpec,
    mount: &Mount,
    flown: &[FlownSegment],
    loads: &[DutyLoad],
) -> Result<(LimitLoads, Vec<CombinedLoad>), RunError> {
    let most = most_torque(case, spec, flown)?;
    let takeoff = power(&spec.takeoff, flown).unwrap_or(most);
    let continuous = power(&spec.continuous, flown).unwrap_or(takeoff);
    let plant = from_mount::plant(mount, &case.point.placement);
    let supports = from_mount::supports(mount);
    let limit = limit_loads(&spec.factors, &plant, &supports, takeoff, continuous)?;
    let samples = case.duty.as_ref().map_or(0, |duty| duty.samples);
    let alternating: Vec<f64> = mount
        .isolators
        .iter()
        .map(|isolator| {
            let axes = ["x", "y", "z"].map(|axis| format!("{}_{axis}", isolator.name));
            let found = axes.map(|name| loads.iter().find(|load| load.name == name));
            let [Some(x), Some(y), Some(z)] = found else { return 0.0 };
            let segments = x.segments.iter().zip(&y.segments).zip(&z.segments);
            segments.map(|((x, y), z)| alternating_n([x, y, z], samples)).fold(0.0, f64::max)
        })
        .collect();
    let combined = combined(&limit, &alternating);
    Ok((limit, combined))
}

fn power_of(flown: &FlownSegment) -> Power {
    let state = &flown.state;
    Power { thrust_n: state.thrust_n, torque_n_m: state.torque_n_m, speed_rad_s: state.speed_rad_s }
}

/// Power of a source; none where it is to be looked for.
fn power(source: &PowerSource, flown: &[FlownSegment]) -> Option<Power> {
    match source {
        PowerSource::Given(power) => Some(*power),
        PowerSource::Segment(name) => flown.iter().find(|segment| segment.state.name == *name).map(power_of),
        PowerSource::Largest => None,
    }
}

/// The segment with most torque; without segments the operating point of the case, where it is needed.
fn most_torque(case: &Case, spec: &LimitSpec, flown: &[FlownSegment]) -> Result<Power, RunError> {
    let most = flown.iter().max_by(|a, b| a.state.torque_n_m.total_cmp(&b.state.torque_n_m));
    if let Some(segment) = most {
        return Ok(power_of(segment));
    }
    if let PowerSource::Given(power) = &spec.takeoff {
        return Ok(*power);
    }
    let flown = trim::solve(&case.point, case.trim.as_ref())?;
    let mean = |load| flown.result.hub(load).harmonics.phasor(0).re;
    Ok(Power {
        thrust_n: mean(HubLoad::Thrust),
        torque_n_m: mean(HubLoad::Torque),
        speed_rad_s: flown.point.propeller.speed_rad_s,
    })
}
