//! The state that a mount's response belongs to: that of the case, or what trim has found.

use std::f64::consts::TAU;

use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::record::FieldRecord;

/// The point in the state that the response belongs to.
pub(crate) fn as_flown(record: &FieldRecord, point: &OperatingPoint) -> OperatingPoint {
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
