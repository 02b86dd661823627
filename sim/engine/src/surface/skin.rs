//! Where the skin of a surface lies, its flaps as deflected.

use super::geometry::Half;
use crate::base::Vec3;
use crate::point::input::{Flap, Surface};

/// The flap of a surface at a span station of a half.
#[must_use]
pub fn flap_at<'a>(surface: &'a Surface, half: &Half, s_m: f64) -> Option<&'a Flap> {
    let ratio = s_m / half.length_m;
    surface.flaps.iter().find(|flap| (flap.span_from..=flap.span_to).contains(&ratio))
}

/// A point of the section at span station `s_m`, aircraft axes, m: `x` of the chord behind the leading edge and `rise_m` above the chord
/// line. What lies behind a flap's hinge, which is on the chord line, turns about it with the flap.
#[must_use]
pub fn section_point_m(half: &Half, s_m: f64, (x, rise_m): (f64, f64), flap: Option<&Flap>) -> Vec3 {
    let chord_m = half.chord_m(s_m);
    let aft = half.chord_direction(s_m);
    let (sin_i, cos_i) = half.incidence_rad(s_m).sin_cos();
    let up = sin_i * Vec3::x() + cos_i * half.normal;
    let front = half.leading_edge(s_m);
    match flap {
        Some(flap) if x > 1.0 - flap.chord_ratio => {
            let hinge = front + (1.0 - flap.chord_ratio) * chord_m * aft;
            let behind_m = (x - 1.0 + flap.chord_ratio) * chord_m;
            let (sin, cos) = flap.deflection_rad.sin_cos();
            hinge + behind_m * (cos * aft - sin * up) + rise_m * (sin * aft + cos * up)
        }
        _ => front + x * chord_m * aft + rise_m * up,
    }
}

/// How far, over the chord, a deflected section reaches from the middle of its chord line at the most, its thickness left out.
#[must_use]
pub fn reach_ratio(surface: &Surface) -> f64 {
    // From the middle to the hinge and from there to the edge; no more than half a chord where the hinge lies behind the middle.
    let beyond = surface.flaps.iter().map(|flap| 2.0 * flap.chord_ratio - 1.0).fold(0.0, f64::max);
    0.5 + beyond
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::flap::strip_sections;
    use crate::surface::geometry::halves;
    use crate::surface::lifting_line::Span;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;

    fn flapped(deflection_deg: f64, chord_ratio: f64) -> Surface {
        let flap = Flap {
            name: "flap".into(),
            span_from: 0.0,
            span_to: 1.0,
            chord_ratio,
            deflection_rad: deflection_deg.to_radians(),
        };
        Surface { flaps: vec![flap], incidence_rad: 0.07, ..wing() }
    }

    /// The edge lies where the wake leaves it.
    #[test]
    fn the_deflected_edge_is_that_of_the_wake() {
        let surface = flapped(25.0, 0.3);
        let span = Span::new(&surface, 8);
        let (control, section) = (&span.controls[2], &strip_sections(&surface, &span)[2]);
        let half = span.half(control);
        let flap = flap_at(&surface, half, control.s_m);
        let moved = section_point_m(half, control.s_m, (1.0, 0.0), flap) - half.trailing_edge(control.s_m);
        assert_relative_eq!(moved.dot(&half.normal), section.edge_rise_m, max_relative = 1e-9);
        assert_relative_eq!(moved.x, -section.edge_forward_m, max_relative = 1e-9);
    }

    #[test]
    fn no_point_lies_beyond_the_reach() {
        for (deflection_deg, chord_ratio) in [(0.0, 0.3), (60.0, 0.3), (60.0, 0.9), (-45.0, 0.6)] {
            let surface = flapped(deflection_deg, chord_ratio);
            let half = &halves(&surface)[0];
            let middle = half.leading_edge(0.4).lerp(&half.trailing_edge(0.4), 0.5);
            for i in 0..=50 {
                let point =
                    section_point_m(half, 0.4, (f64::from(i) / 50.0, 0.0), flap_at(&surface, half, 0.4));
                let reach_m = reach_ratio(&surface) * half.chord_m(0.4);
                assert!((point - middle).norm() <= reach_m * (1.0 + 1e-12));
            }
        }
    }
}
