//! Hub loads of one propeller carried to a point of the airframe.

use realfft::num_complex::Complex64;

use super::AIRFRAME_LOADS;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::result::HubLoad;

/// Numbers to be summed with real weights: values of a history, complex amplitudes.
pub(super) trait Summed:
    Copy + Default + std::ops::AddAssign + std::ops::Mul<f64, Output = Self>
{
}

impl Summed for f64 {}
impl Summed for Complex64 {}

/// What each hub load adds to each load at the point: `[load at the point][load at the hub]`, forces in N and moments in N m.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ToCentre([[f64; 6]; 6]);

impl ToCentre {
    /// Loads about the shaft of `disk`, at its hub, to loads about the aircraft axes at `centre_m`.
    ///
    /// F = −T a + Y s + Z u and M = −L a + P s − N u with the shaft axes a aft, s starboard, u up; M carried by
    /// M + (hub − centre) × F. The named moments: L starboard side down, P nose up, N nose to starboard, of which L and N
    /// are left-handed about x and z.
    pub fn new(disk: &DiskAxes, centre_m: &Vec3) -> Self {
        let arm = disk.hub_m - centre_m;
        let mut rows = [[0.0; 6]; 6];
        for (column, load) in AIRFRAME_LOADS.into_iter().enumerate() {
            let (force, moment) = match load {
                HubLoad::Thrust => (-disk.aft, Vec3::zeros()),
                HubLoad::SideForce => (disk.starboard, Vec3::zeros()),
                HubLoad::VerticalForce => (disk.up, Vec3::zeros()),
                HubLoad::PitchingMoment => (Vec3::zeros(), disk.starboard),
                HubLoad::YawingMoment => (Vec3::zeros(), -disk.up),
                HubLoad::RollingMoment | HubLoad::Torque => (Vec3::zeros(), -disk.aft),
            };
            let moment = moment + arm.cross(&force);
            let named = [-force.x, force.y, force.z, -moment.x, moment.y, -moment.z];
            for (row, value) in rows.iter_mut().zip(named) {
                row[column] = value;
            }
        }
        Self(rows)
    }

    /// Loads at the point from those at the hub, both in the order of [`AIRFRAME_LOADS`].
    pub fn apply<T: Summed>(&self, hub: [T; 6]) -> [T; 6] {
        self.0.map(|row| {
            let mut sum = T::default();
            for (weight, value) in row.into_iter().zip(hub) {
                sum += value * weight;
            }
            sum
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::input::{Placement, Rotation};
    use approx::assert_relative_eq;

    fn carried(hub_m: Vec3, (tilt_rad, toe_rad): (f64, f64), load: usize) -> [f64; 6] {
        let disk = DiskAxes::new(&Placement { hub_m, tilt_rad, toe_rad }, Rotation::Clockwise);
        let mut hub = [0.0; 6];
        hub[load] = 1.0;
        ToCentre::new(&disk, &Vec3::zeros()).apply(hub)
    }

    #[test]
    fn thrust_above_pitches_down_and_to_starboard_yaws_to_port() {
        assert_eq!(carried(Vec3::new(0.0, 0.0, 2.0), (0.0, 0.0), 0), [1.0, 0.0, 0.0, 0.0, -2.0, 0.0]);
        assert_eq!(carried(Vec3::new(0.0, 3.0, 0.0), (0.0, 0.0), 0), [1.0, 0.0, 0.0, 0.0, 0.0, -3.0]);
    }

    #[test]
    fn lift_behind_pitches_down_and_lift_to_starboard_rolls_to_port() {
        assert_eq!(carried(Vec3::new(2.0, 0.0, 0.0), (0.0, 0.0), 2), [0.0, 0.0, 1.0, 0.0, -2.0, 0.0]);
        assert_eq!(carried(Vec3::new(0.0, 3.0, 0.0), (0.0, 0.0), 2), [0.0, 0.0, 1.0, -3.0, 0.0, 0.0]);
    }

    #[test]
    fn side_force_behind_turns_the_nose_the_other_way() {
        assert_eq!(carried(Vec3::new(2.0, 0.0, 0.0), (0.0, 0.0), 1), [0.0, 1.0, 0.0, 0.0, 0.0, -2.0]);
        assert_eq!(carried(Vec3::new(0.0, 0.0, 2.0), (0.0, 0.0), 1), [0.0, 1.0, 0.0, 2.0, 0.0, 0.0]);
    }

    #[test]
    fn named_moments_keep_their_signs_and_tilt_lifts_thrust() {
        for load in 3..6 {
            let mut alone = [0.0; 6];
            alone[load] = 1.0;
            assert_eq!(carried(Vec3::zeros(), (0.0, 0.0), load), alone);
        }
        let tilted = carried(Vec3::zeros(), (0.1, 0.0), 0);
        assert_relative_eq!(tilted[2], 0.1_f64.sin(), epsilon = 1e-15);
        let toed = carried(Vec3::zeros(), (0.0, 0.1), 0);
        assert_relative_eq!(toed[1], 0.1_f64.sin(), epsilon = 1e-15);
    }
}
