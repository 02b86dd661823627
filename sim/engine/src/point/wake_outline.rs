//! Where wakes run: centre and half width from the trailing edge, or the tail, aft. For drawings and reports.
//!
//! The same models that the blades meet, without the propeller's suction and as if no body stood in a surface's wake.

use super::bodies::wake_between;
use super::error::PointError;
use super::input::{Body, OperatingPoint, Surface};
use crate::base::Vec3;
use crate::body::displacement::axis_drift;
use crate::body::shape::BodyShape;
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::inflow::surface_at_disk::SurfaceAtDisk;
use crate::inflow::surface_wake::{wake_model, wake_section};
use crate::surface::geometry::{EdgeCoordinates, Half};
use crate::wake::WakeModel;

/// How far aft of the disk a wake is followed, in tip radii.
pub const BEYOND_DISK: f64 = 0.6;

/// A cut across a wake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WakeSlice {
    /// Middle of the wake, aircraft axes, m.
    pub centre_m: Vec3,
    /// Unit vector across it.
    pub across: Vec3,
    /// Distance from the middle at which the deficit is half the deepest, m.
    pub half_width_m: f64,
    /// Deepest velocity deficit over edge speed.
    pub deficit: f64,
}

/// The wake of a surface over the stretch of span that the disk sees.
pub struct SurfaceWakeOutline {
    seen: SurfaceAtDisk,
    model: Box<dyn WakeModel>,
}

impl SurfaceWakeOutline {
    /// Follows the wake of a surface of the operating point; `None` where it sheds none.
    ///
    /// # Errors
    /// [`PointError::Circulation`] when the circulation does not settle.
    pub fn new(surface: &Surface, point: &OperatingPoint) -> Result<Option<Self>, PointError> {
        let tip_m = 0.5 * point.propeller.diameter_m;
        let mut disk = DiskAxes::new(&point.placement, point.propeller.rotation);
        disk.hub_m.x += BEYOND_DISK * tip_m;
        let seen = SurfaceAtDisk::new(surface, &point.flight, &disk, tip_m)?;
        Ok(seen.and_then(|seen| {
            let model = wake_model(&seen)?;
            Some(Self { seen, model })
        }))
    }

    /// Halves of the surface; stations are counted on these.
    #[must_use]
    pub fn halves(&self) -> &[Half] {
        &self.seen.flow.line.span.halves
    }

    /// Stretch of a half, from its root, that the disk sees, m; `None` where it sees none of it.
    #[must_use]
    pub fn stretch_m(&self, half: usize) -> Option<(f64, f64)> {
        let (from, to) = self.seen.ranges[half].span_m;
        let (from, to) = (from.max(0.0), to.min(self.halves()[half].length_m));
        (from < to).then_some((from, to))
    }

    /// The wake that leaves a half at station `s_m`, `aft_m` behind the trailing edge, m. Depth and width are those
    /// of the nearest strip of the lifting line.
    #[must_use]
    pub fn slice(&self, half: usize, s_m: f64, aft_m: f64) -> WakeSlice {
        let line = &self.seen.flow.line;
        let geometry = &line.span.halves[half];
        let strips = self.seen.centre_lines[half].by_strip().map(|(strip, _)| strip);
        let distance = |strip: &usize| (line.strips[*strip].s_m - s_m).abs();
        let strip = strips.min_by(|a, b| distance(a).total_cmp(&distance(b))).unwrap_or(0);
        let station = self.model.station(&wake_section(&self.seen, strip, aft_m), aft_m);
        let drift = line.velocity_m_s.dot(&geometry.span_direction) / line.velocity_m_s.x;
        let offset_m = self.seen.centre_lines[half].height_m(s_m, aft_m);
        WakeSlice {
            centre_m: geometry.point(&EdgeCoordinates { s_m: s_m + drift * aft_m, aft_m, offset_m }),
            across: geometry.normal,
            half_width_m: station.half_width_m(),
            deficit: station.peak,
        }
    }
}

/// `count` slices of a body's wake from its tail to [`BEYOND_DISK`] aft of the hub; empty where there is none.
///
/// # Errors
/// [`PointError::BodyField`] when no singularities fit the body.
pub fn body_wake_slices(
    body: &Body,
    point: &OperatingPoint,
    count: usize,
) -> Result<Vec<WakeSlice>, PointError> {
    let shape = BodyShape::new(body);
    let end_m = point.placement.hub_m.x + 0.5 * BEYOND_DISK * point.propeller.diameter_m;
    let (from_m, to_m) = (shape.length_m, end_m - shape.nose_m.x);
    let stream = free_stream_m_s(&point.flight);
    if to_m <= from_m || stream.x <= 0.0 {
        return Ok(Vec::new());
    }
    let Some(wake) = wake_between(body, point, (from_m, to_m))? else { return Ok(Vec::new()) };
    let steps = count.max(2) - 1;
    let slices = (0..=steps).map(|k| {
        let aft_m = (to_m - from_m) * k as f64 / steps as f64;
        let station = wake.station(from_m + aft_m);
        WakeSlice {
            centre_m: shape.tail_m() + aft_m * (Vec3::x() + axis_drift(&stream)),
            across: Vec3::z(),
            half_width_m: station.half_radius_m(),
            deficit: station.peak,
        }
    });
    Ok(slices.collect())
}
