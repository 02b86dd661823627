//! Whether the volumes that two propellers sweep meet.
//!
//! Each is a stack of rings about its disk plane, as in [`super::disk_cut`], the hub inside the root counted. Points on the faces
//! and the middle of the rings of either are sought in the other, so a touch that is shallower than the points are apart, a
//! hundredth of the tip radius, may be missed where disks are inclined; for parallel disks abreast the tip circles decide exactly.

use super::disk_cut::{Ring, local, rings};
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::{Placement, Propeller};
use std::f64::consts::TAU;

const SHELLS: u32 = 8;
const ANGLES: u32 = 360;
/// Cosine of the angle between shafts above which disks count as parallel.
const PARALLEL: f64 = 1.0 - 1e-12;

/// How wide, m, the strip of the disk is that both sweep; `None` where they do not meet.
pub(super) fn overlap_m(a: (&Propeller, &Placement), b: (&Propeller, &Placement)) -> Option<f64> {
    let disks = [a, b].map(|(propeller, placement)| DiskAxes::new(placement, propeller.rotation));
    let stacks = [a, b].map(|(propeller, _)| rings(propeller));
    let tips = [a, b].map(|(propeller, _)| 0.5 * propeller.diameter_m);
    let apart = disks[1].hub_m - disks[0].hub_m;
    let aside = (apart - disks[0].aft * apart.dot(&disks[0].aft)).norm();
    let strip = (tips[0] + tips[1] - aside).clamp(0.0, 2.0 * tips[0].min(tips[1]));
    let meets = if disks[0].aft.dot(&disks[1].aft) > PARALLEL {
        parallel_meet(&stacks, apart.dot(&disks[0].aft).abs(), aside)
    } else {
        has_point_in(&stacks[0], &disks[0], &stacks[1], &disks[1])
            || has_point_in(&stacks[1], &disks[1], &stacks[0], &disks[0])
    };
    meets.then_some(strip)
}

/// Rings of parallel disks meet where their depths reach over the gap and their circles over the distance aside.
fn parallel_meet(stacks: &[Vec<Ring>; 2], gap_m: f64, aside_m: f64) -> bool {
    stacks[0].iter().any(|one| {
        stacks[1].iter().any(|other| {
            let inside = aside_m + one.outer_m < other.inner_m || aside_m + other.outer_m < one.inner_m;
            gap_m < one.half_depth_m + other.half_depth_m && aside_m < one.outer_m + other.outer_m && !inside
        })
    })
}

fn has_point_in(of: &[Ring], of_disk: &DiskAxes, stack: &[Ring], disk: &DiskAxes) -> bool {
    of.iter().flat_map(|ring| points(ring, of_disk)).map(|point| local(disk, &point)).any(|p| {
        let radius = p.y.hypot(p.z);
        stack
            .iter()
            .any(|ring| p.x.abs() <= ring.half_depth_m && radius >= ring.inner_m && radius <= ring.outer_m)
    })
}

fn points(ring: &Ring, disk: &DiskAxes) -> impl Iterator<Item = Vec3> {
    (0..=SHELLS).flat_map(move |k| {
        let radius = ring.inner_m + (ring.outer_m - ring.inner_m) * f64::from(k) / f64::from(SHELLS);
        (0..ANGLES).flat_map(move |j| {
            let centre = disk.point_m(radius, TAU * f64::from(j) / f64::from(ANGLES));
            [-1.0, 0.0, 1.0].map(|face| centre + face * ring.half_depth_m * disk.aft)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::disk_cut::tests::propeller;

    /// Two propellers of radius 0.2 m with blades 0.02 m deep, the second at `hub_m` with its shaft toed out.
    fn overlap(hub_m: Vec3, toe_rad: f64) -> Option<f64> {
        let first = Placement { hub_m: Vec3::zeros(), tilt_rad: 0.0, toe_rad: 0.0 };
        let second = Placement { hub_m, tilt_rad: 0.0, toe_rad };
        overlap_m((&propeller(), &first), (&propeller(), &second))
    }

    #[test]
    fn abreast_the_tip_circles_decide_and_in_line_the_depth_of_the_blades() {
        assert_eq!(overlap(Vec3::new(0.0, 0.4001, 0.0), 0.0), None);
        let strip = overlap(Vec3::new(0.0, 0.24, 0.3), 0.0).unwrap();
        assert!((strip - (0.4 - 0.24_f64.hypot(0.3))).abs() < 1e-12, "{strip}");
        assert_eq!(overlap(Vec3::new(0.0201, 0.0, 0.0), 0.0), None);
        assert!(overlap(Vec3::new(0.0199, 0.0, 0.0), 0.0).is_some());
    }

    #[test]
    fn toe_swings_one_disk_into_the_other() {
        // Abreast with 0.01 m between the tips and 0.03 m aft: the toed disk's near rim comes forward by 0.2 sin(toe).
        let hub = Vec3::new(0.03, 0.39, 0.0);
        assert_eq!(overlap(hub, 0.0), None);
        assert!(overlap(hub, 0.1).is_some() != overlap(hub, -0.1).is_some());
        assert_eq!(overlap(Vec3::new(0.03, 0.41, 0.0), 0.2), None);
    }
}
