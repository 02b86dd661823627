//! Wakes too thin, too deep or crossed too obliquely.

use super::super::consequences::{TYPICAL_RADIUS_RATIO, passage_reduced_frequency};
use super::super::group_state::GroupState;
use super::super::result::Warning;
use super::super::setup::Setup;
use crate::point::input::Surface;
use crate::surface::geometry::{Half, halves};
use crate::unsteady::oblique::strip_theory_excess;

/// Span over chord trace ratio of a wake above which strip theory is 8, 17, 41 % high at k = 0.5, 1, 2.
const OBLIQUE_TRACE: f64 = 0.5;

/// The part of the blade that carries most of the load, over tip radius (common practice).
const OUTER_HALF: f64 = 0.5;

/// Surfaces whose whole trailing edge lies behind the disk.
pub(super) fn surfaces_behind(setup: &Setup) -> Option<Warning> {
    let disk = &setup.ahead.disk;
    let is_behind = |surface: &&Surface| {
        let ends = |half: &Half| [half.trailing_edge(0.0), half.trailing_edge(half.length_m)];
        halves(surface).iter().flat_map(ends).all(|end| (end - disk.hub_m).dot(&disk.aft) > 0.0)
    };
    let names: Vec<String> =
        setup.point.surfaces.iter().filter(is_behind).map(|surface| format!("`{}`", surface.name)).collect();
    (!names.is_empty()).then(|| Warning {
        name: "surface_behind_disk",
        text: format!(
            "{} behind the disk: no wake of it meets the blades, and the slipstream it stands in is not modelled",
            match names.as_slice() {
                [one] => format!("surface {one} lies"),
                several => format!("surfaces {} lie", several.join(", ")),
            }
        ),
    })
}

pub(super) fn narrow_wake(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let count: usize = groups.iter().map(|g| g.inflow.narrow()).sum();
    (count > 0).then(|| Warning {
        name: "narrow_wake",
        text: format!(
            "the wake is narrower than two azimuth cells at {count} of {} stations and was averaged over the \
             cells: raise `solver.azimuths` for the high harmonics",
            setup.ahead.stations.len()
        ),
    })
}

pub(super) fn cut_velocity(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let count: usize = groups.iter().map(|g| g.inflow.cut(&g.induced)).sum();
    let all = setup.ahead.stations.len() * setup.ahead.azimuth_rad.len();
    (count > 0).then(|| Warning {
        name: "axial_velocity_cut",
        text: format!(
            "axial velocity in the wake was cut to zero at {count} of {all} disk points: \
             the wake is deeper than the propeller's suction can carry"
        ),
    })
}

/// Annuli that the air goes through from behind.
pub(super) fn reversed_flow(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let count: usize = groups.iter().map(|g| g.inflow.reversed(&g.induced)).sum();
    (count > 0).then(|| Warning {
        name: "flow_reversed",
        text: format!(
            "the air goes through {count} of {} stations from behind: a vortex ring, unsteady, for which strip theory has \
             no more than a bridge; loads there are rough",
            setup.ahead.stations.len()
        ),
    })
}

/// Wakes of surfaces whose trace runs along the blade more than half as fast as along its chord.
pub(super) fn oblique_crossing(setup: &Setup, groups: &[GroupState]) -> Option<Warning> {
    let traces: Vec<(f64, f64)> = traces(setup, groups);
    let outer = traces.iter().filter(|(radius_m, _)| *radius_m > OUTER_HALF * setup.ahead.tip_m);
    let count = outer.filter(|(_, ratio)| *ratio > OBLIQUE_TRACE).count();
    if count == 0 {
        return None;
    }
    let typical_m = TYPICAL_RADIUS_RATIO * setup.ahead.tip_m;
    let off = |radius_m: f64| (radius_m - typical_m).abs();
    let nearest = traces.iter().min_by(|a, b| off(a.0).total_cmp(&off(b.0)))?;
    let k = passage_reduced_frequency(setup.point)?;
    let there = if off(nearest.0) > 0.1 * setup.ahead.tip_m {
        "no wake is crossed at 0.75 R".to_owned()
    } else if nearest.1.is_infinite() {
        "at 0.75 R the wake is grazed along the whole blade".to_owned()
    } else {
        format!(
            "at 0.75 R it is {:.2}, and strip theory's NP gust lift about {:.0} % high",
            nearest.1,
            100.0 * strip_theory_excess(k, nearest.1)
        )
    };
    Some(Warning {
        name: "oblique_crossing",
        text: format!(
            "a wake is crossed obliquely, span over chord trace ratio above {OBLIQUE_TRACE}, at {count} of {} \
             stations on the outer half of the blade; {there}: take harmonics of the wake as upper bounds",
            setup.ahead.stations.iter().filter(|s| s.radius_m > OUTER_HALF * setup.ahead.tip_m).count()
        ),
    })
}

/// Radius and largest trace ratio of the stations that a surface's wake crosses, m and 1.
fn traces(setup: &Setup, groups: &[GroupState]) -> Vec<(f64, f64)> {
    let mut list = Vec::new();
    for (g, group) in groups.iter().enumerate() {
        for (station, lane) in setup.ahead.stations[setup.ahead.group_range(g)].iter().zip(0..) {
            let ratio = group.inflow.trace_ratio(lane, station.radius_m, group.induced.axial_m_s);
            list.extend(ratio.map(|ratio| (station.radius_m, ratio)));
        }
    }
    list
}
