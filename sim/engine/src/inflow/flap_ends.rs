//! Ends of deflected flaps that pass a disk.
//!
//! Circulation steps down over about a flap chord at the end of a flap, and a vortex trails from there. Where it passes a disk within
//! a radius of its rim, the strips of the lifting line must be narrow against the disk, and the field is sampled as near a wingtip.

use std::f64::consts::PI;

use crate::frames::DiskAxes;
use crate::point::input::Surface;
use crate::surface::flow::STRIPS;
use crate::surface::geometry::{Half, halves};

/// Distance from the rim over the tip radius within which an end counts as near.
pub(super) const NEAR: f64 = 1.0;
/// Widest strip over the tip radius where an end is near.
const STRIP: f64 = 0.12;
/// Most strips of a surface: the equations of the lifting line cost their number cubed.
const MOST_STRIPS: usize = 200;

/// An end of a deflected flap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FlapEnd {
    /// The half of the surface.
    pub half: usize,
    /// Distance from the root along the half, m.
    pub s_m: f64,
}

/// The ends of a surface's deflected flaps that pass near a disk; those at the ends of the surface itself and at the root of a mirrored
/// one are none.
pub(super) fn flap_ends_near(surface: &Surface, disk: &DiskAxes, tip_m: f64) -> Vec<FlapEnd> {
    let halves = halves(surface);
    let deflected = || surface.flaps.iter().filter(|flap| flap.deflection_rad != 0.0);
    let ends = |length_m: f64| {
        let within = move |ratio: &f64| *ratio > 0.0 && *ratio < 1.0;
        deflected()
            .flat_map(|flap| [flap.span_from, flap.span_to])
            .filter(within)
            .map(move |ratio| ratio * length_m)
            .collect::<Vec<f64>>()
    };
    let is_near = |half: &Half, s_m: f64| {
        let aside = half.trailing_edge(s_m) - disk.hub_m;
        (aside - aside.dot(&disk.aft) * disk.aft).norm() <= (1.0 + NEAR) * tip_m
    };
    let mut found: Vec<FlapEnd> = Vec::new();
    for (index, half) in halves.iter().enumerate() {
        for s_m in ends(half.length_m) {
            if is_near(half, s_m) && !found.contains(&FlapEnd { half: index, s_m }) {
                found.push(FlapEnd { half: index, s_m });
            }
        }
    }
    found
}

/// Strips that a surface is cut into for a disk that these ends of its flaps pass near.
pub(super) fn strips_for(surface: &Surface, near: &[FlapEnd], tip_m: f64) -> usize {
    if near.is_empty() {
        return STRIPS;
    }
    // Equal steps of angle along the span: in its middle a strip is π/2 over their number of the whole span.
    let wanted = 0.5 * PI * surface.span_m / (STRIP * tip_m);
    (wanted.ceil() as usize).clamp(STRIPS, MOST_STRIPS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Vec3;
    use crate::point::input::{Flap, Placement, Rotation};
    use crate::surface::test_surfaces::wing;

    fn strips(span: (f64, f64), deflection_rad: f64, y_m: f64) -> usize {
        let flap = Flap {
            name: "flap".into(),
            span_from: span.0,
            span_to: span.1,
            chord_ratio: 0.25,
            deflection_rad,
        };
        let surface = Surface { flaps: vec![flap], ..wing() };
        let placement = Placement { hub_m: Vec3::new(1.5, y_m, 0.25), tilt_rad: 0.0, toe_rad: 0.0 };
        let near = flap_ends_near(&surface, &DiskAxes::new(&placement, Rotation::Clockwise), 0.15);
        strips_for(&surface, &near, 0.15)
    }

    #[test]
    fn only_a_deflected_end_near_the_disk_asks_for_narrow_strips() {
        assert_eq!(strips((0.1, 0.6), 0.0, 0.0), STRIPS);
        assert_eq!(strips((0.4, 0.6), 0.3, 0.0), STRIPS);
        assert_eq!(strips((0.0, 0.6), 0.3, 0.0), STRIPS);
        // Half span 1 m: steps of 0.018 m in the middle.
        assert_eq!(strips((0.1, 0.6), 0.3, 0.0), 175);
        assert_eq!(strips((0.4, 0.6), 0.3, 0.5), 175);
    }
}
