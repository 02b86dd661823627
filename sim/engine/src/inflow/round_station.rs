//! A round wake on the azimuths of one blade station, and how it follows the induced velocity.
//!
//! As for plane wakes ([`super::station`]): the axis moves towards the shaft by the root of the edge-speed ratio between tail and
//! disk, as a vector; the cross-section shrinks so that the flux of total-pressure loss is kept. The profile against
//! area r² − r_b² has the form of a plane one against distance, so the same factor that thins a plane wake here scales the area.
//!
//! Where it lies over other wakes its loss is a share of the total pressure they leave, (1 − L₁)(1 − L₂) of the edge's. For
//! small losses that is their sum. Close behind a wing-body junction the sum would pass one: the layer on the body is made in air
//! that the wing's has slowed already, or the other way round.

use super::station::{CELLS_ACROSS, OuterFlow, StationGrid};
use super::suction::SuctionFactors;
use super::{InflowSource, RoundWake, RoundWakePoint};
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::base::lanes::exp_decay;
use crate::body::wake::RoundWakeStation;
use crate::point::input::Suction;

/// Places of the station at which a wide wake is evaluated within one spread of it; cubics between them leave
/// 3/128 · 3/4⁴ = 3e-4 of its depth.
const PLACES_A_SPREAD: f64 = 4.0;

/// Fewest places on a ring.
const FEWEST_PLACES: usize = 24;

/// One source's round wake at a station.
#[derive(Debug, Clone)]
pub(super) struct RoundStationWake {
    /// Index of the source.
    pub source: usize,
    form: Form,
    /// Azimuth indices the wake may be felt at, with axial and tangential velocity there without wakes, m/s.
    edges: Vec<(usize, (f64, f64))>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: RoundWakeStation,
}

#[derive(Debug, Clone)]
enum Form {
    /// Evaluated at every so many azimuths, cubics between.
    Wide(Ring),
    /// Averaged over each cell, in the order of the azimuths.
    Narrow { cells: Vec<NarrowCell>, step_m: f64 },
}

/// A wide wake on a ring, place by place.
#[derive(Debug, Clone)]
struct Ring {
    places: Vec<Place>,
    /// Places after which the wake may be felt, up to the next.
    felt: Vec<usize>,
    /// Weights of the four places around each azimuth from a place on, up to the next.
    weights: Vec<[f64; 4]>,
}

/// What the deficit at one place needs: the squared distance from the axis is r² − 2f a·c + f² c², with a the station and c
/// the axis seen from the shaft and f the factor by which suction draws the axis in.
#[derive(Debug, Clone, Copy)]
struct Place {
    square_m2: f64,
    arm_centre_m2: f64,
    centre_square_m2: f64,
    core_square_m2: f64,
    /// 1/(2σ²).
    decay_per_m2: f64,
    /// 0 beyond reach.
    peak: f64,
}

/// One azimuth at which a narrow wake may be felt.
#[derive(Debug, Clone, Copy)]
struct NarrowCell {
    /// From the shaft to the station, m.
    arm_m: Vec3,
    /// From the shaft to the wake's axis without suction, m.
    centre_m: Vec3,
    /// Direction of the station's motion.
    motion: Vec3,
    wake: RoundWakeStation,
}

impl RoundStationWake {
    pub(super) fn new(
        grid: &StationGrid,
        outer: &OuterFlow,
        (index, source): (usize, &dyn InflowSource),
        suction: Suction,
    ) -> Option<Self> {
        let round = source.round_wake()?;
        let count = grid.directions.radial.len();
        let step_m = std::f64::consts::TAU * grid.station.radius_m / count as f64;
        // The width changes slowly over the disk: one look tells how many places it takes.
        let first = round.seen_from(&grid.point_m(0)).or_else(|| round.seen_from(&grid.disk.hub_m))?.wake;
        let narrow = first.core_m == 0.0 && 2.0 * first.half_radius_m() < CELLS_ACROSS * step_m;
        let stride = if narrow { 1 } else { stride(&first, step_m, count) };
        let view = RingView::new(grid, round, stride, step_m);
        let at = view.nearest?;
        let (form, azimuths) = if narrow {
            let felt: Vec<usize> = (0..count).filter(|j| view.seen[*j].is_some()).collect();
            (Form::Narrow { cells: view.narrow_cells(grid), step_m }, felt)
        } else {
            let ring = Ring::new(grid, &view, stride);
            let felt = ring.felt.iter().flat_map(|k| k * stride..(k + 1) * stride).collect();
            (Form::Wide(ring), felt)
        };
        let edge = |j: usize| (j, (outer.axial_m_s[j], outer.tangential_m_s[j]));
        let radius_m = grid.station.radius_m;
        let factors = SuctionFactors::new(suction, at.aft_m.max(0.0), at.made_over_m, radius_m, grid.tip_m);
        let edges = azimuths.into_iter().map(edge).collect();
        Some(Self { source: index, form, edges, factors, middle: at.wake })
    }

    /// Whether the wake is narrower than two azimuth cells.
    pub(super) fn is_narrow(&self) -> bool {
        matches!(self.form, Form::Narrow { .. })
    }

    /// Azimuth indices the wake may be felt at.
    pub(super) fn azimuths(&self) -> impl Iterator<Item = usize> + '_ {
        self.edges.iter().map(|(azimuth, _)| *azimuth)
    }

    /// Azimuth index, velocities without wakes, edge speed the deficit is made at and deficit, of each cell. The three
    /// speeds are the mean edge speed, V̄ and the induced velocity.
    pub(super) fn deficits(
        &self,
        (edge, mean, v): (f64, f64, f64),
    ) -> impl Iterator<Item = (usize, (f64, f64), f64, f64)> + '_ {
        let offset_factor = self.factors.offset_factor(edge, v);
        let support = self.middle.support_area_m2();
        let core = self.middle.core_m * self.middle.core_m;
        let area_factor =
            self.factors.thickness_factor(edge, mean, v, |share| self.middle.deficit(core + share * support));
        let deficits: Vec<f64> = match &self.form {
            Form::Wide(ring) => ring.deficits(offset_factor, area_factor),
            Form::Narrow { cells, step_m } => {
                cells.iter().map(|cell| cell.mean_deficit(offset_factor, area_factor, *step_m)).collect()
            }
        };
        let made = self.factors.made * v;
        self.edges.iter().zip(deficits).map(move |((j, edge), deficit)| (*j, *edge, edge.0 + made, deficit))
    }

    /// Takes this wake's loss of total pressure off the axial velocity and slows the tangential; returns the sum of
    /// the changes of the positive part of U₀, m/s.
    pub(super) fn slow(&self, speeds: (f64, f64, f64), flow: &mut OuterFlow) -> f64 {
        let mut change = 0.0;
        for (j, edge, made, deficit) in self.deficits(speeds) {
            if edge.0 > 0.0 && deficit > 0.0 {
                // The share of the total pressure that earlier wakes have left.
                let left = flow.axial_m_s[j].max(0.0) / edge.0;
                change += flow.take_loss(j, made * left, deficit);
            }
        }
        change
    }
}

/// Most azimuths between places that hold the wake and divide the ring evenly.
fn stride(wake: &RoundWakeStation, step_m: f64, count: usize) -> usize {
    // Beside a solid the profile falls over σ²/r_b.
    let scale = wake.spread_m.min(wake.spread_m * wake.spread_m / wake.core_m.max(f64::MIN_POSITIVE));
    let most = (scale / (PLACES_A_SPREAD * step_m)).min((count / FEWEST_PLACES) as f64) as usize;
    (1..=most).rev().find(|s| count.is_multiple_of(*s)).unwrap_or(1)
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

    fn narrow_cells(&self, grid: &StationGrid) -> Vec<NarrowCell> {
        let cell = |(j, seen): (usize, &Option<(Vec3, RoundWakeStation)>)| {
            let (centre_m, wake) = (*seen)?;
            Some(NarrowCell { arm_m: grid.arm_m(j), centre_m, motion: grid.directions.tangential[j], wake })
        };
        self.seen.iter().enumerate().filter_map(cell).collect()
    }
}

impl Ring {
    fn new(grid: &StationGrid, view: &RingView, stride: usize) -> Self {
        let place = |(k, seen): (usize, &Option<(Vec3, RoundWakeStation)>)| {
            let arm_m = grid.arm_m(k * stride);
            let beyond = (Vec3::zeros(), RoundWakeStation { peak: 0.0, spread_m: 1.0, core_m: 0.0 });
            let (centre_m, wake) = seen.unwrap_or(beyond);
            Place {
                square_m2: arm_m.norm_squared(),
                arm_centre_m2: arm_m.dot(&centre_m),
                centre_square_m2: centre_m.norm_squared(),
                core_square_m2: wake.core_m * wake.core_m,
                decay_per_m2: 0.5 / (wake.spread_m * wake.spread_m),
                peak: wake.peak,
            }
        };
        let places: Vec<Place> = view.seen.iter().enumerate().map(place).collect();
        let count = places.len();
        let around = |k: usize| (0..4).any(|i| places[(k + count - 1 + i) % count].peak > 0.0);
        let felt = (0..count).filter(|k| around(*k)).collect();
        let weights = (0..stride).map(|i| lagrange4(i as f64 / stride as f64)).collect();
        Self { places, felt, weights }
    }

    /// Deficit at each azimuth where the wake may be felt, the axis drawn in and the cross-section scaled.
    fn deficits(&self, offset_factor: f64, area_factor: f64) -> Vec<f64> {
        let count = self.places.len();
        let at = |place: &Place| {
            if place.peak == 0.0 {
                return 0.0;
            }
            let drawn = offset_factor * (offset_factor * place.centre_square_m2 - 2.0 * place.arm_centre_m2);
            let area = (place.square_m2 + drawn - place.core_square_m2).max(0.0);
            place.peak * exp_decay(-area * place.decay_per_m2 / area_factor)
        };
        // One place before the first and two after the last close the ring.
        let mut places: Vec<f64> = Vec::with_capacity(count + 3);
        places.push(0.0);
        places.extend(self.places.iter().map(at));
        places[0] = places[count];
        places.extend_from_within(1..3);
        let mut deficits = Vec::with_capacity(self.felt.len() * self.weights.len());
        for k in &self.felt {
            let near = &places[*k..k + 4];
            let sum = |w: &[f64; 4]| w[0] * near[0] + w[1] * near[1] + w[2] * near[2] + w[3] * near[3];
            // A cubic may pass below zero by its error.
            deficits.extend(self.weights.iter().map(|w| sum(w).max(0.0)));
        }
        deficits
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

/// Least distance of a point from the path of the axis between its place and the shaft, m.
fn distance_to_path(arm_m: &Vec3, centre_m: &Vec3) -> f64 {
    let square = centre_m.norm_squared();
    let share = if square > 0.0 { (arm_m.dot(centre_m) / square).clamp(0.0, 1.0) } else { 0.0 };
    (arm_m - share * centre_m).norm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::lanes::Lanes;
    use crate::blade::BladeStation;
    use crate::frames::DiskAxes;
    use crate::inflow::RoundWake;
    use crate::inflow::station::{Directions, StationInflow};
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
        let station = BladeStation {
            radius_m,
            width_m: 0.1,
            chord_m: 0.1,
            twist_rad: 0.3,
            lag_rad: 0.0,
            thickness_ratio: 0.1,
            section: 0,
        };
        let grid = StationGrid { disk: &disk, station: &station, tip_m: 1.0, directions: &directions };
        let outer = grid.free_stream(20.0 * Vec3::x());
        let mut inflow = StationInflow::new(&grid, &outer, &[Box::new(stream)], suction);
        let mut axial: Vec<Lanes> = outer.axial_m_s.iter().map(|u| Lanes::splat(*u)).collect();
        let mut tangential = vec![Lanes::ZERO; azimuth_rad.len()];
        let mut mean = 20.0;
        for _ in 0..3 {
            mean = inflow.draw((v_m_s, mean), &mut axial, &mut tangential, 0);
        }
        axial.iter().map(|u| u.0[0]).collect()
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
        let factor = SuctionFactors::new(Suction::Far, 1.0, 1.0, 0.5, 1.0).offset_factor(20.0, 15.0);
        let at = |radius: f64| deepest(&axial(stream, radius, 720, Suction::Far, 15.0));
        assert!((at(0.5).0 as f64 / 720.0 * 360.0 - 0.6_f64.atan2(0.8).to_degrees()).abs() < 0.5);
        let drawn = 0.5 * factor;
        assert!(at(drawn).1 < at(drawn + 0.04).1 && at(drawn).1 < at(drawn - 0.04).1);
        assert!(factor < 0.9);
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
        let factor = factors.thickness_factor(edge, edge, v, |s| wake.deficit(s * support));
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
