//! Velocity that a lifting line makes anywhere: Biot and Savart over straight vortices.
//!
//! Trailing vortices leave the quarter-chord line at the strip edges and run straight along the free stream; the
//! bound vortex follows the quarter-chord line. A core of a twentieth of a strip (trailing) or a hundredth of a chord
//! (bound) keeps points on a vortex finite; it is numerical, not physical. Sums over single vortices are only as
//! smooth as the strips are narrow: nearer to the sheet than a strip's width, evaluate at control stations.

use std::f64::consts::PI;

use super::{Control, LiftingLine};
use crate::base::Vec3;

/// Core radius of a trailing vortex as a share of the mean width of the neighbouring strips.
const TRAILING_CORE: f64 = 0.05;
/// Core radius of the bound vortex as a share of the chord.
const BOUND_CORE: f64 = 0.01;

/// A straight vortex that begins at a point and runs to infinity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Leg {
    pub(super) from_m: Vec3,
    pub(super) strength_m2_s: f64,
    core_squared_m2: f64,
}

/// A straight vortex between two points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Segment {
    pub(super) from_m: Vec3,
    pub(super) to_m: Vec3,
    pub(super) strength_m2_s: f64,
    core_m: f64,
}

/// Legs from the strip edges with the trailing strengths.
pub(super) fn legs(edges_m: &[Vec3], trailing_m2_s: &[f64]) -> Vec<Leg> {
    let last = edges_m.len() - 1;
    (0..=last)
        .map(|j| {
            let (before, after) = (edges_m[j.saturating_sub(1)], edges_m[(j + 1).min(last)]);
            let core_m = TRAILING_CORE * 0.5 * (after - before).norm();
            Leg { from_m: edges_m[j], strength_m2_s: trailing_m2_s[j], core_squared_m2: core_m * core_m }
        })
        .collect()
}

/// Bound segments whose strengths the legs close: each leg carries away what the next segment lacks.
pub(super) fn bound(edges_m: &[Vec3], controls: &[Control], trailing_m2_s: &[f64]) -> Vec<Segment> {
    let mut strength_m2_s = 0.0;
    edges_m
        .windows(2)
        .zip(controls)
        .zip(trailing_m2_s)
        .map(|((ends, control), trailing)| {
            strength_m2_s -= trailing;
            let core_m = BOUND_CORE * control.chord_m;
            Segment { from_m: ends[0], to_m: ends[1], strength_m2_s, core_m }
        })
        .collect()
}

impl Leg {
    fn velocity(&self, point_m: &Vec3, direction: &Vec3) -> Vec3 {
        let from = point_m - self.from_m;
        let distance = from.norm();
        if distance == 0.0 {
            return Vec3::zeros();
        }
        let across = direction.cross(&from);
        let reach = 1.0 + from.dot(direction) / distance;
        across * (self.strength_m2_s * reach / (4.0 * PI * (across.norm_squared() + self.core_squared_m2)))
    }
}

impl Segment {
    fn velocity(&self, point_m: &Vec3) -> Vec3 {
        let (along, a, b) = (self.to_m - self.from_m, point_m - self.from_m, point_m - self.to_m);
        let (distance_a, distance_b) = (a.norm(), b.norm());
        if distance_a == 0.0 || distance_b == 0.0 {
            return Vec3::zeros();
        }
        let across = a.cross(&b);
        let core = self.core_m * along.norm();
        let reach = along.dot(&(a / distance_a - b / distance_b));
        across * (self.strength_m2_s * reach / (4.0 * PI * (across.norm_squared() + core * core)))
    }
}

impl LiftingLine {
    /// Velocity made by the trailing vortices alone at a point in aircraft axes, m/s.
    #[must_use]
    pub fn trailing_velocity(&self, point_m: &Vec3) -> Vec3 {
        self.legs.iter().map(|leg| leg.velocity(point_m, &self.stream_direction)).sum()
    }

    /// Velocity made by the bound vortex alone at a point in aircraft axes, m/s.
    #[must_use]
    pub fn bound_velocity(&self, point_m: &Vec3) -> Vec3 {
        self.bound.iter().map(|segment| segment.velocity(point_m)).sum()
    }

    /// Velocity made by the whole lifting line at a point in aircraft axes, m/s.
    #[must_use]
    pub fn induced_velocity(&self, point_m: &Vec3) -> Vec3 {
        self.trailing_velocity(point_m) + self.bound_velocity(point_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn long_segment_is_a_plane_vortex() {
        let segment =
            Segment { from_m: -1e4 * Vec3::y(), to_m: 1e4 * Vec3::y(), strength_m2_s: 3.0, core_m: 0.0 };
        let velocity = segment.velocity(&Vec3::new(10.0, 0.0, 0.0));
        // A vortex along +y lifts in a stream along +x: air behind it goes down.
        let exact = Vec3::new(0.0, 0.0, -3.0 / (2.0 * PI * 10.0));
        assert_relative_eq!(velocity, exact, max_relative = 1e-6);
    }

    #[test]
    fn leg_abreast_of_its_start_is_half_a_plane_vortex() {
        let leg = Leg { from_m: Vec3::zeros(), strength_m2_s: 2.0, core_squared_m2: 0.0 };
        let velocity = leg.velocity(&Vec3::new(0.0, -0.5, 0.0), &Vec3::x());
        // At the starboard tip the vortex turns about +x: inboard air goes down.
        assert_relative_eq!(velocity, Vec3::new(0.0, 0.0, -2.0 / (4.0 * PI * 0.5)), epsilon = 1e-15);
    }

    #[test]
    fn bound_strengths_close_the_legs() {
        let span = super::super::Span::new(&crate::surface::test_surfaces::wing(), 4);
        let segments = bound(&span.edges_m, &span.controls, &[-1.0, -2.0, 0.5, 1.5, 1.0]);
        let strengths: Vec<f64> = segments.iter().map(|segment| segment.strength_m2_s).collect();
        assert_eq!(strengths, [1.0, 3.0, 2.5, 1.0]);
    }
}
