//! Loads of small changes of the flow about its azimuth mean: the sweep made linear.

use multiversion::multiversion;

use super::group::StationGroup;
use super::gust;
use super::sweep::{GroupFlow, GroupLoads, SweepRoom, SweepSetup, section_forces, to_chord};
use crate::base::lanes::Lanes;
use crate::point::input::SectionLift;
use crate::unsteady::indicial::{GUST_STATES, KUSSNER};
use crate::unsteady::lag::{Lag, LagStep};

/// Derivatives of the forces per unit span by the velocities across and along the chord, N s/m².
#[derive(Debug, Clone, Copy)]
struct Derivatives {
    normal: (Lanes, Lanes),
    tangential: (Lanes, Lanes),
}

/// Change of the forces of eight stations for a change `delta` of what they meet about the azimuth means
/// `axial_m_s` and `tangential_m_s`: same lag, same shift to the leading edge, derivatives of the section taken at the mean.
pub fn sweep_linear(
    group: &StationGroup,
    (axial_m_s, tangential_m_s): (Lanes, Lanes),
    delta: &GroupFlow,
    setup: &SweepSetup,
    room: &mut SweepRoom,
    loads: &mut GroupLoads,
) {
    let (across, along) = to_chord(group, axial_m_s, tangential_m_s);
    let derivatives = derivatives(group, setup, across, along);
    let speed = (across * across + along * along).sqrt();
    for (j, (a, t)) in delta.axial_m_s.iter().zip(&delta.tangential_m_s).enumerate() {
        (room.across[j], room.along[j]) = to_chord(group, *a, *t);
        room.speed[j] = speed;
    }
    match setup.section_lift {
        SectionLift::QuasiSteady => {
            room.gust.copy_from_slice(&room.across);
            room.undelayed = (Lanes::ZERO, Lanes::ZERO);
            act(&derivatives, None, room, loads);
        }
        SectionLift::Unsteady => {
            gust::at_leading_edge(group, setup, room);
            let count = room.gust.len() as f64;
            let step_s = std::f64::consts::TAU / (setup.speed_rad_s * count);
            let semichords = speed * step_s * 2.0 / group.chord_m;
            let step = LagStep::new(&KUSSNER, semichords);
            let start = repeating_start(&step, semichords * count, room);
            act(&derivatives, Some((step, start)), room, loads);
        }
    }
}

/// Central differences of the section forces about the mean.
fn derivatives(group: &StationGroup, setup: &SweepSetup, across: Lanes, along: Lanes) -> Derivatives {
    // A step well inside the section's smoothness and well above round-off.
    let h = (across * across + along * along).sqrt() * 1e-4;
    let slope =
        |up: (Lanes, Lanes), down: (Lanes, Lanes)| ((up.0 - down.0) / (h * 2.0), (up.1 - down.1) / (h * 2.0));
    let by_across = slope(
        section_forces(group, setup, across + h, along),
        section_forces(group, setup, across - h, along),
    );
    let by_along = slope(
        section_forces(group, setup, across, along + h),
        section_forces(group, setup, across, along - h),
    );
    Derivatives { normal: (by_across.0, by_along.0), tangential: (by_across.1, by_along.1) }
}

/// States that repeat each revolution for the gust in `room`.
fn repeating_start(step: &LagStep<GUST_STATES>, revolution: Lanes, room: &SweepRoom) -> Lag<GUST_STATES> {
    let count = room.gust.len();
    let mut lag = Lag::AT_REST;
    for j in 0..count {
        let next = if j + 1 == count { 0 } else { j + 1 };
        lag.step_by(step, room.gust[next] - room.gust[j]);
    }
    lag.repeating(&Lag::AT_REST, &KUSSNER, revolution)
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn act(
    derivatives: &Derivatives,
    lagged: Option<(LagStep<GUST_STATES>, Lag<GUST_STATES>)>,
    room: &SweepRoom,
    loads: &mut GroupLoads,
) {
    let count = room.gust.len();
    let mut lagged = lagged;
    let mut late = lagged.as_ref().map_or(Lanes::ZERO, |(_, lag)| lag.value());
    for j in 0..count {
        let (cos, sin) = room.turn[j];
        let across = room.gust[j] + late + room.undelayed.0 * cos + room.undelayed.1 * sin;
        let along = room.along[j];
        loads.normal_n_per_m[j] = derivatives.normal.0 * across + derivatives.normal.1 * along;
        loads.tangential_n_per_m[j] = derivatives.tangential.0 * across + derivatives.tangential.1 * along;
        if let Some((step, lag)) = &mut lagged {
            let next = if j + 1 == count { 0 } else { j + 1 };
            late = lag.step_by(step, room.gust[next] - room.gust[j]);
        }
    }
}
