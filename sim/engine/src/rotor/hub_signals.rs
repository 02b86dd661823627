//! What the hub feels of one blade.

use crate::point::result::HubLoad;

/// Loads of one blade on the hub, in disk axes: values over the blade's own azimuth (A each), or Fourier coefficients of it by order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct HubSignals<Value> {
    /// Forward force, N.
    pub thrust_n: Vec<Value>,
    /// Starboard force, N.
    pub side_force_n: Vec<Value>,
    /// Upward force, N.
    pub vertical_force_n: Vec<Value>,
    /// Aerodynamic shaft torque, N m.
    pub torque_n_m: Vec<Value>,
    /// Nose-up moment about the hub, N m.
    pub pitching_moment_n_m: Vec<Value>,
    /// Nose-to-starboard moment about the hub, N m.
    pub yawing_moment_n_m: Vec<Value>,
}

impl<Value> HubSignals<Value> {
    /// The signal a hub load is made of; the rolling moment is the torque's.
    #[must_use]
    pub fn of(&self, load: HubLoad) -> &[Value] {
        match load {
            HubLoad::Thrust => &self.thrust_n,
            HubLoad::SideForce => &self.side_force_n,
            HubLoad::VerticalForce => &self.vertical_force_n,
            HubLoad::Torque | HubLoad::RollingMoment => &self.torque_n_m,
            HubLoad::PitchingMoment => &self.pitching_moment_n_m,
            HubLoad::YawingMoment => &self.yawing_moment_n_m,
        }
    }
}
