//! Whether the volume the blades sweep meets a body.
//!
//! As for surfaces ([`super::disk_cut`]) the blades sweep rings of some depth about the disk plane, here from root to
//! tip only: a tail or a spinner may reach through the disk inside the blade root. Solid and rings are sampled, the
//! solid by circles on slices and the rings by circles on their faces, so that neither slips through the other's points; what
//! meets less than a hundredth of the tip radius may be missed.

use std::f64::consts::TAU;
use std::sync::Arc;

use super::disk_cut::{Ring, blade_rings, local};
use crate::base::Vec3;
use crate::base::turn::turn;
use crate::body::shape::{BodyShape, Meridian};
use crate::frames::DiskAxes;
use crate::point::input::{Body, Placement, Propeller};

const SLICES: u32 = 100;
const SHELLS: u32 = 8;
const ANGLES: usize = 72;

/// How far, m, the body reaches into the swept volume from the tip circle; `None` where they do not meet.
pub(super) fn deepest_body_cut_m(body: &Body, propeller: &Propeller, placement: &Placement) -> Option<f64> {
    let disk = DiskAxes::new(placement, propeller.rotation);
    let tip_m = 0.5 * propeller.diameter_m;
    let shape = BodyShape::new(body);
    let rings = blade_rings(propeller);
    let deepest = rings.iter().map(|ring| ring.half_depth_m).fold(0.0, f64::max);
    let of_solid = solid_points(&shape, &disk, tip_m, deepest)
        .map(|point| local(&disk, &point))
        .filter(|p| rings.iter().any(|ring| holds(ring, p)))
        .map(|p| p.y.hypot(p.z));
    let radials: Vec<Vec3> = (0..ANGLES).map(|j| disk.radial(TAU * j as f64 / ANGLES as f64)).collect();
    let of_rings = rings
        .iter()
        .flat_map(|ring| ring_points(ring, &disk, &radials))
        .filter(|(_, point)| shape.contains(point))
        .map(|(radius, _)| radius);
    of_solid.chain(of_rings).reduce(f64::min).map(|nearest| tip_m - nearest)
}

fn holds(ring: &Ring, p: &Vec3) -> bool {
    let radius = p.y.hypot(p.z);
    p.x.abs() <= ring.half_depth_m && radius >= ring.inner_m && radius <= ring.outer_m
}

/// Points of the solid abreast of the disk.
fn solid_points(shape: &BodyShape, disk: &DiskAxes, tip_m: f64, depth_m: f64) -> impl Iterator<Item = Vec3> {
    let reach = tip_m * (1.0 - disk.aft.x * disk.aft.x).max(0.0).sqrt() + depth_m;
    let hub = disk.hub_m.x - shape.nose_m.x;
    let (from, to) = ((hub - reach).max(0.0), (hub + reach).min(shape.length_m));
    let slices = if to > from { SLICES } else { 0 };
    let circle = turn(ANGLES);
    (0..slices).flat_map(move |i| {
        let circle = Arc::clone(&circle);
        let x = from + (to - from) * (f64::from(i) + 0.5) / f64::from(SLICES);
        let radius = shape.radius_m(x);
        let centre = shape.nose_m + x * Vec3::x();
        (0..=SHELLS).flat_map(move |k| {
            let shell_m = radius * f64::from(k) / f64::from(SHELLS);
            let circle = Arc::clone(&circle);
            (0..circle.len()).map(move |j| centre + shell_m * Vec3::new(0.0, circle[j].0, circle[j].1))
        })
    })
}

/// Points of a ring with their distance from the shaft.
fn ring_points(ring: &Ring, disk: &DiskAxes, radials: &[Vec3]) -> Vec<(f64, Vec3)> {
    let mut points = Vec::new();
    for k in 0..=SHELLS {
        let radius = ring.inner_m + (ring.outer_m - ring.inner_m) * f64::from(k) / f64::from(SHELLS);
        for radial in radials {
            let centre = disk.hub_m + radial * radius;
            points
                .extend([-1.0, 0.0, 1.0].map(|face| (radius, centre + face * ring.half_depth_m * disk.aft)));
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::shape::tests::pod;
    use crate::case::disk_cut::tests::propeller;

    /// The propeller has its root at 0.04 m, its tip at 0.2 m, blades 0.02 m deep; the pod's tail is at the origin.
    fn cut(hub_m: Vec3, tilt_rad: f64) -> Option<f64> {
        deepest_body_cut_m(&pod(), &propeller(), &Placement { hub_m, tilt_rad, toe_rad: 0.0 })
    }

    #[test]
    fn behind_the_tail_and_around_it_inside_the_root_is_clear() {
        assert_eq!(cut(Vec3::new(0.03, 0.0, 0.0), 0.0), None);
        // The tail is 0.034 m wide in radius 0.12 m ahead of its tip: inside the root at 0.04 m.
        assert_eq!(cut(Vec3::new(-0.1, 0.0, 0.0), 0.0), None);
    }

    #[test]
    fn a_tail_wider_than_the_root_is_cut() {
        // Radius 0.055 (1 − t²) = 0.0407 at t = 0.51: x = −0.147; the blades reach 0.01 m further ahead.
        let depth = cut(Vec3::new(-0.14, 0.0, 0.0), 0.0).unwrap();
        assert!((0.155..=0.16).contains(&depth), "{depth}");
    }

    #[test]
    fn a_body_beside_the_shaft_is_cut_and_beyond_the_tip_it_is_clear() {
        assert!(cut(Vec3::new(-0.4, 0.0, 0.25), 0.0).is_some());
        assert_eq!(cut(Vec3::new(-0.4, 0.0, 0.26), 0.0), None);
        // Wholly inside the solid no ring's edge meets its surface.
        let mut wide = pod();
        wide.diameter_m = 1.0;
        wide.length_m = 3.0;
        wide.closing_length_m = 1.0;
        let placement = Placement { hub_m: Vec3::new(0.5, 0.0, 0.0), tilt_rad: 0.0, toe_rad: 0.0 };
        assert!(deepest_body_cut_m(&wide, &propeller(), &placement).is_some());
    }

    #[test]
    fn tilt_leans_the_disk_into_a_body_above() {
        let hub = Vec3::new(0.03, 0.0, -0.15);
        assert_eq!(cut(hub, 0.0), None);
        assert!(cut(hub, -0.4).is_some());
    }
}
