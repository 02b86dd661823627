//! What the mount needs to know, in SI units and radians.
//!
//! *Shaft axes*: origin at the hub, x aft along the shaft, y starboard, z up in the disk plane (the disk axes of
//! [`crate::frames`]). The mount travels with the propeller, so that a change of placement needs no change here; positions on the
//! airframe are turned into these axes when the case is built.

use super::estimate::Material;
use crate::base::Vec3;
use crate::point::input::Rotation;
pub use nalgebra::Matrix3;

/// The mount of a propeller: powerplant, isolators, what they stand on, and what is measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Mount {
    /// Motor and propeller.
    pub plant: Powerplant,
    /// The isolators between motor and airframe.
    pub isolators: Vec<Isolator>,
    /// What the isolators stand on.
    pub base: Base,
    /// Elastic modes of the airframe; none where it is rigid.
    pub modes: Vec<AirframeMode>,
    /// Accelerometers and other things that feel acceleration.
    pub sensors: Vec<Sensor>,
    /// What the blades are made of, for their bending.
    pub blade_material: Material,
    /// Shaft speeds and angles that are looked through.
    pub scan: Scan,
}

/// Motor and propeller as one rigid body with a spinning part.
#[derive(Debug, Clone, PartialEq)]
pub struct Powerplant {
    /// Mass of motor and propeller, kg.
    pub mass_kg: f64,
    /// Their common centre of gravity, shaft axes from the hub, m.
    pub centre_of_gravity_m: Vec3,
    /// Inertia about it with the shaft locked and the propeller's mean transverse inertia, shaft axes, kg m².
    pub inertia_kg_m2: Matrix3<f64>,
    /// Sense of rotation.
    pub rotation: Rotation,
    /// The spinning parts.
    pub rotor: Rotor,
    /// What drives them.
    pub drive: Drive,
}

/// The spinning parts of the powerplant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotor {
    /// Mass of the propeller, kg.
    pub propeller_mass_kg: f64,
    /// Polar inertia of the propeller, kg m².
    pub propeller_polar_kg_m2: f64,
    /// Polar inertia of the rotating part of the motor, kg m².
    pub motor_polar_kg_m2: f64,
    /// Half the difference of the propeller's transverse inertias (J₂ − J₁)/2, J₁ about blade 1 and J₂ across it, kg m²;
    /// 0 for three and more even blades.
    pub transverse_difference_kg_m2: f64,
    /// Static unbalance m e, kg m, from the balance grade at the balancing speed.
    pub unbalance_kg_m: f64,
}

/// Motor torque against shaft speed, and the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Fall of motor torque with speed k_m = −dT/dΩ, N m s/rad; 0 where the torque is controlled.
    pub torque_slope_n_m_s: f64,
    /// Gain of a speed controller on the angle lost, N m/rad.
    pub angle_gain_n_m: f64,
    /// Elastic shaft between motor and propeller; `None` is rigid.
    pub shaft: Option<Shaft>,
}

/// An elastic shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shaft {
    /// Stiffness in twist, N m/rad.
    pub stiffness_n_m_per_rad: f64,
    /// Damping in twist, N m s/rad.
    pub damping_n_m_s: f64,
}

/// A spring with damping along three axes of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Isolator {
    /// Name, unique over isolators.
    pub name: String,
    /// Elastic centre, shaft axes from the hub, m.
    pub position_m: Vec3,
    /// Columns: its own axes in shaft axes, orthonormal.
    pub axes: Matrix3<f64>,
    /// Stiffness along its axes, N/m.
    pub stiffness_n_m: Vec3,
    /// Viscous damping along its axes, N s/m.
    pub damping_n_s_m: Vec3,
    /// Loss factor along its axes: the part of the stiffness that acts a quarter of a cycle early.
    pub loss_factor: Vec3,
}

/// What the isolators stand on.
#[derive(Debug, Clone, PartialEq)]
pub enum Base {
    /// An immovable base, as on a test bench.
    Fixed,
    /// A free rigid airframe.
    Free(RigidAirframe),
}

/// The airframe without the powerplant.
#[derive(Debug, Clone, PartialEq)]
pub struct RigidAirframe {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Centre of gravity, shaft axes from the hub, m.
    pub centre_of_gravity_m: Vec3,
    /// Inertia about it, shaft axes, kg m².
    pub inertia_kg_m2: Matrix3<f64>,
}

/// An elastic mode of the airframe, by its motion where something is attached.
#[derive(Debug, Clone, PartialEq)]
pub struct AirframeMode {
    /// Name.
    pub name: String,
    /// Natural frequency without the powerplant, rad/s.
    pub frequency_rad_s: f64,
    /// Damping ratio.
    pub damping_ratio: f64,
    /// Modal mass, kg, for the motions below.
    pub modal_mass_kg: f64,
    /// Motion of the foot of each isolator for a unit of the mode, shaft axes, in the order of the isolators.
    pub at_isolators: Vec<Vec3>,
    /// Motion of each sensor for a unit of the mode, shaft axes, in the order of the sensors.
    pub at_sensors: Vec<Vec3>,
}

/// What a sensor is fixed to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// The airframe.
    Airframe,
    /// The motor.
    Motor,
}

/// Something that feels acceleration.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensor {
    /// Name, unique over sensors.
    pub name: String,
    /// Position, shaft axes from the hub, m.
    pub position_m: Vec3,
    /// Columns: aircraft axes in shaft axes; what the sensor feels is told in them.
    pub axes: Matrix3<f64>,
    /// What it is fixed to.
    pub carrier: Carrier,
    /// Greatest root mean square of acceleration allowed, m/s².
    pub limit_rms_m_s2: Option<f64>,
}

/// Shaft speeds and angles that are looked through.
#[derive(Debug, Clone, PartialEq)]
pub struct Scan {
    /// Lowest shaft speed, rad/s.
    pub from_rad_s: f64,
    /// Highest shaft speed, rad/s.
    pub to_rad_s: f64,
    /// Number of shaft speeds.
    pub speeds: usize,
    /// Shaft speeds at which the airloads are computed; between them harmonics follow a smooth curve.
    pub load_speeds: usize,
    /// Steps from the angle of attack of the point to those at which the airloads are computed, rad.
    pub angle_steps_rad: Vec<f64>,
    /// Response over the median of the scan from which a speed is one to avoid.
    pub avoid_ratio: f64,
}
