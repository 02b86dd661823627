//! A round wake on the azimuths of one blade station, and how it follows the induced velocity.
//!
//! As for plane wakes ([`super::station`]): the axis moves towards the shaft by the root of the edge-speed ratio between tail and
//! disk, as a vector; the cross-section shrinks so that the flux of total-pressure loss is kept. The profile against
//! area r² − r_b² has the form of a plane one against distance, so the same factor that thins a plane wake here scales the area.
//!
//! Where it lies over other wakes its loss is a share of the total pressure they leave, (1 − L₁)(1 − L₂) of the edge's. For
//! small losses that is their sum. Close behind a wing-body junction the sum would pass one: the layer on the body is made in air
//! that the wing's has slowed already, or the other way round.

use super::station::{CELLS_ACROSS, OuterFlow, StationGrid, take_loss};
use super::suction::SuctionFactors;
use super::{InflowSource, RoundWakePoint};
use crate::base::Vec3;
use crate::base::lanes::Lanes;
use crate::body::wake::RoundWakeStation;
use crate::point::input::Suction;

/// One azimuth at which the wake may be felt.
#[derive(Debug, Clone, Copy)]
struct RoundCell {
    azimuth: usize,
    /// From the shaft to the station, m.
    arm_m: Vec3,
    /// From the shaft to the wake's axis without suction, m.
    centre_m: Vec3,
    /// Direction of the station's motion.
    motion: Vec3,
    wake: RoundWakeStation,
    /// Axial and tangential velocity there without wakes, m/s.
    edge: (f64, f64),
}

/// One source's round wake at a station.
#[derive(Debug, Clone)]
pub(super) struct RoundStationWake {
    /// Index of the source.
    pub source: usize,
    cells: Vec<RoundCell>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: RoundWakeStation,
    /// Path of the station over one azimuth cell, m.
    step_m: f64,
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
        let mut cells = Vec::new();
        let mut nearest: Option<(f64, RoundWakePoint)> = None;
        for (j, motion) in grid.directions.tangential.iter().enumerate() {
            let arm_m = grid.arm_m(j);
            let Some(at) = round.seen_from(&(grid.disk.hub_m + arm_m)) else { continue };
            let centre_m = arm_m - at.from_axis_m;
            if distance_to_path(&arm_m, &centre_m) > at.reach_m + step_m {
                continue;
            }
            let distance = at.from_axis_m.norm();
            if nearest.as_ref().is_none_or(|(n, _)| distance < *n) {
                nearest = Some((distance, at));
            }
            let edge = (outer.axial_m_s[j], outer.tangential_m_s[j]);
            cells.push(RoundCell { azimuth: j, arm_m, centre_m, motion: *motion, wake: at.wake, edge });
        }
        let (_, at) = nearest?;
        let radius_m = grid.station.radius_m;
        let factors = SuctionFactors::new(suction, at.aft_m.max(0.0), at.made_over_m, radius_m, grid.tip_m);
        Some(Self { source: index, cells, factors, middle: at.wake, step_m })
    }

    /// Whether the wake is narrower than two azimuth cells.
    pub(super) fn is_narrow(&self) -> bool {
        self.averages(1.0)
    }

    fn averages(&self, area_factor: f64) -> bool {
        let width_m = 2.0 * self.middle.half_radius_m() * area_factor.sqrt();
        self.middle.core_m == 0.0 && width_m < CELLS_ACROSS * self.step_m
    }

    /// Azimuth indices the wake may be felt at, with the velocities there without wakes.
    pub(super) fn edges(&self) -> impl Iterator<Item = (usize, (f64, f64))> + '_ {
        self.cells.iter().map(|cell| (cell.azimuth, cell.edge))
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
        let averages = self.averages(area_factor);
        self.cells.iter().map(move |cell| {
            let off = cell.arm_m - offset_factor * cell.centre_m;
            let wake = cell.wake.scaled(area_factor);
            let deficit = if averages {
                let along = off.dot(&cell.motion);
                let square = off.norm_squared() - along * along;
                wake.mean_over(square, along - 0.5 * self.step_m, along + 0.5 * self.step_m)
            } else {
                wake.deficit(off.norm_squared())
            };
            (cell.azimuth, cell.edge, cell.edge.0 + self.factors.made * v, deficit)
        })
    }

    /// Takes this wake's loss of total pressure off the axial velocity and slows the tangential; returns the sum of
    /// the changes of the positive part of U₀, m/s.
    pub(super) fn slow(
        &self,
        speeds: (f64, f64, f64),
        axial: &mut [Lanes],
        tangential: &mut [Lanes],
        lane: usize,
    ) -> f64 {
        let mut change = 0.0;
        for (j, edge, made, deficit) in self.deficits(speeds) {
            if edge.0 > 0.0 && deficit > 0.0 {
                // The share of the total pressure that earlier wakes have left.
                let left = axial[j].0[lane].max(0.0) / edge.0;
                let at = (&mut axial[j].0[lane], &mut tangential[j].0[lane]);
                change += take_loss(made * left, deficit, at.0, at.1);
            }
        }
        change
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
        let inflow = StationInflow::new(&grid, &outer, &[Box::new(stream)], suction);
        let mut axial: Vec<Lanes> = outer.axial_m_s.iter().map(|u| Lanes::splat(*u)).collect();
        let mut tangential = vec![Lanes::ZERO; azimuth_rad.len()];
        inflow.draw(v_m_s, &mut axial, &mut tangential, 0);
        axial.iter().map(|u| u.0[0]).collect()
    }

    #[test]
    fn without_suction_the_deficit_is_the_wakes() {
        let stream = Stream { axis_m: Vec3::new(0.0, 0.3, 0.4), spread_m: 0.1, aft_m: 0.2 };
        let met = axial(stream, 0.6, 720, Suction::None, 0.0);
        for (j, u) in met.iter().enumerate() {
            let point = disk().point_m(0.6, f64::from(j as u32) * std::f64::consts::TAU / 720.0);
            let square = (point - stream.axis_m).norm_squared();
            assert_relative_eq!(*u, 20.0 * (1.0 - 0.5 * (-square / 0.02).exp()), max_relative = 1e-10);
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
