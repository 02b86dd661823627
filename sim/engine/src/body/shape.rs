//! The stated shape of a body: nose, cylinder, closing tail.
//!
//! From the nose aft, with R the greatest radius, `l_n` the nose length and `l_c` the closing length:
//!
//! - nose, half an ellipsoid of revolution: r = R √(1 − (1 − x/l_n)²), `l_n` = min(2R, what the tail leaves);
//! - cylinder: r = R;
//! - closing tail, a parabola that ends in a point: r = R (1 − t²), t = (x − L + l_c)/l_c.
//!
//! The radius and its slope are continuous from behind the nose's tip to the tail's.

use crate::base::Vec3;
use crate::base::quadrature::gauss8;
use crate::point::input::Body;

/// A meridian curve: radius along the axis, x from the nose aft.
pub trait Meridian {
    /// Length, m.
    fn length_m(&self) -> f64;

    /// Radius at `x_m` behind the nose, m; 0 ahead of the nose and behind the tail.
    fn radius_m(&self, x_m: f64) -> f64;

    /// Where singularities on the axis begin and end, m behind the nose: half the radius of curvature inside
    /// a round end (the focus of the spheroid that fits it), at the tip of a pointed one.
    fn source_ends_m(&self) -> (f64, f64);
}

/// The shape of a [`Body`].
#[derive(Debug, Clone, PartialEq)]
pub struct BodyShape {
    /// Nose, aircraft axes, m.
    pub nose_m: Vec3,
    /// Length, m.
    pub length_m: f64,
    /// Greatest radius, m.
    pub radius_m: f64,
    /// Length of the nose, m.
    pub nose_length_m: f64,
    /// Length of the closing tail, m.
    pub closing_length_m: f64,
}

impl BodyShape {
    /// The shape that length, diameter and closing length state. (That they fit is checked by the case module.)
    #[must_use]
    pub fn new(body: &Body) -> Self {
        Self {
            nose_m: body.nose_m,
            length_m: body.length_m,
            radius_m: 0.5 * body.diameter_m,
            nose_length_m: body.diameter_m.min(body.length_m - body.closing_length_m),
            closing_length_m: body.closing_length_m,
        }
    }

    /// Tip of the tail, aircraft axes, m.
    #[must_use]
    pub fn tail_m(&self) -> Vec3 {
        self.nose_m + self.length_m * Vec3::x()
    }

    /// Distance behind the nose along the axis, and the offset from the axis, m.
    #[must_use]
    pub fn seen_from(&self, point_m: &Vec3) -> (f64, Vec3) {
        let d = point_m - self.nose_m;
        (d.x, Vec3::new(0.0, d.y, d.z))
    }

    /// Whether a point lies inside the solid.
    #[must_use]
    pub fn contains(&self, point_m: &Vec3) -> bool {
        let (x, off) = self.seen_from(point_m);
        off.norm() < self.radius_m(x)
    }

    /// Frontal area, m².
    #[must_use]
    pub fn frontal_area_m2(&self) -> f64 {
        std::f64::consts::PI * self.radius_m * self.radius_m
    }

    /// Ends of nose, cylinder and tail, m behind the nose.
    #[must_use]
    pub fn joints_m(&self) -> [f64; 4] {
        [0.0, self.nose_length_m, self.length_m - self.closing_length_m, self.length_m]
    }

    /// ∫ f(x) dx from the nose to `to_m`, piece by piece; f may rise from the nose as √x.
    pub(super) fn integral(&self, to_m: f64, f: impl Fn(f64) -> f64) -> f64 {
        let joints = self.joints_m();
        let pieces = joints.windows(2).map(|pair| {
            let (from, end) = (pair[0], pair[1].min(to_m));
            if end <= from {
                return 0.0;
            }
            // x = from + (end − from) s²: takes the root out of the nose.
            gauss8(0.0, 1.0, |s| f(from + (end - from) * s * s) * 2.0 * s * (end - from))
        });
        pieces.sum()
    }
}

impl Meridian for BodyShape {
    fn length_m(&self) -> f64 {
        self.length_m
    }

    fn radius_m(&self, x_m: f64) -> f64 {
        let into_tail = x_m - (self.length_m - self.closing_length_m);
        if x_m <= 0.0 || x_m >= self.length_m {
            0.0
        } else if into_tail > 0.0 {
            let t = into_tail / self.closing_length_m;
            self.radius_m * (1.0 - t * t)
        } else if x_m < self.nose_length_m {
            let s = 1.0 - x_m / self.nose_length_m;
            self.radius_m * (1.0 - s * s).sqrt()
        } else {
            self.radius_m
        }
    }

    fn source_ends_m(&self) -> (f64, f64) {
        // Radius of curvature at the tip of the ellipsoid: R²/l_n.
        (0.5 * self.radius_m * self.radius_m / self.nose_length_m, self.length_m)
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A pod of 6.8 diameters with its tail at the origin.
    pub(crate) fn pod() -> Body {
        Body {
            name: "pod".into(),
            nose_m: Vec3::new(-0.75, 0.0, 0.0),
            length_m: 0.75,
            diameter_m: 0.11,
            closing_length_m: 0.3,
            drag_coefficient: 0.11,
            wake: true,
            potential: true,
        }
    }

    #[test]
    fn radius_and_slope_join() {
        let shape = BodyShape::new(&pod());
        for joint in &shape.joints_m()[1..3] {
            let slope = |x: f64| (shape.radius_m(x + 1e-7) - shape.radius_m(x - 1e-7)) / 2e-7;
            assert_relative_eq!(shape.radius_m(*joint), 0.055, max_relative = 1e-12);
            assert!(slope(*joint).abs() < 1e-5);
        }
        assert!(shape.radius_m(0.75 - 1e-9) < 1e-8);
        assert_eq!(shape.radius_m(0.8), 0.0);
        assert!(shape.contains(&Vec3::new(-0.3, 0.0, 0.05)) && !shape.contains(&Vec3::new(-0.3, 0.0, 0.06)));
    }

    #[test]
    fn volume_by_pieces() {
        let shape = BodyShape::new(&pod());
        let area = shape.frontal_area_m2();
        let volume = shape.integral(0.75, |x| std::f64::consts::PI * shape.radius_m(x).powi(2));
        // Half an ellipsoid 2/3, a cylinder 1, a parabola of revolution ∫(1 − t²)² = 8/15.
        let exact = area * (2.0 / 3.0 * 0.11 + 0.34 + 8.0 / 15.0 * 0.3);
        assert_relative_eq!(volume, exact, max_relative = 1e-10);
    }
}
