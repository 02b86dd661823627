//! Loads of the propeller as the mount meets them: by order, on the seven hub coordinates.
//!
//! The aerodynamic torque acts on the propeller, not on the body: it stands on the rotor's own coordinate, against the spin, and
//! reaches the mount through the motor. The mean torque passes in full.

use crate::base::Vec3;
use crate::frames::rotation_sign;
use crate::point::input::{OperatingPoint, Rotation};
use crate::point::result::{HubLoad, PointResult};
use nalgebra::{Complex, SVector};

/// Force, moment and torque on the rotor at the hub, shaft axes; complex amplitudes a e^{−iφ} of a cos(nψ − φ).
pub type HubVector = SVector<Complex<f64>, 7>;

/// Loads of one steady state by order; order 0 is the mean.
#[derive(Debug, Clone, PartialEq)]
pub struct HubHarmonics {
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// By order from 0.
    pub orders: Vec<HubVector>,
}

impl HubHarmonics {
    /// The airloads of an operating point.
    #[must_use]
    pub fn of_point(result: &PointResult, speed_rad_s: f64) -> Self {
        let count = result.hub(HubLoad::Thrust).harmonics.amplitude.len();
        let phasor = |load: HubLoad, n: usize| {
            let p = result.hub(load).harmonics.phasor(n);
            Complex::new(p.re, p.im)
        };
        let orders = (0..count)
            .map(|n| {
                HubVector::from_column_slice(&[
                    -phasor(HubLoad::Thrust, n),
                    phasor(HubLoad::SideForce, n),
                    phasor(HubLoad::VerticalForce, n),
                    Complex::default(),
                    phasor(HubLoad::PitchingMoment, n),
                    -phasor(HubLoad::YawingMoment, n),
                    -phasor(HubLoad::Torque, n),
                ])
            })
            .collect();
        Self { speed_rad_s, orders }
    }

    /// A static unbalance U = m e that points `ahead_rad` ahead of blade 1 in the sense of rotation: the force U Ω² turns with the shaft.
    #[must_use]
    pub fn of_unbalance(
        unbalance_kg_m: f64,
        ahead_rad: f64,
        speed_rad_s: f64,
        sigma: f64,
        orders: usize,
    ) -> Self {
        let mut all = vec![HubVector::zeros(); orders.max(2)];
        let force = unbalance_kg_m * speed_rad_s * speed_rad_s * Complex::from_polar(1.0, ahead_rad);
        all[1][2] = force;
        all[1][1] = Complex::new(0.0, -sigma) * force;
        Self { speed_rad_s, orders: all }
    }

    /// Mean loads as the body feels them when it is held: torque about x included.
    #[must_use]
    pub fn steady_on_body(&self, sigma: f64) -> [f64; 6] {
        let mean = self.orders.first().copied().unwrap_or_default();
        // The torque against the spin −σ x, taken by the motor, is + σ about x on the stator.
        [mean[0].re, mean[1].re, mean[2].re, -sigma * mean[6].re, mean[4].re, mean[5].re]
    }
}

/// Permissible residual unbalance of balance grade G (ISO 21940-11): e_per Ω = G at the highest service speed; U = m e, kg m.
#[must_use]
pub fn grade_unbalance_kg_m(grade_mm_s: f64, rotor_mass_kg: f64, speed_rad_s: f64) -> f64 {
    if speed_rad_s > 0.0 { 1e-3 * grade_mm_s / speed_rad_s * rotor_mass_kg } else { 0.0 }
}

/// Unbalance of like blades at uneven spacing: S |Σ e^{iδ_k}| with S the blade's first moment, kg m.
#[must_use]
pub fn spacing_unbalance_kg_m(first_moment_kg_m: f64, blades: usize, error_rad: &[f64]) -> f64 {
    let azimuths = crate::rotor::hub::blade_azimuths(blades, error_rad);
    let (x, y) = azimuths.iter().fold((0.0, 0.0), |(x, y), a| (x + a.cos(), y + a.sin()));
    let even = blades >= 2;
    // A single blade is built with its counterweight.
    if even { first_moment_kg_m * f64::hypot(x, y) } else { 0.0 }
}

/// σ of a point's propeller.
#[must_use]
pub fn sigma(rotation: Rotation) -> f64 {
    rotation_sign(rotation)
}

/// Axial part of the undisturbed wind at the disk, m/s.
#[must_use]
pub fn axial_wind_m_s(point: &OperatingPoint) -> f64 {
    let disk = crate::frames::DiskAxes::new(&point.placement, point.propeller.rotation);
    let wind: Vec3 = crate::frames::free_stream_m_s(&point.flight);
    wind.dot(&disk.aft)
}
