//! The potential field of a body as an inflow source.
//!
//! The field of [`AxisField`] is a function of the place along the axis and the distance from the surface, one part for the
//! flow along the axis and one, with one wave around it, for the flow across. Both are tabulated where the disk is, on a
//! spline: within 0.05 % of the airspeed of the field itself (a test holds it below).

use super::InflowSource;
use super::station::StationGrid;
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::base::spline::Bicubic;
use crate::base::turn::even_stride;
use crate::body::axis_field::AxisField;
use crate::body::shape::{BodyShape, Meridian};
use crate::frames::DiskAxes;
use crate::point::input::Body;

/// Rows over the distance from the surface, closer together near it.
const ROWS: usize = 28;

/// Columns along the axis over a tilted disk, and what one may span of the tip radius.
const LEAST_COLUMNS: usize = 9;
const COLUMN_RADII: f64 = 0.02;

/// Azimuths of a station at which the table is read, or as many more as divide the grid evenly.
const RING_AZIMUTHS: usize = 48;

/// Disks that reach less far along the axis than this share of their radius are one column.
const UPRIGHT: f64 = 1e-9;

/// A body's potential field on the disk.
pub struct BodyPotentialSource {
    name: String,
    shape: BodyShape,
    /// Speed along the axis, m/s.
    along_m_s: f64,
    /// Velocity across the axis, m/s.
    across_m_s: Vec3,
    /// Axial and radial part of the axial flow; axial, radial and part around of the cross flow; per unit speed.
    table: Bicubic<5>,
}

impl BodyPotentialSource {
    /// The field of `body` in the stream `free_stream_m_s` on a disk of radius `tip_m`.
    #[must_use]
    pub fn new(body: &Body, field: &AxisField, free_stream_m_s: &Vec3, disk: &DiskAxes, tip_m: f64) -> Self {
        let shape = BodyShape::new(body);
        let (from, to) = axial_range(&shape, disk, tip_m);
        let columns = if to - from <= UPRIGHT * tip_m {
            1
        } else {
            LEAST_COLUMNS.max(((to - from) / (COLUMN_RADII * tip_m)).ceil() as usize)
        };
        let last = (columns - 1).max(1) as f64;
        let x: Vec<f64> = (0..columns).map(|i| from + (to - from) * i as f64 / last).collect();
        let (_, hub) = shape.seen_from(&disk.hub_m);
        let most = hub.norm() + tip_m;
        let above: Vec<f64> = (0..ROWS).map(|i| most * (i as f64 / (ROWS - 1) as f64).powf(1.5)).collect();
        let mut values = Vec::with_capacity(columns * ROWS);
        for x in &x {
            for above in &above {
                let r = shape.radius_m(*x) + above;
                let [u, v] = field.axial(*x, r);
                let cross = field.cross(*x, r);
                values.push([u, v, cross.axial, cross.radial, cross.around]);
            }
        }
        Self {
            name: format!("{}_potential", body.name),
            shape,
            along_m_s: free_stream_m_s.x,
            across_m_s: Vec3::new(0.0, free_stream_m_s.y, free_stream_m_s.z),
            table: Bicubic::new(x, above, None, &values),
        }
    }
}

/// Distances behind the nose between which the disk lies, m.
fn axial_range(shape: &BodyShape, disk: &DiskAxes, tip_m: f64) -> (f64, f64) {
    let (hub, _) = shape.seen_from(&disk.hub_m);
    let half = tip_m * (1.0 - disk.aft.x * disk.aft.x).max(0.0).sqrt();
    (hub - half, hub + half)
}

/// Velocity from the five parts at a point whose offset from the axis is `off`.
fn velocity(parts: [f64; 5], off: &Vec3, along: f64, across: &Vec3) -> Vec3 {
    let [u, v, cross_axial, cross_radial, around] = parts;
    let distance = off.norm();
    let away = if distance > 0.0 { off / distance } else { Vec3::z() };
    // |W| cos ω is the part of the cross flow along `away`; what is left of it points around the axis.
    let outward = across.dot(&away);
    let sideways = across - outward * away;
    // Around the axis with growing ω the cross flow itself has the part −W sin ω.
    Vec3::x() * (along * u + outward * cross_axial) + away * (along * v + outward * cross_radial)
        - sideways * around
}

impl InflowSource for BodyPotentialSource {
    fn name(&self) -> &str {
        &self.name
    }

    fn add_on_ring(&self, ring: &StationGrid, axial_m_s: &mut [f64], tangential_m_s: &mut [f64]) -> bool {
        let count = axial_m_s.len();
        let stride = even_stride(count, count / RING_AZIMUTHS);
        let coarse: Vec<Vec3> = (0..count / stride).map(|k| self.at(&ring.point_m(k * stride))).collect();
        let mut sum_m_s = vec![Vec3::zeros(); count];
        fill_between(&coarse, stride, &mut sum_m_s);
        let met = axial_m_s.iter_mut().zip(tangential_m_s).zip(&ring.directions.tangential);
        for (((axial, tangential), motion), velocity) in met.zip(&sum_m_s) {
            *axial += velocity.dot(&ring.disk.aft);
            *tangential -= velocity.dot(motion);
        }
        true
    }

    fn velocity_m_s(&self, point_m: &Vec3) -> Option<Vec3> {
        Some(self.at(point_m))
    }
}

impl BodyPotentialSource {
    fn at(&self, point_m: &Vec3) -> Vec3 {
        let (x, off) = self.shape.seen_from(point_m);
        let parts = self.table.at(x, off.norm() - self.shape.radius_m(x));
        velocity(parts, &off, self.along_m_s, &self.across_m_s)
    }
}

/// Adds cubics through four neighbours on a circle at every `stride`-th place (Lagrange): error (h n)⁴ 3/128 of a wave
/// of order n, h the spacing.
fn fill_between(coarse: &[Vec3], stride: usize, sum: &mut [Vec3]) {
    let count = coarse.len();
    let weights: Vec<[f64; 4]> = (0..stride).map(|i| lagrange4(i as f64 / stride as f64)).collect();
    for (k, places) in sum.chunks_exact_mut(stride).enumerate() {
        let near = [count - 1, 0, 1, 2].map(|shift| coarse[(k + shift) % count]);
        for (w, place) in weights.iter().zip(places) {
            *place += w[0] * near[0] + w[1] * near[1] + w[2] * near[2] + w[3] * near[3];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::blade::BladeStation;
    use crate::body::shape::tests::pod;
    use crate::inflow::station::Directions;
    use crate::point::input::{Placement, Rotation};

    /// Largest difference between table and field over the disk outside the body, over airspeed.
    fn table_error(hub_m: Vec3, tilt_rad: f64) -> f64 {
        let placement = Placement { hub_m, tilt_rad, toe_rad: 0.0 };
        let disk = DiskAxes::new(&placement, Rotation::Clockwise);
        let shape = BodyShape::new(&pod());
        let field = AxisField::new(&shape).unwrap();
        let stream = Vec3::new(19.0, -3.0, 4.0);
        let source = BodyPotentialSource::new(&pod(), &field, &stream, &disk, 0.12);
        let across = Vec3::new(0.0, stream.y, stream.z);
        let mut worst = 0.0_f64;
        for i in 0..60 {
            for j in 0..90 {
                let radius = 0.12 * f64::from(i + 1) / 60.0;
                let point = disk.point_m(radius, f64::from(j) * 0.07);
                let (x, off) = shape.seen_from(&point);
                if off.norm() < shape.radius_m(x) {
                    continue;
                }
                let [u, v] = field.axial(x, off.norm());
                let cross = field.cross(x, off.norm());
                let parts = [u, v, cross.axial, cross.radial, cross.around];
                let exact = velocity(parts, &off, stream.x, &across);
                worst = worst.max((source.velocity_m_s(&point).unwrap() - exact).norm() / stream.norm());
            }
        }
        worst
    }

    /// What a ring adds by cubics between 48 azimuths against the field at each azimuth.
    #[test]
    fn rings_hold_the_field_to_a_tenth_of_a_per_cent() {
        let stream = Vec3::new(19.0, -3.0, 4.0);
        for (hub_m, tilt_rad) in [
            (Vec3::new(0.015, 0.0, 0.0), 0.0),
            (Vec3::new(0.03, 0.0, 0.03), 0.0),
            (Vec3::new(0.03, 0.01, -0.02), 0.1),
        ] {
            let disk = DiskAxes::new(&Placement { hub_m, tilt_rad, toe_rad: 0.0 }, Rotation::Clockwise);
            let shape = BodyShape::new(&pod());
            let field = AxisField::new(&shape).unwrap();
            let source = BodyPotentialSource::new(&pod(), &field, &stream, &disk, 0.12);
            let azimuth_rad: Vec<f64> = (0..720).map(|j| f64::from(j).to_radians() * 0.5).collect();
            let directions = Directions::new(&disk, &azimuth_rad, 0.0);
            for radius_m in [0.02, 0.05, 0.12] {
                let station = BladeStation::plain(radius_m);
                let ring =
                    StationGrid { disk: &disk, station: &station, tip_m: 0.12, directions: &directions };
                let (mut axial, mut tangential) = (vec![0.0; 720], vec![0.0; 720]);
                assert!(source.add_on_ring(&ring, &mut axial, &mut tangential));
                for j in 0..720 {
                    let (x, off) = shape.seen_from(&ring.point_m(j));
                    let [u, v] = field.axial(x, off.norm());
                    let cross = field.cross(x, off.norm());
                    let parts = [u, v, cross.axial, cross.radial, cross.around];
                    let exact = velocity(parts, &off, stream.x, &Vec3::new(0.0, stream.y, stream.z));
                    let misses = (
                        axial[j] - exact.dot(&disk.aft),
                        tangential[j] + exact.dot(&directions.tangential[j]),
                    );
                    let error = misses.0.hypot(misses.1) / stream.norm();
                    assert!(error < 1e-3, "{hub_m:?} {tilt_rad} {radius_m} {j}: {error:.1e}");
                }
            }
        }
    }

    #[test]
    fn table_holds_the_field_to_a_twentieth_of_a_per_cent() {
        for (hub, tilt) in [
            (Vec3::new(0.01, 0.0, 0.0), 0.0),
            (Vec3::new(0.03, 0.0, 0.02), 0.0),
            (Vec3::new(0.03, 0.0, 0.0), 0.1),
            (Vec3::new(-0.05, 0.0, 0.0), 0.0),
            (Vec3::new(0.2, 0.1, 0.05), -0.2),
        ] {
            let error = table_error(hub, tilt);
            assert!(error < 5e-4, "{hub:?} tilt {tilt}: {error:.1e}");
        }
    }
}
