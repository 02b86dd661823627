//! Keys of the limit-load cases.

use super::{Choice, Condition, KeySpec, Kind, Range};

const ENGINES: &[Choice] = &[
    Choice::new("electric", "electric motor; no rule lists a torque factor, so it has to be chosen"),
    Choice::new("turboprop", "turbine that drives a propeller: torque factor 1.25"),
    Choice::new(
        "four_stroke",
        "four-stroke piston engine: torque factor 1.33, 2, 3, 4, 8 with 5 or more, 4, 3, 2, 1 cylinders",
    ),
    Choice::new(
        "two_stroke",
        "two-stroke piston engine: torque factor 2, 3, 6 with 3 or more, 2, 1 cylinders",
    ),
];

pub(super) fn keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("limit", name, Kind::Number(range), unit);
    let text = |name, kind| KeySpec::text("limit", name, kind);
    let factor = Range::closed(1.0, 20.0);
    let mut keys = vec![
        number("load_factor", factor, "1").doc(
            "Positive limit manoeuvring load factor at condition A. Former 14 CFR 23.337 asks for 2.1 + 24000/(W + 10000), W \
             in lb, at most 3.8, in the normal category. A larger one loads the mount more.",
        ),
        text("engine", Kind::Choice(ENGINES)).or("\"electric\"").doc("What turns the propeller."),
        number("torque_factor", factor, "1").when(Condition::Is("engine", "electric")).doc(
            "Factor on the mean torque, your choice: no rule lists one for electric motors. Usual are 1.25, as for a turbine, or \
             peak over mean motor torque (common practice).",
        ),
        KeySpec::new("limit", "cylinders", Kind::Integer(Range::closed(1.0, 36.0)), "1")
            .when(Condition::OneOf("engine", &["four_stroke", "two_stroke"]))
            .doc("Number of cylinders; fewer pulse harder."),
        number("side_load_factor", Range::closed(0.0, 20.0), "1").or_absent().doc(
            "Side load factor; without it max(1.33, load_factor/3), former 14 CFR 23.363.",
        ),
        number("pitch_rate_rad_s", Range::closed(0.0, 20.0), "rad/s")
            .or("1.0")
            .doc("Pitch rate of the gyroscopic cases; former 14 CFR 23.371(a)(2) has 1.0."),
        number("yaw_rate_rad_s", Range::closed(0.0, 20.0), "rad/s")
            .or("2.5")
            .doc("Yaw rate of the gyroscopic cases; former 14 CFR 23.371(a)(2) has 2.5. Small agile aircraft exceed it."),
        number("gyroscopic_load_factor", Range::closed(0.0, 20.0), "1")
            .or("2.5")
            .doc("Load factor that goes with these rates; former 14 CFR 23.371(a)(2) has 2.5."),
        text("torque_factor_in_gyroscopic", Kind::Boolean).or("false").doc(
            "Whether the torque factor multiplies the torque in the gyroscopic cases too; the rule does not say. true loads \
             the mount more.",
        ),
        number("ultimate_factor", Range::closed(1.0, 5.0), "1")
            .or("1.5")
            .doc("Ultimate over limit load; former 14 CFR 23.303 has 1.5."),
    ];
    keys.extend(power_keys("takeoff"));
    keys.extend(power_keys("continuous"));
    keys
}

/// Where thrust, torque and shaft speed of a power setting come from.
fn power_keys(setting: &'static str) -> [KeySpec; 4] {
    let [segment, thrust, torque, speed] = match setting {
        "takeoff" => ["takeoff_segment", "takeoff_thrust_n", "takeoff_torque_n_m", "takeoff_speed_rpm"],
        _ => ["continuous_segment", "continuous_thrust_n", "continuous_torque_n_m", "continuous_speed_rpm"],
    };
    let given = Condition::With(thrust);
    let number = |name, range, unit| KeySpec::new("limit", name, Kind::Number(range), unit);
    let words = if setting == "takeoff" {
        "Segment of the duty cycle that stands for take-off power; without it and the thrust the segment with most \
         torque, or the operating point where there is no duty cycle."
    } else {
        "Segment of the duty cycle that stands for maximum continuous power; without it and the thrust that of take-off."
    };
    [
        KeySpec::text("limit", segment, Kind::Name).or_absent().when(Condition::Without(thrust)).doc(words),
        number(thrust, Range::closed(-1e6, 1e6), "N")
            .or_absent()
            .doc("Mean thrust of that power setting, in place of a segment; more loads the mount more."),
        number(torque, Range::closed(-1e6, 1e6), "N m")
            .when(given)
            .doc("Mean shaft torque of that power setting; more loads the mount more."),
        number(speed, Range::above(0.0, 200_000.0), "rpm")
            .when(given)
            .doc("Shaft speed of that power setting; gyroscopic loads grow with it."),
    ]
}
