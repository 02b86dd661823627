//! A round wake on the azimuths of one blade station, and how it follows the induced velocity.
//!
//! As for plane wakes ([`super::station`]): the axis moves towards the shaft by the root of the edge-speed ratio between tail and
//! disk, as a vector; the cross-section shrinks so that the flux of total-pressure loss is kept. The profile against
//! area r² − r_b² has the form of a plane one against distance, so the same factor that thins a plane wake here scales the area.

use super::station::{CELLS_ACROSS, StationGrid, take_loss};
use super::suction::SuctionFactors;
use super::{InflowSource, RoundWakePoint};
use crate::base::Vec3;
use crate::body::wake::RoundWakeStation;
use crate::point::input::Suction;

/// One azimuth at which the wake may be felt; lengths in the two directions of the disk that matter.
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
}

/// One source's round wake at a station.
#[derive(Debug, Clone)]
pub(super) struct RoundStationWake {
    cells: Vec<RoundCell>,
    factors: SuctionFactors,
    /// The wake where it is met most closely.
    middle: RoundWakeStation,
    /// Path of the station over one azimuth cell, m.
    step_m: f64,
}

impl RoundStationWake {
    pub(super) fn new(grid: &StationGrid, source: &dyn InflowSource, suction: Suction) -> Option<Self> {
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
            cells.push(RoundCell { azimuth: j, arm_m, centre_m, motion: *motion, wake: at.wake });
        }
        let (_, at) = nearest?;
        let radius_m = grid.station.radius_m;
        let factors = SuctionFactors::new(suction, at.aft_m.max(0.0), at.made_over_m, radius_m, grid.tip_m);
        Some(Self { cells, factors, middle: at.wake, step_m })
    }

    /// κ: where the deficit is taken to be made.
    pub(super) fn made(&self) -> f64 {
        self.factors.made
    }

    /// Whether the wake is narrower than two azimuth cells.
    pub(super) fn is_narrow(&self) -> bool {
        self.averages(1.0)
    }

    fn averages(&self, area_factor: f64) -> bool {
        let width_m = 2.0 * self.middle.half_radius_m() * area_factor.sqrt();
        self.middle.core_m == 0.0 && width_m < CELLS_ACROSS * self.step_m
    }

    /// Takes this wake's loss of total pressure off the axial velocity and slows the tangential. `speeds` are the mean edge
    /// speed, V̄ and the induced velocity; `made_m_s` the edge speed at an azimuth where the deficit is made.
    pub(super) fn slow(
        &self,
        (edge, mean, v): (f64, f64, f64),
        made_m_s: impl Fn(usize) -> f64,
        axial: &mut [f64],
        tangential: &mut [f64],
    ) {
        let offset_factor = self.factors.offset_factor(edge, v);
        let support = self.middle.support_area_m2();
        let core = self.middle.core_m * self.middle.core_m;
        let area_factor =
            self.factors.thickness_factor(edge, mean, v, |share| self.middle.deficit(core + share * support));
        let averages = self.averages(area_factor);
        for cell in &self.cells {
            let off = cell.arm_m - offset_factor * cell.centre_m;
            let wake = cell.wake.scaled(area_factor);
            let deficit = if averages {
                let along = off.dot(&cell.motion);
                let square = off.norm_squared() - along * along;
                wake.mean_over(square, along - 0.5 * self.step_m, along + 0.5 * self.step_m)
            } else {
                wake.deficit(off.norm_squared())
            };
            let j = cell.azimuth;
            take_loss(made_m_s(j), deficit, &mut axial[j], &mut tangential[j]);
        }
    }
}

/// Least distance of a point from the path of the axis between its place and the shaft, m.
fn distance_to_path(arm_m: &Vec3, centre_m: &Vec3) -> f64 {
    let square = centre_m.norm_squared();
    let share = if square > 0.0 { (arm_m.dot(centre_m) / square).clamp(0.0, 1.0) } else { 0.0 };
    (arm_m - share * centre_m).norm()
}
