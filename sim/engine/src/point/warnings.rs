//! Remarks on the validity of an answer, each with its figure.

use super::group_state::GroupState;
use super::input::{Compressibility, SectionSpec};
use super::result::{DiskField, PointResult, Warning};
use super::setup::Setup;
use crate::rotor::group::StationSection;
use crate::section::drag_rise_mach;
use crate::section::shape::profile_drag;

/// Advance ratio below which a wake drawn in by the propeller is far from the one computed without it.
const LOW_ADVANCE_RATIO: f64 = 0.1;

/// In-plane speed over through-flow above which axial momentum is strained (Glauert's general form
/// then raises the mass flow by more than 4 %).
const STEEP_INCIDENCE: f64 = 0.3;

pub(super) fn warnings(setup: &Setup, groups: &[GroupState], result: &PointResult) -> Vec<Warning> {
    let mut list: Vec<Warning> = setup.sources.iter().flat_map(|s| s.warnings()).collect();
    list.extend(narrow_wake(setup, groups));
    list.extend(cut_velocity(setup, groups));
    list.extend(low_advance_ratio(setup));
    list.extend(steep_incidence(setup, groups));
    list.extend(stall(setup, result));
    list.extend(drag_rise(setup));
    list.extend(outside_tables(setup));
    list.extend(laminar_sections(setup));
    list.extend(generic_blade(setup));
    list
}

fn narrow_wake(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let count: usize = groups.iter().flat_map(|g| &g.inflow.stations).filter(|s| s.has_narrow_wake()).count();
    (count > 0).then(|| Warning {
        name: "narrow_wake",
        text: format!(
            "the wake is narrower than two azimuth cells at {count} of {} stations and was averaged over the \
             cells: raise `solver.azimuths` for the high harmonics",
            setup.stations.len()
        ),
    })
}

fn cut_velocity(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let count: usize = groups.iter().map(|g| g.inflow.cut(&g.induced)).sum();
    let all = setup.stations.len() * setup.azimuth_rad.len();
    (count > 0).then(|| Warning {
        name: "axial_velocity_cut",
        text: format!(
            "axial velocity in the wake was cut to zero at {count} of {all} disk points: \
             the wake is deeper than the propeller's suction can carry"
        ),
    })
}

fn low_advance_ratio(setup: &Setup) -> Option<Warning> {
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

fn steep_incidence(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let axial = setup.free_stream_m_s.dot(&setup.disk.aft);
    let in_plane = (setup.free_stream_m_s - axial * setup.disk.aft).norm();
    let through = groups
        .iter()
        .flat_map(|g| g.induced().zip(g.inflow.mean_m_s.0))
        .map(|(induced, mean)| (mean + induced.axial_m_s).abs())
        .sum::<f64>()
        / setup.stations.len() as f64;
    (in_plane > STEEP_INCIDENCE * through).then(|| Warning {
        name: "steep_incidence",
        text: format!(
            "in-plane speed {in_plane:.1} m/s is more than {STEEP_INCIDENCE} of the {through:.1} m/s through the disk: \
             axial momentum theory is strained"
        ),
    })
}

fn stall(setup: &Setup, result: &PointResult) -> Option<Warning> {
    let angles = result.disk(DiskField::AngleOfAttack);
    let stalled = setup.stations.iter().enumerate().filter(|(i, _)| {
        let StationSection::Analytic(section, _) = &setup.sections[*i] else {
            return false;
        };
        let lift = |angle: f64| section.lift_slope_per_rad * (angle - section.zero_lift_rad);
        angles.row(*i).iter().any(|a| lift(*a) > section.lift_max || lift(*a) < section.lift_min)
    });
    let count = stalled.count();
    (count > 0).then(|| Warning {
        name: "stalled_stations",
        text: format!(
            "{count} of {} stations pass the greatest section lift somewhere in the revolution: \
             stall is taken as steady, its lag is not modelled",
            setup.stations.len()
        ),
    })
}

fn drag_rise(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    if propeller.compressibility == Compressibility::None {
        return None;
    }
    let airspeed = setup.point.flight.airspeed_m_s;
    let station = setup.stations.last()?;
    let mach = airspeed.hypot(propeller.speed_rad_s * station.radius_m) / setup.air.speed_of_sound_m_s;
    // A moderate lift: the relation moves by 0.01 for each 0.1 of lift.
    let limit = drag_rise_mach(station.thickness_ratio, 0.4);
    (mach > limit).then(|| Warning {
        name: "drag_rise",
        text: format!(
            "Mach {mach:.2} near the tip is above the drag rise of its section, about {limit:.2}: \
             power is too low, and the Prandtl–Glauert rule is past its range"
        ),
    })
}

fn outside_tables(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    let airspeed = setup.point.flight.airspeed_m_s;
    let outside = setup.stations.iter().filter(|s| {
        let SectionSpec::Table(table) = &propeller.sections[s.section] else {
            return false;
        };
        let speed = airspeed.hypot(propeller.speed_rad_s * s.radius_m);
        let reynolds = setup.air.density_kg_m3 * speed * s.chord_m / setup.air.viscosity_pa_s;
        let ends = |list: &[f64], x: f64| {
            list.len() > 1 && (x < list[0] || list.last().is_some_and(|last| x > *last))
        };
        ends(&table.reynolds, reynolds) || ends(&table.mach, speed / setup.air.speed_of_sound_m_s)
    });
    let count = outside.count();
    (count > 0).then(|| Warning {
        name: "outside_section_table",
        text: format!(
            "{count} of {} stations lie outside the Reynolds or Mach numbers of their section table: \
             the nearest row was used",
            setup.stations.len()
        ),
    })
}

fn laminar_sections(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    let airspeed = setup.point.flight.airspeed_m_s;
    let laminar = setup.stations.iter().filter(|s| {
        let SectionSpec::Shape(shape) = &propeller.sections[s.section] else {
            return false;
        };
        let speed = airspeed.hypot(propeller.speed_rad_s * s.radius_m);
        let reynolds = setup.air.density_kg_m3 * speed * s.chord_m / setup.air.viscosity_pa_s;
        profile_drag(shape, reynolds).turbulent_from >= 1.0
    });
    let count = laminar.count();
    (count > 0).then(|| Warning {
        name: "laminar_sections",
        text: format!(
            "{count} of {} stations run at Reynolds numbers where a separated laminar layer does not reattach: \
             their section drag is an estimate, within about 30 %",
            setup.stations.len()
        ),
    })
}

fn generic_blade(setup: &Setup) -> Option<Warning> {
    setup.point.propeller.blade.generic.then(|| Warning {
        name: "generic_blade",
        text: "generic blade: constant pitch with planform and thickness of common practice, none that was \
               measured; thrust moves with the unknown 3 to 4 deg between face and zero-lift line"
            .into(),
    })
}
