//! Keys of the airframe as a whole, and of what is adjusted to fly it.

use super::{Choice, Condition, KeySpec, Kind, Range};

const POSITION: Range = Range::closed(-1000.0, 1000.0);

const GEARS: &[Choice] = &[
    Choice::new("none", "no wheels: ground clearance is not worked out"),
    Choice::new("nose_wheel", "two main wheels and a third ahead of them"),
    Choice::new("tail_wheel", "two main wheels and a third behind them"),
];

pub(super) fn keys() -> Vec<KeySpec> {
    const WHEELS: Condition = Condition::OneOf("gear", &["nose_wheel", "tail_wheel"]);
    let number = |name, range, unit| KeySpec::new("airframe", name, Kind::Number(range), unit).or_absent();
    let point = |name, range, unit| KeySpec::new("airframe", name, Kind::Point(range), unit).or_absent();
    vec![
        number("mass_kg", Range::above(0.0, 100_000.0), "kg").doc(
            "Mass in flight. A heavier aircraft flies at a larger angle of attack and needs more thrust. \
             `trim.level` needs it.",
        ),
        point("centre_of_gravity_m", POSITION, "m").doc(
            "Centre of gravity, aircraft axes: x aft, y starboard, z up. The thrust line's moment is taken about it.",
        ),
        point("inertia_kg_m2", Range::above(0.0, 1e9), "kg m2").doc(
            "Moments of inertia about the x, y and z axes through the centre of gravity. A larger one answers a \
             moment more slowly.",
        ),
        number("inertia_xz_kg_m2", Range::closed(-1e9, 1e9), "kg m2").or("0.0").doc(
            "Product of inertia, the mass integral of x z about the centre of gravity; positive where what lies aft lies \
             high.",
        ),
        number("drag_area_m2", Range::closed(0.0, 1000.0), "m2").doc(
            "Drag over dynamic pressure at zero lift, all parts of the airframe but the propeller. What lift adds is \
             worked out: induced drag, and the drag rise of the sections. `trim.drag` needs it.",
        ),
        number("reference_area_m2", Range::above(0.0, 10_000.0), "m2").doc(
            "Area of the lift and drag coefficients; without it the surfaces' area seen from above.",
        ),
        number("lift_slope_per_rad", Range::above(0.0, 8.0), "1/rad")
            .when(Condition::With("reference_area_m2"))
            .doc(
                "Lift slope of the whole aircraft on `reference_area_m2`, in place of the lifting lines of the surfaces; \
                 a larger slope flies at a smaller angle. For cases without surfaces, and where the tail matters.",
            ),
        number("zero_lift_deg", Range::closed(-30.0, 30.0), "deg")
            .or("0.0")
            .when(Condition::With("lift_slope_per_rad"))
            .doc("Angle of attack at which the aircraft has no lift; a larger angle flies at a larger one."),
        number("lift_max", Range::above(0.0, 5.0), "1")
            .or("1.3")
            .when(Condition::With("lift_slope_per_rad"))
            .doc(
                "Greatest lift coefficient of the aircraft (default: common practice without flaps); a larger one flies \
                 more slowly.",
            ),
        number("induced_drag_factor", Range::closed(0.0, 1.0), "1")
            .or("0.05")
            .when(Condition::With("lift_slope_per_rad"))
            .doc(
                "Drag coefficient over the square of the lift coefficient, 1/(pi e A) of aspect ratio A and span \
                 efficiency e (default: common practice, A near 8); a larger one needs more thrust in slow flight.",
            ),
        KeySpec::text("airframe", "gear", Kind::Choice(GEARS)).or("\"none\"").doc("The landing gear."),
        KeySpec::new("airframe", "main_wheel_m", Kind::Point(POSITION), "m").when(WHEELS).doc(
            "Where a main wheel meets the ground under the static load, aircraft axes; a lower wheel lifts the propeller.",
        ),
        KeySpec::new("airframe", "third_wheel_m", Kind::Point(POSITION), "m").when(WHEELS).doc(
            "Where the nose or tail wheel meets the ground under the static load, aircraft axes; with the main wheels it \
             sets the attitude on the ground.",
        ),
        number("tyre_drop_m", Range::closed(0.0, 10.0), "m").or("0.0").when(WHEELS).doc(
            "How much lower an axle stands on a flat tyre than on the static one; more brings the propeller nearer to the \
             ground.",
        ),
        number("strut_drop_m", Range::closed(0.0, 10.0), "m").or("0.0").when(WHEELS).doc(
            "How far a strut goes in from its static length until it bottoms; of a leaf spring, the deflection added at \
             1.5 g.",
        ),
        number("rotation_deg", Range::closed(0.0, 45.0), "deg").when(WHEELS).doc(
            "Largest nose-up attitude against the static one reached in take-off and landing; a larger angle brings a \
             propeller behind the wheels nearer to the ground.",
        ),
        number("waterline_z_m", POSITION, "m").doc(
            "Height z of the water's surface on the aircraft at rest afloat, in aircraft axes; a higher waterline brings \
             the propeller nearer to the water.",
        ),
    ]
}
