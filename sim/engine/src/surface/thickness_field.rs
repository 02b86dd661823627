//! Velocity that a surface's thickness makes at any point: line sources along the span.
//!
//! Behind the edge it is the plane field of the closed four-digit section ([`super::section_field`]) in the axes of the
//! section abreast. The finite span enters by the exact integral of a line source of constant strength between the
//! tips: in the plane of the section each source acts by
//!
//! ```text
//! F(ρ) = ½ [l₁/√(l₁² + ρ²) + l₂/√(l₂² + ρ²)]
//! ```
//!
//! of an endless one, ρ its distance in that plane and l₁, l₂ the distances from the tips along the span; along the
//! span it adds q/4π (1/r₂ − 1/r₁). The plane field is taken times F at the nearest source, and four sources along
//! the chord carry the differences of F between them. Chord and sweep are those of the section abreast (strips);
//! dihedral is straightened for l₁ and l₂. Linear in thickness and in the speed along the chord.

use std::f64::consts::PI;
use std::sync::Arc;

use super::flow::SurfaceFlow;
use super::section_axes::SectionPoint;
use super::section_field::{slope_by_root, thickness_velocity};
use crate::base::Vec3;
use crate::base::quadrature::GAUSS4;

/// The velocity field of a surface's thickness.
#[derive(Debug, Clone)]
pub struct ThicknessField {
    flow: Arc<SurfaceFlow>,
    /// Position along the chord, chords, and strength over speed and chord, of the sources.
    sources: [(f64, f64); 4],
}

impl ThicknessField {
    /// The field of a surface of constant thickness ratio.
    #[must_use]
    pub fn new(flow: Arc<SurfaceFlow>) -> Self {
        // In the root of the chord position the slope is a polynomial of degree 7, which the rule sums to its exact 0.
        let strength = 10.0 * flow.surface.thickness_ratio;
        let sources = GAUSS4.map(|(q, weight)| (q * q, strength * slope_by_root(q) * weight));
        Self { flow, sources }
    }

    /// Velocity at a point, aircraft axes, m/s.
    #[must_use]
    pub fn velocity_m_s(&self, point_m: &Vec3) -> Vec3 {
        let point = SectionPoint::new(&self.flow, point_m);
        let stream = &self.flow.line.velocity_m_s;
        let (ex, en) = point.chord_direction;
        let speed = stream.x * ex + stream.dot(&point.half.normal) * en;
        let ends = point.ends_m(self.flow.surface.mirror);
        let chord = point.chord_m;
        let nearest = (point.zeta.re - point.zeta.re.clamp(0.0, 1.0)).hypot(point.zeta.im);
        let near_factor = span_factor(ends, nearest * chord);
        let (u, w) = thickness_velocity(self.flow.surface.thickness_ratio, point.zeta);
        let mut sum = (near_factor * u, near_factor * w);
        let mut along = 0.0;
        for (x, strength) in &self.sources {
            let (dx, dz) = (point.zeta.re - x, point.zeta.im);
            let square = (dx * dx + dz * dz).max(f64::MIN_POSITIVE);
            let [near, far] = [ends.0, ends.1].map(|end| {
                let end = end / chord;
                (end, 1.0 / (end * end + square).sqrt())
            });
            let factor = 0.5 * (near.0 * near.1 + far.0 * far.1) - near_factor;
            let scale = strength * factor / (2.0 * PI * square);
            sum = (sum.0 + scale * dx, sum.1 + scale * dz);
            along += strength / (4.0 * PI) * (far.1 - near.1);
        }
        speed * (point.in_aircraft_axes(sum) + along * point.half.span_direction)
    }
}

/// Share of an endless line source that one between the tips makes in the plane of a section.
fn span_factor((l1, l2): (f64, f64), distance_m: f64) -> f64 {
    let part = |l: f64| {
        let reach = l.hypot(distance_m);
        if reach > 0.0 { l / reach } else { 0.0 }
    };
    0.5 * (part(l1) + part(l2))
}
