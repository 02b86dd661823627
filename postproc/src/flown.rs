//! The state that a result belongs to: that of the case, or what trim has found.

use std::f64::consts::TAU;

use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::point::result::PointResult;
use wakebeat_engine::record::FieldRecord;

/// The point in the state that a run was solved at.
pub(crate) fn run_as_flown(result: &PointResult, point: &OperatingPoint) -> OperatingPoint {
    let mut flown = point.clone();
    if let Some(angle_rad) = result.scalar("angle_of_attack_rad") {
        flown.flight.angle_of_attack_rad = angle_rad;
    }
    if let Some(rpm) = result.scalar("speed_rpm") {
        flown.propeller.speed_rad_s = rpm * TAU / 60.0;
    }
    if let Some(pitch_rad) = result.scalar("pitch_offset_rad") {
        flown.propeller.pitch_offset_rad = pitch_rad;
    }
    flown
}

/// The point in the state that a mount's response belongs to.
pub(crate) fn mount_as_flown(record: &FieldRecord, point: &OperatingPoint) -> OperatingPoint {
    let found = |name: &str| record.numbers(&format!("mount/response/{name}")).first().copied();
    let mut flown = point.clone();
    if let Some(rpm) = found("shaft_speed_rpm") {
        flown.propeller.speed_rad_s = rpm * TAU / 60.0;
    }
    if let Some(airspeed_m_s) = found("airspeed_m_s") {
        flown.flight.airspeed_m_s = airspeed_m_s;
    }
    if let Some(angle_rad) = found("angle_of_attack_rad") {
        flown.flight.angle_of_attack_rad = angle_rad;
    }
    flown
}
