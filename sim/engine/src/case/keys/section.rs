//! Keys of the blade's section models.

use super::{Choice, Condition, KeySpec, Kind, Range};

const KINDS: &[Choice] = &[
    Choice::new("analytic", "straight lift line, parabolic drag, smooth stall"),
    Choice::new("table", "coefficients from a file over Reynolds number, Mach number and angle"),
    Choice::new("shape", "handbook polar from the coordinates of the section"),
];

const COMPRESSIBILITY: &[Choice] = &[
    Choice::new("prandtl_glauert", "lift over the root of 1 − M² below the drag rise"),
    Choice::new("none", "coefficients as given"),
];

/// The keys of `section` or `sections.NAME`.
pub(super) fn keys(group: &'static str) -> Vec<KeySpec> {
    const ANALYTIC: Condition = Condition::Is("kind", "analytic");
    const FILE: Condition = Condition::OneOf("kind", &["table", "shape"]);
    let constant = |name, range, unit| KeySpec::new(group, name, Kind::Number(range), unit).when(ANALYTIC);
    vec![
        KeySpec::text(group, "kind", Kind::Choice(KINDS)).or("\"analytic\"").doc("The section model."),
        constant("lift_slope_per_rad", Range::above(0.0, 8.0), "1/rad").or("5.6").doc(
            "Lift slope (default: common practice at Reynolds numbers near 1e5). A larger slope gives more \
             lift at equal angle, in the wake as well.",
        ),
        constant("zero_lift_deg", Range::closed(-30.0, 30.0), "deg").doc(
            "Angle of zero lift; negative for positive camber. Required because thrust follows it \
             directly: more negative is more thrust.",
        ),
        constant("drag_min", Range::closed(0.0, 2.5), "1").or("0.022").doc(
            "Least drag coefficient (default: common practice near Re 1e5). A larger value adds torque and \
             costs efficiency.",
        ),
        constant("drag_rise", Range::closed(0.0, 1.0), "1").or("0.012").doc(
            "Drag rise: cd = drag_min + drag_rise cl² (default: common practice at Re 5e4 to 2e5, 0.008 to \
             0.02). A larger value adds torque where the blade is loaded.",
        ),
        constant("lift_max", Range::above(0.0, 4.0), "1")
            .or("1.2")
            .doc("Greatest lift coefficient (default: common practice). A larger value delays stall."),
        constant("lift_min", Range::closed(-4.0, -1e-3), "1").or("-0.6").doc(
            "Least (most negative) lift coefficient (default: common practice for a cambered section). A \
             larger value stalls sooner in negative lift.",
        ),
        KeySpec::text(group, "file", Kind::File).when(FILE).doc(
            "CSV file. For a table: columns reynolds,mach,angle_deg,cl,cd,cm on a full grid, angle running \
             fastest, −180 to 180 deg. For a shape: columns x,y over chord, once round the section; angles \
             count from its x axis.",
        ),
    ]
}

/// The treatment of Mach number, one for all sections.
pub(super) fn compressibility() -> Vec<KeySpec> {
    vec![
        KeySpec::text("section", "compressibility", Kind::Choice(COMPRESSIBILITY))
            .or("\"prandtl_glauert\"")
            .doc("Treatment of Mach number in the lift of every section."),
    ]
}
