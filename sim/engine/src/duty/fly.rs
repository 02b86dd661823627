//! Every segment of a duty cycle, trimmed and computed.

use rayon::prelude::*;

use super::input::{DutyCycle, Segment};
use super::result::SegmentState;
use crate::point::input::OperatingPoint;
use crate::point::result::{HubLoad, PointResult};
use crate::point::{Kept, solve_once_keeping};
use crate::trim::{TrimError, trim};

/// A segment as flown.
#[derive(Debug, Clone)]
pub struct FlownSegment {
    /// What it is and how it is flown.
    pub state: SegmentState,
    /// The point as trimmed.
    pub point: OperatingPoint,
    /// Its loads, without shares and without the limits of suction.
    pub result: PointResult,
}

/// The segments that cannot be flown, with the reason of each.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyError {
    /// Name and reason.
    pub segments: Vec<(String, TrimError)>,
}

impl std::fmt::Display for DutyError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (index, (name, reason)) in self.segments.iter().enumerate() {
            let line = if index == 0 { "" } else { "\n" };
            write!(f, "{line}segment `duty.segment.{name}` cannot be flown: {reason}")?;
        }
        write!(f, "\n  hint: change its airspeed, mass or thrust, or what `[trim]` may adjust")
    }
}

impl std::error::Error for DutyError {}

/// Flies all segments; none depends on another.
///
/// # Errors
/// [`DutyError`] with every segment that cannot be trimmed or has no answer.
pub fn fly(duty: &DutyCycle) -> Result<Vec<FlownSegment>, DutyError> {
    let all: Vec<Result<FlownSegment, TrimError>> = duty.segments.par_iter().map(fly_segment).collect();
    let mut flown = Vec::with_capacity(all.len());
    let mut segments = Vec::new();
    for (segment, outcome) in duty.segments.iter().zip(all) {
        match outcome {
            Ok(one) => flown.push(one),
            Err(reason) => segments.push((segment.name.clone(), reason)),
        }
    }
    if segments.is_empty() { Ok(flown) } else { Err(DutyError { segments }) }
}

fn fly_segment(segment: &Segment) -> Result<FlownSegment, TrimError> {
    let mut kept = Kept::default();
    let point = match &segment.trim {
        Some(how) => trim(&segment.point, how, &mut kept)?.point,
        None => segment.point.clone(),
    };
    let result = solve_once_keeping(&point, &mut kept)?;
    let mean = |load| result.hub(load).harmonics.phasor(0).re;
    let state = SegmentState {
        name: segment.name.clone(),
        duration_s: segment.duration_s,
        repeats: segment.repeats,
        airspeed_m_s: point.flight.airspeed_m_s,
        altitude_m: point.flight.altitude_m,
        angle_of_attack_rad: point.flight.angle_of_attack_rad,
        speed_rad_s: point.propeller.speed_rad_s,
        pitch_offset_rad: point.propeller.pitch_offset_rad,
        thrust_n: mean(HubLoad::Thrust),
        torque_n_m: mean(HubLoad::Torque),
        warnings: result.warnings.clone(),
    };
    Ok(FlownSegment { state, point, result })
}
