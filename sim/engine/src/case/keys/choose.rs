//! Keys of what a sweep is judged by.

use super::{Choice, Condition, KeySpec, Kind, Range};

const KEEP_LOW: &[Choice] = &[
    Choice::new("thrust", "NP thrust"),
    Choice::new("side_force", "NP force in the disk plane, side and vertical force together"),
    Choice::new("bending", "NP bending moment at the hub, pitching and yawing moment together"),
    Choice::new("torque", "NP torque"),
    Choice::new(
        "index",
        "all four: root of the sum of squares, forces over mean thrust, moments over mean thrust times tip radius; the thrust is the \
         plain mean over the flown conditions, whatever their weights",
    ),
    Choice::new(
        "airframe_force",
        "NP force of all propellers at the centre of gravity: root of the sum of squares of thrust, side and vertical force, at the \
         order of every blade count on the aircraft",
    ),
    Choice::new(
        "airframe_moment",
        "likewise their moment about the centre of gravity: rolling, pitching and yawing moment together",
    ),
    Choice::new(
        "airframe_index",
        "both: root of the sum of squares, force over the mean forward force of all propellers, moment over that times tip radius",
    ),
];

const PHASES: &[Choice] = &[
    Choice::new("as_given", "those of the case, for propellers held in phase"),
    Choice::new(
        "any",
        "for propellers that drift: each component at the phase where it is greatest, a bound on the worst phase",
    ),
];

const OVER: &[Choice] = &[
    Choice::new("worst_case", "the greatest over the flown conditions"),
    Choice::new("weighted_mean", "the mean over the flown conditions by `weights`"),
];

pub(super) fn keys() -> Vec<KeySpec> {
    let choice = |name, choices, default| KeySpec::text("choose", name, Kind::Choice(choices)).or(default);
    let number = |name, range, unit| KeySpec::new("choose", name, Kind::Number(range), unit).or_absent();
    let clearance = |name, doc| number(name, Range::closed(-100.0, 100.0), "m").doc(doc);
    vec![
        choice("keep_low", KEEP_LOW, "\"thrust\"").doc(
            "The load that is to be kept low: at the hub of [propeller], or of all propellers together at the centre of gravity, \
             which needs [[further_propeller]]. NP is blade passage, N cycles a revolution with N blades.",
        ),
        choice("phases", PHASES, "\"as_given\"").doc(
            "Phases between the propellers at which loads at the airframe are taken; loads at the hub do not depend on them.",
        ),
        choice("over", OVER, "\"worst_case\"").doc("How the flown conditions make one figure of a candidate."),
        KeySpec::text("choose", "decide", Kind::Values).or_absent().doc(
            "Keys of the axes that are decided; the other axes are flown. Without it the axes of placement, propellers, \
             surfaces and bodies are decided, but for shaft speed, its ratio, pitch offset and flap settings.",
        ),
        KeySpec::text("choose", "weight_axis", Kind::KeyPath)
            .or_absent()
            .when(Condition::Is("over", "weighted_mean"))
            .doc("The flown axis whose values have `weights`; other flown axes count alike."),
        KeySpec::text("choose", "weights", Kind::Values).when(Condition::With("weight_axis")).doc(
            "One weight for each value of `weight_axis`, such as hours flown; a larger one counts more.",
        ),
        number("efficiency_loss_max", Range::closed(0.0, 1.0), "1").doc(
            "Greatest loss of thrust for power, all propellers together, against the best candidate at the same condition; 0.03 is 3 %. A larger one \
             lets quieter, less efficient candidates stay.",
        ),
        number("pitching_moment_max_n_m", Range::closed(0.0, 1e6), "N m").doc(
            "Greatest size of the pitching moment of all thrust lines about the centre of gravity; needs \
             `airframe.centre_of_gravity_m`. A larger one lets higher shafts stay.",
        ),
        number("tip_mach_max", Range::above(0.0, 1.0), "1")
            .doc("Greatest helical tip Mach number of any propeller; a larger one lets faster shafts stay."),
        clearance("clearance_axial_min_m", "Least axial clearance between blades and structure within the tip circle; former 14 CFR 23.925(c) asks for 0.0127 m."),
        clearance("clearance_tip_min_m", "Least radial clearance between blade tips and structure abreast of them; former 14 CFR 23.925(c) asks for 0.0254 m."),
        clearance("clearance_ground_min_m", "Least static ground clearance on all wheels; former 14 CFR 23.925(a) asks for 0.1778 m with a nose wheel."),
        clearance("clearance_ground_deflected_min_m", "Least ground clearance on a flat tyre with the strut bottomed; the same rule asks for more than 0."),
        clearance("clearance_ground_rotated_min_m", "Least ground clearance at the largest nose-up attitude; the same rule asks for more than 0."),
        clearance("clearance_water_min_m", "Least clearance above water; former 14 CFR 23.925(b) asks for 0.4572 m."),
    ]
}
