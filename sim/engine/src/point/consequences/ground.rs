//! Clearance of the disk above ground and water.
//!
//! The lowest point of a disk of radius R over a plane with unit normal n through p₀ lies at
//!
//! ```text
//! (hub − p₀)·n − R √(1 − (aft·n)²)
//! ```
//!
//! with the shaft's direction aft. The ground runs through the contact points of main and third wheel, straight across the
//! span; a wheel sinks by the drop of its tyre and strut, both main wheels or one of them alone; rotation turns the aircraft about
//! the main wheels.
//!
//! 14 CFR 25.925(a) and former 23.925(a) ask for 7 in (0.1778 m) with a nose wheel and 9 in (0.2286 m) with a tail wheel at the static
//! load in level, take-off or taxi attitude, for a positive clearance on a flat tyre with the strut bottomed and, of an aft
//! propeller (part 23), at the largest pitch attitude reached in take-off and landing; 23.925(b) for 18 in (0.4572 m) above water.

use super::scalar;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::{Gear, OperatingPoint};
use crate::point::result::Scalar;

/// Least static ground clearance with a nose wheel, former 14 CFR 23.925(a): 7 in.
pub const NOSE_WHEEL_RULE_M: f64 = 0.1778;
/// Least static ground clearance with a tail wheel, the same: 9 in.
pub const TAIL_WHEEL_RULE_M: f64 = 0.2286;
/// Least clearance above water, former 14 CFR 23.925(b): 18 in.
pub const WATER_RULE_M: f64 = 0.4572;

/// Half track below which wheels count as standing on the plane of symmetry, m.
const LEAST_HALF_TRACK_M: f64 = 1e-6;

/// A plane below the aircraft.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Plane {
    point_m: Vec3,
    normal: Vec3,
}

impl Plane {
    /// Through two contact points, square to the aircraft's plane of symmetry.
    fn through(main_m: Vec3, third_m: Vec3) -> Self {
        let (dx, dz) = (third_m.x - main_m.x, third_m.z - main_m.z);
        let slope = Vec3::new(-dz, 0.0, dx) * dx.signum();
        Self { point_m: main_m, normal: slope.normalize() }
    }

    /// The ground as the aircraft sees it once it has turned nose-up about the main wheels.
    fn rotated(self, angle_rad: f64) -> Self {
        let (sin, cos) = angle_rad.sin_cos();
        let n = self.normal;
        // Nose up, the tail goes down: the ground behind the wheels comes up towards it.
        Self { normal: Vec3::new(n.x * cos - n.z * sin, n.y, n.x * sin + n.z * cos), ..self }
    }

    /// The ground with its slope from wheel to wheel where the main wheel of one side (+1 starboard) alone comes up by `drop_m`; both the
    /// same where the wheels stand on the plane of symmetry.
    fn rolled(self, main_m: &Vec3, drop_m: f64, side: f64) -> Self {
        let half_track_m = main_m.y.abs();
        let rise = if half_track_m > LEAST_HALF_TRACK_M { 0.5 * drop_m / half_track_m } else { 0.0 };
        let n = self.normal;
        let normal = Vec3::new(n.x, -side * rise * n.z, n.z).normalize();
        Self { point_m: Vec3::new(main_m.x, side * half_track_m, main_m.z + drop_m), normal }
    }

    /// Height of the disk's lowest point, m.
    fn clearance_m(&self, disk: &DiskAxes, radius_m: f64) -> f64 {
        let along = disk.aft.dot(&self.normal);
        (disk.hub_m - self.point_m).dot(&self.normal) - radius_m * (1.0 - along * along).max(0.0).sqrt()
    }
}

/// Clearances above the ground and the water, as far as the airframe tells where they are.
pub(super) fn ground_and_water(point: &OperatingPoint) -> Vec<Scalar> {
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    let radius_m = 0.5 * point.propeller.diameter_m;
    let mut all = Vec::new();
    if let Some(gear) = &point.airframe.gear {
        all.extend(ground(gear, &disk, radius_m));
    }
    if let Some(z_m) = point.airframe.waterline_z_m {
        let water = Plane { point_m: Vec3::new(0.0, 0.0, z_m), normal: Vec3::z() };
        let words = "clearance between blade tips and water, at rest afloat";
        all.push(scalar("clearance_water_m", "m", words, water.clearance_m(&disk, radius_m)));
    }
    all
}

fn ground(gear: &Gear, disk: &DiskAxes, radius_m: f64) -> Vec<Scalar> {
    let drop = Vec3::new(0.0, 0.0, gear.tyre_drop_m + gear.strut_drop_m);
    let level = Plane::through(gear.main_m, gear.third_m);
    // Whichever wheel's tyre and strut give way: behind the wheels the main ones count, ahead of them the third.
    let main_down = Plane::through(gear.main_m + drop, gear.third_m);
    let third_down = Plane::through(gear.main_m, gear.third_m + drop);
    let of = |plane: Plane| plane.clearance_m(disk, radius_m);
    let drop_m = drop.z;
    // One side alone: a propeller outboard of the wheels comes lower than with both.
    let one_side = |plane: Plane| [1.0, -1.0].map(|side| plane.rolled(&gear.main_m, drop_m, side));
    let [starboard_down, port_down] = one_side(Plane::through(gear.main_m + 0.5 * drop, gear.third_m));
    let least_m = |planes: [Plane; 4]| planes.map(of).into_iter().fold(f64::INFINITY, f64::min);
    let deflected_m = least_m([main_down, third_down, starboard_down, port_down]);
    let mut all = vec![
        scalar(
            "clearance_ground_m",
            "m",
            "clearance between blade tips and ground, static load, on all wheels",
            of(level),
        ),
        scalar(
            "clearance_ground_deflected_m",
            "m",
            "clearance between blade tips and ground, flat tyre and strut bottomed",
            deflected_m,
        ),
    ];
    if let Some(angle_rad) = gear.rotation_rad {
        let rotated = |plane: Plane| of(plane.rotated(angle_rad));
        // Rotated, the aircraft stands on its main wheels alone: the attitude is the stated one, the wheels sink.
        let sunk = Plane { point_m: gear.main_m + drop, ..level };
        all.push(scalar(
            "clearance_ground_rotated_m",
            "m",
            "clearance between blade tips and ground at the largest nose-up attitude",
            rotated(level),
        ));
        all.push(scalar(
            "clearance_ground_rotated_deflected_m",
            "m",
            "clearance between blade tips and ground at the largest nose-up attitude, flat tyre and strut bottomed",
            [sunk].into_iter().chain(one_side(level)).map(rotated).fold(f64::INFINITY, f64::min),
        ));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::input::{Placement, Rotation};
    use approx::assert_relative_eq;

    fn disk(hub_m: Vec3, tilt_rad: f64) -> DiskAxes {
        DiskAxes::new(&Placement { hub_m, tilt_rad, toe_rad: 0.0 }, Rotation::Clockwise)
    }

    /// Main wheels at the origin, nose wheel 2 m ahead on the same level.
    fn gear() -> Gear {
        Gear {
            tail_wheel: false,
            main_m: Vec3::zeros(),
            third_m: Vec3::new(-2.0, 0.0, 0.0),
            tyre_drop_m: 0.03,
            strut_drop_m: 0.07,
            rotation_rad: Some(0.2),
        }
    }

    fn value(all: &[Scalar], name: &str) -> f64 {
        all.iter().find(|s| s.name == name).map_or(f64::NAN, |s| s.value)
    }

    #[test]
    fn a_hub_behind_the_wheels_by_hand() {
        let hub_m = Vec3::new(1.0, 0.0, 1.2);
        let all = ground(&gear(), &disk(hub_m, 0.0), 0.8);
        assert_relative_eq!(value(&all, "clearance_ground_m"), 0.4, max_relative = 1e-12);
        // Main wheels 0.1 m lower on 2 m of wheelbase: the ground is 0.15 m higher 3 m behind the nose wheel.
        let slope = (0.05_f64).atan();
        let by_hand = (1.2 - 0.15) * slope.cos() - 0.8 * slope.cos();
        assert_relative_eq!(value(&all, "clearance_ground_deflected_m"), by_hand, max_relative = 1e-12);
        // Nose up by 0.2 rad about the wheels: hub at 1.2 cos − 1.0 sin, disk turned by as much.
        let (sin, cos) = 0.2_f64.sin_cos();
        let rotated = 1.2 * cos - 1.0 * sin - 0.8 * cos;
        assert_relative_eq!(value(&all, "clearance_ground_rotated_m"), rotated, max_relative = 1e-12);
        let sunk = (1.2 - 0.1) * cos - 1.0 * sin - 0.8 * cos;
        assert_relative_eq!(value(&all, "clearance_ground_rotated_deflected_m"), sunk, max_relative = 1e-12);
    }

    /// A hub 1.2 m out on wheels 0.5 m out: one side 0.12 m down turns the aircraft by 0.12 on 1 m.
    #[test]
    fn one_side_down_lowers_a_propeller_outboard_of_the_wheels() {
        let main_m = Vec3::new(0.0, 0.5, 0.0);
        let gear = Gear { main_m, tyre_drop_m: 0.05, strut_drop_m: 0.07, ..gear() };
        for y in [1.2, -1.2] {
            let all = ground(&gear, &disk(Vec3::new(0.0, y, 0.9), 0.0), 0.7);
            // Ground under the hub: 0.06 m at the middle and 0.12 more for each metre out; slopes of 0.03 and 0.12.
            let turned = (1.0_f64 + 0.03 * 0.03 + 0.12 * 0.12).sqrt();
            let along = 0.03 / turned;
            let by_hand = (0.9 - 0.06 - 0.12 * 1.2) / turned - 0.7 * (1.0 - along * along).sqrt();
            assert_relative_eq!(value(&all, "clearance_ground_deflected_m"), by_hand, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_tail_wheel_sets_the_attitude() {
        let gear = Gear { tail_wheel: true, third_m: Vec3::new(4.0, 0.0, 1.0), rotation_rad: None, ..gear() };
        // On the ground the line through the wheels rises 1 in 4 aft; the nose is up by that angle.
        let all = ground(&gear, &disk(Vec3::new(2.0, 0.0, 2.0), 0.0), 0.5);
        let slope = 0.25_f64.atan();
        let by_hand = (2.0 - 0.5) * slope.cos() - 0.5 * slope.cos();
        assert_relative_eq!(value(&all, "clearance_ground_m"), by_hand, max_relative = 1e-12);
    }

    #[test]
    fn a_disk_laid_flat_has_no_low_tip() {
        let flat = disk(Vec3::new(1.0, 0.0, 0.5), 1.3);
        let upright = disk(Vec3::new(1.0, 0.0, 0.5), 0.0);
        let clearance = |d: &DiskAxes| value(&ground(&gear(), d, 0.3), "clearance_ground_m");
        assert_relative_eq!(clearance(&upright), 0.2, max_relative = 1e-12);
        assert_relative_eq!(clearance(&flat), 0.5 - 0.3 * 1.3_f64.cos(), max_relative = 1e-12);
    }
}
