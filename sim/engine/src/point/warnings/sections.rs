//! Sections past stall, past drag rise, off their tables; blades that were never measured.

use super::super::disk_fields::extreme_angles_rad;
use super::super::group_state::GroupState;
use super::super::input::{Compressibility, SectionSpec};
use super::super::result::Warning;
use super::super::setup::Setup;
use crate::section::drag_rise_mach;
use crate::section::shape::profile_drag;

pub(super) fn stall(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let stalled = groups.iter().enumerate().map(|(g, group)| {
        let (least, greatest) = extreme_angles_rad(setup, g, group);
        let past = |(lane, i): &(usize, usize)| {
            let rotation_m_s = setup.point.propeller.speed_rad_s * setup.ahead.stations[*i].radius_m;
            let mach =
                setup.point.flight.airspeed_m_s.hypot(rotation_m_s) / setup.ahead.air.speed_of_sound_m_s;
            let (low, high) = setup.sections[*i].unstalled_rad(mach);
            greatest.0[*lane] > high || least.0[*lane] < low
        };
        (0..).zip(setup.ahead.group_range(g)).filter(past).count()
    });
    let count: usize = stalled.sum();
    (count > 0).then(|| Warning {
        name: "stalled_stations",
        text: format!(
            "{count} of {} stations pass the greatest section lift somewhere in the revolution: \
             stall is taken as steady, its lag is not modelled",
            setup.ahead.stations.len()
        ),
    })
}

pub(super) fn drag_rise(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    if propeller.compressibility == Compressibility::None {
        return None;
    }
    let airspeed = setup.point.flight.airspeed_m_s;
    let station = setup.ahead.stations.last()?;
    let mach = airspeed.hypot(propeller.speed_rad_s * station.radius_m) / setup.ahead.air.speed_of_sound_m_s;
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

pub(super) fn outside_tables(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    let airspeed = setup.point.flight.airspeed_m_s;
    let outside = setup.ahead.stations.iter().filter(|s| {
        let speed = airspeed.hypot(propeller.speed_rad_s * s.radius_m);
        let reynolds = setup.ahead.air.density_kg_m3 * speed * s.chord_m / setup.ahead.air.viscosity_pa_s;
        let ends = |list: &[f64], x: f64| {
            list.len() > 1 && (x < list[0] || list.last().is_some_and(|last| x > *last))
        };
        let mach = speed / setup.ahead.air.speed_of_sound_m_s;
        s.section.indices().any(|section| match &propeller.sections[section] {
            SectionSpec::Table(table) => ends(&table.reynolds, reynolds) || ends(&table.mach, mach),
            _ => false,
        })
    });
    let count = outside.count();
    (count > 0).then(|| Warning {
        name: "outside_section_table",
        text: format!(
            "{count} of {} stations lie outside the Reynolds or Mach numbers of their section table: \
             the nearest row was used",
            setup.ahead.stations.len()
        ),
    })
}

pub(super) fn laminar_sections(setup: &Setup) -> Option<Warning> {
    let propeller = &setup.point.propeller;
    let airspeed = setup.point.flight.airspeed_m_s;
    let laminar = setup.ahead.stations.iter().filter(|s| {
        let speed = airspeed.hypot(propeller.speed_rad_s * s.radius_m);
        let reynolds = setup.ahead.air.density_kg_m3 * speed * s.chord_m / setup.ahead.air.viscosity_pa_s;
        s.section.indices().any(|section| match &propeller.sections[section] {
            SectionSpec::Shape(shape) => profile_drag(shape, reynolds).turbulent_from >= 1.0,
            _ => false,
        })
    });
    let count = laminar.count();
    (count > 0).then(|| Warning {
        name: "laminar_sections",
        text: format!(
            "{count} of {} stations run at Reynolds numbers where a separated laminar layer does not reattach: \
             their section drag is an estimate, within about 30 %",
            setup.ahead.stations.len()
        ),
    })
}

pub(super) fn generic_blade(setup: &Setup) -> Option<Warning> {
    setup.point.propeller.blade.generic.then(|| Warning {
        name: "generic_blade",
        text: "generic blade: constant pitch with planform and thickness of common practice, none that was \
               measured; thrust moves with the unknown 3 to 4 deg between face and zero-lift line"
            .into(),
    })
}
