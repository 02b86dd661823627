//! Annular momentum.
//!
//! Per unit radius dT = 4πrρF(V̄ + v)v and dQ = 4πr²ρF(V̄ + v)w (Glauert 1935, ch. VII; blade-local v and
//! w, F of [`super::tip_loss`]), with V̄ the azimuth-mean axial inflow, v the axial and w the rotational
//! induced velocity at the blade. Loads include drag. From static thrust (V̄ = 0) to windmilling; where
//! the propeller brakes hard, −v > 0.4 V̄, Buhl's straight-through form of the measured thrust
//! replaces it (NREL/TP-500-36834, 2005, eq. 1): with a = −v/V̄,
//! `C_T` = 8/9 + (4F − 40/9) a + (50/9 − 4F) a², equal in value and slope at a = 0.4, which ends at a = 1.
//!
//! Beyond a = 1 the air goes through the annulus from behind: a vortex ring, unsteady, for which no annulus holds. So that
//! a station that brakes at rest or in slow flight does not leave the whole propeller without an answer, the curve goes on as
//! `C_T` = 4 [F a² + (5/3 − 3F) a + 2F − 7/6] (design choice): Buhl's in value and slope at a = 1, rising from there, and at V̄ = 0
//! Froude's static thrust turned round, dT = 4πrρF v|v|. At equal thrust the measured induced velocity of descending rotors is higher,
//! by a tenth near rest to a half near a = 1 (J. G. Leishman, Principles of Helicopter Aerodynamics, ch. 2, from memory). A point with
//! such stations is told.
//!
//! Swirl is taken up by the mass flow that takes up the axial force, dQ = r w dT/v, which is the form above but where Buhl's holds.
//! There V̄ + v goes to nothing while the measured thrust does not: mixing brings in air that does not pass the annulus.

use crate::point::input::TipLoss;

/// Induction above which braking leaves momentum theory.
const BRAKING_LIMIT: f64 = 0.4;

/// The fixed data of an annulus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Annulus {
    /// Radius, m.
    pub radius_m: f64,
    /// Blade root radius, m.
    pub root_m: f64,
    /// Tip radius, m.
    pub tip_m: f64,
    /// Blade count.
    pub blades: f64,
    /// Air density, kg/m³.
    pub density_kg_m3: f64,
    /// Factor for the finite blade count.
    pub tip_loss: TipLoss,
}

/// Axial and rotational induced velocity at the blade, m/s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Induced {
    /// Downstream positive.
    pub axial_m_s: f64,
    /// With the rotation positive.
    pub swirl_m_s: f64,
}

impl Annulus {
    /// Share of the blade-local induced velocity that the annulus mean has at an inflow angle's sine.
    #[must_use]
    pub fn factor(&self, sin_inflow: f64) -> f64 {
        self.tip_loss.factor(self.blades, self.radius_m, self.root_m, self.tip_m, sin_inflow)
    }

    /// Axial and tangential force per unit radius, N/m, that the annulus takes up at mean inflow
    /// `axial_mean_m_s` and mean tangential velocity `tangential_mean_m_s` (without swirl).
    #[must_use]
    pub fn momentum_n_per_m(
        &self,
        axial_mean_m_s: f64,
        tangential_mean_m_s: f64,
        induced: Induced,
    ) -> (f64, f64) {
        let Induced { axial_m_s: v, swirl_m_s: w } = induced;
        let through = axial_mean_m_s + v;
        let tangential = tangential_mean_m_s - w;
        let sin = through / through.hypot(tangential);
        let factor = self.factor(sin);
        let area_density = 4.0 * std::f64::consts::PI * self.radius_m * self.density_kg_m3;
        if axial_mean_m_s > 0.0 && -v > BRAKING_LIMIT * axial_mean_m_s {
            let coefficient = braking_coefficient(factor, -v / axial_mean_m_s);
            let axial = -0.25 * area_density * axial_mean_m_s * axial_mean_m_s * coefficient;
            return (axial, axial / v * w);
        }
        let flux = area_density * factor * through.abs();
        (flux * v, flux * w)
    }
}

/// Thrust of a braking annulus over its area and the dynamic pressure of V̄, at a = −v/V̄ above [`BRAKING_LIMIT`].
fn braking_coefficient(factor: f64, a: f64) -> f64 {
    if a <= 1.0 {
        8.0 / 9.0 + (4.0 * factor - 40.0 / 9.0) * a + (50.0 / 9.0 - 4.0 * factor) * a * a
    } else {
        4.0 * (factor * a * a + (5.0 / 3.0 - 3.0 * factor) * a + 2.0 * factor - 7.0 / 6.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn annulus() -> Annulus {
        Annulus {
            radius_m: 0.5,
            root_m: 0.1,
            tip_m: 1.0,
            blades: 400.0,
            density_kg_m3: 1.2,
            tip_loss: TipLoss::Prandtl,
        }
    }

    #[test]
    fn static_and_forward_thrust_are_froudes() {
        let at = |mean, v| annulus().momentum_n_per_m(mean, 50.0, Induced { axial_m_s: v, swirl_m_s: 0.0 }).0;
        let ring = std::f64::consts::TAU * 0.5;
        // ρ (V + v) 2v per unit area.
        assert_relative_eq!(at(0.0, 3.0), 1.2 * ring * 2.0 * 9.0, max_relative = 1e-9);
        assert_relative_eq!(at(10.0, 2.0), 1.2 * ring * 12.0 * 4.0, max_relative = 1e-9);
    }

    #[test]
    fn braking_passes_smoothly_into_the_measured_curve() {
        let at = |v| annulus().momentum_n_per_m(10.0, 50.0, Induced { axial_m_s: v, swirl_m_s: 0.0 }).0;
        let h = 1e-5;
        for join in [-4.0, -10.0] {
            assert_relative_eq!(at(join - h), at(join + h), max_relative = 1e-5);
            let (below, above) = (at(join) - at(join - h), at(join + h) - at(join));
            assert_relative_eq!(below, above, max_relative = 1e-3);
        }
    }

    #[test]
    fn reversed_flow_rises_to_the_static_thrust_turned_round() {
        let at = |mean, v| annulus().momentum_n_per_m(mean, 50.0, Induced { axial_m_s: v, swirl_m_s: 0.0 }).0;
        let still = at(0.0, -3.0);
        assert_relative_eq!(still, -at(0.0, 3.0), max_relative = 1e-12);
        assert_relative_eq!(at(1e-9, -3.0), still, max_relative = 1e-8);
        for factor in [0.05, 0.3, 1.0] {
            let mut before = 0.0;
            for step in 41..2000 {
                let now = braking_coefficient(factor, 0.01 * f64::from(step));
                assert!(now > before, "F {factor}, a {}", 0.01 * f64::from(step));
                before = now;
            }
        }
    }

    #[test]
    fn swirl_of_a_braking_annulus_is_taken_up_where_no_air_passes() {
        let swirled = |v| annulus().momentum_n_per_m(10.0, 50.0, Induced { axial_m_s: v, swirl_m_s: -2.0 }).1;
        // Continuous where momentum theory ends, and not nothing at a = 1.
        assert_relative_eq!(swirled(-4.0 - 1e-6), swirled(-4.0 + 1e-6), max_relative = 1e-5);
        assert!(swirled(-10.0) < 0.5 * swirled(-4.0));
    }
}
