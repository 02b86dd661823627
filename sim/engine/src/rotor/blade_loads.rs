//! From forces per unit span to the loads of one blade over its own azimuth.

use multiversion::multiversion;

use super::sweep::GroupLoads;
use crate::base::lanes::{LANES, Lanes};
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

/// What the axial force per unit span of eight stations counts in the sums over the span, then what the force against the
/// rotation does; 0 for lanes beyond the last station.
#[derive(Debug, Clone, Copy)]
struct SpanWeights {
    thrust: Lanes,
    about_tangent: Lanes,
    about_radius: Lanes,
    flap: Lanes,
    torque: Lanes,
    against_motion: Lanes,
    inward: Lanes,
    lag: Lanes,
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
    let weights: Vec<SpanWeights> =
        stations.chunks(LANES).map(|stations| SpanWeights::new(stations, root_m)).collect();
    let mut sums = vec![SpanSums::default(); azimuth_rad.len()];
    sum_over_span(&weights, groups, &mut sums);
    let mut signals = BladeSignals::with_room_for(azimuth_rad.len());
    for (sums, azimuth) in sums.iter().zip(azimuth_rad) {
        signals.push(sums, disk.sigma, azimuth.sin_cos());
    }
    signals
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn sum_over_span(weights: &[SpanWeights], groups: &[&GroupLoads], sums: &mut [SpanSums]) {
    for (j, sums) in sums.iter_mut().enumerate() {
        let mut eight = [Lanes::ZERO; 8];
        for (w, loads) in weights.iter().zip(groups) {
            let (axial, against) = (loads.normal_n_per_m[j], loads.tangential_n_per_m[j]);
            eight[0] = eight[0] + w.thrust * axial;
            eight[1] = eight[1] + w.about_tangent * axial;
            eight[2] = eight[2] + w.about_radius * axial;
            eight[3] = eight[3] + w.flap * axial;
            eight[4] = eight[4] + w.torque * against;
            eight[5] = eight[5] + w.against_motion * against;
            eight[6] = eight[6] + w.inward * against;
            eight[7] = eight[7] + w.lag * against;
        }
        *sums = SpanSums {
            thrust: eight[0].sum(),
            about_tangent: eight[1].sum(),
            about_radius: eight[2].sum(),
            flap: eight[3].sum(),
            torque: eight[4].sum(),
            against_motion: eight[5].sum(),
            inward: eight[6].sum(),
            lag: eight[7].sum(),
        };
    }
}

impl SpanWeights {
    /// Of one to eight stations.
    fn new(stations: &[BladeStation], root_m: f64) -> Self {
        let over = |value: &dyn Fn(&BladeStation) -> f64| {
            Lanes::from_fn(|lane| stations.get(lane).map_or(0.0, |s| s.width_m * value(s)))
        };
        Self {
            thrust: over(&|_| 1.0),
            about_tangent: over(&|s| s.radius_m * s.lag_rad.cos()),
            about_radius: over(&|s| s.radius_m * s.lag_rad.sin()),
            flap: over(&|s| s.radius_m - root_m),
            torque: over(&|s| s.radius_m),
            against_motion: over(&|s| s.lag_rad.cos()),
            inward: over(&|s| s.lag_rad.sin()),
            lag: over(&|s| s.radius_m - root_m),
        }
    }
}

impl BladeSignals {
    fn with_room_for(azimuths: usize) -> Self {
        let room = || Vec::with_capacity(azimuths);
        Self {
            thrust_n: room(),
            side_force_n: room(),
            vertical_force_n: room(),
            torque_n_m: room(),
            pitching_moment_n_m: room(),
            yawing_moment_n_m: room(),
            flap_moment_n_m: room(),
            lag_moment_n_m: room(),
        }
    }

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
