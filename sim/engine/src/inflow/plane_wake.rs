//! A plane wake on the azimuths of eight blade stations, and how it follows the induced velocity.

use std::sync::Arc;

use multiversion::multiversion;

use super::seen_ring::{Felt, Seen, SeenRing, WakeCell};
use super::square::SquareFlow;
use super::station::{CELLS_ACROSS, StationGrid};
use super::suction::{SuctionFactors, SuctionLanes};
use super::{InflowSource, WakePlane};
use crate::base::lanes::{LANES, Lanes};
use crate::point::input::Suction;
use crate::wake::{WakeShape, WakeStation};

/// One source's wake at eight stations.
#[derive(Debug, Clone)]
pub(super) struct PlaneWake {
    /// Index of the source.
    pub source: usize,
    shape: WakeShape,
    cells: Arc<[WakeCell]>,
    suction: SuctionLanes,
    /// Stations at which the wake is narrower than two azimuth cells.
    pub narrow: [bool; LANES],
}

/// The wake where a station meets it most closely.
struct Nearest {
    factors: SuctionFactors,
    wake: WakeStation,
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
        let ring = SeenRing::new(grids, source, &planes);
        let shape = ring.shape?;
        let Felt { cells, nearest } = ring.felt(shape);
        if cells.is_empty() {
            return None;
        }
        let nearest: [Option<Nearest>; LANES] = std::array::from_fn(|lane| {
            Nearest::new(&grids[lane.min(grids.len() - 1)], source, &planes, nearest[lane]?, suction)
        });
        let narrow = narrow_lanes(&cells, shape);
        // The profile on the way out from the middle, from which suction's hold on the thickness follows.
        let profile = |lane: usize, x: f64| {
            nearest[lane].as_ref().map_or(0.0, |n| n.wake.deficit(x * n.wake.support_m()))
        };
        let factors = |lane: usize| nearest[lane].as_ref().map(|n| n.factors);
        let suction = SuctionLanes::new(factors, profile);
        Some(Self { source: index, shape, cells: cells.into(), suction, narrow })
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

    /// The same wake at a limit of suction.
    pub(super) fn limited(&self, limit: Suction) -> Self {
        Self { cells: Arc::clone(&self.cells), suction: self.suction.limited(limit), ..*self }
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
    for cell in &*wake.cells {
        let j = cell.azimuth;
        flow.take_loss(j, edge_m_s[j] + made_m_s, cell.deficit(wake.shape, drawn));
    }
}

/// Stations that meet the wake where it is narrower than it may be sampled.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn narrow_lanes(cells: &[WakeCell], shape: WakeShape) -> [bool; LANES] {
    let supports = WakeStation { peak: 1.0, width_m: 1.0, shape }.support_m();
    let mut narrow = [false; LANES];
    for cell in cells {
        let step_m = cell.step_m.abs();
        let too_wide = step_m * CELLS_ACROSS - cell.half_width_m * 2.0;
        if too_wide.all(Lanes::ZERO, |too_wide, zero| too_wide <= zero) {
            continue;
        }
        let off_m = (cell.above_shaft_m - cell.centre_m).abs() - step_m - cell.width_m * supports;
        for (lane, narrow) in narrow.iter_mut().enumerate() {
            *narrow |= too_wide.0[lane] > 0.0 && off_m.0[lane] < 0.0;
        }
    }
    narrow
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
    #[inline(always)]
    fn average_narrow(&self, shape: WakeShape, thickness_factor: Lanes, offset: Lanes, deficit: &mut Lanes) {
        let half = self.step_m * 0.5 / thickness_factor;
        let mean = match shape {
            WakeShape::Gaussian => {
                let from_to = ((offset - half) / self.width_m, (offset + half) / self.width_m);
                WakeShape::gaussian_mean_lanes(self.peak, from_to, *deficit)
            }
            WakeShape::CosineSquared => self.mean_one_by_one(shape, (offset - half, offset + half)),
        };
        let across = self.half_width_m * thickness_factor * 2.0;
        let step = self.step_m.abs() * CELLS_ACROSS;
        *deficit = Lanes::from_fn(|i| {
            let narrow = self.peak.0[i] > 0.0 && across.0[i] < step.0[i];
            if narrow { mean.0[i] } else { deficit.0[i] }
        });
    }

    /// The mean over a cell of a profile that takes a quadrature.
    #[inline(never)]
    fn mean_one_by_one(&self, shape: WakeShape, (from_m, to_m): (Lanes, Lanes)) -> Lanes {
        let wake = |i: usize| WakeStation { peak: self.peak.0[i], width_m: self.width_m.0[i], shape };
        Lanes::from_fn(|i| wake(i).mean_over(from_m.0[i], to_m.0[i]))
    }
}

impl Nearest {
    /// The wake of a source at the azimuth at which the station of a lane meets it most closely.
    fn new(
        grid: &StationGrid,
        source: &dyn InflowSource,
        planes: &[WakePlane],
        azimuth: usize,
        suction: Suction,
    ) -> Option<Self> {
        let seen = Seen::new(grid, source, planes, azimuth)?;
        let distance = seen.aft_m.max(0.0);
        let factors = SuctionFactors::new(suction, distance, seen.chord_m, grid.station.radius_m, grid.tip_m);
        Some(Self { factors, wake: seen.wake })
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
