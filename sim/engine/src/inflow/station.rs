//! The inflow of one blade station over the azimuth, and how it follows the induced velocity.

use super::round_station::RoundStationWake;
use super::suction::{SuctionFactors, total_pressure_loss};
use super::{InflowSource, WakePlane, WakePosition};
use crate::base::Vec3;
use crate::base::lanes::Lanes;
use crate::blade::BladeStation;
use crate::frames::DiskAxes;
use crate::point::input::Suction;
use crate::wake::WakeStation;

/// A wake whose half-depth width spans fewer azimuth cells than this is averaged over each cell.
pub(super) const CELLS_ACROSS: f64 = 2.0;

/// One azimuth at which a wake may be felt.
#[derive(Debug, Clone, Copy)]
struct WakeCell {
    azimuth: usize,
    /// Height of the station above the shaft along the wake's normal, m.
    above_shaft_m: f64,
    /// Height of the wake's centre line above the shaft along its normal, without suction, m.
    centre_m: f64,
    /// Change of `above_shaft_m − centre_m` over one azimuth cell, m.
    step_m: f64,
    wake: WakeStation,
}

/// One source's wake at a station.
#[derive(Debug, Clone)]
struct StationWake {
    cells: Vec<WakeCell>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: WakeStation,
}

/// The inflow of one station.
#[derive(Debug, Clone)]
pub struct StationInflow {
    /// Axial velocity without wakes and without propeller, m/s (A).
    edge_axial_m_s: Vec<f64>,
    /// Tangential velocity against the motion, without rotation, wakes and propeller, m/s (A).
    edge_tangential_m_s: Vec<f64>,
    edge_mean_m_s: f64,
    tangential_mean_m_s: f64,
    wakes: Vec<StationWake>,
    rounds: Vec<RoundStationWake>,
    suction: bool,
    narrow: bool,
}

/// What a station sees at one induced velocity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationSample {
    /// Azimuth mean of the axial inflow without the propeller's pressure field, V̄, m/s.
    pub mean_m_s: f64,
    /// Azimuths where the axial velocity would have been imaginary and was set to zero.
    pub cut: usize,
}

/// Where a station's inflow is sampled.
#[derive(Debug, Clone, Copy)]
pub struct StationGrid<'a> {
    /// The disk.
    pub disk: &'a DiskAxes,
    /// The station.
    pub station: &'a BladeStation,
    /// Tip radius, m.
    pub tip_m: f64,
    /// Directions of the station at the azimuths of the blade (A).
    pub directions: &'a Directions,
}

/// Unit vectors to and along the motion of a station at each azimuth of its blade, aircraft axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Directions {
    /// From the hub to the station (A).
    pub radial: Vec<Vec3>,
    /// Along the station's motion (A).
    pub tangential: Vec<Vec3>,
}

impl Directions {
    /// Directions of a station that trails its blade by `lag_rad`.
    #[must_use]
    pub fn new(disk: &DiskAxes, azimuth_rad: &[f64], lag_rad: f64) -> Self {
        Self {
            radial: azimuth_rad.iter().map(|a| disk.radial(a - lag_rad)).collect(),
            tangential: azimuth_rad.iter().map(|a| disk.tangential(a - lag_rad)).collect(),
        }
    }
}

impl StationGrid<'_> {
    /// The station from the hub at azimuth index `j`, aircraft axes, m.
    pub(super) fn arm_m(&self, j: usize) -> Vec3 {
        self.directions.radial[j] * self.station.radius_m
    }

    /// The station at azimuth index `j`, aircraft axes, m.
    #[must_use]
    pub fn point_m(&self, j: usize) -> Vec3 {
        self.disk.hub_m + self.arm_m(j)
    }
}

impl StationInflow {
    /// Samples the free stream and all sources at the azimuths of a station.
    #[must_use]
    pub fn new(
        grid: &StationGrid,
        free_stream_m_s: Vec3,
        sources: &[Box<dyn InflowSource>],
        suction: Suction,
    ) -> Self {
        let count = grid.directions.radial.len();
        let mut velocity = vec![free_stream_m_s; count];
        for source in sources {
            source.add_on_ring(grid, &mut velocity);
        }
        let axial: Vec<f64> = velocity.iter().map(|v| v.dot(&grid.disk.aft)).collect();
        let motion = &grid.directions.tangential;
        let tangential: Vec<f64> = velocity.iter().zip(motion).map(|(v, m)| -v.dot(m)).collect();
        let wakes: Vec<StationWake> =
            sources.iter().filter_map(|source| StationWake::new(grid, source.as_ref(), suction)).collect();
        let rounds: Vec<RoundStationWake> = sources
            .iter()
            .filter_map(|source| RoundStationWake::new(grid, source.as_ref(), suction))
            .collect();
        let mean = |v: &[f64]| v.iter().sum::<f64>() / count as f64;
        Self {
            edge_mean_m_s: mean(&axial),
            tangential_mean_m_s: mean(&tangential),
            edge_axial_m_s: axial,
            edge_tangential_m_s: tangential,
            narrow: wakes.iter().flat_map(|w| &w.cells).any(WakeCell::is_narrow)
                || rounds.iter().any(RoundStationWake::is_narrow),
            wakes,
            rounds,
            suction: suction != Suction::None,
        }
    }

    /// Mean axial velocity without wakes and propeller, m/s.
    #[must_use]
    pub fn edge_mean_m_s(&self) -> f64 {
        self.edge_mean_m_s
    }

    /// Mean tangential velocity of the air against the motion, without rotation, m/s.
    #[must_use]
    pub fn tangential_mean_m_s(&self) -> f64 {
        self.tangential_mean_m_s
    }

    /// Whether a wake is narrower than two azimuth cells and therefore averaged over the cells.
    #[must_use]
    pub fn has_narrow_wake(&self) -> bool {
        self.narrow
    }

    /// The inflow at mean axial induced velocity `v_m_s`: axial velocity without the propeller's
    /// pressure field, U₀, into `axial` and tangential velocity into `tangential`, m/s (A each).
    pub fn sample(&self, v_m_s: f64, axial: &mut [f64], tangential: &mut [f64]) -> f64 {
        let mut mean = self.edge_mean_m_s;
        // The thickness that keeps the flux of loss depends on V̄, which the wake's thickness moves
        // by a per cent or two: two rounds leave 1e-4 of that.
        let any = !self.wakes.is_empty() || !self.rounds.is_empty();
        for _ in 0..if self.suction && any { 2 } else { 1 } {
            axial.copy_from_slice(&self.edge_axial_m_s);
            tangential.copy_from_slice(&self.edge_tangential_m_s);
            for wake in &self.wakes {
                wake.slow(self, mean, v_m_s, axial, tangential);
            }
            for round in &self.rounds {
                let speeds = (self.edge_mean_m_s, mean, v_m_s);
                round.slow(speeds, &self.edge_axial_m_s, axial, tangential);
            }
            mean = axial.iter().sum::<f64>() / axial.len() as f64;
        }
        mean
    }

    /// Writes what the blade meets into one lane: axial velocity with induction and tangential
    /// velocity with rotation and swirl.
    pub fn meet(
        &self,
        (v_m_s, swirl_m_s): (f64, f64),
        rotation_m_s: f64,
        scratch: (&mut [f64], &mut [f64]),
        flow: (&mut [Lanes], &mut [Lanes]),
        lane: usize,
    ) -> StationSample {
        let (axial, tangential) = scratch;
        let mean = self.sample(v_m_s, axial, tangential);
        let head = (mean + v_m_s) * (mean + v_m_s) - mean * mean;
        let mut cut = 0;
        for (j, (u, t)) in axial.iter().zip(tangential.iter()).enumerate() {
            let met = if self.suction {
                let square = u * u.abs() + head;
                cut += usize::from(square < 0.0);
                square.max(0.0).sqrt()
            } else {
                u + v_m_s
            };
            flow.0[j].0[lane] = met;
            flow.1[j].0[lane] = rotation_m_s + t - swirl_m_s;
        }
        StationSample { mean_m_s: mean, cut }
    }
}

impl WakeCell {
    fn is_narrow(&self) -> bool {
        2.0 * self.wake.half_width_m() < CELLS_ACROSS * self.step_m.abs()
            && (self.above_shaft_m - self.centre_m).abs() < self.wake.support_m() + self.step_m.abs()
    }

    /// Deficit with the wake's offset and thickness drawn in.
    fn deficit(&self, offset_factor: f64, thickness_factor: f64) -> f64 {
        let offset = (self.above_shaft_m - self.centre_m * offset_factor) / thickness_factor;
        if self.is_narrow_at(thickness_factor) {
            let half = 0.5 * self.step_m / thickness_factor;
            return self.wake.mean_over(offset - half, offset + half);
        }
        if offset.abs() > self.wake.support_m() { 0.0 } else { self.wake.deficit(offset) }
    }

    fn is_narrow_at(&self, thickness_factor: f64) -> bool {
        2.0 * self.wake.half_width_m() * thickness_factor < CELLS_ACROSS * self.step_m.abs()
    }
}

impl StationWake {
    fn new(grid: &StationGrid, source: &dyn InflowSource, suction: Suction) -> Option<Self> {
        let planes = source.wake_planes();
        let positions: Vec<Option<WakePosition>> = grid
            .directions
            .radial
            .iter()
            .map(|radial| {
                let arm = radial * grid.station.radius_m;
                let near =
                    planes.is_empty() || planes.iter().any(|plane| may_be_felt(plane, grid.disk.hub_m, &arm));
                near.then(|| source.wake_position(&(grid.disk.hub_m + arm))).flatten()
            })
            .collect();
        let mut cells = Vec::new();
        let mut nearest: Option<(f64, WakePosition, WakeStation)> = None;
        for (j, position) in positions.iter().enumerate() {
            let Some(position) = position else { continue };
            let above_shaft_m = grid.arm_m(j).dot(&position.normal);
            let centre_m = above_shaft_m - position.offset_m;
            // With suction the centre line moves from `centre_m` towards the shaft, at most onto it.
            let (low, high) = (centre_m.min(0.0), centre_m.max(0.0));
            let step_m = step(&positions, j).unwrap_or(0.0);
            let reach = position.reach_m + step_m.abs();
            if above_shaft_m < low - reach || above_shaft_m > high + reach {
                continue;
            }
            let Some(wake) = source.wake_station(position) else { continue };
            if nearest.as_ref().is_none_or(|(n, ..)| position.offset_m.abs() < *n) {
                nearest = Some((position.offset_m.abs(), *position, wake));
            }
            cells.push(WakeCell { azimuth: j, above_shaft_m, centre_m, step_m, wake });
        }
        let (_, position, middle) = nearest?;
        let distance = position.aft_m.max(0.0);
        let factors =
            SuctionFactors::new(suction, distance, position.chord_m, grid.station.radius_m, grid.tip_m);
        Some(Self { cells, factors, middle })
    }

    /// Takes this wake's loss of total pressure off the axial velocity and slows the tangential.
    fn slow(&self, inflow: &StationInflow, mean: f64, v: f64, axial: &mut [f64], tangential: &mut [f64]) {
        let edge = inflow.edge_mean_m_s;
        let offset_factor = self.factors.offset_factor(edge, v);
        let support = self.middle.support_m();
        let thickness_factor =
            self.factors.thickness_factor(edge, mean, v, |x| self.middle.deficit(x * support));
        for cell in &self.cells {
            let deficit = cell.deficit(offset_factor, thickness_factor);
            if deficit > 0.0 {
                let made = inflow.edge_axial_m_s[cell.azimuth] + self.factors.made * v;
                let square = axial[cell.azimuth].powi(2) - total_pressure_loss(made, deficit);
                axial[cell.azimuth] = square.max(0.0).sqrt();
                tangential[cell.azimuth] *= 1.0 - deficit;
            }
        }
    }
}

/// Whether a wake near `plane` can be felt at `arm` from the hub, wherever between its place and the shaft suction
/// draws it; one more slack lets the neighbours of the outermost cells be seen.
fn may_be_felt(plane: &WakePlane, hub_m: Vec3, arm: &Vec3) -> bool {
    let above_shaft = arm.dot(&plane.normal);
    let centre = (plane.point_m - hub_m).dot(&plane.normal);
    let slack = 2.0 * plane.slack_m;
    above_shaft >= centre.min(0.0) - slack && above_shaft <= centre.max(0.0) + slack
}

/// Change of a wake offset over one azimuth cell, from the neighbours on the same part of the source.
fn step(positions: &[Option<WakePosition>], j: usize) -> Option<f64> {
    let count = positions.len();
    let here = positions[j]?;
    let near = |i: usize| positions[i].filter(|p| p.part == here.part).map(|p| p.offset_m);
    match (near((j + count - 1) % count), near((j + 1) % count)) {
        (Some(before), Some(after)) => Some(0.5 * (after - before)),
        (Some(before), None) => Some(here.offset_m - before),
        (None, Some(after)) => Some(after - here.offset_m),
        (None, None) => None,
    }
}
