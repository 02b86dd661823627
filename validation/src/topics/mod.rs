//! The checks, one file a topic. A new file is named once in [`checks`].

use crate::table::Check;

mod atmosphere;
mod hub_selection;
mod momentum_limits;
mod near_wake;
mod normal_force;
mod propellers;
mod trade_facts;
mod twin;
pub mod unsteady_section;
pub mod wings;

/// All checks, in the order of the table.
#[must_use]
pub fn checks() -> Vec<Check> {
    [
        atmosphere::checks,
        propellers::checks,
        normal_force::checks,
        near_wake::checks,
        unsteady_section::checks,
        hub_selection::checks,
        momentum_limits::checks,
        wings::checks,
        twin::checks,
        trade_facts::checks,
    ]
    .iter()
    .flat_map(|topic| topic())
    .collect()
}
