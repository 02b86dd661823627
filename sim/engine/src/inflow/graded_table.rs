//! Velocity of bound vortex and trailing sheet on a disk that the ends of the sheet pass close by.
//!
//! The field of a sheet's end is steep near it and on both sides of the sheet: like the distance from the end to a power. Steps
//! along the span and away from the sheet grow with the distance from the ends, a fifth of it, from a fifth of the core radius
//! on. Each side of the sheet has its own table, so that its jump is kept; between the steps cubics in a coordinate in which they are
//! equal, ξ(x) = x/2R + Σ arsinh((x − e)/a), e the ends and a their core radii.

use super::span_table::{LEAST_AXIAL, SIDE, aft_on_disk_m, bounds_on_disk};
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::frames::DiskAxes;
use crate::surface::lift_field::{LiftField, SheetPoint};

/// Step of ξ: over the distance from an end, with a cubic's 0.56 (h/d)⁴ for a field as 1/d, 1e-3 of the field.
const STEP: f64 = 0.2;
/// Greatest step over the tip radius, far from all ends.
const GREATEST_STEP: f64 = 0.4;
/// Least core radius over the tip radius; half a degree at half the radius.
const LEAST_CORE: f64 = 5e-3;
/// Halvings that find a place by its ξ to round-off.
const HALVINGS: usize = 60;

/// A free end of the sheet on the disk.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct EndOnDisk {
    /// Where its vortex meets the disk, m.
    pub point_m: Vec3,
    /// Radius of the vortex's core, m.
    pub core_m: f64,
}

/// Tables of the halves of a surface; `None` for a half that no point of the disk is abreast of.
pub(super) struct GradedTable {
    halves: Vec<Option<HalfTable>>,
}

struct HalfTable {
    along: Grading,
    up: Grading,
    /// Below and above the sheet; velocity at `[i_s * up.count + i_h]`, m/s.
    sides: [Vec<Vec3>; 2],
}

/// Places at equal steps of ξ.
struct Grading {
    even_per_m: f64,
    /// Ends and their core radii, m.
    ends: Vec<(f64, f64)>,
    from: f64,
    step: f64,
    count: usize,
}

impl Grading {
    fn new((low_m, high_m): (f64, f64), ends: Vec<(f64, f64)>, tip_m: f64) -> Self {
        let mut grading =
            Self { even_per_m: STEP / (GREATEST_STEP * tip_m), ends, from: 0.0, step: 1.0, count: 0 };
        grading.from = grading.xi(low_m);
        let length = grading.xi(high_m) - grading.from;
        let steps = ((length / STEP).ceil() as usize).max(3);
        grading.step = length / steps as f64;
        grading.count = steps + 1;
        grading
    }

    fn xi(&self, x_m: f64) -> f64 {
        let graded: f64 = self.ends.iter().map(|(end_m, core_m)| ((x_m - end_m) / core_m).asinh()).sum();
        self.even_per_m * x_m + graded
    }

    /// The places between two bounds, m.
    fn places_m(&self, (low_m, high_m): (f64, f64)) -> Vec<f64> {
        let place = |i: usize| {
            let xi = self.from + i as f64 * self.step;
            let (mut low_m, mut high_m) = (low_m, high_m);
            for _ in 0..HALVINGS {
                let middle_m = 0.5 * (low_m + high_m);
                if self.xi(middle_m) < xi { low_m = middle_m } else { high_m = middle_m }
            }
            0.5 * (low_m + high_m)
        };
        (0..self.count).map(place).collect()
    }

    /// First of four places around one, and their weights; the first and the last interval serve beyond.
    fn around(&self, x_m: f64) -> (usize, [f64; 4]) {
        let position = ((self.xi(x_m) - self.from) / self.step).clamp(0.0, (self.count - 1) as f64);
        let first = (position.max(1.0) as usize).min(self.count - 3) - 1;
        (first, lagrange4(position - (first + 1) as f64))
    }
}

impl GradedTable {
    /// Fills the tables; `None` where the disk is too steep for them.
    pub(super) fn new(field: &LiftField, disk: &DiskAxes, tip_m: f64, ends: &[EndOnDisk]) -> Option<Self> {
        if disk.aft.x < LEAST_AXIAL {
            return None;
        }
        let bounds = bounds_on_disk(field, disk, tip_m);
        let table = |(half, bounds): (usize, &Option<(f64, f64, f64)>)| {
            let own = |end: &&EndOnDisk| field.sheet_coordinates(&end.point_m).0 == half;
            let core_m = |end: &EndOnDisk| end.core_m.max(LEAST_CORE * tip_m);
            let graded: Vec<(f64, f64)> = ends
                .iter()
                .filter(own)
                .map(|end| (field.sheet_coordinates(&end.point_m).1, core_m(end)))
                .collect();
            bounds.map(|bounds| HalfTable::new(field, (half, disk), bounds, (graded, tip_m)))
        };
        Some(Self { halves: bounds.iter().enumerate().map(table).collect() })
    }

    /// Velocity of bound vortex and sheet at a point of the disk, m/s; `None` where no point of the disk is abreast of the half.
    pub(super) fn velocity_m_s(&self, at: &SheetPoint) -> Option<Vec3> {
        self.halves[at.half].as_ref().map(|table| table.at(at.s_m, at.height_m))
    }
}

impl HalfTable {
    fn new(
        field: &LiftField,
        (half, disk): (usize, &DiskAxes),
        (low_m, high_m, top_m): (f64, f64, f64),
        (ends, tip_m): (Vec<(f64, f64)>, f64),
    ) -> Self {
        // Rings were looked at by every fifteen degrees: the rim between them reaches 1 % further.
        let margin_m = 0.02 * tip_m;
        let (span_m, height_m) = ((low_m - margin_m, high_m + margin_m), (0.0, top_m + margin_m));
        let least_core_m = ends.iter().map(|(_, core_m)| *core_m).fold(tip_m, f64::min);
        let along = Grading::new(span_m, ends, tip_m);
        let up = Grading::new(height_m, vec![(0.0, least_core_m)], tip_m);
        let (stations_m, heights_m) = (along.places_m(span_m), up.places_m(height_m));
        let side = |sign: f64| {
            let mut values = Vec::with_capacity(stations_m.len() * heights_m.len());
            for s_m in &stations_m {
                for height_m in &heights_m {
                    let height_m = sign * height_m.max(SIDE * least_core_m);
                    let aft_m = aft_on_disk_m(field, half, disk, *s_m, height_m);
                    let at = SheetPoint { half, s_m: *s_m, aft_m, height_m };
                    values.push(field.sheet_velocity_at_m_s(&at));
                }
            }
            values
        };
        let sides = [side(-1.0), side(1.0)];
        Self { along, up, sides }
    }

    fn at(&self, s_m: f64, height_m: f64) -> Vec3 {
        let (first_s, along) = self.along.around(s_m);
        let (first_h, up) = self.up.around(height_m.abs());
        let side = &self.sides[usize::from(height_m >= 0.0)];
        let mut sum = Vec3::zeros();
        for (i, a) in along.iter().enumerate() {
            let row = &side[(first_s + i) * self.up.count + first_h..][..4];
            let mut inner = Vec3::zeros();
            for (value, u) in row.iter().zip(up) {
                inner += u * value;
            }
            sum += *a * inner;
        }
        sum
    }
}
