//! Keys of the airframe as a whole.

use super::{KeySpec, Kind, Range};

pub(super) fn keys() -> Vec<KeySpec> {
    let position = Range::closed(-1000.0, 1000.0);
    vec![
        KeySpec::new("airframe", "centre_of_gravity_m", Kind::Point(position), "m").or_absent().doc(
            "Centre of gravity: x aft, y starboard, z up. Loads of all propellers are summed there; a higher thrust \
             line above it pitches the nose down.",
        ),
    ]
}
