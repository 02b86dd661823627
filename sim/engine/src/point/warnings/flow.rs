//! The flow through the disk: slow, steep, or coarse in its tip factor.

use super::super::group_state::GroupState;
use super::super::input::TipLoss;
use super::super::result::Warning;
use super::super::setup::Setup;
use crate::induction::tip_loss::prandtl_excess;

/// Advance ratio below which a wake drawn in by the propeller is far from the one computed without it.
const LOW_ADVANCE_RATIO: f64 = 0.1;

/// In-plane speed over through-flow above which axial momentum is strained (Glauert's general form
/// then raises the mass flow by more than 4 %).
const STEEP_INCIDENCE: f64 = 0.3;

/// Excess of Prandtl's factor over Goldstein's circulation that is told.
const TELLING_TIP_EXCESS: f64 = 0.05;

pub(super) fn low_advance_ratio(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    let revolutions = propeller.speed_rad_s / std::f64::consts::TAU;
    let ratio = setup.point.flight.airspeed_m_s / (revolutions * propeller.diameter_m);
    (ratio < LOW_ADVANCE_RATIO && !setup.point.surfaces.is_empty()).then(|| Warning {
        name: "low_advance_ratio",
        text: format!(
            "advance ratio {ratio:.3} is below {LOW_ADVANCE_RATIO}: the surfaces' wakes are taken from the airspeed \
             and miss the flow the propeller itself draws over them"
        ),
    })
}

pub(super) fn steep_incidence(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let axial = setup.ahead.free_stream_m_s.dot(&setup.ahead.disk.aft);
    let in_plane = (setup.ahead.free_stream_m_s - axial * setup.ahead.disk.aft).norm();
    let through = through_flow_m_s(setup, groups);
    (in_plane > STEEP_INCIDENCE * through).then(|| Warning {
        name: "steep_incidence",
        text: format!(
            "in-plane speed {in_plane:.1} m/s is more than {STEEP_INCIDENCE} of the {through:.1} m/s through the disk: \
             axial momentum theory is strained"
        ),
    })
}

/// Prandtl's factor against Goldstein's at the mean advance of the wake through the disk, λ = (V̄ + v)/(ΩR).
pub(super) fn tip_factor(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    if setup.point.solver.tip_loss == TipLoss::Goldstein {
        return None;
    }
    let tip_m_s = setup.point.propeller.speed_rad_s * setup.ahead.tip_m;
    if tip_m_s <= 0.0 {
        return None;
    }
    let advance = through_flow_m_s(setup, groups) / tip_m_s;
    let excess = prandtl_excess(setup.point.propeller.blade_count, advance)?;
    (excess > TELLING_TIP_EXCESS).then(|| Warning {
        name: "tip_factor",
        text: format!(
            "Prandtl's tip factor is about {:.0} % above Goldstein's exact circulation for {} blades at \
             (V + v)/(ΩR) = {advance:.2}: induced velocity is too low and mean thrust too high, by less than that; \
             `solver.tip_loss = \"goldstein\"` takes the exact one",
            100.0 * excess,
            setup.point.propeller.blade_count
        ),
    })
}

/// Mean size of the axial velocity through the disk, over the stations, m/s.
fn through_flow_m_s(setup: &Setup, groups: &[GroupState]) -> f64 {
    groups
        .iter()
        .flat_map(|g| g.induced().zip(g.inflow.mean_m_s.0))
        .map(|(induced, mean)| (mean + induced.axial_m_s).abs())
        .sum::<f64>()
        / setup.ahead.stations.len() as f64
}
