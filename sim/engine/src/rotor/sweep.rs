//! Eight stations swept over one revolution.
//!
//! At each azimuth the section meets the axial velocity U and the tangential velocity W_t, both with
//! induction. With blade angle θ the velocity across the chord is w = W_t sin θ − U cos θ and along
//! it u = W_t cos θ + U sin θ. Quasi-steady lift takes both as they are. Unsteady lift takes u as it is and w through
//! Küssner's lag: a field fixed in space is a gust met by the leading edge, half a chord (a time
//! c/(2W)) before the mid-chord on the radial line. Coefficients are those at the effective angle
//! atan(w/u), and lift stands square to the effective velocity, so that the lag also tilts it.
//!
//! Range: attached, incompressible indicial lift (kM/β² below 0.4); straight crossings (strip theory).

use multiversion::multiversion;

use super::group::StationGroup;
use crate::base::lanes::{LANES, Lanes};
use crate::point::input::SectionLift;
use crate::section::SectionModel;
use crate::unsteady::indicial::{GUST_STATES, KUSSNER};
use crate::unsteady::lag::Lag;

/// What eight stations meet over a revolution, by azimuth.
#[derive(Debug, Clone, Default)]
pub struct GroupFlow {
    /// Axial velocity with induction, m/s (A).
    pub axial_m_s: Vec<Lanes>,
    /// Tangential velocity against the section's motion, with induction, m/s (A).
    pub tangential_m_s: Vec<Lanes>,
}

/// What eight stations yield over a revolution, by azimuth, and its scratch space.
#[derive(Debug, Clone, Default)]
pub struct GroupLoads {
    /// Axial force per unit span, forward positive, N/m (A).
    pub normal_n_per_m: Vec<Lanes>,
    /// Force per unit span against the rotation, N/m (A).
    pub tangential_n_per_m: Vec<Lanes>,
    across: Vec<Lanes>,
    speed: Vec<Lanes>,
    gust: Vec<Lanes>,
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
    /// How the lag's states begin.
    pub start: SweepStart,
}

/// How the states of the lag begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SweepStart {
    /// With the states that repeat each revolution.
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
        Self {
            normal_n_per_m: room(),
            tangential_n_per_m: room(),
            across: room(),
            speed: room(),
            gust: room(),
        }
    }
}

/// Sweeps eight stations over the revolution; returns the azimuth means of the axial and the
/// tangential force per unit span, N/m.
pub fn sweep(
    group: &StationGroup,
    flow: &GroupFlow,
    setup: &SweepSetup,
    loads: &mut GroupLoads,
) -> (Lanes, Lanes) {
    match setup.section_lift {
        SectionLift::QuasiSteady => quasi_steady(group, flow, setup, loads),
        SectionLift::Unsteady => {
            chord_velocities(group, flow, loads);
            gust_at_leading_edge(group, setup, loads);
            unsteady(group, flow, setup, loads)
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
fn chord_velocities(group: &StationGroup, flow: &GroupFlow, loads: &mut GroupLoads) {
    for (j, (axial, tangential)) in flow.axial_m_s.iter().zip(&flow.tangential_m_s).enumerate() {
        loads.across[j] = to_chord(group, *axial, *tangential).0;
        loads.speed[j] = (*axial * *axial + *tangential * *tangential).sqrt();
    }
}

/// Shifts the velocity across the chord forward to where the leading edge is.
///
/// The lead in azimuth is Ω c/(2W̄) with W̄ the azimuth-mean speed; values between grid points by the
/// four-point Lagrange formula (error of order (nΔψ)⁴/24 times 9/16).
fn gust_at_leading_edge(group: &StationGroup, setup: &SweepSetup, loads: &mut GroupLoads) {
    let count = loads.across.len();
    let step = std::f64::consts::TAU / count as f64;
    for lane in 0..LANES {
        let mean_speed = loads.speed.iter().map(|w| w.0[lane]).sum::<f64>() / count as f64;
        let lead = setup.speed_rad_s * 0.5 * group.chord_m.0[lane] / (mean_speed * step);
        let whole = lead.floor();
        let t = lead - whole;
        let weights = [
            -t * (t - 1.0) * (t - 2.0) / 6.0,
            (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0,
            -(t + 1.0) * t * (t - 2.0) / 2.0,
            (t + 1.0) * t * (t - 1.0) / 6.0,
        ];
        let mut at = (whole as usize + count - 1) % count;
        let next = |i: usize| if i + 1 == count { 0 } else { i + 1 };
        let mut window = [0.0; 4];
        for value in &mut window[..3] {
            *value = loads.across[at].0[lane];
            at = next(at);
        }
        for gust in &mut loads.gust {
            window[3] = loads.across[at].0[lane];
            at = next(at);
            gust.0[lane] = weights[0] * window[0]
                + weights[1] * window[1]
                + weights[2] * window[2]
                + weights[3] * window[3];
            window = [window[1], window[2], window[3], 0.0];
        }
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn unsteady(
    group: &StationGroup,
    flow: &GroupFlow,
    setup: &SweepSetup,
    loads: &mut GroupLoads,
) -> (Lanes, Lanes) {
    let count = flow.axial_m_s.len();
    let step_s = std::f64::consts::TAU / (setup.speed_rad_s * count as f64);
    // Semichords travelled in a step at mean speed W: W Δt / (c/2); the mean of two ends halves again.
    let to_semichords = Lanes::splat(step_s) / group.chord_m;
    let mut lag = Lag::AT_REST;
    let mut late = Lanes::ZERO;
    match setup.start {
        SweepStart::Periodic => {
            let mut total = Lanes::ZERO;
            for j in 0..count - 1 {
                advance(&mut lag, loads, to_semichords, j);
                total = total + (loads.speed[j] + loads.speed[j + 1]) * to_semichords;
            }
            total = total + (loads.speed[count - 1] + loads.speed[0]) * to_semichords;
            advance(&mut lag, loads, to_semichords, count - 1);
            lag.close_revolution(&KUSSNER, total);
            late = lag.value(&KUSSNER);
        }
        SweepStart::Marched(revolutions) => {
            for step in 0..revolutions.saturating_sub(1) * count {
                late = advance(&mut lag, loads, to_semichords, step % count);
            }
        }
    }
    let mut sum = (Lanes::ZERO, Lanes::ZERO);
    for j in 0..count {
        let (_, along) = to_chord(group, flow.axial_m_s[j], flow.tangential_m_s[j]);
        let (normal, against) = section_forces(group, setup, loads.gust[j] + late, along);
        loads.normal_n_per_m[j] = normal;
        loads.tangential_n_per_m[j] = against;
        sum = (sum.0 + normal, sum.1 + against);
        late = advance(&mut lag, loads, to_semichords, j);
    }
    mean(sum, count)
}

/// Steps the lag from azimuth index `j` to the next; returns lagged minus present gust there.
#[inline(always)]
fn advance(lag: &mut Lag<GUST_STATES>, loads: &GroupLoads, to_semichords: Lanes, j: usize) -> Lanes {
    let next = if j + 1 == loads.gust.len() { 0 } else { j + 1 };
    let semichords = (loads.speed[j] + loads.speed[next]) * to_semichords;
    lag.step(&KUSSNER, semichords, loads.gust[next] - loads.gust[j])
}

#[inline(always)]
fn mean(sum: (Lanes, Lanes), count: usize) -> (Lanes, Lanes) {
    let share = 1.0 / count as f64;
    (sum.0 * share, sum.1 * share)
}

/// Velocity across and along the chord.
#[inline(always)]
fn to_chord(group: &StationGroup, axial: Lanes, tangential: Lanes) -> (Lanes, Lanes) {
    let (sin, cos) = (group.sin_blade_angle, group.cos_blade_angle);
    (tangential * sin - axial * cos, tangential * cos + axial * sin)
}

/// Axial and tangential force per unit span at effective chord velocities.
#[inline(always)]
fn section_forces(group: &StationGroup, setup: &SweepSetup, across: Lanes, along: Lanes) -> (Lanes, Lanes) {
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
