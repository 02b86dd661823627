//! The velocity at the chord made ready for the lag: to the leading edge, and what passes without lag.

use multiversion::multiversion;

use super::group::StationGroup;
use super::sweep::{SweepRoom, SweepSetup};
use crate::base::complex_lanes::ComplexLanes;
use crate::base::lagrange::{lagrange4, weighed4};
use crate::base::lanes::{LANES, Lanes, mean};
use crate::base::turn::Turn;
use crate::point::input::Streamwise;
use crate::unsteady::chordwise::PlateMemory;

/// From the velocities across and along the chord in `room` to the gust the leading edge meets and the velocity along
/// the chord that acts on lift.
pub(super) fn at_leading_edge(group: &StationGroup, setup: &SweepSetup, room: &mut SweepRoom) {
    if setup.first_harmonic_undelayed {
        set_first_harmonic_apart(room);
    }
    let leads = LeadingEdge::new(group, setup, mean(&room.speed), room.speed.len());
    leads.shift(&room.across, &mut room.gust);
    if setup.streamwise == Streamwise::Horlock {
        lag_along_chord(&leads, group, setup, room);
    }
}

/// Takes the once-per-revolution part off the velocity across the chord and keeps it.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn set_first_harmonic_apart(room: &mut SweepRoom) {
    let mut part = (Lanes::ZERO, Lanes::ZERO);
    for (w, (cos, sin)) in room.across.iter().zip(room.turn.iter()) {
        part = (part.0 + *w * *cos, part.1 + *w * *sin);
    }
    let scale = 2.0 / room.across.len() as f64;
    room.undelayed = (part.0 * scale, part.1 * scale);
    for (w, (cos, sin)) in room.across.iter_mut().zip(room.turn.iter()) {
        *w = *w - room.undelayed.0 * *cos - room.undelayed.1 * *sin;
    }
}

/// Lags the velocity along the chord by the loading of the plate it passes over.
fn lag_along_chord(leads: &LeadingEdge, group: &StationGroup, setup: &SweepSetup, room: &mut SweepRoom) {
    let step_s = std::f64::consts::TAU / (setup.speed_rad_s * room.along.len() as f64);
    let semichords = leads.mean_speed_m_s * step_s / (group.chord_m * 0.5);
    // The velocity at the leading edge; the section's own array is free again once it is shifted.
    let mut at_edge = vec![Lanes::ZERO; room.along.len()];
    leads.shift(&room.along, &mut at_edge);
    PlateMemory::new(semichords).lag(&at_edge, &mut room.along);
}

/// How far ahead in azimuth the leading edges of eight stations are.
pub(super) struct LeadingEdge {
    /// Azimuth-mean speed W̄, m/s.
    mean_speed_m_s: Lanes,
    /// Lead in whole azimuth cells and the part of a cell left.
    lead: [(usize, f64); LANES],
}

impl LeadingEdge {
    /// The lead is Ω c/(2W̄) with W̄ the azimuth-mean speed; `count` azimuths.
    pub(super) fn new(group: &StationGroup, setup: &SweepSetup, mean_speed_m_s: Lanes, count: usize) -> Self {
        let step = std::f64::consts::TAU / count as f64;
        let lead = std::array::from_fn(|lane| {
            let cells = setup.speed_rad_s * 0.5 * group.chord_m.0[lane] / (mean_speed_m_s.0[lane] * step);
            (cells as usize, cells - cells.floor())
        });
        Self { mean_speed_m_s, lead }
    }

    /// The velocity where the leading edges are over that at the mid-chords, for one that turns `order` times a revolution: what
    /// [`Self::shift`] makes of it; `turn` as many steps as there are azimuths.
    pub(super) fn answer(&self, turn: &Turn, order: usize) -> ComplexLanes {
        let count = turn.len();
        let mut answer = ComplexLanes::ZERO;
        for (lane, (cells, part)) in self.lead.iter().enumerate() {
            for (m, weight) in lagrange4(*part).iter().enumerate() {
                let (cos, sin) = turn[(cells + m + count - 1) % count * order % count];
                answer.re.0[lane] += weight * cos;
                answer.im.0[lane] += weight * sin;
            }
        }
        answer
    }

    /// A velocity at the mid-chords to where the leading edges are; values between grid points by the
    /// four-point Lagrange formula (error of order (nΔψ)⁴/24 times 9/16).
    fn shift(&self, from: &[Lanes], to: &mut [Lanes]) {
        let count = from.len();
        let weights: [[f64; 4]; LANES] = std::array::from_fn(|lane| lagrange4(self.lead[lane].1));
        let weights: [Lanes; 4] = std::array::from_fn(|k| Lanes::from_fn(|lane| weights[lane][k]));
        let before = std::array::from_fn(|lane| (self.lead[lane].0 + count - 1) % count);
        shift_by(&weights, before, from, to);
    }
}

/// Four-point sums over a ring, each lane from its own place on: `before` is the first of the four for azimuth 0.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn shift_by(weights: &[Lanes; 4], before: [usize; LANES], from: &[Lanes], to: &mut [Lanes]) {
    let count = from.len();
    let mut at = before;
    let mut next = || {
        Lanes::from_fn(|lane| {
            let value = from[at[lane]].0[lane];
            at[lane] = if at[lane] + 1 == count { 0 } else { at[lane] + 1 };
            value
        })
    };
    let mut window = [next(), next(), next(), Lanes::ZERO];
    for value in to.iter_mut() {
        window[3] = next();
        *value = weighed4(window, weights);
        window = [window[1], window[2], window[3], Lanes::ZERO];
    }
}
