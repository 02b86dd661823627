//! Keys of the case as a whole, the flight and the lifting surfaces.

use super::{Choice, KeySpec, Kind, Range};

const ANGLE: Range = Range::closed(-90.0, 90.0);
const POSITION: Range = Range::closed(-1000.0, 1000.0);

pub(super) fn title_keys() -> Vec<KeySpec> {
    vec![
        KeySpec::text("", "title", Kind::Text).or("\"\"").doc("One line that names the case in pictures."),
        KeySpec::text("", "notes", Kind::Text)
            .or("\"\"")
            .doc("Free remarks: what is measured, what is assumed."),
    ]
}

pub(super) fn flight_keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("flight", name, Kind::Number(range), unit);
    vec![
        number("airspeed_m_s", Range::closed(0.0, 340.0), "m/s").doc(
            "True airspeed; 0 is static. More airspeed lowers the blades' angle of attack and the thrust.",
        ),
        number("altitude_m", Range::closed(-2000.0, 20000.0), "m").or("0.0").doc(
            "Geopotential altitude in the standard atmosphere (ISO 2533). Higher air is thinner: less \
             thrust and torque, lower Reynolds number.",
        ),
        number("temperature_offset_k", Range::closed(-60.0, 60.0), "K").or("0.0").doc(
            "Air temperature above standard at unchanged pressure. Warmer air is thinner and carries \
             sound faster.",
        ),
        number("angle_of_attack_deg", ANGLE, "deg").or("0.0").doc(
            "Angle of the airflow against the x axis; positive when air comes from below. A larger angle \
             loads the wing, and the down-going blade.",
        ),
        number("sideslip_deg", ANGLE, "deg").or("0.0").doc(
            "Sideslip against the x axis; positive when air comes from starboard. A larger angle loads \
             the blade at the top or at the bottom.",
        ),
    ]
}

const WAKES: &[Choice] = &[
    Choice::new("momentum", "momentum thickness from the section drag, shape factor relaxing downstream"),
    Choice::new("naca651", "the correlation of NACA Report 651 as published"),
    Choice::new("none", "no viscous wake"),
];

pub(super) fn surface_keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("surface.NAME", name, Kind::Number(range), unit);
    let text = |name, kind| KeySpec::text("surface.NAME", name, kind);
    let length = Range::above(0.0, 1000.0);
    vec![
        text("name", Kind::Name).doc("Name, unique over surfaces and bodies; `placement.behind` uses it."),
        KeySpec::new("surface.NAME", "root_leading_edge_m", Kind::Point(POSITION), "m").doc(
            "Leading edge of the root section: x aft, y starboard, z up, any origin. A larger z lifts the \
             surface.",
        ),
        text("mirror", Kind::Boolean).or("true").doc(
            "Whether a mirror image in the plane y = root y belongs to it: true for wings, false for fins.",
        ),
        number("span_m", length, "m").doc(
            "Tip to tip if mirrored, else root to tip, along the surface. A larger span brings the lift \
             closer to two-dimensional and covers more of the disk.",
        ),
        number("root_chord_m", length, "m")
            .doc("Chord at the root. A larger chord thickens the wake at equal drag coefficient."),
        number("tip_chord_m", length, "m")
            .or_same_as("root_chord_m")
            .doc("Chord at the tip; equal to the root chord unless given. Chord is linear between."),
        number("sweep_deg", Range::closed(-70.0, 70.0), "deg")
            .or("0.0")
            .doc("Sweep of the quarter-chord line; a larger angle carries the tips aft."),
        number("dihedral_deg", ANGLE, "deg")
            .or("0.0")
            .doc("Dihedral; a larger angle lifts the tips, 90 is a fin pointing up."),
        number("incidence_deg", Range::closed(-30.0, 30.0), "deg")
            .or("0.0")
            .doc("Root chord against the x axis, nose up positive; adds to the angle of attack."),
        number("twist_deg", Range::closed(-30.0, 30.0), "deg").or("0.0").doc(
            "Tip incidence minus root incidence, nose up positive, about the quarter chord; negative is \
             washout.",
        ),
        number("thickness_ratio", Range::above(0.0, 0.5), "1").or("0.12").doc(
            "Section thickness over chord (default: common practice). A thicker section slows the air \
             close behind its edge.",
        ),
        number("lift_slope_per_rad", Range::above(0.0, 8.0), "1/rad").or("5.7").doc(
            "Section lift slope (default: common practice, measured sections 5.6 to 6.1). A larger slope \
             gives more lift at equal angle.",
        ),
        number("zero_lift_deg", Range::closed(-30.0, 30.0), "deg")
            .or("0.0")
            .doc("Section angle of zero lift; negative for positive camber, 0 is a symmetric section."),
        number("drag_min", Range::closed(0.0, 2.5), "1").or("0.010").doc(
            "Least section drag coefficient (default: common practice near Re 3e5). The wake's momentum \
             loss is proportional to drag.",
        ),
        number("drag_rise", Range::closed(0.0, 1.0), "1").or("0.010").doc(
            "Drag rise: cd = drag_min + drag_rise cl² (default: common practice). A larger value \
             thickens the wake of a loaded surface.",
        ),
        number("lift_max", Range::above(0.0, 4.0), "1").or("1.3").doc(
            "Greatest section lift coefficient (default: common practice); the least is its negative. A \
             larger value delays stall.",
        ),
        text("wake", Kind::Choice(WAKES)).or("\"momentum\"").doc("The viscous wake it sheds."),
        text("potential", Kind::Boolean)
            .or("true")
            .doc("Whether its lift and thickness fields reach the disk and the edge of its wake."),
    ]
}

pub(super) fn flap_keys() -> Vec<KeySpec> {
    let group = "surface.NAME.flap.NAME";
    let number = |name, range, unit| KeySpec::new(group, name, Kind::Number(range), unit);
    vec![
        KeySpec::text(group, "name", Kind::Name).doc("Name, unique on its surface."),
        number("span_from", Range::closed(0.0, 1.0), "1").or("0.0").doc(
            "Inner end over the length of the half, 0 at the root; a larger value leaves more of the root plain.",
        ),
        number("span_to", Range::closed(0.0, 1.0), "1")
            .or("1.0")
            .doc("Outer end over the length of the half, 1 at the tip; above span_from."),
        number("chord_ratio", Range::above(0.0, 0.99), "1").doc(
            "Flap chord over local chord. A larger flap shifts the zero-lift angle more and moves the edge further.",
        ),
        number("deflection_deg", Range::closed(-60.0, 60.0), "deg").or("0.0").doc(
            "Deflection, trailing edge down (against the half's normal) positive. A larger one adds lift and drag and \
             lowers the edge that the wake leaves; the shaft stays measured from the undeflected edge.",
        ),
    ]
}
