//! Keys of the propeller and its placement.

use super::{Choice, Condition, KeySpec, Kind, Range};

pub(super) const ROTATIONS: &[Choice] = &[
    Choice::new("clockwise", "seen from behind looking forward, the blade at the top moves to starboard"),
    Choice::new("counterclockwise", "the blade at the top moves to port"),
];

pub(super) fn keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("propeller", name, Kind::Number(range), unit);
    let text = |name, kind| KeySpec::text("propeller", name, kind);
    let per_blade = |name, bound: f64| {
        KeySpec::new("propeller", name, Kind::Numbers(Range::closed(-bound, bound)), "deg")
    };
    vec![
        KeySpec::new("propeller", "blade_count", Kind::Integer(Range::closed(1.0, 24.0)), "1").doc(
            "Number of blades N. More blades carry more thrust at less load each and move the blade-passage \
             frequency up.",
        ),
        number("diameter_m", Range::above(0.0, 20.0), "m")
            .doc("Tip circle diameter. Thrust grows with its fourth power at equal advance ratio."),
        number("speed_rpm", Range::above(0.0, 200_000.0), "rpm")
            .remedy("a propeller at rest has no revolution to compute, whether the aircraft moves or not")
            .doc("Shaft speed. Thrust grows with its square at equal advance ratio."),
        text("rotation", Kind::Choice(ROTATIONS))
            .or("\"clockwise\"")
            .doc("Sense of rotation, seen from behind looking forward."),
        number("pitch_offset_deg", Range::closed(-90.0, 90.0), "deg")
            .or("0.0")
            .doc("Added to every blade angle; a larger value loads the blades."),
        text("blade_file", Kind::File).when(Condition::Without("pitch_m")).doc(
            "The blade, unless `pitch_m` asks for a generic one: CSV table with columns radius_ratio,chord_ratio,twist_deg and optionally \
             sweep_ratio,thickness_ratio,section; ratios to the tip radius, root first, tip last. Between rows that name different sections lift and drag \
             go straight from one to the other.",
        ),
        number("pitch_m", Range::above(0.0, 20.0), "m")
            .or_absent()
            .when(Condition::Without("blade_file"))
            .doc(
                "Geometric pitch of a generic blade of common planform and thickness, in place of \
                 `blade_file`; more pitch suits more airspeed.",
            ),
        per_blade("pitch_error_deg", 30.0).or("[]").doc(
            "Blade angle of each blade above the nominal; empty: none. Unequal blades leave orders that are \
             no multiple of the blade count.",
        ),
        per_blade("spacing_error_deg", 90.0).or("[]").doc(
            "Azimuth of each blade ahead of its even spacing, in the sense of rotation; empty: even. Uneven \
             spacing spreads the blade-passage tone over the orders.",
        ),
    ]
}

/// Keys of a placement, as they stand in a group.
pub(super) fn placement_keys(group: &'static str) -> Vec<KeySpec> {
    const BEHIND: Condition = Condition::With("behind");
    const FREE: Condition = Condition::Without("behind");
    let number = |name, range| KeySpec::new(group, name, Kind::Number(range), "m");
    let angle = |name| KeySpec::new(group, name, Kind::Number(Range::closed(-80.0, 80.0)), "deg").or("0.0");
    let position = Range::closed(-1000.0, 1000.0);
    vec![
        KeySpec::text(group, "behind", Kind::Name).or_absent().doc(
            "Name of the surface the hub is placed behind; without it the hub is placed by hub_x_m, \
             hub_y_m, hub_z_m.",
        ),
        number("shaft_offset_m", Range::closed(-100.0, 100.0)).when(BEHIND).doc(
            "Hub height above the undeflected trailing edge of the surface in `behind`, at the hub's span station. A \
             larger offset takes the wake away from the hub: shorter chords of the disk in slow air.",
        ),
        number("axial_gap_m", Range::above(0.0, 100.0))
            .when(BEHIND)
            .remedy("for a disk ahead of the trailing edge give hub_x_m, hub_y_m, hub_z_m instead of `behind`")
            .doc(
            "Hub distance aft of the undeflected trailing edge of the surface in `behind`. A larger gap gives a wider, shallower wake and weaker \
             blade-passage loads.",
        ),
        number("lateral_m", position)
            .when(BEHIND)
            .or("0.0")
            .doc("Hub position y in aircraft axes; a larger value moves the hub to starboard."),
        number("hub_x_m", position).when(FREE).or("0.0").doc("Hub position x in aircraft axes; a larger value moves the hub aft."),
        number("hub_y_m", position).when(FREE).or("0.0").doc("Hub position y in aircraft axes; a larger value moves the hub to starboard."),
        number("hub_z_m", position).when(FREE).or("0.0").doc("Hub position z in aircraft axes; a larger value raises the hub."),
        angle("tilt_deg").doc(
            "Shaft tilt, nose-up rotation of the propeller; a larger angle gives thrust an upward part.",
        ),
        angle("toe_deg").doc(
            "Shaft toe about the tilted z axis, after tilt; a larger angle gives thrust a starboard part.",
        ),
    ]
}
