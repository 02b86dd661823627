//! Mounts that the checks have in common.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::mount::input::{
    Base, Drive, Isolator, Matrix3, Mount, Powerplant, RigidAirframe, Rotor, Scan,
};
use wakebeat_engine::point::input::Rotation;

/// A clockwise powerplant with its centre of gravity at `centre_m` from the hub and diagonal inertia.
#[must_use]
pub fn powerplant(mass_kg: f64, centre_m: [f64; 3], inertia_kg_m2: [f64; 3], polar_kg_m2: f64) -> Powerplant {
    Powerplant {
        mass_kg,
        centre_of_gravity_m: Vec3::from(centre_m),
        inertia_kg_m2: Matrix3::from_diagonal(&Vec3::from(inertia_kg_m2)),
        rotation: Rotation::Clockwise,
        rotor: Rotor {
            propeller_mass_kg: 0.0,
            propeller_polar_kg_m2: polar_kg_m2,
            motor_polar_kg_m2: 0.0,
            transverse_difference_kg_m2: 0.0,
            unbalance_kg_m: 0.0,
        },
        drive: Drive { torque_slope_n_m_s: 0.0, angle_gain_n_m: 0.0, shaft: None },
    }
}

/// A powerplant on isolators on an immovable base, no sensors.
#[must_use]
pub fn on_bench(plant: Powerplant, isolators: Vec<Isolator>) -> Mount {
    Mount {
        plant,
        isolators,
        base: Base::Fixed,
        modes: Vec::new(),
        sensors: Vec::new(),
        blade_material: wakebeat_engine::mount::estimate::MATERIALS[0],
        scan: Scan {
            from_rad_s: 100.0,
            to_rad_s: 700.0,
            speeds: 10,
            load_speeds: 3,
            angle_steps_rad: Vec::new(),
            avoid_ratio: 3.0,
        },
    }
}

/// The same on a free rigid airframe.
#[must_use]
pub fn in_flight(mut mount: Mount, mass_kg: f64, centre_m: [f64; 3], inertia_kg_m2: [f64; 3]) -> Mount {
    mount.base = Base::Free(RigidAirframe {
        mass_kg,
        centre_of_gravity_m: Vec3::from(centre_m),
        inertia_kg_m2: Matrix3::from_diagonal(&Vec3::from(inertia_kg_m2)),
    });
    mount
}

/// An isolator with axes along the shaft axes, no damping.
#[must_use]
pub fn isolator(position_m: [f64; 3], stiffness_n_m: [f64; 3]) -> Isolator {
    Isolator {
        name: "isolator".into(),
        position_m: Vec3::from(position_m),
        axes: Matrix3::identity(),
        stiffness_n_m: Vec3::from(stiffness_n_m),
        damping_n_s_m: Vec3::zeros(),
        loss_factor: Vec3::zeros(),
    }
}

/// Four isolators on a circle, 45° off the axes, tilted by an angle toward the shaft on the side of +x; axial stiffness `along`
/// and `across` both ways.
#[must_use]
pub fn circle(x_m: f64, radius_m: f64, tilt_rad: f64, along: f64, across: f64) -> Vec<Isolator> {
    (0..4)
        .map(|i| {
            let (sin, cos) =
                (std::f64::consts::FRAC_PI_4 + f64::from(i) * std::f64::consts::FRAC_PI_2).sin_cos();
            let radial = Vec3::new(0.0, cos, sin);
            let axis = Vec3::x() * tilt_rad.cos() - radial * tilt_rad.sin();
            let tangent = Vec3::new(0.0, -sin, cos);
            Isolator {
                axes: Matrix3::from_columns(&[axis, tangent, axis.cross(&tangent)]),
                ..isolator([x_m, radius_m * cos, radius_m * sin], [along, across, across])
            }
        })
        .collect()
}
