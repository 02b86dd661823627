//! What the limit-load cases need, SI units.

use nalgebra::Matrix3;

use crate::base::Vec3;

/// What turns the propeller; it decides the factor on the mean torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Engine {
    /// An electric motor; no rule lists a factor, so it is the user's choice.
    Electric {
        /// Chosen factor on the mean torque.
        torque_factor: f64,
    },
    /// A turbine that drives a propeller.
    Turboprop,
    /// A four-stroke piston engine.
    FourStroke {
        /// Number of cylinders, 1 or more.
        cylinders: usize,
    },
    /// A two-stroke piston engine.
    TwoStroke {
        /// Number of cylinders, 1 or more.
        cylinders: usize,
    },
}

impl Engine {
    /// Whether it shakes its mount by cylinders that fire and masses that go to and fro, of which this program knows nothing.
    #[must_use]
    pub fn has_cylinders(self) -> bool {
        matches!(self, Self::FourStroke { .. } | Self::TwoStroke { .. })
    }
}

/// Thrust, torque and shaft speed of a power setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Power {
    /// Mean thrust, N.
    pub thrust_n: f64,
    /// Mean shaft torque, N m, positive when the propeller absorbs power.
    pub torque_n_m: f64,
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
}

/// Factors of the load cases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitFactors {
    /// What turns the propeller.
    pub engine: Engine,
    /// Positive limit manoeuvring load factor `n_A` at condition A.
    pub load_factor: f64,
    /// Side load factor; `None`: max(1.33, `n_A`/3).
    pub side_load_factor: Option<f64>,
    /// Pitch rate of the gyroscopic cases, rad/s.
    pub pitch_rate_rad_s: f64,
    /// Yaw rate of the gyroscopic cases, rad/s.
    pub yaw_rate_rad_s: f64,
    /// Load factor of the gyroscopic cases.
    pub gyroscopic_load_factor: f64,
    /// Whether the torque factor multiplies the torque of the gyroscopic cases too.
    pub torque_factor_in_gyroscopic: bool,
    /// Ultimate over limit.
    pub ultimate_factor: f64,
}

/// Motor and propeller as the limit loads see them, shaft axes from the hub.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitPlant {
    /// Mass of motor and propeller, kg.
    pub mass_kg: f64,
    /// Their common centre of gravity, m.
    pub centre_of_gravity_m: Vec3,
    /// Polar inertia of everything that spins, kg m².
    pub polar_inertia_kg_m2: f64,
    /// Difference J₂ − J₁ of the propeller's transverse inertias across and about blade 1, kg m²; 0 for three and more even blades.
    pub pulsating_inertia_kg_m2: f64,
    /// +1 clockwise, −1 counterclockwise, seen from behind.
    pub sigma: f64,
    /// Aircraft axes in shaft axes, as columns.
    pub aircraft_axes: Matrix3<f64>,
}

/// An isolator or bolt that holds the powerplant, shaft axes from the hub.
#[derive(Debug, Clone, PartialEq)]
pub struct Support {
    /// Name.
    pub name: String,
    /// Where it acts, m.
    pub position_m: Vec3,
    /// Stiffness, N/m.
    pub stiffness_n_m: Matrix3<f64>,
}

/// Where thrust, torque and shaft speed of a power setting come from.
#[derive(Debug, Clone, PartialEq)]
pub enum PowerSource {
    /// A segment of the duty cycle, by name.
    Segment(String),
    /// Given figures.
    Given(Power),
    /// What has most torque of all that is known.
    Largest,
}
