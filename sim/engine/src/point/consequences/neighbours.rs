//! How near the blades of two propellers come to each other.
//!
//! Each sweeps a disk, as thick as the deepest chord of its blades stands out of the disk plane. The least distance between two flat disks
//! lies at the rim of one of them, unless they are parallel; a rim is sampled, and refined about the nearest sample. Depth counts
//! along the other's shaft, so that the figure is a little small for disks behind each other and exact for disks abreast.

use super::scalar;
use super::structure::greatest_half_depth_m;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::{OperatingPoint, Placement, Propeller};
use crate::point::result::Scalar;
use std::f64::consts::TAU;

/// Samples of a rim. The distance is smooth about its least: halving the step about the nearest finds it.
const ANGLES: u32 = 360;
const HALVINGS: u32 = 24;

/// The volume that blades sweep, as a thick disk.
struct Swept {
    disk: DiskAxes,
    tip_m: f64,
    half_depth_m: f64,
}

impl Swept {
    fn new(propeller: &Propeller, placement: &Placement) -> Self {
        Self {
            disk: DiskAxes::new(placement, propeller.rotation),
            tip_m: 0.5 * propeller.diameter_m,
            half_depth_m: greatest_half_depth_m(propeller),
        }
    }

    /// Distance of a point from it, m; 0 within.
    fn distance_m(&self, point_m: &Vec3) -> f64 {
        let from_hub = point_m - self.disk.hub_m;
        let aft_m = from_hub.dot(&self.disk.aft);
        let outside_m = ((from_hub - aft_m * self.disk.aft).norm() - self.tip_m).max(0.0);
        outside_m.hypot((aft_m.abs() - self.half_depth_m).max(0.0))
    }

    /// Least distance of the rim's two edges from another, m.
    fn rim_to_m(&self, other: &Self) -> f64 {
        let at = |angle: f64| {
            let middle_m = self.disk.point_m(self.tip_m, angle);
            [-1.0, 1.0]
                .map(|face| other.distance_m(&(middle_m + face * self.half_depth_m * self.disk.aft)))
                .into_iter()
                .fold(f64::INFINITY, f64::min)
        };
        let mut step = TAU / f64::from(ANGLES);
        let samples = (0..ANGLES).map(|i| f64::from(i) * step);
        let mut nearest = samples
            .map(|angle| (at(angle), angle))
            .fold((f64::INFINITY, 0.0), |best, here| if here.0 < best.0 { here } else { best });
        for _ in 0..HALVINGS {
            step *= 0.5;
            for angle in [nearest.1 - step, nearest.1 + step] {
                let here = at(angle);
                if here < nearest.0 {
                    nearest = (here, angle);
                }
            }
        }
        nearest.0
    }
}

/// Least distance between the blades of any two propellers; none where there is one.
pub(super) fn between_propellers(point: &OperatingPoint) -> Option<Scalar> {
    let mut all = vec![Swept::new(&point.propeller, &point.placement)];
    let further = |one: &crate::point::input::FurtherPropeller| {
        Swept::new(&one.propeller(&point.propeller), &one.placement)
    };
    all.extend(point.further.iter().map(further));
    let pairs = all.iter().enumerate().flat_map(|(i, a)| all[..i].iter().map(move |b| (a, b)));
    let least_m = pairs.map(|(a, b)| a.rim_to_m(b).min(b.rim_to_m(a))).reduce(f64::min)?;
    let words = "clearance between the blades of two propellers";
    Some(scalar("clearance_propellers_m", "m", words, least_m))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn swept(hub_m: Vec3, toe_rad: f64, tip_m: f64, half_depth_m: f64) -> Swept {
        let placement = Placement { hub_m, tilt_rad: 0.0, toe_rad };
        let disk = DiskAxes::new(&placement, crate::point::input::Rotation::Clockwise);
        Swept { disk, tip_m, half_depth_m }
    }

    fn apart(a: &Swept, b: &Swept) -> f64 {
        let (there, back) = (a.rim_to_m(b), b.rim_to_m(a));
        there.min(back)
    }

    #[test]
    fn abreast_the_tip_circles_decide_and_behind_each_other_the_depths() {
        let first = swept(Vec3::zeros(), 0.0, 0.5, 0.02);
        let abreast = swept(Vec3::new(0.0, 0.81, 0.0), 0.0, 0.3, 0.01);
        assert_relative_eq!(apart(&first, &abreast), 0.01, epsilon = 1e-12);
        let behind = swept(Vec3::new(0.2, 0.1, 0.0), 0.0, 0.3, 0.01);
        assert_relative_eq!(apart(&first, &behind), 0.17, epsilon = 1e-12);
        // Aside and behind: corner to corner.
        let both = swept(Vec3::new(0.06, 0.84, 0.0), 0.0, 0.3, 0.01);
        assert_relative_eq!(apart(&first, &both), 0.03_f64.hypot(0.04), max_relative = 1e-9);
    }

    /// Toed in by 30 deg about its hub, the inner tip comes nearer along the shaft and further off aside.
    #[test]
    fn inclined_disks_are_nearest_at_a_rim() {
        let first = swept(Vec3::zeros(), 0.0, 0.5, 0.0);
        let toed = swept(Vec3::new(0.0, 0.9, 0.0), 30.0_f64.to_radians(), 0.3, 0.0);
        let inner_tip = Vec3::new(0.15, 0.9 - 0.3 * 30.0_f64.to_radians().cos(), 0.0);
        let by_hand = (inner_tip.y - 0.5).hypot(inner_tip.x);
        assert_relative_eq!(apart(&first, &toed), by_hand, max_relative = 1e-9);
    }
}
