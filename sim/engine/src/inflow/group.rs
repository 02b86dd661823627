//! The inflow of eight stations side by side, and what the blade meets at given induced velocity.

use multiversion::multiversion;

use super::station::{OuterFlow, StationInflow};
use crate::base::lanes::{LANES, Lanes};
use crate::rotor::sweep::GroupFlow;

/// Inflow of up to eight stations over azimuth.
#[derive(Debug, Clone)]
pub struct GroupInflow {
    /// The stations, one a lane.
    pub stations: Vec<StationInflow>,
    /// Axial velocity with wakes, without the propeller's pressure field, U₀, m/s (A).
    pub axial_m_s: Vec<Lanes>,
    /// Tangential velocity of the air against the motion, without rotation, m/s (A).
    pub tangential_m_s: Vec<Lanes>,
    /// Azimuth mean V̄ of U₀, m/s.
    pub mean_m_s: Lanes,
    /// Induced velocity the wakes of each lane were last drawn in at, m/s.
    drawn_at_m_s: [f64; LANES],
    suction: bool,
}

/// Change of the induced velocity, in tolerances of the balance, below which the wakes are not drawn anew.
const REDRAW: f64 = 0.1;

/// Induced velocity of eight annuli, with what of it changes over azimuth.
#[derive(Debug, Clone)]
pub struct GroupInduced {
    /// Azimuth mean, downstream positive, m/s.
    pub axial_m_s: Lanes,
    /// With the rotation positive, m/s.
    pub swirl_m_s: Lanes,
    /// Axial ripple and in-plane part by azimuth, m/s; empty for induction that is constant in azimuth.
    pub ripple: Vec<(Lanes, Lanes)>,
}

impl GroupInflow {
    /// From the stations and their outer flows; lanes beyond the last station repeat it.
    #[must_use]
    pub fn new(stations: Vec<StationInflow>, outer: &[OuterFlow], suction: bool) -> Self {
        let azimuths = outer[0].axial_m_s.len();
        let pick = |lane: usize| &outer[lane.min(outer.len() - 1)];
        let over = |value: fn(&OuterFlow) -> &[f64]| -> Vec<Lanes> {
            let mut lanes = vec![Lanes::ZERO; azimuths];
            for lane in 0..LANES {
                for (to, from) in lanes.iter_mut().zip(value(pick(lane))) {
                    to.0[lane] = *from;
                }
            }
            lanes
        };
        let mean_m_s = Lanes::from_fn(|lane| stations[lane.min(stations.len() - 1)].edge_mean_m_s());
        Self {
            axial_m_s: over(|flow| &flow.axial_m_s),
            tangential_m_s: over(|flow| &flow.tangential_m_s),
            stations,
            mean_m_s,
            drawn_at_m_s: [f64::INFINITY; LANES],
            suction,
        }
    }

    /// Draws the wakes of one station in at its induced velocity, unless they were drawn at so nearly the same that no
    /// load would show it.
    pub fn draw(&mut self, lane: usize, v_m_s: f64, tolerance: f64) {
        let moved = (v_m_s - self.drawn_at_m_s[lane]).abs();
        if moved <= REDRAW * tolerance * (self.mean_m_s.0[lane] + v_m_s).abs() {
            return;
        }
        self.drawn_at_m_s[lane] = v_m_s;
        let speeds = (v_m_s, self.mean_m_s.0[lane]);
        let mean = self.stations[lane].draw(speeds, &mut self.axial_m_s, &mut self.tangential_m_s, lane);
        let last = if lane + 1 == self.stations.len() { LANES } else { lane + 1 };
        for same in lane..last {
            self.mean_m_s.0[same] = mean;
        }
    }

    /// What the blade meets: `U_d`² = U₀² + (V̄ + v)² − V̄², never below 0, and the tangential velocity with rotation and
    /// swirl; ripple adds to both.
    pub fn meet(&self, induced: &GroupInduced, rotation_m_s: Lanes, flow: &mut GroupFlow) {
        let through = self.mean_m_s + induced.axial_m_s;
        let head = through * through - self.mean_m_s * self.mean_m_s;
        let turning = rotation_m_s - induced.swirl_m_s;
        if self.suction {
            meet_with_suction(self, head, turning, flow);
        } else {
            meet_without_suction(self, induced.axial_m_s, turning, flow);
        }
        let met = flow.axial_m_s.iter_mut().zip(&mut flow.tangential_m_s);
        for ((axial, tangential), ripple) in met.zip(&induced.ripple) {
            *axial = *axial + ripple.0;
            *tangential = *tangential + ripple.1;
        }
    }

    /// Disk points of the stations in use where the axial velocity was cut to zero.
    #[must_use]
    pub fn cut(&self, induced: &GroupInduced) -> usize {
        if !self.suction {
            return 0;
        }
        let through = self.mean_m_s + induced.axial_m_s;
        let head = through * through - self.mean_m_s * self.mean_m_s;
        let below = |u: &Lanes, lane: usize| u.0[lane] * u.0[lane].abs() + head.0[lane] < 0.0;
        (0..self.stations.len()).map(|lane| self.axial_m_s.iter().filter(|u| below(u, lane)).count()).sum()
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn meet_with_suction(inflow: &GroupInflow, head: Lanes, turning: Lanes, flow: &mut GroupFlow) {
    let met = flow.axial_m_s.iter_mut().zip(&mut flow.tangential_m_s);
    for ((axial, tangential), (u, t)) in met.zip(inflow.axial_m_s.iter().zip(&inflow.tangential_m_s)) {
        *axial = (*u * u.abs() + head).max(Lanes::ZERO).sqrt();
        *tangential = turning + *t;
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn meet_without_suction(inflow: &GroupInflow, v: Lanes, turning: Lanes, flow: &mut GroupFlow) {
    let met = flow.axial_m_s.iter_mut().zip(&mut flow.tangential_m_s);
    for ((axial, tangential), (u, t)) in met.zip(inflow.axial_m_s.iter().zip(&inflow.tangential_m_s)) {
        *axial = *u + v;
        *tangential = turning + *t;
    }
}
