//! Plant and supports of the limit loads from a mount.

use nalgebra::Matrix3;

use super::input::{LimitPlant, Support};
use super::supports::SupportGroup;
use crate::air::GRAVITY_M_S2;
use crate::base::Vec3;
use crate::frames::{DiskAxes, rotation_sign};
use crate::mount::input::Mount;
use crate::point::input::Placement;

/// Aircraft axes in shaft axes, as columns.
#[must_use]
pub fn aircraft_axes(placement: &Placement, mount: &Mount) -> Matrix3<f64> {
    let disk = DiskAxes::new(placement, mount.plant.rotation);
    Matrix3::from_rows(&[disk.aft.transpose(), disk.starboard.transpose(), disk.up.transpose()])
}

/// Motor and propeller of a mount, as the limit loads see them.
#[must_use]
pub fn plant(mount: &Mount, placement: &Placement) -> LimitPlant {
    let rotor = &mount.plant.rotor;
    LimitPlant {
        mass_kg: mount.plant.mass_kg,
        centre_of_gravity_m: mount.plant.centre_of_gravity_m,
        polar_inertia_kg_m2: rotor.propeller_polar_kg_m2 + rotor.motor_polar_kg_m2,
        pulsating_inertia_kg_m2: 2.0 * rotor.transverse_difference_kg_m2,
        sigma: rotation_sign(mount.plant.rotation),
        aircraft_axes: aircraft_axes(placement, mount),
    }
}

/// Isolators of a mount as supports.
#[must_use]
pub fn supports(mount: &Mount) -> Vec<Support> {
    let support = |isolator: &crate::mount::input::Isolator| Support {
        name: isolator.name.clone(),
        position_m: isolator.position_m,
        stiffness_n_m: isolator.axes
            * Matrix3::from_diagonal(&isolator.stiffness_n_m)
            * isolator.axes.transpose(),
    };
    mount.isolators.iter().map(support).collect()
}

/// Share of the powerplant's weight at rest on every isolator, N, shaft axes; none where they leave a motion free.
#[must_use]
pub fn weight_shares_n(mount: &Mount, placement: &Placement) -> Vec<Vec3> {
    let supports = supports(mount);
    let Some(group) = SupportGroup::new(&supports) else { return vec![Vec3::zeros(); supports.len()] };
    let weight = -aircraft_axes(placement, mount).column(2) * (mount.plant.mass_kg * GRAVITY_M_S2);
    let arm = mount.plant.centre_of_gravity_m - group.middle_m;
    group.share(weight, arm.cross(&weight))
}
