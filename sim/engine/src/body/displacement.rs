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
//!
//! Across the stream each body is a source that grows from R_e² to r_b²; several act together, none before the other. With o_i the
//! offset from axis i, back along the stream, and c_i = R_e² − r_b² the point obeys dp/dτ = Σ c_i o_i/(2 o_i²) from τ = 0 to 1.
//! One step of the implicit midpoint rule is exact for one body and for bodies on one axis: every body shifts the point
//! by √(q² + c) − q along q, its offset with half the shifts of all others added.

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
        let push = self.push(point_m)?;
        Some(point_m + push.shift_m(&push.off_m))
    }

    /// How the body acts at a point; `None` inside the solid.
    fn push(&self, point_m: &Vec3) -> Option<Push> {
        let (x, mut off_m) = self.shape.seen_from(point_m);
        off_m -= (x - self.shape.length_m).max(0.0) * self.drift;
        let radius = self.shape.radius_m(x);
        let outside = off_m.norm_squared() >= radius * radius;
        outside.then_some(Push {
            off_m,
            change_m2: self.edge_radius_m * self.edge_radius_m - radius * radius,
            // On the axis itself there is no direction; any will do for one point.
            least_m: 1e-9 * self.shape.radius_m,
        })
    }

    /// Bound on the distance by which any point is moved, m: √|R_e² − r_b²| is largest where the body is thinnest or widest.
    #[must_use]
    pub fn greatest_shift_m(&self) -> f64 {
        self.edge_radius_m.max(self.greatest_behind_m)
    }
}

/// What a body does at one point.
struct Push {
    /// Offset from the axis.
    off_m: Vec3,
    /// R_e² − r_b².
    change_m2: f64,
    /// Distance from the axis below which there is no direction, m.
    least_m: f64,
}

impl Push {
    /// Shift of a point that lies `off_m` from the axis.
    fn shift_m(&self, off_m: &Vec3) -> Vec3 {
        if self.change_m2 == 0.0 {
            return Vec3::zeros();
        }
        let square = off_m.norm_squared();
        let factor = (square + self.change_m2).max(0.0).sqrt() / square.sqrt().max(self.least_m);
        (factor - 1.0) * off_m
    }
}

/// Rounds in which bodies learn of each other's shifts: each divides what is missing by three on a common axis (5e-3 of the
/// shift are left), by far more between bodies apart.
const ROUNDS: usize = 5;

/// Where the air at a point passed the edge with several bodies about, in whatever order they come; `None` inside any of them.
#[must_use]
pub fn before_all(tubes: &[StreamTubes], point_m: &Vec3) -> Option<Vec3> {
    if let [only] = tubes {
        return only.before(point_m);
    }
    let pushes: Vec<Push> = tubes.iter().map(|tube| tube.push(point_m)).collect::<Option<_>>()?;
    let mut shifts: Vec<Vec3> = pushes.iter().map(|push| push.shift_m(&push.off_m)).collect();
    let mut all: Vec3 = shifts.iter().sum();
    // The rounds are counted, not ended by a tolerance: mirror images take the same path.
    for _ in 1..ROUNDS {
        for (push, shift) in pushes.iter().zip(&mut shifts) {
            *shift = push.shift_m(&(push.off_m + 0.5 * (all - *shift)));
        }
        all = shifts.iter().sum();
    }
    Some(point_m + all)
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
    use crate::point::input::Body;
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

    /// Two bodies on one axis are one that closes by the areas of both; the order of bodies is none of the air's business.
    #[test]
    fn bodies_act_together_in_no_order() {
        let one = tubes(-0.35);
        let point = Vec3::new(0.1, 0.03, 0.04);
        let both = before_all(&[one.clone(), one.clone()], &point).unwrap();
        let distance = (0.05_f64.powi(2) + 2.0 * 0.055_f64.powi(2)).sqrt();
        // What the rounds leave.
        assert_relative_eq!(both, Vec3::new(0.1, 0.6 * distance, 0.8 * distance), epsilon = 5e-3 * distance);
        let aside = |y_m: f64| {
            let body = Body { nose_m: pod().nose_m + Vec3::new(0.0, y_m, 0.0), ..pod() };
            StreamTubes::new(BodyShape::new(&body), &Vec3::new(10.0, 0.0, 0.0), -0.35)
        };
        let three = [aside(0.0), aside(0.13), aside(-0.3)];
        let [a, b, c] = three.clone();
        let (here, there) = (before_all(&three, &point).unwrap(), before_all(&[c, b, a], &point).unwrap());
        assert_relative_eq!(here, there, epsilon = 1e-16);
        assert_eq!(before_all(&three, &Vec3::new(-0.1, 0.13, 0.01)), None);
        // The source flow itself, in ten thousand small steps.
        let mut marched = point;
        let pushes: Vec<Push> = three.iter().filter_map(|tube| tube.push(&point)).collect();
        for _ in 0..10_000 {
            let slope = |push: &Push| {
                let off = push.off_m + (marched - point);
                0.5 * push.change_m2 / off.norm_squared() * off
            };
            marched += 1e-4 * pushes.iter().map(slope).sum::<Vec3>();
        }
        // One step of the midpoint rule, the bodies two and four radii apart.
        assert!((here - marched).norm() < 0.03 * (marched - point).norm(), "{here} {marched}");
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
