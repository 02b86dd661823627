//! A point in the chord axes of the section abreast of it.
//!
//! Close behind the edge heights count from the chord line: the vorticity that makes the near field lies on the chord,
//! and the closed flat-plate field is exact in the plate's own axes at any incidence. (The wake's centre line leaves
//! the chord line by a few thousandths of a chord there; measured from it the field would be off by as much.) A
//! deflected flap turns the axes: they run from the leading edge through the trailing edge where it is.

use nalgebra::Complex;

use super::flow::{SpanPosition, SurfaceFlow};
use super::geometry::{EdgeCoordinates, Half, symmetry_y_m};
use crate::base::Vec3;

/// A point seen from the section abreast of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct SectionPoint<'a> {
    /// The half the point is abreast of.
    pub half: &'a Half,
    /// The point from the undeflected trailing edge; the station is as measured, beyond the tips too.
    pub edge: EdgeCoordinates,
    /// The strips it lies between.
    pub at: SpanPosition,
    /// Position in chord axes, chords.
    pub zeta: Complex<f64>,
    /// Leading edge to trailing edge, m.
    pub chord_m: f64,
    /// Chord direction along x and along the normal.
    pub chord_direction: (f64, f64),
    /// Unit vector across the section; joined smoothly over the root of a mirrored surface.
    pub normal: Vec3,
}

/// Over this share of the root chord the normals of two halves join.
const ROOT_JOIN: f64 = 0.5;

/// The half a point is abreast of: that on its side of the plane of symmetry.
pub(super) fn half_abreast(halves: &[Half], point_m: &Vec3) -> usize {
    usize::from(halves.len() == 2 && point_m.y < symmetry_y_m(halves))
}

/// Normal of a half `side_m` beside the plane of symmetry: over the root those of both halves join smoothly, since by
/// symmetry nothing turns there.
pub(super) fn joined_normal(halves: &[Half], half: &Half, side_m: f64) -> Vec3 {
    if halves.len() != 2 {
        return half.normal;
    }
    let t = (side_m.abs() / (ROOT_JOIN * half.root_chord_m)).min(1.0);
    let joined = Vec3::new(0.0, half.normal.y * t * (2.0 - t), half.normal.z);
    joined.try_normalize(0.0).unwrap_or(half.normal)
}

impl<'a> SectionPoint<'a> {
    /// Finds the section abreast of a point in aircraft axes.
    pub(super) fn new(flow: &'a SurfaceFlow, point_m: &Vec3) -> Self {
        let halves = &flow.line.span.halves;
        let side_m = point_m.y - symmetry_y_m(halves);
        let index = half_abreast(halves, point_m);
        let half = &halves[index];
        let edge = half.edge_coordinates(point_m);
        let at = flow.position(index, edge.s_m);
        let s_m = edge.s_m.clamp(0.0, half.length_m);
        let forward = flow.blend(&at, |s| s.edge_forward_m);
        let rise = flow.blend(&at, |s| s.edge_rise_m);
        let (sin, cos) = half.incidence_rad(s_m).sin_cos();
        let length = half.chord_m(s_m);
        let chord = (length * cos - forward, rise - length * sin);
        let chord_m = chord.0.hypot(chord.1);
        let (ex, en) = (chord.0 / chord_m, chord.1 / chord_m);
        let (dx, dn) = (edge.aft_m + forward, edge.offset_m - rise);
        let zeta = Complex::new(1.0 + (dx * ex + dn * en) / chord_m, (dn * ex - dx * en) / chord_m);
        let normal = joined_normal(halves, half, side_m);
        Self { half, edge, at, zeta, chord_m, chord_direction: (ex, en), normal }
    }

    /// A velocity in chord axes as one in aircraft axes.
    pub(super) fn in_aircraft_axes(&self, (u, w): (f64, f64)) -> Vec3 {
        let (ex, en) = self.chord_direction;
        (u * ex - w * en) * Vec3::x() + (u * en + w * ex) * self.normal
    }

    /// Distances from the two ends of the straight span, positive inside, m.
    pub(super) fn ends_m(&self, mirrored: bool) -> (f64, f64) {
        let root_m = if mirrored { self.half.length_m } else { 0.0 };
        (self.edge.s_m + root_m, self.half.length_m - self.edge.s_m)
    }
}
