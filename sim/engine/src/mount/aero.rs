//! What motion of the hub changes in the airloads: aerodynamic stiffness and damping of the mount.
//!
//! A hub that moves by u̇, turns at θ̇, stands turned by θ and a rotor that runs ahead by γ̇ change what a section at radius r and
//! azimuth ψ meets (shaft axes, σ = +1 clockwise, V the axial wind):
//!
//! dU_a = −u̇_x − r(θ̇_y cos ψ − σ θ̇_z sin ψ),  dU_t = −(g_y σ cos ψ − g_z sin ψ) + r γ̇,
//! g_y = −V θ_z − u̇_y, g_z = V θ_y − u̇_z.
//!
//! With T′ the forward force and F′ the force against the motion, per unit span, and their four slopes by U_a and U_t, the mean over
//! azimuth of B blades gives the loads on the mount
//!
//! F_y = A₁ g_y − σ A₂ θ̇_y,  F_z = A₁ g_z − σ A₂ θ̇_z,  M_y = −A₃ θ̇_y + σ A₂′ g_y,  M_z = −A₃ θ̇_z + σ A₂′ g_z
//!
//! with A₁ = (B/2)∫∂F′/∂U_t, A₂ = −(B/2)∫r ∂F′/∂U_a, A₂′ = (B/2)∫r ∂T′/∂U_t, A₃ = −(B/2)∫r² ∂T′/∂U_a. At zero lift without drag A₂′ = A₂
//! and these are the terms of Houbolt and Reed, J. Aerospace Sci. 29 (1962) p. 333, and Reed, J. Sound Vib. 4 (1966) p. 526 (derived
//! here; their notation was not compared). A loaded propeller also carries thrust and torque along when it turns.
//!
//! Assumptions: quasi-steady sections, induced velocity held; for one and two blades the mean over azimuth. Motion of the mount
//! meets the blade at 1P beside its own frequency, at a reduced frequency of about c/2r, where unsteady lift is 10 to 20 % less:
//! damping and whirl moment are high by that. Loaded, the normal-force slope may be half as large again as at zero lift.

use crate::air::Air;
use crate::blade::BladeStation;
use crate::frames::rotation_sign;
use crate::point::input::OperatingPoint;
use crate::point::result::{DiskField, HubLoad, PointResult};
use crate::rotor::station_section::StationSection;
use crate::section::SectionModel;
use nalgebra::SMatrix;

/// Shift, rotation and rotor angle at the hub; see [`super::system::System::hub`].
pub type Matrix7 = SMatrix<f64, 7, 7>;

/// Slopes of the loads of the whole propeller.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HubDerivatives {
    /// A₁: force in the disk plane by the wind along it, N s/m.
    pub force_by_wind_n_s_m: f64,
    /// A₂: force in the disk plane by the rate about its own axis, N s.
    pub force_by_rate_n_s: f64,
    /// A₂′: moment by the wind along its own axis, N s.
    pub moment_by_wind_n_s: f64,
    /// A₃: moment against the rate about its own axis, N m s.
    pub moment_by_rate_n_m_s: f64,
    /// Thrust by forward speed, N s/m.
    pub thrust_by_speed_n_s_m: f64,
    /// Thrust by shaft speed, N s.
    pub thrust_by_spin_n_s: f64,
    /// Torque by forward speed, N s.
    pub torque_by_speed_n_s: f64,
    /// k_a: torque by shaft speed, N m s.
    pub torque_by_spin_n_m_s: f64,
    /// Steady thrust that turns with the shaft, N.
    pub thrust_n: f64,
    /// Steady torque that turns with the shaft, N m.
    pub torque_n_m: f64,
    /// V: axial wind that turning the shaft tilts, m/s.
    pub axial_wind_m_s: f64,
    /// σ: +1 clockwise.
    pub sigma: f64,
}

/// One radius: what it meets on the mean and its slopes.
#[derive(Debug, Clone, Copy)]
struct Strip {
    radius_m: f64,
    width_m: f64,
    thrust: (f64, f64),
    against: (f64, f64),
}

impl HubDerivatives {
    /// Blades at zero lift without drag, induced velocity absent: the classical theory of propeller whirl.
    #[must_use]
    pub fn classical(blade: &BladeInAir, speed_rad_s: f64, axial_m_s: f64) -> Self {
        let strips = blade.stations.iter().zip(&blade.sections).map(|(s, section)| {
            let turning = speed_rad_s * s.radius_m;
            let speed = axial_m_s.hypot(turning);
            let slope = zero_lift_slope(section, speed / blade.air.speed_of_sound_m_s);
            let q = 0.5 * blade.air.density_kg_m3 * slope * s.chord_m / speed;
            Strip {
                radius_m: s.radius_m,
                width_m: s.width_m,
                thrust: (-q * turning * turning, q * turning * axial_m_s),
                against: (-q * axial_m_s * turning, q * axial_m_s * axial_m_s),
            }
        });
        Self::of_strips(strips, blade, axial_m_s, (0.0, 0.0))
    }

    /// The blade as loaded at an operating point: slopes of the section loads at the azimuth-mean velocities.
    #[must_use]
    pub fn loaded(blade: &BladeInAir, result: &PointResult, axial_m_s: f64) -> Self {
        let mean = |field: DiskField, i: usize| {
            let row = result.disk(field).row(i).to_owned();
            row.mean().unwrap_or(0.0)
        };
        let strips = blade.stations.iter().zip(&blade.sections).enumerate().map(|(i, (s, section))| {
            let (axial, tangential) =
                (mean(DiskField::AxialVelocity, i), mean(DiskField::TangentialVelocity, i));
            let step = 1e-4 * axial.hypot(tangential);
            let force = |a: f64, t: f64| blade.section_force(s, section, a, t);
            let by = |da: f64, dt: f64| {
                let (high, low) = (force(axial + da, tangential + dt), force(axial - da, tangential - dt));
                ((high.0 - low.0) / (2.0 * step), (high.1 - low.1) / (2.0 * step))
            };
            let (by_axial, by_tangential) = (by(step, 0.0), by(0.0, step));
            Strip {
                radius_m: s.radius_m,
                width_m: s.width_m,
                thrust: (by_axial.0, by_tangential.0),
                against: (by_axial.1, by_tangential.1),
            }
        });
        let mean_load = |load: HubLoad| result.hub(load).harmonics.amplitude.first().copied().unwrap_or(0.0);
        let steady = (mean_load(HubLoad::Thrust), mean_load(HubLoad::Torque));
        Self::of_strips(strips, blade, axial_m_s, steady)
    }

    fn of_strips(
        strips: impl Iterator<Item = Strip>,
        blade: &BladeInAir,
        axial_m_s: f64,
        (thrust_n, torque_n_m): (f64, f64),
    ) -> Self {
        let b = blade.blades;
        let mut all = Self {
            force_by_wind_n_s_m: 0.0,
            force_by_rate_n_s: 0.0,
            moment_by_wind_n_s: 0.0,
            moment_by_rate_n_m_s: 0.0,
            thrust_by_speed_n_s_m: 0.0,
            thrust_by_spin_n_s: 0.0,
            torque_by_speed_n_s: 0.0,
            torque_by_spin_n_m_s: 0.0,
            thrust_n,
            torque_n_m,
            axial_wind_m_s: axial_m_s,
            sigma: blade.sigma,
        };
        for strip in strips {
            let (r, dr) = (strip.radius_m, strip.width_m);
            all.force_by_wind_n_s_m += 0.5 * b * strip.against.1 * dr;
            all.force_by_rate_n_s -= 0.5 * b * strip.against.0 * r * dr;
            all.moment_by_wind_n_s += 0.5 * b * strip.thrust.1 * r * dr;
            all.moment_by_rate_n_m_s -= 0.5 * b * strip.thrust.0 * r * r * dr;
            all.thrust_by_speed_n_s_m += b * strip.thrust.0 * dr;
            all.thrust_by_spin_n_s += b * strip.thrust.1 * r * dr;
            all.torque_by_speed_n_s += b * strip.against.0 * r * dr;
            all.torque_by_spin_n_m_s += b * strip.against.1 * r * r * dr;
        }
        all
    }

    /// Damping and stiffness matrices at the hub: f = −C d/dt(u, θ, γ) − K (u, θ, γ).
    #[must_use]
    pub fn matrices(&self) -> (Matrix7, Matrix7) {
        let s = self.sigma;
        let (mut c, mut k) = (Matrix7::zeros(), Matrix7::zeros());
        c[(0, 0)] = -self.thrust_by_speed_n_s_m;
        c[(0, 6)] = self.thrust_by_spin_n_s;
        c[(6, 0)] = -self.torque_by_speed_n_s;
        c[(6, 6)] = self.torque_by_spin_n_m_s;
        for (force, moment) in [(1, 4), (2, 5)] {
            c[(force, force)] = self.force_by_wind_n_s_m;
            c[(force, moment)] = s * self.force_by_rate_n_s;
            c[(moment, force)] = s * self.moment_by_wind_n_s;
            c[(moment, moment)] = self.moment_by_rate_n_m_s;
        }
        let force = self.force_by_wind_n_s_m * self.axial_wind_m_s + self.thrust_n;
        let moment = s * (self.moment_by_wind_n_s * self.axial_wind_m_s - self.torque_n_m);
        (k[(1, 5)], k[(2, 4)]) = (force, -force);
        (k[(4, 5)], k[(5, 4)]) = (moment, -moment);
        (c, k)
    }

    /// Force square to the shaft by incidence, N/rad; the thrust that turns with the shaft is none of it.
    #[must_use]
    pub fn normal_force_slope_n_per_rad(&self) -> f64 {
        self.force_by_wind_n_s_m * self.axial_wind_m_s
    }
}

/// Blade stations and sections in the air of an operating point.
#[derive(Debug, Clone)]
pub struct BladeInAir {
    /// The air.
    pub air: Air,
    /// Stations, root to tip.
    pub stations: Vec<BladeStation>,
    /// Their sections.
    pub sections: Vec<StationSection>,
    /// Blade angle added to the twist, rad.
    pub pitch_rad: f64,
    /// Blade count.
    pub blades: f64,
    /// σ: +1 clockwise.
    pub sigma: f64,
}

impl BladeInAir {
    /// The blade of an operating point, sections at the Reynolds and Mach numbers of its speed and rotation.
    #[must_use]
    pub fn new(point: &OperatingPoint) -> Self {
        let propeller = &point.propeller;
        let air = crate::air::standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
        let stations =
            crate::blade::blade_stations(&propeller.blade, 0.5 * propeller.diameter_m, point.solver.stations);
        let sections = stations
            .iter()
            .map(|s| StationSection::of_station(propeller, s, &air, point.flight.airspeed_m_s))
            .collect();
        Self {
            air,
            stations,
            sections,
            pitch_rad: propeller.pitch_offset_rad,
            blades: propeller.blade_count as f64,
            sigma: rotation_sign(propeller.rotation),
        }
    }

    /// Forward force and force against the motion, per unit span, N/m.
    #[must_use]
    pub fn section_force(
        &self,
        s: &BladeStation,
        section: &StationSection,
        axial: f64,
        tangential: f64,
    ) -> (f64, f64) {
        let speed = axial.hypot(tangential);
        let angle = s.twist_rad + self.pitch_rad - axial.atan2(tangential);
        let c = section.coefficients(angle, speed / self.air.speed_of_sound_m_s);
        let pressure = 0.5 * self.air.density_kg_m3 * s.chord_m * speed;
        (pressure * (c.lift * tangential - c.drag * axial), pressure * (c.lift * axial + c.drag * tangential))
    }
}

/// Lift slope of a section where its lift vanishes, per rad.
fn zero_lift_slope(section: &StationSection, mach: f64) -> f64 {
    let lift = |angle: f64| section.coefficients(angle, mach).lift;
    let (mut low, mut high) = (-0.35_f64, 0.35_f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if lift(middle) > 0.0 { high = middle } else { low = middle }
    }
    let (zero, step) = (0.5 * (low + high), 1e-4);
    (lift(zero + step) - lift(zero - step)) / (2.0 * step)
}
