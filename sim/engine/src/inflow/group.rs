//! The inflow of eight stations side by side, and what the blade meets at given induced velocity.

use std::sync::Arc;

use multiversion::multiversion;

use super::InflowSource;
use super::plane_wake::{PlaneWake, rising};
use super::round_wake::RoundWakes;
use super::square::{SquareFlow, signed_root, total_pressure_loss_lanes};
use super::station::{OuterFlow, StationGrid};
use super::suction::brakes;
use crate::base::lanes::{LANES, Lanes, mean};
use crate::point::input::Suction;
use crate::rotor::sweep::GroupFlow;

/// The outer flow of eight stations over azimuth, without wakes, rotation and propeller, m/s (A each). Lanes beyond the
/// last station repeat it.
#[derive(Debug, Clone, PartialEq)]
pub struct OuterLanes {
    /// Axial velocity, aft positive.
    pub axial_m_s: Vec<Lanes>,
    /// Tangential velocity against the motion.
    pub tangential_m_s: Vec<Lanes>,
}

impl OuterLanes {
    /// One to eight stations side by side.
    #[must_use]
    pub fn new(stations: &[OuterFlow]) -> Self {
        let azimuths = stations[0].axial_m_s.len();
        let over = |value: fn(&OuterFlow) -> &[f64]| -> Vec<Lanes> {
            let mut lanes = vec![Lanes::ZERO; azimuths];
            for lane in 0..LANES {
                for (to, from) in lanes.iter_mut().zip(value(&stations[lane.min(stations.len() - 1)])) {
                    to.0[lane] = *from;
                }
            }
            lanes
        };
        Self { axial_m_s: over(|flow| &flow.axial_m_s), tangential_m_s: over(|flow| &flow.tangential_m_s) }
    }

    fn thinned(&self, stride: usize) -> Self {
        let every = |values: &[Lanes]| values.iter().step_by(stride).copied().collect();
        Self { axial_m_s: every(&self.axial_m_s), tangential_m_s: every(&self.tangential_m_s) }
    }
}

/// Inflow of up to eight stations over azimuth.
#[derive(Debug, Clone)]
pub struct GroupInflow {
    /// Stations in use.
    used: usize,
    edge: Arc<OuterLanes>,
    /// Mean axial velocity without wakes and propeller, m/s.
    pub edge_mean_m_s: Lanes,
    /// Mean tangential velocity of the air against the motion, without rotation, m/s.
    pub tangential_mean_m_s: Lanes,
    planes: Vec<PlaneWake>,
    rounds: Vec<RoundWakes>,
    /// Azimuth indices at which some wake may be felt, rising.
    felt: Vec<usize>,
    /// The same with those at which only braking annuli may feel one.
    felt_braking: Vec<usize>,
    /// Whether an annulus braked when the wakes were last drawn.
    braked: bool,
    /// Flow with wakes, without the propeller's pressure field: U₀² and the tangential velocity.
    drawn: SquareFlow,
    /// Azimuth mean V̄ of U₀, where that is positive, m/s.
    pub mean_m_s: Lanes,
    /// Induced velocity the wakes of each lane were last drawn in at, m/s.
    drawn_at_m_s: Lanes,
    /// Derivative of the V̄ that comes out by the V̄ that is put in.
    mean_slope: Lanes,
    /// How V̄ went with the induced velocity from the drawing before to the last.
    mean_by_induced: Lanes,
    suction: bool,
}

/// Most draws for one V̄.
const MOST_DRAWS: usize = 6;

/// Steepest answer of V̄ to itself that is believed.
const STEEPEST: f64 = 0.9;

/// Least answer of V̄ to itself that is reckoned with.
const LEAST_ANSWER: f64 = 0.1;

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

/// The propeller's pressure field at the disk, of eight annuli.
#[derive(Debug, Clone, Copy)]
struct PressureField {
    /// What it adds to the square of the axial velocity, (V̄ + v)² − V̄², m²/s².
    head: Lanes,
    /// 1 where the air goes through from ahead, −1 where from behind.
    way: Lanes,
}

impl PressureField {
    /// The axial velocity met where its square without the propeller is `square`, m/s.
    #[inline(always)]
    fn met(&self, square: Lanes) -> Lanes {
        self.way * (self.way * (square + self.head)).max(Lanes::ZERO).sqrt()
    }
}

impl GroupInflow {
    /// The wakes of all sources at one to eight stations in their outer flow.
    #[must_use]
    pub fn new(
        grids: &[StationGrid],
        edge: OuterLanes,
        sources: &[Box<dyn InflowSource>],
        suction: Suction,
    ) -> Self {
        let named = || sources.iter().map(Box::as_ref).enumerate();
        let planes = named().filter_map(|source| PlaneWake::new(grids, source, suction)).collect();
        let rounds = named().filter_map(|source| RoundWakes::new(grids, source, suction)).collect();
        Self::from_wakes(grids.len(), Arc::new(edge), (planes, rounds), suction != Suction::None)
    }

    fn from_wakes(
        used: usize,
        edge: Arc<OuterLanes>,
        (planes, rounds): (Vec<PlaneWake>, Vec<RoundWakes>),
        suction: bool,
    ) -> Self {
        let edge_mean_m_s = mean(&edge.axial_m_s);
        Self {
            used,
            edge_mean_m_s,
            tangential_mean_m_s: mean(&edge.tangential_m_s),
            felt: felt(&planes, &rounds, false),
            felt_braking: felt(&planes, &rounds, true),
            braked: false,
            planes,
            rounds,
            drawn: SquareFlow {
                axial_square: edge.axial_m_s.iter().map(|u| *u * u.abs()).collect(),
                tangential_m_s: edge.tangential_m_s.clone(),
            },
            edge,
            mean_m_s: edge_mean_m_s,
            drawn_at_m_s: Lanes::splat(f64::INFINITY),
            mean_slope: Lanes::ZERO,
            mean_by_induced: Lanes::ZERO,
            suction,
        }
    }

    /// The same inflow on every `stride`-th azimuth, its wakes not drawn in.
    #[must_use]
    pub fn thinned(&self, stride: usize) -> Self {
        let planes = self.planes.iter().map(|wake| wake.thinned(stride)).collect();
        let rounds = self.rounds.iter().map(|wake| wake.thinned(stride)).collect();
        Self::from_wakes(self.used, Arc::new(self.edge.thinned(stride)), (planes, rounds), self.suction)
    }

    /// The same inflow at a limit of suction, its wakes not drawn in.
    #[must_use]
    pub fn limited(&self, limit: Suction) -> Self {
        let planes = self.planes.iter().map(|wake| wake.limited(limit)).collect();
        let rounds = self.rounds.iter().map(|wake| wake.limited(limit)).collect();
        let mut inflow = Self::from_wakes(self.used, Arc::clone(&self.edge), (planes, rounds), self.suction);
        inflow.take_mean(self.mean_m_s, self);
        inflow
    }

    /// Axial velocity with wakes, without the propeller's pressure field, U₀, m/s (A); negative where its square is.
    #[must_use]
    pub fn axial_m_s(&self) -> Vec<Lanes> {
        self.drawn.axial_square.iter().map(|square| signed_root(*square)).collect()
    }

    /// The square of U₀ with its sign, m²/s² (A).
    #[must_use]
    pub fn into_axial_square(self) -> Vec<Lanes> {
        self.drawn.axial_square
    }

    /// Draws the wakes in at the induced velocities, unless they were drawn at so nearly the same that no load would show it.
    ///
    /// The thickness that keeps the flux of loss depends on V̄, which depends on the thickness: a fixed point, found lane by lane by
    /// the secant from where V̄ went with the induced velocity before. What V̄ is put in too much comes out by a small part only: a plane wake
    /// answers by a few hundredths, close behind a body it is a half. The drawing ends when that part is within the
    /// tolerance.
    pub fn draw(&mut self, v_m_s: Lanes, tolerance: f64) {
        let allowed = (self.mean_m_s + v_m_s).abs() * (REDRAW * tolerance);
        let within = |change: Lanes| change.abs().all(allowed, |change, allowed| change <= allowed);
        if within(v_m_s - self.drawn_at_m_s) || self.felt.is_empty() {
            return;
        }
        let begun_m_s = self.mean_m_s;
        let moved_m_s = v_m_s - self.drawn_at_m_s;
        if moved_m_s.all(moved_m_s, |moved, _| moved.is_finite()) {
            self.mean_m_s = begun_m_s + self.mean_by_induced * moved_m_s;
        }
        let mut before: Option<(Lanes, Lanes)> = None;
        for _ in 0..MOST_DRAWS {
            let put_in = self.mean_m_s;
            let came_out = self.draw_at(v_m_s, put_in);
            let miss = came_out - put_in;
            if let Some((put_in_before, came_out_before)) = before {
                let slope = (came_out - came_out_before).zip(put_in - put_in_before, |out, put| out / put);
                self.mean_slope = believed(slope, self.mean_slope);
            }
            before = Some((put_in, came_out));
            self.mean_m_s = put_in + miss / (Lanes::splat(1.0) - self.mean_slope);
            if within(miss * self.mean_slope.abs().max(Lanes::splat(LEAST_ANSWER))) {
                break;
            }
        }
        let slope = (self.mean_m_s - begun_m_s).zip(moved_m_s, |mean, moved| mean / moved);
        self.mean_by_induced = believed(slope, self.mean_by_induced);
        self.drawn_at_m_s = v_m_s;
    }

    /// Takes over V̄ of the same stations on another grid, and how it answers to itself.
    pub fn take_mean(&mut self, mean_m_s: Lanes, other: &Self) {
        self.mean_m_s = mean_m_s;
        self.mean_slope = other.mean_slope;
    }

    /// Draws the wakes in at mean axial induced velocities `v_m_s` and azimuth means `mean_m_s` of U₀; returns the means
    /// that come out.
    fn draw_at(&mut self, v_m_s: Lanes, mean_m_s: Lanes) -> Lanes {
        let brakes = brakes(v_m_s);
        // What a braking annulus changed before is undone too.
        let felt = if brakes || self.braked { &self.felt_braking } else { &self.felt };
        self.braked = brakes;
        for j in felt {
            let u = self.edge.axial_m_s[*j];
            self.drawn.axial_square[*j] = u * u.abs();
            self.drawn.tangential_m_s[*j] = self.edge.tangential_m_s[*j];
        }
        let speeds = (self.edge_mean_m_s, mean_m_s, v_m_s);
        for wake in &self.planes {
            wake.slow(speeds, &self.edge.axial_m_s, &mut self.drawn);
        }
        for wake in &self.rounds {
            wake.slow(speeds, &self.edge.axial_m_s, &mut self.drawn);
        }
        let change = lost_speed(felt, &self.edge.axial_m_s, &self.drawn.axial_square);
        self.edge_mean_m_s + change * (1.0 / self.edge.axial_m_s.len() as f64)
    }

    /// What the blade meets: `U_d`² = U₀² + (V̄ + v)² − V̄², never below 0, and the tangential velocity with rotation and
    /// swirl; ripple adds to both. Where the air goes through the annulus from behind, V̄ + v below 0, squares take the sign of their
    /// velocity, and `U_d`² is never above 0.
    pub fn meet(&self, induced: &GroupInduced, rotation_m_s: Lanes, flow: &mut GroupFlow) {
        let turning = rotation_m_s - induced.swirl_m_s;
        if self.suction {
            meet_with_suction(&self.drawn, self.pressure_field(induced.axial_m_s), turning, flow);
        } else {
            meet_without_suction(&self.drawn, induced.axial_m_s, turning, flow);
        }
        add_ripple(&induced.ripple, flow);
    }

    /// The propeller's pressure field at induced velocity `v_m_s`.
    fn pressure_field(&self, v_m_s: Lanes) -> PressureField {
        let through = self.mean_m_s + v_m_s;
        PressureField {
            head: through * through.abs() - self.mean_m_s * self.mean_m_s,
            way: through.map(|through| if through < 0.0 { -1.0 } else { 1.0 }),
        }
    }

    /// Disk points of the stations in use where the axial velocity was cut to zero.
    #[must_use]
    pub fn cut(&self, induced: &GroupInduced) -> usize {
        if !self.suction {
            return 0;
        }
        let PressureField { head, way } = self.pressure_field(induced.axial_m_s);
        let cut = |u: &Lanes, lane: usize| way.0[lane] * (u.0[lane] + head.0[lane]) < 0.0;
        let squares = &self.drawn.axial_square;
        (0..self.used).map(|lane| squares.iter().filter(|u| cut(u, lane)).count()).sum()
    }

    /// Stations in use that the air goes through from behind.
    #[must_use]
    pub fn reversed(&self, induced: &GroupInduced) -> usize {
        let through = self.mean_m_s + induced.axial_m_s;
        (0..self.used).filter(|lane| through.0[*lane] < 0.0).count()
    }

    /// Stations in use where a wake is narrower than two azimuth cells and therefore averaged over the cells.
    #[must_use]
    pub fn narrow(&self) -> usize {
        let narrow = |lane: &usize| {
            self.planes.iter().any(|w| w.narrow[*lane]) || self.rounds.iter().any(|w| w.is_narrow(*lane))
        };
        (0..self.used).filter(narrow).count()
    }

    /// Largest ratio of the wave numbers along span and chord with which the centre line of a surface's wake passes the
    /// station of a lane at `radius_m`, h/√(r² − h²) with h the centre line's height above the shaft, drawn in at induced
    /// velocity `v_m_s`; infinite where the wake is grazed but its centre line not met, `None` where no wake is met within its
    /// half-depth width.
    #[must_use]
    pub fn trace_ratio(&self, lane: usize, radius_m: f64, v_m_s: Lanes) -> Option<f64> {
        let speeds = (self.edge_mean_m_s, self.mean_m_s, v_m_s);
        let heights = self.planes.iter().filter_map(|wake| wake.crossing_height_m(lane, speeds));
        let height_m = heights.max_by(f64::total_cmp)?;
        let half_chord_m = (radius_m * radius_m - height_m * height_m).max(0.0).sqrt();
        Some(if half_chord_m > 0.0 { height_m / half_chord_m } else { f64::INFINITY })
    }

    /// Whether any of the stations may feel the wake of source `source`.
    #[must_use]
    pub fn feels_wake_of(&self, source: usize) -> bool {
        self.planes.iter().any(|wake| wake.source == source)
            || self.rounds.iter().any(|wake| wake.source == source)
    }

    /// Adds what the wake of source `source` alone changes of what the blade meets, at mean axial induced velocity `v_m_s`.
    pub fn add_wake_alone(&self, source: usize, v_m_s: Lanes, change: &mut GroupFlow) {
        let speeds = (self.edge_mean_m_s, self.mean_m_s, v_m_s);
        let edge = &self.edge.axial_m_s;
        let planes = self.planes.iter().filter(|w| w.source == source).map(|w| w.deficits(speeds, edge));
        let rounds = self.rounds.iter().filter(|w| w.source == source).map(|w| w.deficits(speeds, edge));
        let field = self.pressure_field(v_m_s);
        let met = |square: Lanes| if self.suction { field.met(square) } else { signed_root(square) + v_m_s };
        for (j, made, deficit) in planes.chain(rounds).flatten() {
            let square = edge[j] * edge[j].abs();
            let slowed = met(square - total_pressure_loss_lanes(made, deficit));
            change.axial_m_s[j] = change.axial_m_s[j] + slowed - met(square);
            change.tangential_m_s[j] = change.tangential_m_s[j] - deficit * self.edge.tangential_m_s[j];
        }
    }
}

/// A slope lane by lane where it is finite and not too steep, else the one before.
fn believed(slope: Lanes, before: Lanes) -> Lanes {
    slope.zip(before, |new, old| if new.is_finite() && new.abs() < STEEPEST { new } else { old })
}

/// Azimuth indices at which some wake may be felt, rising.
fn felt(planes: &[PlaneWake], rounds: &[RoundWakes], braking: bool) -> Vec<usize> {
    let plane = planes.iter().flat_map(PlaneWake::azimuths);
    let outer = planes.iter().filter(|_| braking).flat_map(PlaneWake::outer_azimuths);
    rising(plane.chain(outer).chain(rounds.iter().flat_map(RoundWakes::azimuths)))
}

/// Sum of the changes of the positive part of the axial velocity by the wakes, m/s.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn lost_speed(felt: &[usize], edge_m_s: &[Lanes], axial_square: &[Lanes]) -> Lanes {
    let mut sum = Lanes::ZERO;
    for j in felt {
        sum = sum + (axial_square[*j].max(Lanes::ZERO).sqrt() - edge_m_s[*j].max(Lanes::ZERO));
    }
    sum
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn meet_with_suction(drawn: &SquareFlow, field: PressureField, turning: Lanes, flow: &mut GroupFlow) {
    let met = flow.axial_m_s.iter_mut().zip(&mut flow.tangential_m_s);
    for ((axial, tangential), (u, t)) in met.zip(drawn.axial_square.iter().zip(&drawn.tangential_m_s)) {
        *axial = field.met(*u);
        *tangential = turning + *t;
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn add_ripple(ripple: &[(Lanes, Lanes)], flow: &mut GroupFlow) {
    let met = flow.axial_m_s.iter_mut().zip(&mut flow.tangential_m_s);
    for ((axial, tangential), ripple) in met.zip(ripple) {
        *axial = *axial + ripple.0;
        *tangential = *tangential + ripple.1;
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn meet_without_suction(drawn: &SquareFlow, v: Lanes, turning: Lanes, flow: &mut GroupFlow) {
    let met = flow.axial_m_s.iter_mut().zip(&mut flow.tangential_m_s);
    for ((axial, tangential), (u, t)) in met.zip(drawn.axial_square.iter().zip(&drawn.tangential_m_s)) {
        *axial = signed_root(*u) + v;
        *tangential = turning + *t;
    }
}
