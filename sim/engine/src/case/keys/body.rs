//! Keys of bodies of revolution.

use super::{Choice, KeySpec, Kind, Range};

const WAKES: &[Choice] = &[
    Choice::new(
        "momentum",
        "axisymmetric wake that carries the drag, from the boundary layer on the tail on",
    ),
    Choice::new("none", "no viscous wake"),
];

pub(super) fn keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("body.NAME", name, Kind::Number(range), unit);
    let text = |name, kind| KeySpec::text("body.NAME", name, kind);
    let length = Range::above(0.0, 1000.0);
    vec![
        text("name", Kind::Name).doc("Name, unique over surfaces and bodies."),
        KeySpec::new("body.NAME", "nose_m", Kind::Point(Range::closed(-1000.0, 1000.0)), "m").doc(
            "Tip of the nose: x aft, y starboard, z up, any origin; the axis runs aft from it. A larger z lifts the \
             body.",
        ),
        number("length_m", length, "m").doc(
            "Nose to tail. A longer body has a thicker boundary layer at equal diameter; at least half a diameter \
             more than `closing_length_m`.",
        ),
        number("diameter_m", length, "m").doc(
            "Greatest diameter. The nose is half an ellipsoid one diameter long, or as long as the tail leaves. A \
             larger diameter slows the air behind the tail and, with its frontal area, carries more drag.",
        ),
        number("closing_length_m", length, "m").doc(
            "Length of the tail, which closes as a parabola to a point; one diameter or more. A longer tail slows \
             the air behind it less; below 1.5 diameters flow usually separates (common practice).",
        ),
        number("drag_coefficient", Range::closed(0.0, 3.0), "1").doc(
            "Drag over dynamic pressure and frontal area; clean pods have 0.08 to 0.15, with openings and steps 0.2 and \
             more (common practice). The wake carries this drag: more makes it deeper, then wider.",
        ),
        text("wake", Kind::Choice(WAKES)).or("\"momentum\"").doc("The viscous wake it sheds."),
        text("potential", Kind::Boolean)
            .or("true")
            .doc("Whether its potential field reaches the disk: slower air behind the tail, flow around it at incidence."),
    ]
}
