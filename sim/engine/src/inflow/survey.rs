//! Given velocities over the disk as an inflow source.
//!
//! A survey holds the whole velocity, free stream and everything ahead of the propeller, as a ratio to airspeed in
//! aircraft axes (u_x aft, u_y to starboard, u_z up), without the propeller. The source is what it adds to the free
//! stream, V u − V_free. Between its nodes it is a cubic spline in both directions, periodic in azimuth. Azimuth is that of the
//! rotation: 0 where the blade points up, growing as it turns, so one file in polar form means mirrored places for
//! the two senses of rotation.

use super::InflowSource;
use crate::base::Vec3;
use crate::base::spline::Bicubic;
use crate::frames::DiskAxes;
use crate::point::input::{Placement, Propeller, Survey, SurveyData};
use std::f64::consts::TAU;

/// Azimuths in one wave of the highest order when Fourier coefficients are laid out on a grid. The periodic spline
/// between them is right to (2π/32)⁴/384, 4e-6, of that order's amplitude.
const NODES_A_WAVE: usize = 32;

/// Rings and places on each at which a survey is looked over.
const RINGS: u32 = 16;
const PLACES: u32 = 72;

/// A survey on the disk.
pub struct SurveySource {
    disk: DiskAxes,
    tip_m: f64,
    airspeed_m_s: f64,
    free_stream_m_s: Vec3,
    /// Over y and z, or over radius ratio and azimuth.
    table: Bicubic<3>,
    polar: bool,
}

impl SurveySource {
    /// The survey on a disk of radius `tip_m`.
    #[must_use]
    pub fn new(
        survey: &Survey,
        airspeed_m_s: f64,
        free_stream_m_s: Vec3,
        disk: &DiskAxes,
        tip_m: f64,
    ) -> Self {
        let plain = |velocity: &[Vec3]| velocity.iter().map(|v| [v.x, v.y, v.z]).collect::<Vec<_>>();
        let (table, polar) = match &survey.data {
            SurveyData::Cartesian { y_m, z_m, velocity } => {
                (Bicubic::new(y_m.clone(), z_m.clone(), None, &plain(velocity)), false)
            }
            SurveyData::Polar { radius_ratio, azimuth_rad, velocity } => {
                let table =
                    Bicubic::new(radius_ratio.clone(), azimuth_rad.clone(), Some(TAU), &plain(velocity));
                (table, true)
            }
            SurveyData::Fourier { radius_ratio, cosine, sine } => {
                (fourier_table(radius_ratio, cosine, sine), true)
            }
        };
        Self { disk: disk.clone(), tip_m, airspeed_m_s, free_stream_m_s, table, polar }
    }

    /// Velocity over airspeed at a point of the disk.
    #[must_use]
    pub fn ratio(&self, point_m: &Vec3) -> Vec3 {
        if !self.polar {
            return Vec3::from(self.table.at(point_m.y, point_m.z));
        }
        let arm = point_m - self.disk.hub_m;
        let (up, side) = (arm.dot(&self.disk.up), self.disk.sigma * arm.dot(&self.disk.starboard));
        Vec3::from(self.table.at(up.hypot(side) / self.tip_m, side.atan2(up)))
    }
}

/// Axial velocity over airspeed on a disk: mean over its area from the root on, least, greatest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxialRatio {
    /// Mean over the area.
    pub mean: f64,
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
}

impl AxialRatio {
    /// Of a survey on the disk of a propeller.
    #[must_use]
    pub fn new(survey: &Survey, propeller: &Propeller, placement: &Placement) -> Self {
        let disk = DiskAxes::new(placement, propeller.rotation);
        let tip_m = 0.5 * propeller.diameter_m;
        let source = SurveySource::new(survey, 1.0, Vec3::zeros(), &disk, tip_m);
        let root = propeller.blade.rows.first().map_or(0.0, |row| row.radius_ratio);
        let mut all = Self { mean: 0.0, least: f64::INFINITY, greatest: f64::NEG_INFINITY };
        for ring in 0..RINGS {
            // Rings of equal area, each by its middle.
            let share = (f64::from(ring) + 0.5) / f64::from(RINGS);
            let radius_m = tip_m * (root * root + share * (1.0 - root * root)).sqrt();
            for place in 0..PLACES {
                let point_m = disk.point_m(radius_m, TAU * f64::from(place) / f64::from(PLACES));
                let axial = source.ratio(&point_m).dot(&disk.aft);
                all.mean += axial / f64::from(RINGS * PLACES);
                all.least = all.least.min(axial);
                all.greatest = all.greatest.max(axial);
            }
        }
        all
    }
}

/// Lays coefficients out on a polar grid.
fn fourier_table(radius_ratio: &[f64], cosine: &[Vec3], sine: &[Vec3]) -> Bicubic<3> {
    let radii = radius_ratio.len();
    let orders = cosine.len() / radii;
    let count = NODES_A_WAVE * orders.saturating_sub(1).max(2);
    let azimuth: Vec<f64> = (0..count).map(|j| TAU * j as f64 / count as f64).collect();
    let mut values = Vec::with_capacity(radii * count);
    for radius in 0..radii {
        for j in 0..count {
            let sum: Vec3 = (0..orders)
                .map(|n| {
                    // The angle by whole turns, so that high orders lose nothing.
                    let (sin, cos) = (TAU * ((n * j) % count) as f64 / count as f64).sin_cos();
                    cosine[n * radii + radius] * cos + sine[n * radii + radius] * sin
                })
                .sum();
            values.push([sum.x, sum.y, sum.z]);
        }
    }
    Bicubic::new(radius_ratio.to_vec(), azimuth, Some(TAU), &values)
}

impl InflowSource for SurveySource {
    fn name(&self) -> &'static str {
        "survey"
    }

    fn velocity_m_s(&self, point_m: &Vec3) -> Option<Vec3> {
        Some(self.airspeed_m_s * self.ratio(point_m) - self.free_stream_m_s)
    }
}
