//! From forces per unit span to the loads of one blade over its own azimuth.

use super::sweep::GroupLoads;
use crate::blade::BladeStation;
use crate::frames::DiskAxes;

/// Loads of one blade against its own azimuth (A each): what the hub feels of it, in disk axes, and
/// the root moments in the rotating frame.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BladeSignals {
    /// Forward force, N.
    pub thrust_n: Vec<f64>,
    /// Starboard force, N.
    pub side_force_n: Vec<f64>,
    /// Upward force, N.
    pub vertical_force_n: Vec<f64>,
    /// Aerodynamic shaft torque, N m.
    pub torque_n_m: Vec<f64>,
    /// Nose-up moment about the hub, N m.
    pub pitching_moment_n_m: Vec<f64>,
    /// Nose-to-starboard moment about the hub, N m.
    pub yawing_moment_n_m: Vec<f64>,
    /// Flap moment at the root, N m.
    pub flap_moment_n_m: Vec<f64>,
    /// Lag moment at the root, N m.
    pub lag_moment_n_m: Vec<f64>,
}

/// Sums over the span at one azimuth.
#[derive(Debug, Clone, Copy, Default)]
struct SpanSums {
    thrust: f64,
    torque: f64,
    // In-plane force on the blade split along −e_t and −e_r of the blade's azimuth (a swept station
    // pushes along its own tangent).
    against_motion: f64,
    inward: f64,
    // Moment of the axial force, split along e_t and e_r.
    about_tangent: f64,
    about_radius: f64,
    flap: f64,
    lag: f64,
}

/// Sums the stations of a blade. `groups` holds the loads of eight stations each, in station order;
/// `root_m` is the radius of the blade root.
#[must_use]
pub fn blade_signals(
    stations: &[BladeStation],
    groups: &[&GroupLoads],
    disk: &DiskAxes,
    azimuth_rad: &[f64],
    root_m: f64,
) -> BladeSignals {
    let mut signals = BladeSignals::default();
    let lanes = crate::base::lanes::LANES;
    let lag_sin_cos: Vec<(f64, f64)> = stations.iter().map(|s| s.lag_rad.sin_cos()).collect();
    for (j, azimuth) in azimuth_rad.iter().enumerate() {
        let mut sums = SpanSums::default();
        for (i, station) in stations.iter().enumerate() {
            let loads = groups[i / lanes];
            let axial = loads.normal_n_per_m[j].0[i % lanes] * station.width_m;
            let against = loads.tangential_n_per_m[j].0[i % lanes] * station.width_m;
            sums.add(station.radius_m, station.radius_m - root_m, axial, against, lag_sin_cos[i]);
        }
        signals.push(&sums, disk.sigma, azimuth.sin_cos());
    }
    signals
}

impl SpanSums {
    fn add(&mut self, radius: f64, arm: f64, axial: f64, against: f64, (sin, cos): (f64, f64)) {
        self.thrust += axial;
        self.torque += radius * against;
        self.against_motion += against * cos;
        self.inward += against * sin;
        self.about_tangent += radius * axial * cos;
        self.about_radius += radius * axial * sin;
        self.flap += arm * axial;
        self.lag += arm * against;
    }
}

impl BladeSignals {
    /// Turns the span sums into disk axes.
    ///
    /// With e_r, e_t of [`DiskAxes`]: force F = −against e_t − inward e_r; a forward force P at r e_r has the
    /// right-handed moment r e_r × (−P aft) = −σ r P e_t, and one at r e_t the moment +σ r P e_r. The yawing
    /// moment is minus the right-handed moment about `up`.
    fn push(&mut self, s: &SpanSums, sigma: f64, (sin, cos): (f64, f64)) {
        self.thrust_n.push(s.thrust);
        self.torque_n_m.push(s.torque);
        self.side_force_n.push(-sigma * (s.against_motion * cos + s.inward * sin));
        self.vertical_force_n.push(s.against_motion * sin - s.inward * cos);
        self.pitching_moment_n_m.push(-s.about_tangent * cos - s.about_radius * sin);
        self.yawing_moment_n_m.push(sigma * (s.about_radius * cos - s.about_tangent * sin));
        self.flap_moment_n_m.push(s.flap);
        self.lag_moment_n_m.push(s.lag);
    }
}
