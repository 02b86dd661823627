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
    /// Axial velocity there without wakes and without propeller, m/s.
    edge_axial_m_s: f64,
    /// Tangential velocity there against the motion, without rotation, wakes and propeller, m/s.
    edge_tangential_m_s: f64,
}

/// One source's wake at a station.
#[derive(Debug, Clone)]
struct StationWake {
    /// Index of the source.
    source: usize,
    cells: Vec<WakeCell>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: WakeStation,
}

/// The inflow of one station: its means, and its wakes as they follow the induced velocity.
#[derive(Debug, Clone)]
pub struct StationInflow {
    edge_mean_m_s: f64,
    tangential_mean_m_s: f64,
    wakes: Vec<StationWake>,
    rounds: Vec<RoundStationWake>,
    /// Azimuth indices at which some wake may be felt, rising.
    felt: Vec<usize>,
    /// Flow without wakes.
    outer: OuterFlow,
    /// Flow with the wakes drawn in, right at the azimuths in `felt`; U₀ negative where its square is.
    drawn: OuterFlow,
    suction: bool,
    narrow: bool,
}

/// The outer flow of a station over azimuth, without wakes, rotation and propeller, m/s (A each).
#[derive(Debug, Clone, PartialEq)]
pub struct OuterFlow {
    /// Axial velocity, aft positive.
    pub axial_m_s: Vec<f64>,
    /// Tangential velocity against the motion.
    pub tangential_m_s: Vec<f64>,
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

/// Unit vectors to and along the motion of a station at each azimuth of its blade, aircraft axes; azimuths at equal
/// steps of one turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Directions {
    /// From the hub to the station (A).
    pub radial: Vec<Vec3>,
    /// Along the station's motion (A).
    pub tangential: Vec<Vec3>,
    /// Azimuth of the station itself, rad (A).
    pub azimuth_rad: Vec<f64>,
}

impl Directions {
    /// Directions of a station that trails its blade by `lag_rad`.
    #[must_use]
    pub fn new(disk: &DiskAxes, azimuth_rad: &[f64], lag_rad: f64) -> Self {
        Self {
            azimuth_rad: azimuth_rad.iter().map(|a| a - lag_rad).collect(),
            radial: azimuth_rad.iter().map(|a| disk.radial(a - lag_rad)).collect(),
            tangential: azimuth_rad.iter().map(|a| disk.tangential(a - lag_rad)).collect(),
        }
    }
}

impl StationGrid<'_> {
    /// The free stream at the azimuths of the station.
    #[must_use]
    pub fn free_stream(&self, velocity_m_s: Vec3) -> OuterFlow {
        OuterFlow {
            axial_m_s: vec![velocity_m_s.dot(&self.disk.aft); self.directions.radial.len()],
            tangential_m_s: self.directions.tangential.iter().map(|e| -velocity_m_s.dot(e)).collect(),
        }
    }

    /// What one velocity source adds at the azimuths of the station; `None` where it adds nothing.
    #[must_use]
    pub fn added_by(&self, source: &dyn InflowSource) -> Option<OuterFlow> {
        let count = self.directions.radial.len();
        let mut flow = OuterFlow { axial_m_s: vec![0.0; count], tangential_m_s: vec![0.0; count] };
        source.add_on_ring(self, &mut flow.axial_m_s, &mut flow.tangential_m_s).then_some(flow)
    }

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

impl OuterFlow {
    /// Takes the loss of total pressure of a deficit made at edge speed `made` off the axial velocity at azimuth `j` and
    /// slows the tangential; returns the change of the positive part of the axial velocity, m/s.
    #[inline]
    pub(super) fn take_loss(&mut self, j: usize, made: f64, deficit: f64) -> f64 {
        let before = self.axial_m_s[j];
        let after = signed_root(before * before.abs() - total_pressure_loss(made, deficit));
        self.axial_m_s[j] = after;
        self.tangential_m_s[j] *= 1.0 - deficit;
        after.max(0.0) - before.max(0.0)
    }

    /// Adds another flow.
    pub fn add(&mut self, other: &Self) {
        for (a, b) in self.axial_m_s.iter_mut().zip(&other.axial_m_s) {
            *a += b;
        }
        for (a, b) in self.tangential_m_s.iter_mut().zip(&other.tangential_m_s) {
            *a += b;
        }
    }
}

impl StationInflow {
    /// The wakes of all sources at the azimuths of a station in its outer flow.
    #[must_use]
    pub fn new(
        grid: &StationGrid,
        outer: &OuterFlow,
        sources: &[Box<dyn InflowSource>],
        suction: Suction,
    ) -> Self {
        let wakes: Vec<StationWake> = sources
            .iter()
            .enumerate()
            .filter_map(|(index, source)| StationWake::new(grid, outer, (index, source.as_ref()), suction))
            .collect();
        let rounds: Vec<RoundStationWake> = sources
            .iter()
            .enumerate()
            .filter_map(|(index, source)| {
                RoundStationWake::new(grid, outer, (index, source.as_ref()), suction)
            })
            .collect();
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
        Self {
            edge_mean_m_s: mean(&outer.axial_m_s),
            tangential_mean_m_s: mean(&outer.tangential_m_s),
            narrow: wakes.iter().flat_map(|w| &w.cells).any(WakeCell::is_narrow)
                || rounds.iter().any(RoundStationWake::is_narrow),
            felt: felt(&wakes, &rounds),
            wakes,
            rounds,
            outer: outer.clone(),
            drawn: outer.clone(),
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

    /// Draws the wakes in at mean axial induced velocity `v_m_s` and the azimuth mean V̄ found before, `mean_m_s`: writes
    /// axial velocity without the propeller's pressure field, U₀ (negative where U₀² is, of the same size), and
    /// tangential velocity into one lane of the azimuths a wake can reach; returns the azimuth mean V̄ of U₀ where it is
    /// positive, m/s.
    ///
    /// The thickness that keeps the flux of loss depends on V̄, which the wake's thickness moves by a per cent or two: V̄
    /// settles a hundredfold with each call, faster than the induced velocity it is called for.
    pub fn draw(
        &mut self,
        (v_m_s, mean_m_s): (f64, f64),
        axial: &mut [Lanes],
        tangential: &mut [Lanes],
        lane: usize,
    ) -> f64 {
        if self.felt.is_empty() {
            return self.edge_mean_m_s;
        }
        for j in &self.felt {
            self.drawn.axial_m_s[*j] = self.outer.axial_m_s[*j];
            self.drawn.tangential_m_s[*j] = self.outer.tangential_m_s[*j];
        }
        let speeds = (self.edge_mean_m_s, mean_m_s, v_m_s);
        let mut change = 0.0;
        for wake in &self.wakes {
            change += wake.slow(speeds, &mut self.drawn);
        }
        for round in &self.rounds {
            change += round.slow(speeds, &mut self.drawn);
        }
        for j in &self.felt {
            axial[*j].0[lane] = self.drawn.axial_m_s[*j];
            tangential[*j].0[lane] = self.drawn.tangential_m_s[*j];
        }
        self.edge_mean_m_s + change / axial.len() as f64
    }
}

/// Azimuth indices at which some wake may be felt, rising.
fn felt(wakes: &[StationWake], rounds: &[RoundStationWake]) -> Vec<usize> {
    let plane = wakes.iter().flat_map(|w| &w.cells).map(|cell| cell.azimuth);
    let mut all: Vec<usize> = plane.chain(rounds.iter().flat_map(RoundStationWake::azimuths)).collect();
    all.sort_unstable();
    all.dedup();
    all
}

impl StationInflow {
    /// Largest ratio of the wave numbers along span and chord with which the centre line of a surface's wake passes a
    /// station at `radius_m`, h/√(r² − h²) with h the centre line's height above the shaft, drawn in at mean inflow V̄
    /// `mean_m_s` and induced velocity `v_m_s`; infinite where the wake is grazed but its centre line not met, `None`
    /// where no wake is met within its half-depth width.
    #[must_use]
    pub fn trace_ratio(&self, radius_m: f64, mean_m_s: f64, v_m_s: f64) -> Option<f64> {
        let of_wake = |wake: &StationWake| {
            let (offset_factor, thickness_factor) = wake.drawn(self.edge_mean_m_s, mean_m_s, v_m_s);
            let met = move |cell: &&WakeCell| {
                let offset = cell.above_shaft_m - cell.centre_m * offset_factor;
                offset.abs() <= (cell.wake.half_width_m() * thickness_factor).max(cell.step_m.abs())
            };
            let heights = wake.cells.iter().filter(met).map(|cell| (cell.centre_m * offset_factor).abs());
            heights.max_by(f64::total_cmp)
        };
        let height_m = self.wakes.iter().filter_map(of_wake).max_by(f64::total_cmp)?;
        let half_chord_m = (radius_m * radius_m - height_m * height_m).max(0.0).sqrt();
        Some(if half_chord_m > 0.0 { height_m / half_chord_m } else { f64::INFINITY })
    }
}

/// Change of what the blade meets at one azimuth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MetChange {
    /// Azimuth index.
    pub azimuth: usize,
    /// Change of the axial velocity, m/s.
    pub axial_m_s: f64,
    /// Change of the tangential velocity against the motion, m/s.
    pub tangential_m_s: f64,
}

impl StationInflow {
    /// What the wake of source `source` alone changes of what the blade meets, at mean inflow V̄ `mean_m_s` and mean
    /// axial induced velocity `v_m_s`.
    #[must_use]
    pub fn wake_alone(&self, source: usize, mean_m_s: f64, v_m_s: f64) -> Vec<MetChange> {
        let head = (mean_m_s + v_m_s).powi(2) - mean_m_s * mean_m_s;
        let met = |square: f64| {
            if self.suction { (square + head).max(0.0).sqrt() } else { signed_root(square) + v_m_s }
        };
        let change = |edge: (f64, f64), made: f64, deficit: f64, azimuth: usize| {
            let square = edge.0 * edge.0.abs();
            MetChange {
                azimuth,
                axial_m_s: met(square - total_pressure_loss(made, deficit)) - met(square),
                tangential_m_s: -deficit * edge.1,
            }
        };
        let speeds = (self.edge_mean_m_s, mean_m_s, v_m_s);
        let mut list = Vec::new();
        for wake in self.wakes.iter().filter(|w| w.source == source) {
            let drawn = wake.drawn(self.edge_mean_m_s, mean_m_s, v_m_s);
            list.extend(wake.cells.iter().map(|cell| {
                let made = cell.edge_axial_m_s + wake.factors.made * v_m_s;
                change(
                    (cell.edge_axial_m_s, cell.edge_tangential_m_s),
                    made,
                    cell.deficit(drawn.0, drawn.1),
                    cell.azimuth,
                )
            }));
        }
        for round in self.rounds.iter().filter(|r| r.source == source) {
            for (azimuth, edge, made, deficit) in round.deficits(speeds) {
                list.push(change(edge, made, deficit, azimuth));
            }
        }
        list
    }
}

/// Root that keeps the sign of what it is taken of.
fn signed_root(square: f64) -> f64 {
    if square < 0.0 { -(-square).sqrt() } else { square.sqrt() }
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
    fn new(
        grid: &StationGrid,
        outer: &OuterFlow,
        (index, source): (usize, &dyn InflowSource),
        suction: Suction,
    ) -> Option<Self> {
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
            cells.push(WakeCell {
                azimuth: j,
                above_shaft_m,
                centre_m,
                step_m,
                wake,
                edge_axial_m_s: outer.axial_m_s[j],
                edge_tangential_m_s: outer.tangential_m_s[j],
            });
        }
        let (_, position, middle) = nearest?;
        let distance = position.aft_m.max(0.0);
        let factors =
            SuctionFactors::new(suction, distance, position.chord_m, grid.station.radius_m, grid.tip_m);
        Some(Self { source: index, cells, factors, middle })
    }

    /// Factors on the wake's offset from the shaft and on its thickness at induced velocity `v`.
    fn drawn(&self, edge_mean: f64, mean: f64, v: f64) -> (f64, f64) {
        let support = self.middle.support_m();
        (
            self.factors.offset_factor(edge_mean, v),
            self.factors.thickness_factor(edge_mean, mean, v, |x| self.middle.deficit(x * support)),
        )
    }

    /// Takes this wake's loss of total pressure off the axial velocity and slows the tangential; returns the sum
    /// of the changes of the positive part of U₀, m/s.
    fn slow(&self, (edge_mean, mean, v): (f64, f64, f64), flow: &mut OuterFlow) -> f64 {
        let (offset_factor, thickness_factor) = self.drawn(edge_mean, mean, v);
        let mut change = 0.0;
        for cell in &self.cells {
            let deficit = cell.deficit(offset_factor, thickness_factor);
            if deficit > 0.0 {
                let made = cell.edge_axial_m_s + self.factors.made * v;
                change += flow.take_loss(cell.azimuth, made, deficit);
            }
        }
        change
    }
}

/// Whether a wake near `plane` can be felt at `arm` from the hub, wherever between its place and the shaft suction
/// draws it; a tenth more slack lets the neighbours of the outermost cells be seen.
fn may_be_felt(plane: &WakePlane, hub_m: Vec3, arm: &Vec3) -> bool {
    let above_shaft = arm.dot(&plane.normal);
    let centre = (plane.point_m - hub_m).dot(&plane.normal);
    let slack = 1.1 * plane.slack_m;
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
