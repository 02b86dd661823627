//! Remarks on the validity of an answer, each with its figure.

mod flow;
mod sections;
#[cfg(test)]
mod tests;
mod unsteady;
mod wake;

use super::group_state::GroupState;
use super::result::Warning;
use super::setup::Setup;

pub(super) fn warnings(setup: &Setup, groups: &[GroupState]) -> Vec<Warning> {
    let mut list: Vec<Warning> = setup.ahead.sources.iter().flat_map(|s| s.warnings()).collect();
    list.extend(wake::surfaces_behind(setup));
    list.extend(wake::narrow_wake(setup, groups));
    list.extend(wake::cut_velocity(setup, groups));
    list.extend(wake::reversed_flow(setup, groups));
    list.extend(wake::oblique_crossing(setup, groups));
    list.extend(flow::low_advance_ratio(setup));
    list.extend(flow::steep_incidence(setup, groups));
    list.extend(flow::tip_factor(setup, groups));
    list.extend(sections::stall(setup, groups));
    list.extend(sections::drag_rise(setup));
    list.extend(sections::outside_tables(setup));
    list.extend(sections::laminar_sections(setup));
    list.extend(unsteady::compressible_gust(setup));
    list.extend(unsteady::chordwise_gust(setup));
    list.extend(sections::generic_blade(setup));
    list
}
