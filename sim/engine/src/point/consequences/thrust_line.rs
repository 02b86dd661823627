//! Where the thrust line passes the centre of gravity.

use super::scalar;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::OperatingPoint;
use crate::point::result::Scalar;

/// Nose-up moment of a unit of thrust about a point, m: (r × t)·y with the unit thrust t = −aft at r from the point. Right-handed
/// about y the nose goes up, and thrust above the point pushes it down.
#[must_use]
pub(crate) fn pitching_arm_m(point: &OperatingPoint, about_m: &Vec3) -> f64 {
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    let moment = (disk.hub_m - about_m).cross(&-disk.aft);
    moment.y
}

/// Height of the thrust line above the centre of gravity, square to it, m.
pub(super) fn thrust_line(point: &OperatingPoint, centre_of_gravity_m: &Vec3) -> Vec<Scalar> {
    vec![scalar(
        "thrust_line_height_m",
        "m",
        "thrust line above the centre of gravity, square to it; above, power pushes the nose down",
        -pitching_arm_m(point, centre_of_gravity_m),
    )]
}
