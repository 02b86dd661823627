//! Finite blade number: Prandtl's factor at tip and root.

/// Share of the blade-local induced velocity that the annulus mean has: F = `F_tip` `F_root`,
/// F = (2/π) acos e^(−f), `f_tip` = (N/2)(R − r)/(r |sin φ|), `f_root` = (N/2)(r − `r_root`)/(`r_root` |sin φ|).
///
/// Prandtl, appendix to Betz, Göttinger Nachrichten 1919; local-φ form as in Glauert, Airplane Propellers,
/// in Durand, Aerodynamic Theory IV, div. L, 1935 (from memory). Against Goldstein's exact circulation it is 7, 14, 28 % high for two blades at
/// λ = 0.2, 0.3, 0.5, less for more blades. Limit: 1 for many blades.
#[must_use]
pub fn prandtl_factor(blades: f64, radius: f64, root: f64, tip: f64, sin_inflow: f64) -> f64 {
    let sin = sin_inflow.abs().max(1e-9);
    let part = |f: f64| std::f64::consts::FRAC_2_PI * (-f).exp().acos();
    let tip_part = part(0.5 * blades * (tip - radius) / (radius * sin));
    let root_part = part(0.5 * blades * (radius - root) / (root * sin));
    (tip_part * root_part).max(1e-6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_blades_lose_nothing_and_the_tip_loses_all() {
        assert!((prandtl_factor(400.0, 0.7, 0.1, 1.0, 0.3) - 1.0).abs() < 1e-12);
        assert!(prandtl_factor(2.0, 0.999_999, 0.1, 1.0, 0.3) < 0.01);
    }
}
