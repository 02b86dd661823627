//! Induced velocity that takes time and leans: annulus time constants and the disk's first harmonic.
//!
//! *Annuli.* After a change of load an annulus approaches its momentum value with its own time constant
//! τ = `f_a`(x) R/(V̄ + 2v), the initial slope of a growing vortex cylinder of the wake,
//! `f_a` = 2π / ∫₀^2π (1 − x cos p)(1 + x² − 2x cos p)^(−3/2) dp (Snel and Schepers, ECN-C-94-107, 1995, from memory; the
//! cylinder by Biot and Savart). On the axis this is R/(V̄ + 2v); the apparent mass of a rigid disk gives 0.42 of it and the
//! cylinder's 63 % point 0.82: published constants differ by a factor of about two, and this is the upper one inboard. In a steady
//! operating point the load of an annulus ripples at multiples of NP, and its induced velocity by 1/(1 + iωτ) of
//! what momentum would ask.
//!
//! *First harmonic.* Pitt and Peters (Vertica 5, 1981, 21–34) with Peters and `HaQuang`'s mass-flow
//! parameters: v₁(r, ψ) = (r/R)(`λ_c` cos ψ + `λ_s` sin ψ), steady λ = L m/(ρπR³V) with m the first moment of thrust along the same axis,
//! L = 2(1 − X²) along the skew and 2(1 + X²) across it, X = tan(χ/2), and (15π/64) X T/(ρπR²`V_T`) along the skew from
//! thrust. V = [`V_p`² + (V̄ + v)(V̄ + 2v)]/`V_T`, `V_T` = √(`V_p`² + (V̄ + v)²), `V_p` the in-plane speed. In axial flow this is annular
//! momentum. A propeller's blades stand steeply to the disk, and the velocity induced by a lift that changes once a
//! revolution lies along that lift: its in-plane part follows from the normal force H by the same momentum, a uniform −H/(2ρπR²`V_T`). The uniform
//! axial state belongs to the annuli.
//!
//! Only the mean of the first harmonic is carried; its ripple at NP is left out (frozen, like all induced harmonics of order
//! 2 and more), which for two blades, whose hub moment pulses in full, overstates the ripple by what the lag 0.23R/V lets through.

use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::base::pchip::Pchip;

/// `f_a` of the annulus time constant at x = r/R below 1: 1 on the axis, 0 at the edge.
///
/// Read from a table of the integral, closer towards the rim; good to 1e-5 up to x = 0.95.
#[must_use]
pub fn time_factor(x: f64) -> f64 {
    static TABLE: LazyLock<Pchip> = LazyLock::new(|| {
        let nodes = 160;
        let x: Vec<f64> = (0..nodes).map(|i| (0.5 * PI * f64::from(i) / f64::from(nodes)).sin()).collect();
        let y = x.iter().map(|x| time_factor_integral(*x)).collect();
        Pchip::new(x, y)
    });
    TABLE.at(x)
}

/// The sum over equal angles converges fast except at the rim; with 512 angles it is good to 1e-6 up to x = 0.95.
fn time_factor_integral(x: f64) -> f64 {
    let steps = 512;
    let sum: f64 = (0..steps)
        .map(|i| {
            let cos = (PI * (i as f64 + 0.5) / steps as f64).cos();
            (1.0 - x * cos) / (1.0 + x * x - 2.0 * x * cos).powf(1.5)
        })
        .sum();
    steps as f64 / sum
}

/// Time constant of an annulus, s: `f_a` R/(V̄ + 2v).
#[must_use]
pub fn time_constant_s(x: f64, tip_m: f64, mean_m_s: f64, v_m_s: f64) -> f64 {
    time_factor(x) * tip_m / (mean_m_s + 2.0 * v_m_s).abs().max(1e-6)
}

/// Induced velocity a time `step_s` later while momentum asks for `asked_m_s`: exact for a constant demand.
#[must_use]
pub fn after_step(v_m_s: f64, asked_m_s: f64, step_s: f64, time_constant_s: f64) -> f64 {
    asked_m_s + (v_m_s - asked_m_s) * (-step_s / time_constant_s).exp()
}

/// First harmonic of the induced velocity, constant in time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FirstHarmonic {
    /// `λ_c`: axial at the tip along ψ = 0, m/s.
    pub cosine_m_s: f64,
    /// `λ_s`: axial at the tip along ψ = 90°, m/s.
    pub sine_m_s: f64,
    /// In-plane velocity of the air towards starboard, m/s.
    pub starboard_m_s: f64,
    /// In-plane velocity of the air upwards, m/s.
    pub up_m_s: f64,
}

/// Mean first moments and normal force of all blades.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FirstLoads {
    /// Thrust, N.
    pub thrust_n: f64,
    /// ∫ r cos ψ dT, N m.
    pub cosine_moment_n_m: f64,
    /// ∫ r sin ψ dT, N m.
    pub sine_moment_n_m: f64,
    /// Force on the propeller towards starboard, N.
    pub side_force_n: f64,
    /// Force on the propeller upwards, N.
    pub vertical_force_n: f64,
}

/// Least mass-flow parameter of a braking disk over the axial speed ahead of it: V + 2v of momentum theory goes through 0 at v = −V/2, where
/// Buhl's curve of thrust has a slope of its own; at its joint, v = −0.4 V, both are 0.2 V.
const LEAST_MASS_FLOW: f64 = 0.2;

/// Flow through the disk as a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiskFlow {
    /// Air density, kg/m³.
    pub density_kg_m3: f64,
    /// Tip radius, m.
    pub tip_m: f64,
    /// Mean axial inflow V̄ without induction, m/s.
    pub axial_m_s: f64,
    /// Mean axial induced velocity, m/s.
    pub induced_m_s: f64,
    /// In-plane speed of the free stream, m/s.
    pub in_plane_m_s: f64,
    /// Azimuth towards which the free stream's in-plane part blows, rad.
    pub skew_azimuth_rad: f64,
}

impl DiskFlow {
    /// `V_T`, speed through the disk, m/s.
    #[must_use]
    pub fn through_m_s(&self) -> f64 {
        self.in_plane_m_s.hypot(self.axial_m_s + self.induced_m_s).max(1e-6)
    }

    /// V, mass-flow parameter of the first harmonic, m/s.
    #[must_use]
    pub fn mass_flow_m_s(&self) -> f64 {
        let axial = self.axial_m_s + self.induced_m_s;
        let square = self.in_plane_m_s.powi(2) + axial * (axial + self.induced_m_s);
        (square / self.through_m_s()).max(LEAST_MASS_FLOW * self.axial_m_s.abs()).max(1e-6)
    }

    /// X = tan(χ/2), half-angle tangent of the wake's skew.
    #[must_use]
    pub fn skew(&self) -> f64 {
        let axial = (self.axial_m_s + self.induced_m_s).max(0.0);
        self.in_plane_m_s / (self.through_m_s() + axial)
    }

    /// The first harmonic that given loads ask for.
    #[must_use]
    pub fn first_harmonic(&self, loads: &FirstLoads) -> FirstHarmonic {
        let area_density = self.density_kg_m3 * PI * self.tip_m.powi(2);
        let x = self.skew();
        let (sin, cos) = self.skew_azimuth_rad.sin_cos();
        let along = loads.cosine_moment_n_m * cos + loads.sine_moment_n_m * sin;
        let across = loads.sine_moment_n_m * cos - loads.cosine_moment_n_m * sin;
        let moment_scale = area_density * self.tip_m * self.mass_flow_m_s();
        let lean = 15.0 * PI / 64.0 * x * loads.thrust_n / (area_density * self.through_m_s());
        let along = 2.0 * (1.0 - x * x) * along / moment_scale + lean;
        let across = 2.0 * (1.0 + x * x) * across / moment_scale;
        let in_plane = -0.5 / (area_density * self.through_m_s());
        FirstHarmonic {
            cosine_m_s: along * cos - across * sin,
            sine_m_s: along * sin + across * cos,
            starboard_m_s: in_plane * loads.side_force_n,
            up_m_s: in_plane * loads.vertical_force_n,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn axial() -> DiskFlow {
        DiskFlow {
            density_kg_m3: 1.2,
            tip_m: 0.5,
            axial_m_s: 20.0,
            induced_m_s: 4.0,
            in_plane_m_s: 0.0,
            skew_azimuth_rad: 0.3,
        }
    }

    #[test]
    fn in_axial_flow_the_moment_gain_is_annular_momentum() {
        // v₁ = λ x cos ψ takes up the moment ∫∫ 2ρ(V + 2v)λ x cos ψ · r cos ψ · r dr dψ = ρ π R³ (V + 2v) λ/2.
        let loads = FirstLoads { cosine_moment_n_m: 3.0, ..FirstLoads::default() };
        let got = axial().first_harmonic(&loads);
        let momentum = 3.0 / (0.5 * 1.2 * PI * 0.125 * 28.0);
        assert_relative_eq!(got.cosine_m_s, momentum, max_relative = 1e-14);
        assert_relative_eq!(got.sine_m_s, 0.0, epsilon = 1e-15);
    }

    #[test]
    fn skew_leans_the_inflow_downstream_whatever_the_axes() {
        let flow = DiskFlow { in_plane_m_s: 8.0, ..axial() };
        let got = flow.first_harmonic(&FirstLoads { thrust_n: 50.0, ..FirstLoads::default() });
        assert_relative_eq!(got.sine_m_s.atan2(got.cosine_m_s), 0.3, epsilon = 1e-14);
        assert!(got.cosine_m_s > 0.0);
    }

    #[test]
    fn a_step_reaches_63_percent_after_the_time_constant() {
        let tau = time_constant_s(0.0, 0.5, 20.0, 4.0);
        assert_relative_eq!(tau, 0.5 / 28.0, max_relative = 1e-12);
        assert_relative_eq!(after_step(1.0, 2.0, tau, tau), 2.0 - (-1.0_f64).exp(), max_relative = 1e-14);
    }
}
