//! Axes and signs.
//!
//! *Aircraft axes*: right-handed, x aft, y starboard, z up. *Disk axes* `(aft, starboard, up)`:
//! right-handed like the aircraft's, `aft` along the shaft downstream, `up` the projection of z on
//! the disk plane. The shaft is tilted first (nose up, about y), then toed about the tilted z.
//!
//! Azimuth ψ is 0 where a blade points along `up` and grows with the rotation, so that with
//! σ = +1 for a clockwise propeller (seen from behind) and −1 otherwise
//!
//! e_r = cos ψ · up + σ sin ψ · starboard,  e_t = −sin ψ · up + σ cos ψ · starboard
//!
//! where e_t is the direction the blade moves in.

use crate::base::Vec3;
use crate::point::input::{Flight, Placement, Rotation};

/// Velocity of the undisturbed air in aircraft axes, m/s: V (cos α cos β, −sin β, sin α cos β).
#[must_use]
pub fn free_stream_m_s(flight: &Flight) -> Vec3 {
    let (sin_a, cos_a) = flight.angle_of_attack_rad.sin_cos();
    let (sin_b, cos_b) = flight.sideslip_rad.sin_cos();
    flight.airspeed_m_s * Vec3::new(cos_a * cos_b, -sin_b, sin_a * cos_b)
}

/// Sign of the rotation: +1 clockwise, −1 counterclockwise, seen from behind.
#[must_use]
pub fn rotation_sign(rotation: Rotation) -> f64 {
    match rotation {
        Rotation::Clockwise => 1.0,
        Rotation::Counterclockwise => -1.0,
    }
}

/// The propeller disk in aircraft axes.
#[derive(Debug, Clone, PartialEq)]
pub struct DiskAxes {
    /// Hub, m.
    pub hub_m: Vec3,
    /// Unit vector along the shaft, downstream.
    pub aft: Vec3,
    /// Unit vector in the disk plane towards starboard.
    pub starboard: Vec3,
    /// Unit vector in the disk plane, the projection of z.
    pub up: Vec3,
    /// Sign of the rotation, +1 clockwise.
    pub sigma: f64,
}

impl DiskAxes {
    /// Disk axes of a placed propeller. Tilt and toe must be below 90° (the case module checks).
    #[must_use]
    pub fn new(placement: &Placement, rotation: Rotation) -> Self {
        let (sin_tilt, cos_tilt) = placement.tilt_rad.sin_cos();
        let (sin_toe, cos_toe) = placement.toe_rad.sin_cos();
        // Right-handed about y by the tilt: x turns towards −z, the nose goes up.
        let tilted_x = Vec3::new(cos_tilt, 0.0, -sin_tilt);
        // Thrust acts along −aft; a starboard part of it needs aft to turn to port.
        let aft = cos_toe * tilted_x - sin_toe * Vec3::y();
        let up = (Vec3::z() - aft * aft.z).normalize();
        Self { hub_m: placement.hub_m, aft, starboard: up.cross(&aft), up, sigma: rotation_sign(rotation) }
    }

    /// Unit vector from hub to blade at azimuth ψ.
    #[must_use]
    pub fn radial(&self, azimuth_rad: f64) -> Vec3 {
        let (sin, cos) = azimuth_rad.sin_cos();
        self.up * cos + self.starboard * (self.sigma * sin)
    }

    /// Unit vector of the blade's motion at azimuth ψ.
    #[must_use]
    pub fn tangential(&self, azimuth_rad: f64) -> Vec3 {
        let (sin, cos) = azimuth_rad.sin_cos();
        self.starboard * (self.sigma * cos) - self.up * sin
    }

    /// The point of the disk at radius r and azimuth ψ, aircraft axes, m.
    #[must_use]
    pub fn point_m(&self, radius_m: f64, azimuth_rad: f64) -> Vec3 {
        self.hub_m + self.radial(azimuth_rad) * radius_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn disk(tilt: f64, toe: f64, rotation: Rotation) -> DiskAxes {
        DiskAxes::new(&Placement { hub_m: Vec3::zeros(), tilt_rad: tilt, toe_rad: toe }, rotation)
    }

    #[test]
    fn tilt_lifts_thrust_and_toe_turns_it_to_starboard() {
        let thrust = -disk(0.1, 0.0, Rotation::Clockwise).aft;
        assert_relative_eq!(thrust.z, 0.1_f64.sin(), epsilon = 1e-15);
        let thrust = -disk(0.0, 0.1, Rotation::Clockwise).aft;
        assert_relative_eq!(thrust.y, 0.1_f64.sin(), epsilon = 1e-15);
    }

    #[test]
    fn axes_are_right_handed_and_azimuth_zero_is_up() {
        let d = disk(0.2, -0.3, Rotation::Clockwise);
        assert_relative_eq!(d.aft.cross(&d.starboard), d.up, epsilon = 1e-15);
        assert_relative_eq!(d.radial(0.0), d.up, epsilon = 1e-15);
        // `up` is z projected on the disk: no part of z lies along starboard.
        assert_relative_eq!(d.starboard.z, 0.0, epsilon = 1e-15);
        assert!(d.starboard.y > 0.9);
    }

    #[test]
    fn clockwise_blade_at_the_top_moves_to_starboard() {
        let d = disk(0.0, 0.0, Rotation::Clockwise);
        assert_relative_eq!(d.tangential(0.0), Vec3::y(), epsilon = 1e-15);
        let d = disk(0.0, 0.0, Rotation::Counterclockwise);
        assert_relative_eq!(d.tangential(0.0), -Vec3::y(), epsilon = 1e-15);
    }

    #[test]
    fn positive_angles_bring_air_from_below_and_from_starboard() {
        let v = free_stream_m_s(&Flight {
            airspeed_m_s: 10.0,
            altitude_m: 0.0,
            temperature_offset_k: 0.0,
            angle_of_attack_rad: 0.1,
            sideslip_rad: 0.2,
        });
        assert!(v.z > 0.0 && v.y < 0.0);
        assert_relative_eq!(v.norm(), 10.0, epsilon = 1e-12);
    }
}
