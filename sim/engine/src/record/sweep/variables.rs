//! What a sweep file holds beyond the variables of a run.

use crate::record::schema::{Dimension, Variable, attribute, group};
use crate::study::Axis;

/// Attribute names of a sweep.
pub(super) mod sweep_attribute {
    /// Of an axis: its key path.
    pub const KEY: &str = "key";
    /// Of an axis: its place among the axes of the case, from 1.
    pub const AXIS: &str = super::attribute::NUMBER;
    /// Of a paired axis: the name of the axis that leads it.
    pub const PAIRED_WITH: &str = "paired_with";
    /// Of the root: which shard the file holds, `2/4`.
    pub const SHARD: &str = "shard";
    /// Of the root: names of the paired axes, which xarray then takes as coordinates.
    pub const COORDINATES: &str = "coordinates";
    /// Of `status`, after the Climate and Forecast conventions.
    pub const FLAG_VALUES: &str = "flag_values";
    /// Of `status`: a word for each value.
    pub const FLAG_MEANINGS: &str = "flag_meanings";
}

/// Key of the blade count of the first propeller; where no axis has it, the file holds one count for all points.
pub(super) const FIRST_BLADE_COUNT: &str = "propeller.blade_count";

/// Name of the one dimension of a shard.
pub(super) const POINT: &str = "point";

/// Group of the shares of the sources.
pub(super) const SHARES: &str = group::ATTRIBUTION;

/// Sources that close the sum, and so stand last.
pub(super) const LAST_SOURCES: [&str; 2] = ["induced_inflow", "remainder"];

pub(super) fn root(name: &str, unit: &str, words: &str) -> Variable {
    Variable {
        path: name.to_owned(),
        unit: unit.to_owned(),
        long_name: words.to_owned(),
        dimensions: Vec::new(),
    }
}

/// The values of an axis.
pub(super) fn axis(axis: &Axis) -> Variable {
    root(&axis.name, &axis.unit, &axis.long_name)
}

/// Numbers of the points of a shard.
pub(super) fn point() -> Variable {
    root(POINT, "1", "number of the point in the whole grid, from 0, last axis fastest")
}

pub(super) fn status() -> Variable {
    root("status", "1", "what became of the point: 0 computed, others see flag_meanings")
}

pub(super) fn message() -> Variable {
    root("message", "1", "why the point has no answer; empty where it has one")
}

/// Where a warning applies; `example` is its text at the first such point.
pub(super) fn warning(name: &str, example: &str) -> Variable {
    let mut variable = root(name, "1", &format!("1 where this warning applies, for instance: {example}"));
    variable.path = format!("{}/{name}", group::WARNINGS);
    variable
}

/// Source of shares a variable belongs to.
pub(super) fn source_of(path: &str) -> Option<&str> {
    path.strip_prefix(SHARES)?.strip_prefix('/')?.split('/').next()
}

/// Whether a variable is a scalar of a further propeller's summary.
pub(super) fn is_further_summary(path: &str) -> bool {
    let mut parts = path.split('/');
    (parts.next(), parts.nth(1)) == (Some(group::FURTHER), Some(group::SUMMARY))
}

/// The dimensions that a column has beside those of the grid, by name in the head of a part.
const OWN: [(&str, Dimension); 2] = [("order", Dimension::Order), ("blade", Dimension::Blade)];

/// Name of a column's own dimension.
pub(super) fn dimension_name(dimension: Dimension) -> Option<&'static str> {
    OWN.into_iter().find(|(_, own)| *own == dimension).map(|(name, _)| name)
}

/// The reverse of [`dimension_name`].
pub(super) fn dimension_of(name: &str) -> Option<Dimension> {
    OWN.into_iter().find(|(own, _)| *own == name).map(|(_, dimension)| dimension)
}
