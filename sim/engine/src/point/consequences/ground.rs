//! Clearance of the disk above ground and water.
//!
//! The lowest point of a disk of radius R over a plane with unit normal n through p₀ lies at
//!
//! ```text
//! (hub − p₀)·n − R √(1 − (aft·n)²)
//! ```
//!
//! with the shaft's direction aft. The ground runs through the contact points of main and third wheel, straight across the
//! span; a wheel sinks by the drop of its tyre and strut; rotation turns the aircraft about the main wheels.
//!
//! Former 14 CFR 23.925(a) and 25.925(a) ask for 7 in (0.1778 m) with a nose wheel and 9 in (0.2286 m) with a tail wheel at the static
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
        Self { normal: Vec3::new(n.x * cos - n.z * sin, 0.0, n.x * sin + n.z * cos), ..self }
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
    let deflected_m = of(main_down).min(of(third_down));
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
            rotated(sunk),
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
