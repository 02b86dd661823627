//! Flapping of the blades under their airloads, and what the hub then feels.
//!
//! Each mode of the rotating beam, with φ its shape for a tip that moves by 1 forward and m* its mass:
//!
//! m*(q̈ + 2ζω q̇ + ω² q) = ∫φ (T′ + ∂T′/∂U_a φ q̇) dr
//!
//! The last part is aerodynamic damping, −∂T′/∂U_a = ρ a c Ω² r²/(2W) for a blade near zero lift; for a rigid blade hinged on the axis (φ = r/R)
//! that is the Lock-number damping ζ = γ/(16 ν) in hover (textbook). A periodic load has the periodic answer q_n = Q_n/m*(ω² − n²Ω² + i n Ω c),
//! which marching in time reaches when transients have died (under test). The hub then feels, by order, thrust
//! T − ∫m φ q̈ dr + ∫T′_U φ q̇ dr and the flap moment about the axis of air, inertia and centrifugal force,
//! ∫r(T′ + T′_U φ q̇) dr − ∫m r φ (q̈ + Ω² q) dr. Stiff blades are the limit ω → ∞, where both are the airloads alone.
//!
//! Assumptions: bending along the shaft only; quasi-steady damping (unsteady lift takes about Re C(k) of it); the mean deflection does not
//! change the incidence; no coupling to the mount.

use super::beam::{Beam, BeamMode};
use crate::base::fourier::Fourier;
use crate::base::pchip::Pchip;
use crate::mount::MountError;
use crate::mount::aero::BladeInAir;
use crate::mount::estimate::{Material, SECTION_AREA, SECTION_FLAT};
use crate::point::input::OperatingPoint;
use crate::point::result::{DiskField, PointResult};
use nalgebra::Complex;

type C64 = Complex<f64>;

/// A blade of one material with the thickness form of the four-digit sections.
#[derive(Debug, Clone)]
pub struct SolidBlade {
    radius_m: Vec<f64>,
    area: Pchip,
    flat: Pchip,
    root_m: f64,
    tip_m: f64,
    material: Material,
}

impl SolidBlade {
    /// The blade of an operating point in a material.
    #[must_use]
    pub fn new(point: &OperatingPoint, material: Material) -> Self {
        let propeller = &point.propeller;
        let tip_m = 0.5 * propeller.diameter_m;
        let rows = &propeller.blade.rows;
        let x: Vec<f64> = rows.iter().map(|row| row.radius_ratio * tip_m).collect();
        let chord = |i: usize| rows[i].chord_ratio * tip_m;
        let thick = |i: usize| rows[i].thickness_ratio * chord(i);
        let curve =
            |value: &dyn Fn(usize) -> f64| Pchip::new(x.clone(), (0..rows.len()).map(value).collect());
        Self {
            area: curve(&|i| SECTION_AREA * chord(i) * thick(i)),
            flat: curve(&|i| SECTION_FLAT * chord(i) * thick(i).powi(3)),
            root_m: x[0],
            tip_m,
            radius_m: x,
            material,
        }
    }

    /// Mass per length, kg/m.
    #[must_use]
    pub fn mass_kg_m(&self, radius_m: f64) -> f64 {
        self.material.density_kg_m3 * self.area.at(radius_m).max(1e-12)
    }

    /// Flap modes at a shaft speed.
    ///
    /// # Errors
    /// [`MountError`] when the beam has no modes.
    pub fn modes(&self, speed_rad_s: f64, count: usize) -> Result<Vec<BeamMode>, MountError> {
        let beam = Beam {
            root_m: self.root_m,
            tip_m: self.tip_m,
            mass_kg_m: &|r| self.mass_kg_m(r),
            stiffness_n_m2: &|r| self.material.modulus_pa * self.flat.at(r).max(1e-18),
            pitch_rad: 0.0,
        };
        beam.modes(speed_rad_s, count)
    }

    /// Innermost and outermost radius, m.
    #[must_use]
    pub fn span_m(&self) -> (f64, f64) {
        (self.radius_m[0], self.tip_m)
    }
}

/// One mode with what the air adds.
#[derive(Debug, Clone)]
pub struct FlapMode {
    /// The mode of the beam.
    pub beam: BeamMode,
    /// Aerodynamic damping coefficient over the modal mass, 1/s.
    pub air_damping_per_s: f64,
    /// Structural loss factor.
    pub loss_factor: f64,
    /// Complex amplitude of the tip under the airloads by order, m.
    pub tip_m: Vec<C64>,
}

impl FlapMode {
    /// Damping ratio of air and material together.
    #[must_use]
    pub fn damping_ratio(&self) -> f64 {
        0.5 * self.air_damping_per_s / self.beam.frequency_rad_s + 0.5 * self.loss_factor
    }
}

/// What flapping does to one blade's loads, by order from 0.
#[derive(Debug, Clone)]
pub struct Flapping {
    /// Modes by frequency.
    pub modes: Vec<FlapMode>,
    /// Thrust of one blade as the hub feels it with stiff blades, N.
    pub stiff_thrust_n: Vec<C64>,
    /// The same with flapping blades, N.
    pub thrust_n: Vec<C64>,
    /// Flap moment of one blade about the axis with stiff blades, N m.
    pub stiff_moment_n_m: Vec<C64>,
    /// The same with flapping blades, N m.
    pub moment_n_m: Vec<C64>,
}

/// Modes that are carried.
pub const MODES: usize = 3;

/// Flapping of the first blade under the airloads of an operating point.
///
/// # Errors
/// [`MountError`] when the beam has no modes.
pub fn flapping(
    point: &OperatingPoint,
    result: &PointResult,
    material: Material,
    orders: usize,
) -> Result<Flapping, MountError> {
    let solid = SolidBlade::new(point, material);
    let air = BladeInAir::new(point);
    let speed = point.propeller.speed_rad_s;
    let fourier = Fourier::new(result.azimuth_rad.len());
    // Forward force per length by station and order; a e^{-iφ} as in the hub loads.
    let loads: Vec<Vec<C64>> = (0..air.stations.len())
        .map(|i| {
            let row: Vec<f64> = result.disk(DiskField::NormalForce).row(i).to_vec();
            fourier.coefficients(&row).iter().take(orders).map(|c| C64::new(c.re, c.im)).collect()
        })
        .collect();
    let slope = thrust_slopes(&air, result);
    let beams = solid.modes(speed, MODES)?;
    let shapes: Vec<Vec<f64>> =
        beams.iter().map(|mode| air.stations.iter().map(|s| mode.at(s.radius_m)).collect()).collect();
    let over = |value: &dyn Fn(usize) -> f64| -> f64 {
        air.stations.iter().enumerate().map(|(i, s)| value(i) * s.width_m).sum()
    };
    let load_over = |n: usize, weight: &dyn Fn(usize) -> f64| -> C64 {
        air.stations.iter().enumerate().map(|(i, s)| loads[i][n] * (weight(i) * s.width_m)).sum()
    };
    let mut modes: Vec<FlapMode> = Vec::new();
    for (beam, shape) in beams.into_iter().zip(&shapes) {
        let damping = -over(&|i| slope[i] * shape[i] * shape[i]) / beam.modal_mass_kg;
        let tip_m = (0..orders)
            .map(|n| {
                let w = n as f64 * speed;
                let square = beam.frequency_rad_s.powi(2);
                let loss = if n > 0 { square * material.loss_factor } else { 0.0 };
                load_over(n, &|i| shape[i])
                    / (C64::new(square - w * w, w * damping + loss) * beam.modal_mass_kg)
            })
            .collect();
        modes.push(FlapMode { beam, air_damping_per_s: damping, loss_factor: material.loss_factor, tip_m });
    }
    let radius = |i: usize| air.stations[i].radius_m;
    let mass = |i: usize| solid.mass_kg_m(radius(i));
    let stiff_thrust_n: Vec<C64> = (0..orders).map(|n| load_over(n, &|_| 1.0)).collect();
    let stiff_moment_n_m: Vec<C64> = (0..orders).map(|n| load_over(n, &radius)).collect();
    let (mut thrust_n, mut moment_n_m) = (stiff_thrust_n.clone(), stiff_moment_n_m.clone());
    for (mode, shape) in modes.iter().zip(&shapes) {
        let inertia = (over(&|i| mass(i) * shape[i]), over(&|i| mass(i) * radius(i) * shape[i]));
        let air = (over(&|i| slope[i] * shape[i]), over(&|i| slope[i] * radius(i) * shape[i]));
        for n in 0..orders {
            let w = n as f64 * speed;
            let (q, rate) = (mode.tip_m[n], mode.tip_m[n] * C64::new(0.0, w));
            thrust_n[n] += q * (w * w * inertia.0) + rate * air.0;
            moment_n_m[n] += q * ((w * w - speed * speed) * inertia.1) + rate * air.1;
        }
    }
    Ok(Flapping { modes, stiff_thrust_n, thrust_n, stiff_moment_n_m, moment_n_m })
}

/// ∂T′/∂U_a by station at the azimuth-mean velocities, N s/m².
fn thrust_slopes(air: &BladeInAir, result: &PointResult) -> Vec<f64> {
    let mean = |field: DiskField, i: usize| result.disk(field).row(i).mean().unwrap_or(0.0);
    air.stations
        .iter()
        .zip(&air.sections)
        .enumerate()
        .map(|(i, (s, section))| {
            let (axial, tangential) =
                (mean(DiskField::AxialVelocity, i), mean(DiskField::TangentialVelocity, i));
            let step = 1e-4 * axial.hypot(tangential);
            let force = |a: f64| air.section_force(s, section, a, tangential).0;
            (force(axial + step) - force(axial - step)) / (2.0 * step)
        })
        .collect()
}
