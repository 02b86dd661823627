//! Keys of the grid of a sweep.

use super::{Condition, KeySpec, Kind, Range};

/// Far beyond the range of any key; the range of the axis' own key decides.
const ANY: Range = Range::closed(-1e9, 1e9);

pub(super) fn keys() -> Vec<KeySpec> {
    const GROUP: &str = "sweep.axis";
    vec![
        KeySpec::text(GROUP, "key", Kind::KeyPath).doc(
            "The key that takes each value in turn: any key with a number or a text, arrays addressed by name, such as \
             surface.wing.flap.outer.deflection_deg. The first axis varies slowest.",
        ),
        KeySpec::text(GROUP, "values", Kind::Values)
            .when(Condition::Without("from"))
            .doc("The values, in the unit of the axis' key; or give from, to and count."),
        KeySpec::new(GROUP, "from", Kind::Number(ANY), "1")
            .or_absent()
            .when(Condition::Without("values"))
            .doc("First of evenly spaced values, in the unit of the axis' key."),
        KeySpec::new(GROUP, "to", Kind::Number(ANY), "1")
            .when(Condition::With("from"))
            .doc("Last of evenly spaced values, in the unit of the axis' key."),
        KeySpec::new(GROUP, "count", Kind::Integer(Range::closed(2.0, 100_000.0)), "1")
            .when(Condition::With("from"))
            .doc("Number of evenly spaced values, both ends counted; more of them take longer."),
        KeySpec::text(GROUP, "pair_with", Kind::KeyPath).or_absent().doc(
            "Key of another axis that this one varies together with, value by value, in place of a dimension of its own.",
        ),
    ]
}
