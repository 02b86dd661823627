//! A plane wake on the azimuths of eight blade stations, and how it follows the induced velocity.

use std::sync::Arc;

use multiversion::multiversion;

use super::seen_ring::{Felt, Seen, SeenRing, WakeCell};
use super::square::SquareFlow;
use super::station::{CELLS_ACROSS, StationGrid};
use super::suction::{SuctionFactors, SuctionLanes, brakes};
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
    /// Azimuths at which only braking annuli may feel it.
    outer: Arc<[WakeCell]>,
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
        let Felt { cells, outer, nearest } = ring.felt(shape);
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
        Some(Self { source: index, shape, cells: cells.into(), outer: outer.into(), suction, narrow })
    }

    /// Azimuth indices the wake may be felt at, rising.
    pub(super) fn azimuths(&self) -> impl Iterator<Item = usize> + '_ {
        self.cells.iter().map(|cell| cell.azimuth)
    }

    /// Azimuth indices at which only braking annuli may feel it, rising.
    pub(super) fn outer_azimuths(&self) -> impl Iterator<Item = usize> + '_ {
        self.outer.iter().map(|cell| cell.azimuth)
    }

    /// The cells that annuli with induced velocity `v_m_s` may feel.
    fn felt_at(&self, v_m_s: Lanes) -> impl Iterator<Item = &WakeCell> {
        let outer: &[WakeCell] = if brakes(v_m_s) { &self.outer } else { &[] };
        self.cells.iter().chain(outer)
    }

    /// The same wake on every `stride`-th azimuth.
    pub(super) fn thinned(&self, stride: usize) -> Self {
        let thinned = |cells: &[WakeCell]| -> Arc<[WakeCell]> {
            let kept = cells.iter().filter(|cell| cell.azimuth.is_multiple_of(stride));
            let cells = kept.map(|cell| WakeCell {
                azimuth: cell.azimuth / stride,
                step_m: cell.step_m * stride as f64,
                ..*cell
            });
            cells.collect()
        };
        // Field by field: a clone would copy all cells.
        Self {
            source: self.source,
            shape: self.shape,
            cells: thinned(&self.cells),
            outer: thinned(&self.outer),
            suction: self.suction.clone(),
            narrow: self.narrow,
        }
    }

    /// The same wake at a limit of suction.
    pub(super) fn limited(&self, limit: Suction) -> Self {
        let (cells, outer) = (Arc::clone(&self.cells), Arc::clone(&self.outer));
        Self { cells, outer, suction: self.suction.limited(limit), ..*self }
    }

    /// Takes this wake's loss of total pressure off the square of the axial velocity and slows the tangential. The three
    /// speeds are the mean edge speed, V̄ and the induced velocity.
    pub(super) fn slow(&self, speeds: (Lanes, Lanes, Lanes), edge_m_s: &[Lanes], flow: &mut SquareFlow) {
        let drawn = self.suction.drawn(speeds);
        let made_m_s = self.suction.made * speeds.2;
        slow_cells((&self.cells, self.shape), drawn, made_m_s, edge_m_s, flow);
        if brakes(speeds.2) {
            slow_cells((&self.outer, self.shape), drawn, made_m_s, edge_m_s, flow);
        }
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
        self.felt_at(speeds.2).map(at).collect()
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
        let heights =
            self.felt_at(speeds.2).filter(met).map(|cell| (cell.centre_m.0[lane] * offset_factor).abs());
        heights.max_by(f64::total_cmp)
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn slow_cells(
    (cells, shape): (&[WakeCell], WakeShape),
    drawn: (Lanes, Lanes),
    made_m_s: Lanes,
    edge_m_s: &[Lanes],
    flow: &mut SquareFlow,
) {
    for cell in cells {
        let j = cell.azimuth;
        flow.take_loss(j, edge_m_s[j] + made_m_s, cell.deficit(shape, drawn));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Vec3;
    use crate::blade::BladeStation;
    use crate::frames::DiskAxes;
    use crate::inflow::WakePosition;
    use crate::inflow::group::{GroupInflow, OuterLanes};
    use crate::inflow::station::Directions;
    use crate::inflow::suction::{thickened_reach, total_pressure_loss};
    use crate::point::input::{Placement, Rotation};

    const SPEED: f64 = 25.0;
    const AZIMUTHS: u32 = 1440;

    /// A level wake 0.7 m below the shaft.
    struct Slab(WakeStation);

    const BELOW: f64 = -0.7;
    const AFT: f64 = 0.6;

    impl InflowSource for Slab {
        fn name(&self) -> &'static str {
            "slab"
        }

        fn has_plane_wake(&self) -> bool {
            true
        }

        fn wake_planes(&self) -> Vec<WakePlane> {
            let slack_m = self.0.support_m() * thickened_reach(self.0.shape);
            vec![WakePlane { point_m: BELOW * Vec3::z(), normal: Vec3::z(), slack_m }]
        }

        fn wake_position(&self, point_m: &Vec3) -> Option<WakePosition> {
            Some(WakePosition {
                part: 0,
                span_m: 0.0,
                aft_m: AFT,
                offset_m: point_m.z - BELOW,
                normal: Vec3::z(),
                chord_m: 1.0,
                reach_m: self.0.support_m(),
            })
        }

        fn wake_station(&self, _: &WakePosition) -> Option<WakeStation> {
            Some(self.0)
        }
    }

    /// Squares of U₀ over azimuth at eight stations of a disk of 1 m radius, drawn at one induced velocity after another, and V̄.
    fn drawn(wake: WakeStation, v_m_s: &[Lanes]) -> (Vec<Lanes>, Lanes) {
        let placement = Placement { hub_m: Vec3::zeros(), tilt_rad: 0.0, toe_rad: 0.0 };
        let disk = DiskAxes::new(&placement, Rotation::Clockwise);
        let step = std::f64::consts::TAU / f64::from(AZIMUTHS);
        let azimuth_rad: Vec<f64> = (0..AZIMUTHS).map(|j| step * f64::from(j)).collect();
        let directions = Directions::new(&disk, &azimuth_rad, 0.0);
        let stations: Vec<BladeStation> = (0..8).map(|i| station(radius_m(i))).collect();
        let grids: Vec<StationGrid> = stations
            .iter()
            .map(|station| StationGrid { disk: &disk, station, tip_m: 1.0, directions: &directions })
            .collect();
        let outer: Vec<_> = grids.iter().map(|grid| grid.free_stream(SPEED * Vec3::x())).collect();
        let mut inflow =
            GroupInflow::new(&grids, OuterLanes::new(&outer), &[Box::new(Slab(wake))], Suction::ChordMean);
        v_m_s.iter().for_each(|v| inflow.draw(*v, 1e-12));
        let mean_m_s = inflow.mean_m_s;
        (inflow.into_axial_square(), mean_m_s)
    }

    fn radius_m(lane: usize) -> f64 {
        0.82 + 0.02 * lane as f64
    }

    fn station(radius_m: f64) -> BladeStation {
        BladeStation { width_m: 0.02, chord_m: 0.1, ..BladeStation::plain(radius_m) }
    }

    /// The wake where the factors put it, at every azimuth by itself: no azimuth that it is pushed to is left out. A third of the
    /// stations drive.
    #[test]
    fn a_braking_annulus_feels_all_of_the_wake_it_pushes_out() {
        for shape in [WakeShape::Gaussian, WakeShape::CosineSquared] {
            let wake = WakeStation { peak: 0.3, width_m: 0.02, shape };
            let v = Lanes::from_fn(|lane| if lane % 3 == 2 { 2.0 } else { -0.224 * SPEED });
            let (squares, mean) = drawn(wake, &[v]);
            let support = wake.support_m();
            for lane in 0..LANES {
                let factors = SuctionFactors::new(Suction::ChordMean, AFT, 1.0, radius_m(lane), 1.0);
                let lanes = SuctionLanes::new(|_| Some(factors), |_, x| wake.deficit(x * support));
                let (offset, thickness) = lanes.drawn((Lanes::splat(SPEED), mean, v));
                let (offset, thickness) = (offset.0[lane], thickness.0[lane]);
                assert_eq!(v.0[lane] < 0.0, offset > 1.0 && thickness > 1.1, "{offset} {thickness}");
                let made = SPEED + factors.made * v.0[lane];
                let (mut kept, mut all, mut worst) = (0.0, 0.0, 0.0_f64);
                for j in 0..AZIMUTHS {
                    let azimuth = std::f64::consts::TAU * f64::from(j) / f64::from(AZIMUTHS);
                    let height = radius_m(lane) * azimuth.cos() - BELOW * offset;
                    let loss = total_pressure_loss(made, wake.deficit(height / thickness));
                    let met = SPEED * SPEED - squares[j as usize].0[lane];
                    (kept, all) = (kept + met, all + loss);
                    worst = worst.max((met - loss).abs() / (SPEED * SPEED));
                }
                // Cubics between azimuths: 3e-4 of the depth.
                assert!(
                    (kept / all - 1.0).abs() < 1e-3 && worst < 1e-3,
                    "{shape:?} {lane}: {kept} {all} {worst}"
                );
            }
        }
    }

    /// What lies ahead serves many points: the wake at one must not depend on the last.
    #[test]
    fn a_wake_pushed_out_leaves_nothing_behind_when_it_is_drawn_in_again() {
        let wake = WakeStation { peak: 0.3, width_m: 0.02, shape: WakeShape::CosineSquared };
        let (braking, driving) = (Lanes::splat(-5.0), Lanes::splat(4.0));
        let (fresh, _) = drawn(wake, &[driving]);
        let (again, _) = drawn(wake, &[braking, driving]);
        // V̄ settles within the tolerance.
        let differ = fresh.iter().zip(&again).filter(|(a, b)| !a.all(**b, |a, b| (a - b).abs() < 1e-6));
        assert_eq!(differ.count(), 0);
    }
}
