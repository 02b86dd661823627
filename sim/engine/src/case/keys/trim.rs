//! Keys of what is adjusted so that operating points compare like with like.

use super::{Choice, Condition, KeySpec, Kind, Range};

const BY: &[Choice] = &[
    Choice::new("speed_rpm", "the shaft speed meets the thrust: a fixed-pitch propeller"),
    Choice::new("pitch_offset_deg", "the pitch offset meets the thrust: constant shaft speed"),
];

const MORE_BLADES: &[Choice] = &[
    Choice::new("same_blade", "another blade count means more or fewer of the same blade"),
    Choice::new("equal_solidity", "chords shrink as blades are added: blade count times chord stays"),
];

pub(super) fn keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("trim", name, Kind::Number(range), unit);
    let angle = Range::closed(-90.0, 90.0);
    let choice = |name, choices| KeySpec::text("trim", name, Kind::Choice(choices));
    vec![
        number("thrust_n", Range::closed(-1e6, 1e6), "N")
            .or_absent()
            .doc("Mean thrust along the shaft to be met, of all propellers together: further ones count with their part along the first one's shaft. More \
             thrust needs more shaft speed or pitch."),
        KeySpec::text("trim", "drag", Kind::Boolean).or("false").doc(
            "true: the thrust of all propellers along the flight path meets the airframe's drag in steady flight; needs \
             `airframe.drag_area_m2`.",
        ),
        KeySpec::text("trim", "level", Kind::Boolean).or("false").doc(
            "true: the angle of attack is the one at which lift and thrust carry the weight at this airspeed; it replaces \
             `flight.angle_of_attack_deg`. Needs `airframe.mass_kg`.",
        ),
        choice("by", BY).or("\"speed_rpm\"").doc("What meets the thrust; the case's value is the first guess."),
        number("speed_min_rpm", Range::above(0.0, 200_000.0), "rpm")
            .or_absent()
            .when(Condition::Is("by", "speed_rpm"))
            .doc("Least shaft speed; without it a twentieth of the tip speed of sound."),
        number("speed_max_rpm", Range::above(0.0, 200_000.0), "rpm")
            .or_absent()
            .when(Condition::Is("by", "speed_rpm"))
            .doc("Greatest shaft speed; without it the one of a helical tip Mach number of 1."),
        number("pitch_offset_min_deg", angle, "deg")
            .or("-15.0")
            .when(Condition::Is("by", "pitch_offset_deg"))
            .doc("Least pitch offset; a smaller one lets the propeller brake."),
        number("pitch_offset_max_deg", angle, "deg")
            .or("20.0")
            .when(Condition::Is("by", "pitch_offset_deg"))
            .doc("Greatest pitch offset; a larger one lets the blades load further."),
        number("power_max_w", Range::above(0.0, 1e8), "W").or_absent().doc(
            "Greatest shaft power there is, of all propellers together; a point that needs more counts as not trimmable.",
        ),
        choice("more_blades", MORE_BLADES).or("\"same_blade\"").doc("What another blade count means."),
        KeySpec::new("trim", "solidity_blade_count", Kind::Integer(Range::closed(1.0, 24.0)), "1")
            .when(Condition::Is("more_blades", "equal_solidity"))
            .doc("The blade count whose solidity all others keep: the one the blade was made for."),
    ]
}
