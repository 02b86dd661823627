//! A plane wake on the azimuths of eight blade stations, and how it follows the induced velocity.

use multiversion::multiversion;

use super::square::SquareFlow;
use super::station::{CELLS_ACROSS, StationGrid};
use super::suction::{SuctionFactors, SuctionLanes};
use super::{InflowSource, WakePlane};
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::base::lanes::{LANES, Lanes};
use crate::point::input::Suction;
use crate::wake::{WakeShape, WakeStation};

/// One azimuth at which a wake may be felt at some of eight stations. Where it is not, the peak is 0.
#[derive(Debug, Clone, Copy)]
struct WakeCell {
    azimuth: usize,
    /// Height of the station above the shaft along the wake's normal, m.
    above_shaft_m: Lanes,
    /// Height of the wake's centre line above the shaft along its normal, without suction, m.
    centre_m: Lanes,
    /// Change of `above_shaft_m − centre_m` over one azimuth cell, m.
    step_m: Lanes,
    /// Velocity deficit on the centre line.
    peak: Lanes,
    /// Width of the profile, m; 1 where there is no wake.
    width_m: Lanes,
    /// Half-depth half width, m.
    half_width_m: Lanes,
}

/// One source's wake at eight stations.
#[derive(Debug, Clone)]
pub(super) struct PlaneWake {
    /// Index of the source.
    pub source: usize,
    shape: WakeShape,
    cells: Vec<WakeCell>,
    suction: SuctionLanes,
    /// Stations at which the wake is narrower than two azimuth cells.
    pub narrow: [bool; LANES],
}

/// A wake at one azimuth of one station.
#[derive(Debug, Clone, Copy)]
struct StationCell {
    azimuth: usize,
    above_shaft_m: f64,
    centre_m: f64,
    step_m: f64,
    wake: WakeStation,
}

/// What one station sees of a source's wake.
struct StationWake {
    cells: Vec<StationCell>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: WakeStation,
}

impl PlaneWake {
    /// The wake of one source at up to eight stations; `None` where none meets it.
    pub(super) fn new(
        grids: &[StationGrid],
        (index, source): (usize, &dyn InflowSource),
        suction: Suction,
    ) -> Option<Self> {
        if !source.has_plane_wake() {
            return None;
        }
        let planes = source.wake_planes();
        let stations: Vec<Option<StationWake>> =
            grids.iter().map(|grid| StationWake::new(grid, source, &planes, suction)).collect();
        let shape = stations.iter().flatten().next()?.middle.shape;
        let mut narrow = [false; LANES];
        for (flag, station) in narrow.iter_mut().zip(&stations) {
            *flag = station.iter().flat_map(|s| &s.cells).any(StationCell::is_narrow);
        }
        let at = |lane: usize| stations[lane.min(stations.len() - 1)].as_ref();
        // The profile on the way out from the middle, from which suction's hold on the thickness follows.
        let profile =
            |lane: usize, x: f64| at(lane).map_or(0.0, |s| s.middle.deficit(x * s.middle.support_m()));
        let factors = |lane: usize| at(lane).map(|s| s.factors);
        Some(Self {
            source: index,
            shape,
            cells: side_by_side(&stations),
            suction: SuctionLanes::new(factors, profile),
            narrow,
        })
    }

    /// Azimuth indices the wake may be felt at, rising.
    pub(super) fn azimuths(&self) -> impl Iterator<Item = usize> + '_ {
        self.cells.iter().map(|cell| cell.azimuth)
    }

    /// The same wake on every `stride`-th azimuth.
    pub(super) fn thinned(&self, stride: usize) -> Self {
        let kept = self.cells.iter().filter(|cell| cell.azimuth.is_multiple_of(stride));
        let cells = kept.map(|cell| WakeCell {
            azimuth: cell.azimuth / stride,
            step_m: cell.step_m * stride as f64,
            ..*cell
        });
        // Field by field: a clone would copy all cells.
        Self {
            source: self.source,
            shape: self.shape,
            cells: cells.collect(),
            suction: self.suction.clone(),
            narrow: self.narrow,
        }
    }

    /// Takes this wake's loss of total pressure off the square of the axial velocity and slows the tangential. The three
    /// speeds are the mean edge speed, V̄ and the induced velocity.
    pub(super) fn slow(&self, speeds: (Lanes, Lanes, Lanes), edge_m_s: &[Lanes], flow: &mut SquareFlow) {
        let drawn = self.suction.drawn(speeds);
        slow_cells(self, drawn, self.suction.made * speeds.2, edge_m_s, flow);
    }

    /// Azimuth index, edge speed the deficit is made at and deficit, of each cell.
    pub(super) fn deficits(
        &self,
        speeds: (Lanes, Lanes, Lanes),
        edge_m_s: &[Lanes],
    ) -> Vec<(usize, Lanes, Lanes)> {
        let drawn = self.suction.drawn(speeds);
        let made = self.suction.made * speeds.2;
        let at =
            |cell: &WakeCell| (cell.azimuth, edge_m_s[cell.azimuth] + made, cell.deficit(self.shape, drawn));
        self.cells.iter().map(at).collect()
    }

    /// Greatest height above the shaft at which the centre line passes within a half width of a station; `None` where it does
    /// not.
    pub(super) fn crossing_height_m(&self, lane: usize, speeds: (Lanes, Lanes, Lanes)) -> Option<f64> {
        let (offset_factor, thickness_factor) = self.suction.drawn(speeds);
        let (offset_factor, thickness_factor) = (offset_factor.0[lane], thickness_factor.0[lane]);
        let met = |cell: &&WakeCell| {
            let offset = cell.above_shaft_m.0[lane] - cell.centre_m.0[lane] * offset_factor;
            let reach = (cell.half_width_m.0[lane] * thickness_factor).max(cell.step_m.0[lane].abs());
            cell.peak.0[lane] > 0.0 && offset.abs() <= reach
        };
        let heights = self.cells.iter().filter(met).map(|cell| (cell.centre_m.0[lane] * offset_factor).abs());
        heights.max_by(f64::total_cmp)
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn slow_cells(
    wake: &PlaneWake,
    drawn: (Lanes, Lanes),
    made_m_s: Lanes,
    edge_m_s: &[Lanes],
    flow: &mut SquareFlow,
) {
    for cell in &wake.cells {
        let j = cell.azimuth;
        flow.take_loss(j, edge_m_s[j] + made_m_s, cell.deficit(wake.shape, drawn));
    }
}

impl WakeCell {
    /// Deficit with the wake's offset and thickness drawn in.
    #[inline(always)]
    fn deficit(&self, shape: WakeShape, (offset_factor, thickness_factor): (Lanes, Lanes)) -> Lanes {
        let offset = (self.above_shaft_m - self.centre_m * offset_factor) / thickness_factor;
        let mut deficit = shape.deficit_lanes(self.peak, offset / self.width_m);
        let across = self.half_width_m * thickness_factor * 2.0;
        if !across.all(self.step_m, |across, step| across >= CELLS_ACROSS * step.abs()) {
            self.average_narrow(shape, thickness_factor, offset, &mut deficit);
        }
        deficit
    }

    /// Replaces the deficit by its mean over the azimuth cell where the wake spans fewer than two cells.
    #[inline(never)]
    fn average_narrow(&self, shape: WakeShape, thickness_factor: Lanes, offset: Lanes, deficit: &mut Lanes) {
        for lane in 0..LANES {
            let (peak, thickness) = (self.peak.0[lane], thickness_factor.0[lane]);
            let step = self.step_m.0[lane];
            if peak > 0.0 && 2.0 * self.half_width_m.0[lane] * thickness < CELLS_ACROSS * step.abs() {
                let wake = WakeStation { peak, width_m: self.width_m.0[lane], shape };
                let (at, half) = (offset.0[lane], 0.5 * step / thickness);
                deficit.0[lane] = wake.mean_over(at - half, at + half);
            }
        }
    }
}

impl StationCell {
    fn is_narrow(&self) -> bool {
        2.0 * self.wake.half_width_m() < CELLS_ACROSS * self.step_m.abs()
            && (self.above_shaft_m - self.centre_m).abs() < self.wake.support_m() + self.step_m.abs()
    }
}

/// What one azimuth of a station sees of a wake.
#[derive(Debug, Clone, Copy)]
struct Seen {
    /// Part of the source the wake belongs to.
    part: usize,
    /// Across the wake, the same for all of a part.
    normal: Vec3,
    above_shaft_m: f64,
    centre_m: f64,
    aft_m: f64,
    chord_m: f64,
    reach_m: f64,
    wake: WakeStation,
}

impl Seen {
    fn new(grid: &StationGrid, source: &dyn InflowSource, planes: &[WakePlane], j: usize) -> Option<Self> {
        let arm = grid.arm_m(j);
        let near = planes.is_empty() || planes.iter().any(|plane| may_be_felt(plane, grid.disk.hub_m, &arm));
        let position = near.then(|| source.wake_position(&(grid.disk.hub_m + arm))).flatten()?;
        let wake = source.wake_station(&position)?;
        let above_shaft_m = arm.dot(&position.normal);
        Some(Self {
            part: position.part,
            normal: position.normal,
            above_shaft_m,
            centre_m: above_shaft_m - position.offset_m,
            aft_m: position.aft_m,
            chord_m: position.chord_m,
            reach_m: position.reach_m,
            wake,
        })
    }

    fn offset_m(&self) -> f64 {
        self.above_shaft_m - self.centre_m
    }

    /// How far the station is out of the wake's reach wherever between its place and the shaft suction draws it; negative
    /// within, m.
    fn out_of_reach_m(&self) -> f64 {
        let (low, high) = (self.centre_m.min(0.0), self.centre_m.max(0.0));
        (low - self.above_shaft_m).max(self.above_shaft_m - high) - self.reach_m
    }

    /// Between four neighbours on one part, by their weights.
    fn between(near: [&Self; 4], weights: &[f64; 4], arm_m: &Vec3) -> Self {
        let sum = |value: fn(&Self) -> f64| near.iter().zip(weights).map(|(n, w)| w * value(n)).sum::<f64>();
        Self {
            above_shaft_m: arm_m.dot(&near[1].normal),
            centre_m: sum(|n| n.centre_m),
            wake: WakeStation {
                // A cubic may pass below zero by its error.
                peak: sum(|n| n.wake.peak).max(0.0),
                width_m: sum(|n| n.wake.width_m),
                shape: near[1].wake.shape,
            },
            ..*near[1]
        }
    }
}

/// Azimuths between which a wake's place and profile are interpolated, at the least, in a revolution.
const FEWEST_PLACES: usize = 180;

/// What the azimuths of a station see of a wake.
///
/// Height and profile of a wake change slowly along a ring: they are found at every so many azimuths, with cubics between. Where a
/// neighbour sees nothing (inside a body, ahead of the edge) or another part, each azimuth is looked at by itself. Cubics over
/// four cells of half a degree leave 3/128 (0.035 n)⁴ of the n-th harmonic: 3e-4 of the tenth.
fn seen(grid: &StationGrid, source: &dyn InflowSource, planes: &[WakePlane]) -> Vec<Option<Seen>> {
    let count = grid.directions.radial.len();
    let stride = (1..=(count / FEWEST_PLACES).max(1)).rev().find(|s| count.is_multiple_of(*s)).unwrap_or(1);
    let exact = |j: usize| Seen::new(grid, source, planes, j);
    let places: Vec<Option<Seen>> = (0..count / stride).map(|k| exact(k * stride)).collect();
    let weights: Vec<[f64; 4]> = (0..stride).map(|i| lagrange4(i as f64 / stride as f64)).collect();
    let around = |k: usize, i: usize| places[(k + places.len() + i - 1) % places.len()].as_ref();
    let mut all = Vec::with_capacity(count);
    for (k, place) in places.iter().enumerate() {
        all.push(*place);
        let near = match [around(k, 0), around(k, 1), around(k, 2), around(k, 3)] {
            [Some(a), Some(b), Some(c), Some(d)] => Some([a, b, c, d]),
            _ => None,
        };
        let near = near.filter(|near| near.iter().all(|n| n.part == near[0].part));
        if near.is_some_and(|near| passes_by(near[1], near[2], grid.station.radius_m)) {
            all.extend(std::iter::repeat_n(None, stride - 1));
            continue;
        }
        for (i, weights) in weights.iter().enumerate().skip(1) {
            let j = k * stride + i;
            all.push(match near {
                Some(near) => Some(Seen::between(near, weights, &grid.arm_m(j))),
                None => exact(j),
            });
        }
    }
    all
}

/// Whether no azimuth between two places, nor the next one to either, feels the wake.
fn passes_by(from: &Seen, to: &Seen, radius_m: f64) -> bool {
    // Between the places the height bends by at most r (2°)²/8; the other slack is for the steps of cells nearby.
    let slack = 2.0 * (to.offset_m() - from.offset_m()).abs() + 1e-3 * radius_m;
    from.out_of_reach_m() > slack && to.out_of_reach_m() > slack
}

impl StationWake {
    fn new(
        grid: &StationGrid,
        source: &dyn InflowSource,
        planes: &[WakePlane],
        suction: Suction,
    ) -> Option<Self> {
        let seen = seen(grid, source, planes);
        let mut cells = Vec::new();
        let mut nearest: Option<&Seen> = None;
        for (azimuth, at) in seen.iter().enumerate() {
            let Some(at) = at else { continue };
            let step_m = step(&seen, azimuth).unwrap_or(0.0);
            if at.out_of_reach_m() > step_m.abs() {
                continue;
            }
            if nearest.is_none_or(|n| at.offset_m().abs() < n.offset_m().abs()) {
                nearest = Some(at);
            }
            let (above_shaft_m, centre_m) = (at.above_shaft_m, at.centre_m);
            cells.push(StationCell { azimuth, above_shaft_m, centre_m, step_m, wake: at.wake });
        }
        let nearest = nearest?;
        let distance = nearest.aft_m.max(0.0);
        let factors =
            SuctionFactors::new(suction, distance, nearest.chord_m, grid.station.radius_m, grid.tip_m);
        Some(Self { cells, factors, middle: nearest.wake })
    }
}

/// The different ones of many indices, rising.
pub(super) fn rising(indices: impl Iterator<Item = usize>) -> Vec<usize> {
    // Marks on a ring take less than sorting.
    let mut marked = Vec::new();
    for index in indices {
        if index >= marked.len() {
            marked.resize(index + 1, false);
        }
        marked[index] = true;
    }
    (0..marked.len()).filter(|index| marked[*index]).collect()
}

/// Cells of up to eight stations by azimuth.
fn side_by_side(stations: &[Option<StationWake>]) -> Vec<WakeCell> {
    let azimuths = rising(stations.iter().flatten().flat_map(|s| &s.cells).map(|cell| cell.azimuth));
    let none = |azimuth: usize| WakeCell {
        azimuth,
        above_shaft_m: Lanes::ZERO,
        centre_m: Lanes::ZERO,
        step_m: Lanes::ZERO,
        peak: Lanes::ZERO,
        width_m: Lanes::splat(1.0),
        half_width_m: Lanes::splat(1.0),
    };
    let mut cells: Vec<WakeCell> = azimuths.iter().map(|j| none(*j)).collect();
    for lane in 0..LANES {
        // Lanes beyond the last station repeat it.
        let Some(station) = &stations[lane.min(stations.len() - 1)] else { continue };
        let mut at = 0;
        for own in &station.cells {
            while cells[at].azimuth < own.azimuth {
                at += 1;
            }
            let cell = &mut cells[at];
            cell.above_shaft_m.0[lane] = own.above_shaft_m;
            cell.centre_m.0[lane] = own.centre_m;
            cell.step_m.0[lane] = own.step_m;
            cell.peak.0[lane] = own.wake.peak;
            cell.width_m.0[lane] = own.wake.width_m;
            cell.half_width_m.0[lane] = own.wake.half_width_m();
        }
    }
    cells
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
fn step(seen: &[Option<Seen>], j: usize) -> Option<f64> {
    let count = seen.len();
    let here = seen[j].as_ref()?;
    let near = |i: usize| seen[i].as_ref().filter(|near| near.part == here.part).map(|near| near.offset_m());
    match (near((j + count - 1) % count), near((j + 1) % count)) {
        (Some(before), Some(after)) => Some(0.5 * (after - before)),
        (Some(before), None) => Some(here.offset_m() - before),
        (None, Some(after)) => Some(after - here.offset_m()),
        (None, None) => None,
    }
}
