//! How a body moves other wakes aside.
//!
//! The part of a surface inside a body sheds nothing, and what is shed beside the body follows the body's
//! stream tubes as it closes. In the slender limit the axial speed is the stream's and the area between stream
//! surface and body is kept: a point at distance s from the axis abreast of `x` was at
//!
//! s₀ = √(s² + R_e² − r_b²), R_e the body's radius abreast of the surface's trailing edge,
//!
//! when it passed that edge, in the same direction from the axis. The wake at the point is the surface's wake as if undisturbed
//! at that distance. Inside the solid there is none. Outside everything is continuous: at the solid's surface s₀ = R_e, so the
//! piece of edge inside the body is never seen, and behind the tail a sheet through the axis thins out as s/s₀. Axial speed
//! other than the stream's and the thickness of the body's boundary layer are left out; cross flow is left out.

use super::shape::{BodyShape, Meridian};
use crate::base::Vec3;

/// The stream tubes of a body between an edge and what lies behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct StreamTubes {
    shape: BodyShape,
    /// Direction of the axis behind the tail: y and z for each metre of x.
    drift: Vec3,
    edge_radius_m: f64,
    /// Greatest radius behind the edge, m.
    greatest_behind_m: f64,
}

impl StreamTubes {
    /// Tubes that pass an edge `edge_x_m` (aircraft axes) in the stream `velocity`, any speed unit.
    #[must_use]
    pub fn new(shape: BodyShape, velocity: &Vec3, edge_x_m: f64) -> Self {
        let edge = edge_x_m - shape.nose_m.x;
        let edge_radius_m = shape.radius_m(edge);
        // The radius grows up to the cylinder's front end and shrinks from its rear end on.
        let greatest_behind_m = shape.radius_m(edge.max(shape.nose_length_m));
        Self { shape, drift: axis_drift(velocity), edge_radius_m, greatest_behind_m }
    }

    /// Where the air at a point passed the edge, but for its distance aft; `None` inside the solid.
    #[must_use]
    pub fn before(&self, point_m: &Vec3) -> Option<Vec3> {
        let (x, mut off) = self.shape.seen_from(point_m);
        off -= (x - self.shape.length_m).max(0.0) * self.drift;
        let radius = self.shape.radius_m(x);
        let square = off.norm_squared();
        if square < radius * radius {
            return None;
        }
        let change = self.edge_radius_m * self.edge_radius_m - radius * radius;
        if change == 0.0 {
            return Some(*point_m);
        }
        // On the axis itself there is no direction; any will do for one point.
        let distance = square.sqrt().max(1e-9 * self.shape.radius_m);
        let factor = (square + change).max(0.0).sqrt() / distance;
        Some(point_m + (factor - 1.0) * off)
    }

    /// Bound on the distance by which any point is moved, m: √|R_e² − r_b²| is largest where the body is thinnest or widest.
    #[must_use]
    pub fn greatest_shift_m(&self) -> f64 {
        self.edge_radius_m.max(self.greatest_behind_m)
    }
}

/// Offset in y and z for each metre aft of an axis that follows the stream; none where the air does not come from ahead.
#[must_use]
pub fn axis_drift(velocity: &Vec3) -> Vec3 {
    if velocity.x <= 0.0 {
        return Vec3::zeros();
    }
    Vec3::new(0.0, velocity.y / velocity.x, velocity.z / velocity.x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::shape::tests::pod;
    use approx::assert_relative_eq;

    /// The pod closes from 0.055 m at x = −0.3 to its tail at x = 0.
    fn tubes(edge_x_m: f64) -> StreamTubes {
        StreamTubes::new(BodyShape::new(&pod()), &Vec3::new(10.0, 0.0, 0.0), edge_x_m)
    }

    #[test]
    fn area_is_kept_and_the_solid_is_empty() {
        let tubes = tubes(-0.35);
        let before = tubes.before(&Vec3::new(0.1, 0.03, 0.04)).unwrap();
        let distance = (0.05_f64.powi(2) + 0.055_f64.powi(2)).sqrt();
        assert_relative_eq!(before, Vec3::new(0.1, 0.6 * distance, 0.8 * distance), epsilon = 1e-12);
        assert_eq!(tubes.before(&Vec3::new(-0.1, 0.0, 0.01)), None);
        // What touches the tail touched the body at the edge.
        let radius = BodyShape::new(&pod()).radius_m(0.65);
        let touching = tubes.before(&Vec3::new(-0.1, 0.0, radius * (1.0 + 1e-12))).unwrap();
        assert_relative_eq!(touching.z, 0.055, max_relative = 1e-9);
    }

    #[test]
    fn bodies_wholly_ahead_or_astern_of_the_edge_change_nothing_behind_them() {
        let point = Vec3::new(0.2, 0.01, 0.02);
        assert_eq!(tubes(0.1).before(&point), Some(point));
    }

    #[test]
    fn far_aside_the_shift_dies_out() {
        let point = Vec3::new(0.2, 0.0, 5.0);
        let shift = tubes(-0.35).before(&point).unwrap().z - 5.0;
        assert_relative_eq!(shift, 0.055_f64.powi(2) / 10.0, max_relative = 1e-3);
    }

    #[test]
    fn axis_follows_the_stream_behind_the_tail() {
        let velocity = Vec3::new(10.0, -1.0, 0.5);
        let tubes = StreamTubes::new(BodyShape::new(&pod()), &velocity, -0.35);
        // Just above the drifted axis: carried straight up to the edge radius.
        let axis = Vec3::new(0.4, -0.04, 0.02);
        let before = tubes.before(&(axis + Vec3::new(0.0, 0.0, 1e-6))).unwrap();
        assert_relative_eq!(before, axis + Vec3::new(0.0, 0.0, 0.055), epsilon = 1e-6);
    }
}
