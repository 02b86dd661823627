//! Keys of further propellers.

use super::propeller::{ROTATIONS, placement_keys};
use super::{Condition, Fallback, KeySpec, Kind, Range};

const GROUP: &str = "further_propeller.NAME";

pub(super) fn keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new(GROUP, name, Kind::Number(range), unit);
    let per_blade = |name, bound: f64| {
        KeySpec::new(GROUP, name, Kind::Numbers(Range::closed(-bound, bound)), "deg").or_absent()
    };
    let mut keys =
        vec![KeySpec::text(GROUP, "name", Kind::Name).doc("Name, unique over further propellers.")];
    keys.extend(placement_keys(GROUP).into_iter().map(placed));
    keys.extend([
        KeySpec::text(GROUP, "rotation", Kind::Choice(ROTATIONS))
            .or("\"clockwise\"")
            .doc("Sense of rotation, seen from behind looking forward."),
        number("phase_deg", Range::closed(-360.0, 360.0), "deg").or("0.0").doc(
            "Azimuth of its first blade, in its own sense of rotation, while the first blade of [propeller] points up. \
             A larger phase brings its loads earlier. With unequal speeds it holds at one instant and then drifts.",
        ),
        number("speed_ratio", Range::closed(0.5, 2.0), "1").or("1.0").doc(
            "Shaft speed over that of [propeller]. Slightly off 1, the loads of both beat; far off 1, they are tones of \
             their own.",
        ),
        KeySpec::new(GROUP, "blade_count", Kind::Integer(Range::closed(1.0, 24.0)), "1")
            .or_absent()
            .doc("Number of blades, where it is not that of [propeller]."),
        number("diameter_m", Range::above(0.0, 20.0), "m").or_absent().doc(
            "Tip circle diameter, where it is not that of [propeller]; a larger one scales the blade with it.",
        ),
        number("pitch_offset_deg", Range::closed(-90.0, 90.0), "deg").or_absent().doc(
            "Added to every blade angle, where it is not that of [propeller]; a larger value loads the blades.",
        ),
        KeySpec::text(GROUP, "blade_file", Kind::File)
            .or_absent()
            .when(Condition::Without("pitch_m"))
            .doc("Its blade, where it is not that of [propeller]: a table like `propeller.blade_file`."),
        number("pitch_m", Range::above(0.0, 20.0), "m")
            .or_absent()
            .when(Condition::Without("blade_file"))
            .doc("Geometric pitch of a generic blade in place of the blade of [propeller]."),
        per_blade("pitch_error_deg", 30.0).doc(
            "Blade angle of each blade above the nominal, where it is not that of [propeller]; a larger one loads that \
             blade.",
        ),
        per_blade("spacing_error_deg", 90.0).doc(
            "Azimuth of each blade ahead of its even spacing, where it is not that of [propeller]; a larger one leads.",
        ),
    ]);
    keys
}

/// A further propeller has no place by default: at the origin it would sit in another one.
fn placed(mut key: KeySpec) -> KeySpec {
    if key.name.starts_with("hub_") {
        key.default = Fallback::Required;
    }
    key
}
