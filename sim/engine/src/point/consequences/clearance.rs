//! Distances between a surface's trailing edge and the disk.

use super::scalar;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::{Placement, Rotation, Surface};
use crate::point::result::Scalar;
use crate::surface::geometry::{halves, trailing_edge_at_y};

/// Points on a trailing edge in the search for its nearest approach to the disk. The distance has a flat least
/// value: with span L and clearance d the error is below (L / 1000)² / 8 d, a few micrometres.
const EDGE_POINTS: u32 = 1000;

/// Axial gap and shaft offset abreast of the hub, and the clearance.
pub(super) fn surface_distances(surface: &Surface, placement: &Placement, radius_m: f64) -> Vec<Scalar> {
    let name = &surface.name;
    let hub = &placement.hub_m;
    let mut all = Vec::new();
    if let Some(abreast) = abreast_of_hub(surface, hub) {
        let AbreastOfHub { gap_m, offset_m, chord_m, offset_words } = abreast;
        if gap_m <= 0.0 {
            let words = format!("trailing edge of `{name}` behind the hub: no wake of it meets the disk");
            return vec![scalar(format!("{name}_behind_hub_m"), "m", words, -gap_m)];
        }
        all.push(scalar(
            format!("{name}_axial_gap_chords"),
            "1",
            format!("axial gap behind `{name}`, in its chords"),
            gap_m / chord_m,
        ));
        all.push(scalar(
            format!("{name}_axial_gap_diameters"),
            "1",
            format!("axial gap behind `{name}`, in propeller diameters"),
            0.5 * gap_m / radius_m,
        ));
        all.push(scalar(
            format!("{name}_offset_radii"),
            "1",
            format!("shaft offset {offset_words} `{name}`, in propeller radii"),
            offset_m / radius_m,
        ));
    }
    all.push(scalar(
        format!("{name}_clearance_m"),
        "m",
        format!("clearance between disk and trailing edge of `{name}`"),
        clearance_m(surface, placement, radius_m),
    ));
    all
}

/// The hub seen from the trailing edge at its span station.
struct AbreastOfHub {
    gap_m: f64,
    offset_m: f64,
    chord_m: f64,
    offset_words: &'static str,
}

fn abreast_of_hub(surface: &Surface, hub_m: &Vec3) -> Option<AbreastOfHub> {
    for half in halves(surface) {
        let at = half.edge_coordinates(hub_m);
        if !half.spans(at.s_m) {
            continue;
        }
        let chord_m = half.chord_m(at.s_m);
        return Some(match trailing_edge_at_y(surface, hub_m.y) {
            Some(edge) => AbreastOfHub {
                gap_m: hub_m.x - edge.x,
                offset_m: hub_m.z - edge.z,
                chord_m,
                offset_words: "above",
            },
            None => {
                AbreastOfHub { gap_m: at.aft_m, offset_m: at.offset_m, chord_m, offset_words: "square to" }
            }
        });
    }
    None
}

/// Least distance between the trailing edge and the disk, m.
fn clearance_m(surface: &Surface, placement: &Placement, radius_m: f64) -> f64 {
    // The disk's plane is the same for either sense of rotation.
    let axis = DiskAxes::new(placement, Rotation::Clockwise).aft;
    let distance = |point: Vec3| {
        let from_hub = point - placement.hub_m;
        let axial = from_hub.dot(&axis);
        let radial = (from_hub - axial * axis).norm();
        axial.hypot((radial - radius_m).max(0.0))
    };
    let mut least = f64::INFINITY;
    for half in halves(surface) {
        for k in 0..=EDGE_POINTS {
            let s_m = half.length_m * f64::from(k) / f64::from(EDGE_POINTS);
            least = least.min(distance(half.trailing_edge(s_m)));
        }
    }
    least
}
