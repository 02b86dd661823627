//! Keys of the airframe as a whole.

use super::{KeySpec, Kind, Range};

pub(super) fn keys() -> Vec<KeySpec> {
    let position = Range::closed(-1000.0, 1000.0);
    vec![
        KeySpec::new("airframe", "centre_of_gravity_m", Kind::Point(position), "m").or_absent().doc(
            "Centre of gravity: x aft, y starboard, z up. Loads of all propellers are summed there; a higher thrust \
             line above it pitches the nose down.",
        ),
        KeySpec::new("airframe", "mass_kg", Kind::Number(Range::above(0.0, 100_000.0)), "kg").or_absent().doc(
            "Mass in flight, powerplant included. A heavier aircraft is shaken less.",
        ),
        KeySpec::new("airframe", "inertia_kg_m2", Kind::Point(Range::above(0.0, 1e9)), "kg m2").or_absent().doc(
            "Moments of inertia about the x, y and z axes through the centre of gravity, powerplant included. A larger one \
             answers a moment more slowly.",
        ),
        KeySpec::new("airframe", "inertia_xz_kg_m2", Kind::Number(Range::closed(-1e9, 1e9)), "kg m2").or("0.0").doc(
            "Product of inertia, the mass integral of x z about the centre of gravity; positive where what lies aft lies \
             high.",
        ),
    ]
}
