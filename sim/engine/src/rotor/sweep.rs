//! Eight stations swept over one revolution.
//!
//! At each azimuth the section meets the axial velocity U and the tangential velocity W_t, both with
//! induction. With blade angle θ the velocity across the chord is w = W_t sin θ − U cos θ and along
//! it u = W_t cos θ + U sin θ. Quasi-steady lift takes both as they are. Unsteady lift takes u as it is and w through
//! Küssner's lag: a field fixed in space is a gust met by the leading edge, half a chord (a time
//! c/(2W)) before the mid-chord on the radial line. Coefficients are those at the effective angle
//! atan(w/u), and lift stands square to the effective velocity, so that the lag also tilts it.
//!
//! Where the induced flow carries the disk's first harmonic (`dynamic`), the once-per-revolution part of w passes
//! undelayed: the lag of its trailing and shed vorticity is that induced flow. By Horlock's function the velocity
//! along the chord is lagged as well, by [`crate::unsteady::chordwise`].
//!
//! Range: attached, incompressible indicial lift (kM/β² below 0.4); straight crossings (strip theory).

use multiversion::multiversion;

use super::group::StationGroup;
use super::gust;
use crate::base::lanes::{LANES, Lanes};
use crate::base::turn::{Turn, turn};
use crate::point::input::{SectionLift, Streamwise};
use crate::section::SectionModel;
use crate::unsteady::indicial::{GUST_STATES, KUSSNER};
use crate::unsteady::lag::{Decaying, Lag};

/// What eight stations meet over a revolution, by azimuth.
#[derive(Debug, Clone, Default)]
pub struct GroupFlow {
    /// Axial velocity with induction, m/s (A).
    pub axial_m_s: Vec<Lanes>,
    /// Tangential velocity against the section's motion, with induction, m/s (A).
    pub tangential_m_s: Vec<Lanes>,
}

/// What eight stations yield over a revolution, by azimuth.
#[derive(Debug, Clone)]
pub struct GroupLoads {
    /// Axial force per unit span, forward positive, N/m (A).
    pub normal_n_per_m: Vec<Lanes>,
    /// Force per unit span against the rotation, N/m (A).
    pub tangential_n_per_m: Vec<Lanes>,
    /// States of the lag at azimuth 0.
    pub(super) start: Lag<GUST_STATES>,
}

/// Where a sweep keeps what it has on its way, by azimuth: the sweeps of one grid share it, so that it stays in the processor's
/// cache.
#[derive(Debug, Clone)]
pub struct SweepRoom {
    /// Velocity across the chord, m/s.
    pub(super) across: Vec<Lanes>,
    /// Velocity along the chord, m/s.
    pub(super) along: Vec<Lanes>,
    /// Speed, m/s.
    pub(super) speed: Vec<Lanes>,
    /// Velocity across the chord at the leading edge, m/s.
    pub(super) gust: Vec<Lanes>,
    /// Lagged less present gust.
    pub(super) late: Vec<Lanes>,
    /// Cosine and sine of the azimuths.
    pub(super) turn: Turn,
    /// Cosine and sine part of the once-per-revolution velocity across the chord that is not lagged, m/s.
    pub(super) undelayed: (Lanes, Lanes),
}

/// Constants of a sweep.
#[derive(Debug, Clone, Copy)]
pub struct SweepSetup {
    /// Air density, kg/m³.
    pub density_kg_m3: f64,
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Lift model.
    pub section_lift: SectionLift,
    /// Treatment of the velocity along the chord.
    pub streamwise: Streamwise,
    /// Whether the once-per-revolution part of the velocity across the chord passes without lag.
    pub first_harmonic_undelayed: bool,
    /// How the lag's states begin.
    pub start: SweepStart,
}

/// How the states of the lag begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SweepStart {
    /// With the states that repeat each revolution: the lag is stepped from where the sweep before would have begun, which tells
    /// the states that repeat in this flow; what they leave beyond those, as it decays over the revolution, is added.
    Periodic,
    /// At rest, then marched for a number of revolutions; the last is kept.
    Marched(usize),
}

impl GroupFlow {
    /// Room for a number of azimuths.
    #[must_use]
    pub fn new(azimuths: usize) -> Self {
        Self { axial_m_s: vec![Lanes::ZERO; azimuths], tangential_m_s: vec![Lanes::ZERO; azimuths] }
    }
}

impl GroupLoads {
    /// Room for a number of azimuths.
    #[must_use]
    pub fn new(azimuths: usize) -> Self {
        let room = || vec![Lanes::ZERO; azimuths];
        Self { normal_n_per_m: room(), tangential_n_per_m: room(), start: Lag::AT_REST }
    }

    /// Takes over the lag's states at azimuth 0 from the same stations on another grid.
    pub fn start_from(&mut self, other: &Self) {
        self.start = other.start;
    }
}

impl SweepRoom {
    /// Room for a number of azimuths.
    #[must_use]
    pub fn new(azimuths: usize) -> Self {
        let room = || vec![Lanes::ZERO; azimuths];
        Self {
            across: room(),
            along: room(),
            speed: room(),
            gust: room(),
            late: room(),
            turn: turn(azimuths),
            undelayed: (Lanes::ZERO, Lanes::ZERO),
        }
    }
}

/// Sweeps eight stations over the revolution; returns the azimuth means of the axial and the
/// tangential force per unit span, N/m.
pub fn sweep(
    group: &StationGroup,
    flow: &GroupFlow,
    setup: &SweepSetup,
    room: &mut SweepRoom,
    loads: &mut GroupLoads,
) -> (Lanes, Lanes) {
    match setup.section_lift {
        SectionLift::QuasiSteady => quasi_steady(group, flow, setup, loads),
        SectionLift::Unsteady => {
            chord_velocities(group, flow, room);
            gust::at_leading_edge(group, setup, room);
            unsteady(group, setup, room, loads)
        }
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn quasi_steady(
    group: &StationGroup,
    flow: &GroupFlow,
    setup: &SweepSetup,
    loads: &mut GroupLoads,
) -> (Lanes, Lanes) {
    let mut sum = (Lanes::ZERO, Lanes::ZERO);
    for (j, (axial, tangential)) in flow.axial_m_s.iter().zip(&flow.tangential_m_s).enumerate() {
        let (across, along) = to_chord(group, *axial, *tangential);
        let (normal, against) = section_forces(group, setup, across, along);
        loads.normal_n_per_m[j] = normal;
        loads.tangential_n_per_m[j] = against;
        sum = (sum.0 + normal, sum.1 + against);
    }
    mean(sum, flow.axial_m_s.len())
}

/// Velocity across the chord and total speed at each azimuth.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn chord_velocities(group: &StationGroup, flow: &GroupFlow, room: &mut SweepRoom) {
    let met = flow.axial_m_s.iter().zip(&flow.tangential_m_s);
    let to = room.across.iter_mut().zip(&mut room.along).zip(&mut room.speed);
    for ((axial, tangential), ((across, along), speed)) in met.zip(to) {
        (*across, *along) = to_chord(group, *axial, *tangential);
        *speed = (*axial * *axial + *tangential * *tangential).sqrt();
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn unsteady(
    group: &StationGroup,
    setup: &SweepSetup,
    room: &mut SweepRoom,
    loads: &mut GroupLoads,
) -> (Lanes, Lanes) {
    let count = room.gust.len();
    let step_s = std::f64::consts::TAU / (setup.speed_rad_s * count as f64);
    // Semichords travelled in a step at mean speed W: W Δt / (c/2); the mean of two ends halves again.
    let to_semichords = Lanes::splat(step_s) / group.chord_m;
    let mut lag = loads.start;
    if let SweepStart::Marched(revolutions) = setup.start {
        lag = Lag::AT_REST;
        for step in 0..revolutions.saturating_sub(1) * count {
            advance(&mut lag, room, to_semichords, step % count);
        }
        loads.start = lag;
    }
    let mut travelled = Lanes::ZERO;
    let mut late = lag.value();
    for j in 0..count {
        travelled = travelled + room.speed[j] * (to_semichords * 2.0);
        room.late[j] = late;
        late = advance(&mut lag, room, to_semichords, j);
    }
    let repeating = lag.repeating(&loads.start, &KUSSNER, travelled);
    let lacking =
        if setup.start == SweepStart::Periodic { repeating.beyond(&loads.start) } else { Decaying::NOTHING };
    loads.start = repeating;
    forces(group, setup, (lacking, to_semichords), room, loads)
}

/// Forces per unit span at the lagged velocities in `room`; returns their means. What the states that repeat leave over
/// the revolution beyond those begun with is added as it decays.
#[inline(always)]
fn forces(
    group: &StationGroup,
    setup: &SweepSetup,
    (mut lacking, to_semichords): (Decaying<GUST_STATES>, Lanes),
    room: &SweepRoom,
    loads: &mut GroupLoads,
) -> (Lanes, Lanes) {
    let count = room.gust.len();
    let mut sum = (Lanes::ZERO, Lanes::ZERO);
    for j in 0..count {
        let (cos, sin) = room.turn[j];
        let undelayed = room.undelayed.0 * cos + room.undelayed.1 * sin;
        let mut across = room.gust[j] + room.late[j] + undelayed;
        if lacking.is_felt() {
            across = across + lacking.value();
            let next = if j + 1 == count { 0 } else { j + 1 };
            lacking.step(&KUSSNER, (room.speed[j] + room.speed[next]) * to_semichords);
        }
        let (normal, against) = section_forces(group, setup, across, room.along[j]);
        loads.normal_n_per_m[j] = normal;
        loads.tangential_n_per_m[j] = against;
        sum = (sum.0 + normal, sum.1 + against);
    }
    mean(sum, count)
}

/// Steps the lag from azimuth index `j` to the next; returns lagged minus present gust there.
#[inline(always)]
fn advance(lag: &mut Lag<GUST_STATES>, room: &SweepRoom, to_semichords: Lanes, j: usize) -> Lanes {
    let next = if j + 1 == room.gust.len() { 0 } else { j + 1 };
    let semichords = (room.speed[j] + room.speed[next]) * to_semichords;
    lag.step(&KUSSNER, semichords, room.gust[next] - room.gust[j])
}

#[inline(always)]
fn mean(sum: (Lanes, Lanes), count: usize) -> (Lanes, Lanes) {
    let share = 1.0 / count as f64;
    (sum.0 * share, sum.1 * share)
}

/// Velocity across and along the chord.
#[inline(always)]
pub(super) fn to_chord(group: &StationGroup, axial: Lanes, tangential: Lanes) -> (Lanes, Lanes) {
    let (sin, cos) = (group.sin_blade_angle, group.cos_blade_angle);
    (tangential * sin - axial * cos, tangential * cos + axial * sin)
}

/// Axial and tangential force per unit span at effective chord velocities.
#[inline(always)]
pub(super) fn section_forces(
    group: &StationGroup,
    setup: &SweepSetup,
    across: Lanes,
    along: Lanes,
) -> (Lanes, Lanes) {
    let square = across * across + along * along;
    let speed = square.sqrt();
    let angle = across.atan2(along);
    let (lift, drag) = section_coefficients(group, angle, speed * (1.0 / setup.speed_of_sound_m_s));
    let (sin, cos) = (group.sin_blade_angle, group.cos_blade_angle);
    // Back to axial and tangential: the effective velocity, and lift and drag on it.
    let axial = along * sin - across * cos;
    let tangential = along * cos + across * sin;
    let pressure = group.chord_m * speed * (0.5 * setup.density_kg_m3);
    (pressure * (lift * tangential - drag * axial), pressure * (lift * axial + drag * tangential))
}

/// Lift and drag coefficients of eight sections.
#[inline(always)]
fn section_coefficients(group: &StationGroup, angle: Lanes, mach: Lanes) -> (Lanes, Lanes) {
    let line = &group.linear;
    let mut lift = line.slope * (angle - line.zero_lift_rad);
    if line.compressible {
        let held = mach.min(Lanes::splat(0.9));
        lift = lift / (Lanes::splat(1.0) - held * held).sqrt();
    }
    if lift.all(line.lift_high, |a, b| a <= b) && lift.all(line.lift_low, |a, b| a >= b) {
        let off = lift - line.lift_at_drag_min;
        return (lift, line.drag_min + line.drag_rise * off * off);
    }
    let mut out = (Lanes::ZERO, Lanes::ZERO);
    for i in 0..LANES {
        let c = group.sections[i].coefficients(angle.0[i], mach.0[i]);
        out.0.0[i] = c.lift;
        out.1.0[i] = c.drag;
    }
    out
}
