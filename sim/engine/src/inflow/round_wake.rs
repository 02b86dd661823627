//! A round wake on the azimuths of eight blade stations, and how it follows the induced velocity.
//!
//! As for plane wakes ([`super::plane_wake`]): the axis moves towards the shaft by the root of the edge-speed ratio between tail and
//! disk, as a vector; the cross-section shrinks so that the flux of total-pressure loss is kept. The profile against
//! area r² − r_b² has the form of a plane one against distance, so the same factor that thins a plane wake here scales the area.
//!
//! Where it lies over other wakes its loss is a share of the total pressure they leave, (1 − L₁)(1 − L₂) of the edge's. For
//! small losses that is their sum. Close behind a wing-body junction the sum would pass one: the layer on the body is made in air
//! that the wing's has slowed already, or the other way round.

use std::sync::Arc;

use multiversion::multiversion;

use super::square::{SquareFlow, total_pressure_loss_lanes};
use super::station::{CELLS_ACROSS, StationGrid};
use super::suction::{MOST_OUTWARD, SuctionFactors, SuctionLanes};
use super::{InflowSource, RoundWake, RoundWakePoint};
use crate::base::Vec3;
use crate::base::lagrange::{lagrange4, weighed4};
use crate::base::lanes::{LANES, Lanes};
use crate::base::turn::even_stride;
use crate::body::wake::RoundWakeStation;
use crate::point::input::Suction;

/// Places of the station at which a wide wake is evaluated within one spread of it; cubics between them leave
/// 3/128 · 3/4⁴ = 3e-4 of its depth.
const PLACES_A_SPREAD: f64 = 4.0;

/// Fewest places on a ring.
const FEWEST_PLACES: usize = 24;

/// One source's round wake at eight stations.
#[derive(Debug, Clone)]
pub(super) struct RoundWakes {
    /// Index of the source.
    pub source: usize,
    /// Stations whose wake spans cells enough: evaluated at every so many azimuths, cubics between.
    wide: Arc<Ring>,
    /// Stations whose wake is averaged over each cell.
    narrow: Arc<[NarrowStation]>,
    suction: SuctionLanes,
}

/// Wide wakes on eight rings, place by place.
#[derive(Debug, Clone)]
struct Ring {
    places: Vec<Place>,
    /// Azimuths the wakes may be felt at, with the place they lie behind and the weights of the four places around.
    felt: Vec<(usize, usize, usize)>,
    /// Weights of the four places around an azimuth, by its distance from the place behind.
    weights: Vec<[f64; 4]>,
}

/// What the deficit at one place needs: the squared distance from the axis is r² − 2f a·c + f² c², with a the station and c
/// the axis seen from the shaft and f the factor by which suction draws the axis in.
#[derive(Debug, Clone, Copy)]
struct Place {
    square_m2: Lanes,
    arm_centre_m2: Lanes,
    centre_square_m2: Lanes,
    core_square_m2: Lanes,
    /// 1/(2σ²).
    decay_per_m2: Lanes,
    /// 0 beyond reach.
    peak: Lanes,
}

/// A narrow wake at one station.
#[derive(Debug, Clone)]
struct NarrowStation {
    lane: usize,
    cells: Vec<NarrowCell>,
    step_m: f64,
}

/// One azimuth at which a narrow wake may be felt.
#[derive(Debug, Clone, Copy)]
struct NarrowCell {
    azimuth: usize,
    /// From the shaft to the station, m.
    arm_m: Vec3,
    /// From the shaft to the wake's axis without suction, m.
    centre_m: Vec3,
    /// Direction of the station's motion.
    motion: Vec3,
    wake: RoundWakeStation,
}

/// What one station sees of a source's round wake.
struct StationWake {
    narrow: Option<NarrowStation>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: RoundWakeStation,
}

impl RoundWakes {
    /// The round wake of one source at up to eight stations; `None` where it has none or none meets it.
    pub(super) fn new(
        grids: &[StationGrid],
        (index, source): (usize, &dyn InflowSource),
        suction: Suction,
    ) -> Option<Self> {
        let round = source.round_wake()?;
        let widths: Vec<Width> = grids.iter().map(|grid| Width::new(grid, round)).collect();
        let stride = widths.iter().filter_map(|w| w.stride).min().unwrap_or(1);
        let views: Vec<RingView> = grids
            .iter()
            .zip(&widths)
            .map(|(grid, width)| RingView::new(grid, round, width.stride.map_or(1, |_| stride), width.step_m))
            .collect();
        let stations: Vec<Option<StationWake>> = (0..grids.len())
            .map(|lane| StationWake::new(lane, &grids[lane], &views[lane], &widths[lane], suction))
            .collect();
        if stations.iter().all(Option::is_none) {
            return None;
        }
        let at = |lane: usize| stations[lane.min(stations.len() - 1)].as_ref();
        let profile = |lane: usize, share: f64| {
            at(lane).map_or(0.0, |s| {
                let core = s.middle.core_m * s.middle.core_m;
                s.middle.deficit(core + share * s.middle.support_area_m2())
            })
        };
        let suction = SuctionLanes::new(|lane| at(lane).map(|s| s.factors), profile);
        let wide = |lane: usize| {
            let lane = lane.min(stations.len() - 1);
            (widths[lane].stride.is_some() && stations[lane].is_some()).then(|| (&grids[lane], &views[lane]))
        };
        let wide = Ring::new(wide, grids[0].directions.radial.len(), stride);
        let narrow = stations.into_iter().flatten().filter_map(|s| s.narrow).collect();
        Some(Self { source: index, wide: Arc::new(wide), narrow, suction })
    }

    /// The same wake at a limit of suction.
    pub(super) fn limited(&self, limit: Suction) -> Self {
        Self { suction: self.suction.limited(limit), ..self.clone() }
    }

    /// Whether the wake is narrower than two azimuth cells at a station.
    pub(super) fn is_narrow(&self, lane: usize) -> bool {
        self.narrow.iter().any(|n| n.lane == lane)
    }

    /// Azimuth indices the wake may be felt at.
    pub(super) fn azimuths(&self) -> impl Iterator<Item = usize> + '_ {
        let narrow = self.narrow.iter().flat_map(|n| &n.cells).map(|cell| cell.azimuth);
        self.wide.felt.iter().map(|(azimuth, ..)| *azimuth).chain(narrow)
    }

    /// The same wake on every `stride`-th azimuth.
    pub(super) fn thinned(&self, stride: usize) -> Self {
        let narrow = self.narrow.iter().map(|station| NarrowStation {
            cells: station
                .cells
                .iter()
                .filter(|cell| cell.azimuth.is_multiple_of(stride))
                .map(|cell| NarrowCell { azimuth: cell.azimuth / stride, ..*cell })
                .collect(),
            step_m: station.step_m * stride as f64,
            lane: station.lane,
        });
        // Field by field: a clone would copy all cells.
        Self {
            source: self.source,
            wide: Arc::new(self.wide.thinned(stride)),
            narrow: narrow.collect(),
            suction: self.suction.clone(),
        }
    }

    /// Azimuth index, edge speed the deficit is made at and deficit, of each cell. The three speeds are the mean edge speed, V̄
    /// and the induced velocity.
    pub(super) fn deficits(
        &self,
        speeds: (Lanes, Lanes, Lanes),
        edge_m_s: &[Lanes],
    ) -> Vec<(usize, Lanes, Lanes)> {
        let (offset_factor, area_factor) = self.suction.drawn(speeds);
        let mut deficits = Vec::with_capacity(self.wide.felt.len());
        self.wide.deficits(offset_factor, area_factor, &mut deficits);
        for station in &*self.narrow {
            let lane = station.lane;
            for cell in &station.cells {
                let deficit = cell.mean_deficit(offset_factor.0[lane], area_factor.0[lane], station.step_m);
                let mut own = Lanes::ZERO;
                own.0[lane] = deficit;
                deficits.push((cell.azimuth, own));
            }
        }
        let made = self.suction.made * speeds.2;
        deficits.into_iter().map(|(j, deficit)| (j, edge_m_s[j] + made, deficit)).collect()
    }

    /// Takes this wake's loss of total pressure off the square of the axial velocity and slows the tangential.
    pub(super) fn slow(&self, speeds: (Lanes, Lanes, Lanes), edge_m_s: &[Lanes], flow: &mut SquareFlow) {
        let cells = self.deficits(speeds, edge_m_s);
        slow_shared(&cells, edge_m_s, flow);
    }
}

/// Takes losses that are shares of the total pressure that earlier wakes have left.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn slow_shared(cells: &[(usize, Lanes, Lanes)], edge_m_s: &[Lanes], flow: &mut SquareFlow) {
    for (j, made, deficit) in cells {
        let edge = edge_m_s[*j];
        let deficit = edge.zip(*deficit, |edge, deficit| if edge > 0.0 { deficit } else { 0.0 });
        let left = flow.axial_square[*j].max(Lanes::ZERO)
            / edge.zip(edge * edge, |edge, square| if edge > 0.0 { square } else { 1.0 });
        let loss = total_pressure_loss_lanes(*made, deficit) * left;
        flow.axial_square[*j] = flow.axial_square[*j] - loss;
        flow.tangential_m_s[*j] = flow.tangential_m_s[*j] * (Lanes::splat(1.0) - deficit);
    }
}

/// How a station resolves a wake.
struct Width {
    /// Azimuths between places; `None` where the wake is narrower than two cells.
    stride: Option<usize>,
    step_m: f64,
}

impl Width {
    fn new(grid: &StationGrid, round: &dyn RoundWake) -> Self {
        let count = grid.directions.radial.len();
        let step_m = std::f64::consts::TAU * grid.station.radius_m / count as f64;
        // The width changes slowly over the disk: one look tells how many places it takes.
        let first = round.seen_from(&grid.point_m(0)).or_else(|| round.seen_from(&grid.disk.hub_m));
        let Some(first) = first.map(|at| at.wake) else { return Self { stride: None, step_m } };
        let narrow = first.core_m == 0.0 && 2.0 * first.half_radius_m() < CELLS_ACROSS * step_m;
        Self { stride: (!narrow).then(|| stride(&first, step_m, count)), step_m }
    }
}

/// Most azimuths between places that hold the wake and divide the ring evenly.
fn stride(wake: &RoundWakeStation, step_m: f64, count: usize) -> usize {
    // Beside a solid the profile falls over σ²/r_b.
    let scale = wake.spread_m.min(wake.spread_m * wake.spread_m / wake.core_m.max(f64::MIN_POSITIVE));
    let most = (scale / (PLACES_A_SPREAD * step_m)).min((count / FEWEST_PLACES) as f64) as usize;
    even_stride(count, most)
}

/// The axis and the wake as the places of a ring see them; `None` beyond reach.
struct RingView {
    seen: Vec<Option<(Vec3, RoundWakeStation)>>,
    nearest: Option<RoundWakePoint>,
}

impl RingView {
    fn new(grid: &StationGrid, round: &dyn RoundWake, stride: usize, step_m: f64) -> Self {
        let mut nearest: Option<(f64, RoundWakePoint)> = None;
        let count = grid.directions.radial.len() / stride;
        let seen = (0..count)
            .map(|k| {
                let arm_m = grid.arm_m(k * stride);
                let at = round.seen_from(&(grid.disk.hub_m + arm_m))?;
                let centre_m = arm_m - at.from_axis_m;
                if distance_to_path(&arm_m, &centre_m) > at.reach_m + stride as f64 * step_m {
                    return None;
                }
                let distance = at.from_axis_m.norm_squared();
                if nearest.as_ref().is_none_or(|(n, _)| distance < *n) {
                    nearest = Some((distance, at));
                }
                Some((centre_m, at.wake))
            })
            .collect();
        Self { seen, nearest: nearest.map(|(_, at)| at) }
    }
}

impl StationWake {
    fn new(
        lane: usize,
        grid: &StationGrid,
        view: &RingView,
        width: &Width,
        suction: Suction,
    ) -> Option<Self> {
        let at = view.nearest?;
        let narrow = width.stride.is_none().then(|| NarrowStation {
            lane,
            cells: view.narrow_cells(grid),
            step_m: width.step_m,
        });
        let radius_m = grid.station.radius_m;
        let factors = SuctionFactors::new(suction, at.aft_m.max(0.0), at.made_over_m, radius_m, grid.tip_m);
        Some(Self { narrow, factors, middle: at.wake })
    }
}

impl RingView {
    fn narrow_cells(&self, grid: &StationGrid) -> Vec<NarrowCell> {
        let cell = |(azimuth, seen): (usize, &Option<(Vec3, RoundWakeStation)>)| {
            let (centre_m, wake) = (*seen)?;
            let motion = grid.directions.tangential[azimuth];
            Some(NarrowCell { azimuth, arm_m: grid.arm_m(azimuth), centre_m, motion, wake })
        };
        self.seen.iter().enumerate().filter_map(cell).collect()
    }
}

impl Ring {
    /// The same wakes on every `stride`-th azimuth.
    fn thinned(&self, stride: usize) -> Self {
        let felt = self.felt.iter().filter(|(j, ..)| j.is_multiple_of(stride));
        let own = self.weights.len();
        if !stride.is_multiple_of(own) {
            return Self {
                places: self.places.clone(),
                felt: felt.map(|(j, k, w)| (j / stride, *k, *w)).collect(),
                weights: self.weights.clone(),
            };
        }
        // Every azimuth kept is a place.
        Self {
            places: self.places.iter().step_by(stride / own).copied().collect(),
            felt: felt.map(|(j, ..)| (j / stride, j / stride, 0)).collect(),
            weights: vec![lagrange4(0.0)],
        }
    }

    /// From the grid and the view of each lane whose wake is wide.
    fn new<'a>(
        wide: impl Fn(usize) -> Option<(&'a StationGrid<'a>, &'a RingView)>,
        azimuths: usize,
        stride: usize,
    ) -> Self {
        let count = azimuths / stride;
        let mut places = vec![Place::EMPTY; count];
        for lane in 0..LANES {
            let Some((grid, view)) = wide(lane) else { continue };
            for ((place, seen), k) in places.iter_mut().zip(&view.seen).zip(0..) {
                if let Some((centre_m, wake)) = seen {
                    place.set(lane, &grid.arm_m(k * stride), centre_m, wake);
                }
            }
        }
        let met = |place: &Place| place.peak.0.iter().any(|peak| *peak > 0.0);
        let around = |k: usize| (0..4).any(|i| met(&places[(k + count - 1 + i) % count]));
        let felt = (0..count)
            .filter(|k| around(*k))
            .flat_map(|k| (0..stride).map(move |w| (k * stride + w, k, w)))
            .collect();
        let weights = (0..stride).map(|i| lagrange4(i as f64 / stride as f64)).collect();
        Self { places, felt, weights }
    }

    /// Deficit at each azimuth where a wake may be felt, the axis drawn in and the cross-section scaled.
    fn deficits(&self, offset_factor: Lanes, area_factor: Lanes, deficits: &mut Vec<(usize, Lanes)>) {
        if self.felt.is_empty() {
            return;
        }
        // One place before the first and two after the last close the ring.
        let count = self.places.len();
        let mut places = vec![Lanes::ZERO; count + 3];
        place_deficits(&self.places, offset_factor, area_factor, &mut places[1..=count]);
        places[0] = places[count];
        (places[count + 1], places[count + 2]) = (places[1], places[2]);
        between_places(self, &places, deficits);
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn place_deficits(places: &[Place], offset_factor: Lanes, area_factor: Lanes, deficits: &mut [Lanes]) {
    for (place, deficit) in places.iter().zip(deficits) {
        let drawn = offset_factor * (offset_factor * place.centre_square_m2 - place.arm_centre_m2 * 2.0);
        let area = (place.square_m2 + drawn - place.core_square_m2).max(Lanes::ZERO);
        *deficit = place.peak * (-(area * place.decay_per_m2 / area_factor)).exp_decay();
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn between_places(ring: &Ring, places: &[Lanes], deficits: &mut Vec<(usize, Lanes)>) {
    for (j, k, weight) in &ring.felt {
        let (near, w) = (&places[*k..*k + 4], &ring.weights[*weight]);
        // A cubic may pass below zero by its error.
        deficits.push((*j, weighed4([near[0], near[1], near[2], near[3]], w).max(Lanes::ZERO)));
    }
}

impl Place {
    /// Out of reach for every lane.
    const EMPTY: Self = Self {
        square_m2: Lanes::ZERO,
        arm_centre_m2: Lanes::ZERO,
        centre_square_m2: Lanes::ZERO,
        core_square_m2: Lanes::ZERO,
        decay_per_m2: Lanes::ZERO,
        peak: Lanes::ZERO,
    };

    fn set(&mut self, lane: usize, arm_m: &Vec3, centre_m: &Vec3, wake: &RoundWakeStation) {
        self.square_m2.0[lane] = arm_m.norm_squared();
        self.arm_centre_m2.0[lane] = arm_m.dot(centre_m);
        self.centre_square_m2.0[lane] = centre_m.norm_squared();
        self.core_square_m2.0[lane] = wake.core_m * wake.core_m;
        self.decay_per_m2.0[lane] = 0.5 / (wake.spread_m * wake.spread_m);
        self.peak.0[lane] = wake.peak;
    }
}

impl NarrowCell {
    fn mean_deficit(&self, offset_factor: f64, area_factor: f64, step_m: f64) -> f64 {
        let off = self.arm_m - offset_factor * self.centre_m;
        let along = off.dot(&self.motion);
        let square = off.norm_squared() - along * along;
        let wake = self.wake.scaled(area_factor);
        wake.mean_over(square, along - 0.5 * step_m, along + 0.5 * step_m)
    }
}

/// Least distance of a point from the path of the axis between the shaft and where a braking annulus pushes it at most, m. The
/// reach need not grow with it: where the cross-section is twice as large, 1e-6 of the peak are left there.
fn distance_to_path(arm_m: &Vec3, centre_m: &Vec3) -> f64 {
    let square = centre_m.norm_squared();
    let share = if square > 0.0 { (arm_m.dot(centre_m) / square).clamp(0.0, MOST_OUTWARD) } else { 0.0 };
    (arm_m - share * centre_m).norm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::blade::BladeStation;
    use crate::frames::DiskAxes;
    use crate::inflow::RoundWake;
    use crate::inflow::group::{GroupInflow, OuterLanes};
    use crate::inflow::station::Directions;
    use crate::point::input::{Placement, Rotation};
    use approx::assert_relative_eq;

    /// A wake of given axis and spread, its tail `aft_m` ahead of the disk.
    #[derive(Clone, Copy)]
    struct Stream {
        axis_m: Vec3,
        spread_m: f64,
        aft_m: f64,
    }

    impl RoundWake for Stream {
        fn seen_from(&self, point_m: &Vec3) -> Option<RoundWakePoint> {
            let wake = RoundWakeStation { peak: 0.5, spread_m: self.spread_m, core_m: 0.0 };
            Some(RoundWakePoint {
                from_axis_m: point_m - self.axis_m,
                aft_m: self.aft_m,
                made_over_m: 1.0,
                wake,
                reach_m: wake.support_m(),
            })
        }
    }

    impl InflowSource for Stream {
        fn name(&self) -> &'static str {
            "stream"
        }

        fn round_wake(&self) -> Option<&dyn RoundWake> {
            Some(self)
        }
    }

    fn disk() -> DiskAxes {
        let placement = Placement { hub_m: Vec3::zeros(), tilt_rad: 0.0, toe_rad: 0.0 };
        DiskAxes::new(&placement, Rotation::Clockwise)
    }

    /// Axial velocity in a stream of 20 m/s at a radius of a disk of 1 m radius.
    fn axial(stream: Stream, radius_m: f64, azimuths: u32, suction: Suction, v_m_s: f64) -> Vec<f64> {
        let disk = disk();
        let step = std::f64::consts::TAU / f64::from(azimuths);
        let azimuth_rad: Vec<f64> = (0..azimuths).map(|j| step * f64::from(j)).collect();
        let directions = Directions::new(&disk, &azimuth_rad, 0.0);
        let station = BladeStation { width_m: 0.1, chord_m: 0.1, ..BladeStation::plain(radius_m) };
        let grid = StationGrid { disk: &disk, station: &station, tip_m: 1.0, directions: &directions };
        let outer = grid.free_stream(20.0 * Vec3::x());
        let edge = OuterLanes::new(&[outer]);
        let mut inflow = GroupInflow::new(&[grid], edge, &[Box::new(stream)], suction);
        inflow.draw(Lanes::splat(v_m_s), 1e-12);
        inflow.axial_m_s().iter().map(|u| u.0[0]).collect()
    }

    #[test]
    fn without_suction_the_deficit_is_the_wakes() {
        let stream = Stream { axis_m: Vec3::new(0.0, 0.3, 0.4), spread_m: 0.1, aft_m: 0.2 };
        let met = axial(stream, 0.6, 720, Suction::None, 0.0);
        for (j, u) in met.iter().enumerate() {
            let point = disk().point_m(0.6, f64::from(j as u32) * std::f64::consts::TAU / 720.0);
            let square = (point - stream.axis_m).norm_squared();
            // Cubics between the places: 3e-4 of the depth.
            assert_relative_eq!(*u, 20.0 * (1.0 - 0.5 * (-square / 0.02).exp()), epsilon = 3e-4 * 10.0);
        }
    }

    #[test]
    fn suction_draws_the_axis_to_the_shaft_as_a_vector() {
        // Faster disk, nearer axis: the deepest azimuth stays, the station nearer the shaft gains depth.
        let stream = Stream { axis_m: Vec3::new(0.0, 0.3, 0.4), spread_m: 0.1, aft_m: 1.0 };
        let deepest = |met: &[f64]| {
            (0..met.len()).min_by(|a, b| met[*a].total_cmp(&met[*b])).map(|j| (j, met[j])).unwrap()
        };
        let factors = SuctionFactors::new(Suction::Far, 1.0, 1.0, 0.5, 1.0);
        let factor = ((20.0 + factors.edge * 15.0) / (20.0 + 15.0)).sqrt();
        let at = |radius: f64| deepest(&axial(stream, radius, 720, Suction::Far, 15.0));
        assert!((at(0.5).0 as f64 / 720.0 * 360.0 - 0.6_f64.atan2(0.8).to_degrees()).abs() < 0.5);
        let drawn = 0.5 * factor;
        assert!(at(drawn).1 < at(drawn + 0.04).1 && at(drawn).1 < at(drawn - 0.04).1);
        assert!(factor < 0.9);
    }

    /// The axis goes further off than the undrawn wake reaches.
    #[test]
    fn a_braking_annulus_pushes_the_axis_off_the_shaft() {
        let stream = Stream { axis_m: Vec3::new(0.0, 0.3, 0.4), spread_m: 0.005, aft_m: 1.0 };
        let factors = SuctionFactors::new(Suction::Far, 1.0, 1.0, 0.55, 1.0);
        let factor = ((20.0 - factors.edge * 5.0) / (20.0 - 5.0)).sqrt();
        let least = |radius: f64| {
            let met = axial(stream, radius, 5760, Suction::Far, -5.0);
            met.into_iter().fold(f64::INFINITY, f64::min)
        };
        assert!(0.5 * (factor - 1.0) > stream.seen_from(&Vec3::zeros()).unwrap().reach_m, "{factor}");
        // Half of the speed is lost on the axis; the factor is that of 0.55 m, near enough to the station's own.
        assert!(least(0.5 * factor) < 10.2, "{}", least(0.5 * factor));
        assert!(least(0.5) > 19.9, "{}", least(0.5));
    }

    #[test]
    fn narrow_wakes_keep_their_mean_on_coarse_grids() {
        let stream = Stream { axis_m: Vec3::new(0.0, 0.0, 0.7), spread_m: 0.004, aft_m: 0.2 };
        let loss = |azimuths: u32, radius: f64| {
            let met = axial(stream, radius, azimuths, Suction::None, 0.0);
            met.iter().map(|u| 20.0 - u).sum::<f64>() / f64::from(azimuths)
        };
        for radius in [0.7, 0.704] {
            // A cell's path is taken as straight: it bends by a tenth of σ here.
            assert_relative_eq!(loss(90, radius), loss(5760, radius), max_relative = 5e-3);
        }
    }

    #[test]
    fn flux_of_lost_total_pressure_is_kept_from_tail_to_disk() {
        let stream = Stream { axis_m: Vec3::zeros(), spread_m: 0.1, aft_m: 0.3 };
        let (edge, v) = (20.0, 8.0);
        let factors = SuctionFactors::new(Suction::Far, 0.3, 1.0, 0.2, 1.0);
        // A disk whose every annulus has the same V̄ and v, so that one area factor holds.
        let wake = stream.seen_from(&Vec3::zeros()).unwrap().wake;
        let support = wake.support_area_m2();
        let lanes = SuctionLanes::new(|_| Some(factors), |_, s| wake.deficit(s * support));
        let factor = lanes.drawn((Lanes::splat(edge), Lanes::splat(edge), Lanes::splat(v))).1.0[0];
        let flux = |scale: f64, share: f64| {
            let cells = 20_000;
            let head = (edge + share * v).powi(2) - edge * edge;
            let wake = wake.scaled(scale);
            let sum = (0..cells).map(|i| {
                let area = support * (f64::from(i) + 0.5) / f64::from(cells);
                let deficit = wake.deficit(area);
                let loss = edge * edge * deficit * (2.0 - deficit);
                loss * (edge * edge - loss + head).sqrt()
            });
            sum.sum::<f64>()
        };
        assert!(factor < 0.95);
        assert_relative_eq!(flux(factor, 1.0), flux(1.0, factors.edge), max_relative = 1e-4);
    }
}
