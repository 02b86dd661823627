//! The span part of a lift field on the disk, by station and height over the wake's sheet.
//!
//! The span part is dear (it sums over the span) and smooth, except across the sheet, where the velocity along the span
//! jumps and the upwash has a kink. Each side of the sheet has its own table: equal steps along the span, 0.4
//! of the tip radius or less, and four heights, with the cubic through four values in both.

use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::frames::DiskAxes;
use crate::surface::geometry::EdgeCoordinates;
use crate::surface::lift_field::{LiftField, SheetPoint};

/// Heights on each side.
const HEIGHTS: usize = 4;
/// Step along the span over the tip radius.
const STEP: f64 = 0.4;
/// Least axial share of the shaft: with less, the disk lies along the sheet and has no single height to a station.
pub(super) const LEAST_AXIAL: f64 = 0.3;
/// Height over its step at which the sheet's own side is read, to be on one side of it.
pub(super) const SIDE: f64 = 1e-6;

/// Step to either side of a point over the tip radius, to meet both halves on the plane of symmetry.
const ASIDE: f64 = 1e-8;

/// Tables of the halves of a surface; `None` for a half that no point of the disk is abreast of.
pub(super) struct SpanTable {
    halves: Vec<Option<HalfTable>>,
}

struct HalfTable {
    from_m: f64,
    step_m: f64,
    stations: usize,
    height_step_m: f64,
    /// Below and above the sheet; velocity at `[i_s * HEIGHTS + i_h]`, m/s.
    sides: [Vec<Vec3>; 2],
}

impl SpanTable {
    /// Fills the tables; `None` where the disk is too steep for them.
    pub(super) fn new(field: &LiftField, disk: &DiskAxes, tip_m: f64) -> Option<Self> {
        if disk.aft.x < LEAST_AXIAL {
            return None;
        }
        let count = field.halves().len();
        let bounds = bounds_on_disk(field, disk, tip_m);
        let table = |half: usize| bounds[half].map(|b| HalfTable::new(field, half, disk, b, STEP * tip_m));
        Some(Self { halves: (0..count).map(table).collect() })
    }

    /// The span part at a point of the disk, m/s.
    pub(super) fn velocity_m_s(&self, field: &LiftField, point_m: &Vec3) -> Vec3 {
        let (half, s_m, height_m) = field.sheet_coordinates(point_m);
        match &self.halves[half] {
            Some(table) => table.at(s_m, height_m),
            None => field.span_velocity_m_s(point_m),
        }
    }
}

/// Least and greatest station and greatest distance from the sheet that points of the disk have, by half, m; `None` for a half
/// that no point of the disk is abreast of.
pub(super) fn bounds_on_disk(field: &LiftField, disk: &DiskAxes, tip_m: f64) -> Vec<Option<(f64, f64, f64)>> {
    let count = field.halves().len();
    let mut bounds = vec![None::<(f64, f64, f64)>; count];
    // Rounding would choose the half of a point on the plane of symmetry: both are asked. Where there is one half a step
    // along y would make tables of a fin other than those of a wing.
    let aside_m = if count == 1 { 0.0 } else { ASIDE * tip_m };
    // Rings of the disk; between them and at the rim the table's step leaves room enough.
    for ring in 0..=4 {
        for j in 0..24 {
            let azimuth = std::f64::consts::TAU * f64::from(j) / 24.0;
            let point = disk.point_m(0.25 * f64::from(ring) * tip_m, azimuth);
            for aside_m in [-aside_m, aside_m] {
                let (half, s, h) = field.sheet_coordinates(&(point + aside_m * Vec3::y()));
                let (low, high, top) = bounds[half].unwrap_or((s, s, 0.0));
                bounds[half] = Some((low.min(s), high.max(s), top.max(h.abs())));
            }
        }
    }
    if let [Some(a), Some(b)] = bounds[..] {
        // One range for both halves, so that mirrored points read mirrored tables.
        let both = (a.0.min(b.0), a.1.max(b.1), a.2.max(b.2));
        bounds = vec![Some(both); 2];
    }
    bounds
}

impl HalfTable {
    fn new(
        field: &LiftField,
        half: usize,
        disk: &DiskAxes,
        (low_m, high_m, top_m): (f64, f64, f64),
        step_m: f64,
    ) -> Self {
        // A whole number of steps is not made one more by the small steps aside.
        let stations = (((high_m - low_m) / step_m - 1e-6).ceil() as usize).max(3) + 1;
        let step_m = ((high_m - low_m) / (stations - 1) as f64).max(1e-9 * step_m);
        let height_step_m = (top_m / (HEIGHTS - 1) as f64).max(1e-9 * step_m);
        let side = |sign: f64| {
            let mut values = Vec::with_capacity(stations * HEIGHTS);
            for i in 0..stations {
                let s_m = low_m + i as f64 * step_m;
                for k in 0..HEIGHTS {
                    let height_m = sign * height_step_m * (k as f64).max(SIDE);
                    let aft_m = aft_on_disk_m(field, half, disk, s_m, height_m);
                    values.push(field.span_velocity_at_m_s(&SheetPoint { half, s_m, aft_m, height_m }));
                }
            }
            values
        };
        Self { from_m: low_m, step_m, stations, height_step_m, sides: [side(-1.0), side(1.0)] }
    }

    fn at(&self, s_m: f64, height_m: f64) -> Vec3 {
        let position = (s_m - self.from_m) / self.step_m;
        let first = (position.floor().max(1.0) as usize).min(self.stations - 3) - 1;
        let along = lagrange4(position - (first + 1) as f64);
        let up = lagrange4((height_m.abs() / self.height_step_m).min((HEIGHTS - 1) as f64) - 1.0);
        let side = &self.sides[usize::from(height_m >= 0.0)];
        let mut sum = Vec3::zeros();
        for (i, a) in along.iter().enumerate() {
            for (k, u) in up.iter().enumerate() {
                sum += a * u * side[(first + i) * HEIGHTS + k];
            }
        }
        sum
    }
}

/// Distance behind the edge at which the disk plane meets a line of equal station and height over the sheet, m.
pub(super) fn aft_on_disk_m(field: &LiftField, half: usize, disk: &DiskAxes, s_m: f64, height_m: f64) -> f64 {
    let geometry = &field.halves()[half];
    let mut aft_m = 0.0;
    // The centre line is nearly level: each round gains its slope over the shaft's, a factor of ten or more.
    for _ in 0..3 {
        let offset_m = height_m + field.centre_height_m(half, s_m, aft_m);
        let point = geometry.point(&EdgeCoordinates { s_m, aft_m: 0.0, offset_m });
        aft_m = (disk.hub_m - point).dot(&disk.aft) / disk.aft.x;
    }
    aft_m
}
