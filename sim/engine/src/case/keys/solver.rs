//! Keys of the numerical choices and model levels.

use super::{Choice, KeySpec, Kind, Range};

/// Least of the tolerance: below it the balance of one annulus is lost in the noise of the others.
pub const LEAST_TOLERANCE: f64 = 1e-10;

const INDUCTION: &[Choice] = &[
    Choice::new("momentum", "annular momentum with tip and root factor, constant in azimuth"),
    Choice::new("dynamic", "annuli with time constants and a first harmonic from the hub moment"),
];

const TIP_LOSS: &[Choice] = &[
    Choice::new(
        "prandtl",
        "Prandtl's factor, plane sheets in place of helices; high for few blades at high advance ratio",
    ),
    Choice::new("goldstein", "Goldstein's circulation of a helicoidal wake, from a table"),
];

const SECTION_LIFT: &[Choice] = &[
    Choice::new("quasi_steady", "lift follows the local flow at once; overpredicts NP loads in narrow wakes"),
    Choice::new("unsteady", "indicial (Küssner) lag on the normal velocity, in the time domain"),
];

const STREAMWISE: &[Choice] = &[
    Choice::new("quasi_steady", "the chordwise velocity acts through dynamic pressure undelayed"),
    Choice::new("horlock", "Horlock's function for chordwise gusts; acts with unsteady section lift"),
];

const SUCTION: &[Choice] = &[
    Choice::new("chord_mean", "deficit made at the chord-mean edge speed under suction"),
    Choice::new("trailing_edge", "deficit made at the trailing edge's speed under suction"),
    Choice::new("far", "deficit made at the undisturbed edge speed"),
    Choice::new("none", "the propeller leaves the wakes as they are"),
];

pub(super) fn keys() -> Vec<KeySpec> {
    let choice = |name, choices, default| KeySpec::text("solver", name, Kind::Choice(choices)).or(default);
    let count = |name, min, max| KeySpec::new("solver", name, Kind::Integer(Range::closed(min, max)), "1");
    vec![
        count("stations", 4.0, 1000.0).or("40").doc(
            "Blade stations from root to tip. More resolve the span better and cost time in proportion.",
        ),
        count("azimuths", 16.0, 65536.0).or("720").doc(
            "Azimuths in one revolution. More resolve narrower wakes and cost time in proportion; at least \
             2 × harmonics × blade_count + 2.",
        ),
        choice("induction", INDUCTION, "\"dynamic\"").doc("Level of the induced-velocity model."),
        choice("tip_loss", TIP_LOSS, "\"prandtl\"").doc(
            "Factor for the finite blade count. For two blades goldstein gives 2 to 4 % less mean thrust in cruise.",
        ),
        choice("section_lift", SECTION_LIFT, "\"unsteady\"").doc("Section lift against time."),
        choice("streamwise", STREAMWISE, "\"quasi_steady\"").doc("Lift from the chordwise velocity."),
        choice("suction", SUCTION, "\"chord_mean\"").doc("How the propeller draws the wakes in."),
        KeySpec::new("solver", "tolerance", Kind::Number(Range::closed(LEAST_TOLERANCE, 1e-3)), "1").or("1e-8").doc(
            "Relative tolerance on the induced velocity. A larger value stops sooner and leaves more ripple; near 1e-10 the \
             balance of a stalled or hard braking station may be lost in the noise of the others.",
        ),
        count("harmonics", 1.0, 1000.0)
            .or("8")
            .doc(
                "Highest harmonic kept, in multiples of the blade count. More orders need more azimuths; those above are not \
                 computed, and a dash stands for them.",
            ),
    ]
}
