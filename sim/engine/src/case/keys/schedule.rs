//! Keys of a schedule in time.

use super::{KeySpec, Kind, Range};

pub(super) fn keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("schedule.NAME", name, Kind::Number(range), unit);
    vec![
        KeySpec::text("schedule.NAME", "name", Kind::Name).doc("Name of the row, unique over the schedule."),
        number("time_s", Range::closed(0.0, 1e6), "s").doc(
            "When the state below holds; larger than that of the row before. Between two rows everything follows a \
             straight line, so that a step is two rows close together.",
        ),
        number("speed_rpm", Range::above(0.0, 1e6), "rpm").or_absent().doc(
            "Shaft speed; without it that of [propeller]. An nP line passes n times this frequency.",
        ),
        number("airspeed_m_s", Range::closed(0.0, 1000.0), "m/s")
            .or_absent()
            .doc("Airspeed; without it that of [flight]. A sudden rise is a gust along the path."),
        number("angle_of_attack_deg", Range::closed(-90.0, 90.0), "deg")
            .or_absent()
            .doc("Angle of attack; without it that of [flight]. A sudden rise is a gust from below."),
        number("flap_change_deg", Range::closed(-60.0, 60.0), "deg").or("0.0").doc(
            "Added to the deflection of every flap. More deflection deepens the flap's wake.",
        ),
        KeySpec::text("schedule.NAME", "record", Kind::Boolean)
            .or("false")
            .doc("Whether full histories are kept from here to the next row; harmonics are kept for every revolution."),
    ]
}
