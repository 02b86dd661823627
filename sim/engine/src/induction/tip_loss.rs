//! Finite blade number: Prandtl's factor at tip and root.

use super::goldstein::goldstein_factor;
use crate::point::input::TipLoss;

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

impl TipLoss {
    /// Share of the blade-local induced velocity that the annulus mean has; lengths in one unit, φ the inflow angle.
    #[must_use]
    pub fn factor(self, blades: f64, radius: f64, root: f64, tip: f64, sin_inflow: f64) -> f64 {
        match self {
            Self::Prandtl => prandtl_factor(blades, radius, root, tip, sin_inflow),
            Self::Goldstein => goldstein_factor(blades, radius, root, tip, sin_inflow),
        }
    }
}

/// Blade counts, and λ, of [`EXCESS`].
const BLADES: [usize; 4] = [2, 3, 4, 6];
const ADVANCE: [f64; 10] = [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.75, 1.0];

/// Excess of Prandtl's tip factor (local φ) over Goldstein's, weighted by the optimum's thrust from 0.1 to 0.975 R:
/// quadrature of our own solution of Goldstein's problem (Proc. R. Soc. A 123, 1929, 440–465), error below 1e-3.
const EXCESS: [[f64; 10]; 4] = [
    [0.0032, 0.0154, 0.0373, 0.0677, 0.1036, 0.1418, 0.2166, 0.2827, 0.4022, 0.4729],
    [0.0014, 0.0066, 0.0163, 0.0304, 0.0484, 0.0691, 0.1135, 0.1564, 0.2406, 0.2939],
    [0.0007, 0.0036, 0.0089, 0.0168, 0.0272, 0.0397, 0.0684, 0.0979, 0.1604, 0.2022],
    [0.0003, 0.0015, 0.0038, 0.0072, 0.0117, 0.0174, 0.0316, 0.0476, 0.0853, 0.1132],
];

/// How far [`prandtl_factor`] is above Goldstein's exact factor over the blade, at `advance` λ, the speed of the air
/// through the disk over ΩR; linear in λ and blade count between tabulated values, the ends of λ held. One blade is taken as two
/// (it loses more); `None` above six blades, which lose less.
#[must_use]
pub fn prandtl_excess(blades: usize, advance: f64) -> Option<f64> {
    let blades = blades.max(BLADES[0]);
    let above = BLADES.iter().position(|b| *b >= blades)?;
    let at = |row: usize| linear(&ADVANCE, &EXCESS[row], advance);
    if BLADES[above] == blades {
        return Some(at(above));
    }
    let (a, b) = (BLADES[above - 1] as f64, BLADES[above] as f64);
    let t = (blades as f64 - a) / (b - a);
    Some(at(above - 1) + t * (at(above) - at(above - 1)))
}

/// Value at `at` between the points of a table, its ends held.
fn linear(x: &[f64], y: &[f64], at: f64) -> f64 {
    let k = x.partition_point(|v| *v <= at).clamp(1, x.len() - 1);
    let t = ((at - x[k - 1]) / (x[k] - x[k - 1])).clamp(0.0, 1.0);
    y[k - 1] + t * (y[k] - y[k - 1])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn excess_over_goldstein_grows_with_advance_and_falls_with_blades() {
        for (blades, at) in [(2, [0.07, 0.14, 0.28]), (3, [0.03, 0.07, 0.16]), (4, [0.02, 0.04, 0.10])] {
            for (advance, expected) in [0.2, 0.3, 0.5].into_iter().zip(at) {
                assert!((prandtl_excess(blades, advance).unwrap() - expected).abs() < 0.005);
            }
        }
        let five = prandtl_excess(5, 0.35).unwrap();
        assert!(five < prandtl_excess(4, 0.35).unwrap() && five > prandtl_excess(6, 0.35).unwrap());
        assert_eq!(prandtl_excess(1, 0.3), prandtl_excess(2, 0.3));
        assert_eq!(prandtl_excess(7, 0.5), None);
    }

    #[test]
    fn many_blades_lose_nothing_and_the_tip_loses_all() {
        assert!((prandtl_factor(400.0, 0.7, 0.1, 1.0, 0.3) - 1.0).abs() < 1e-12);
        assert!(prandtl_factor(2.0, 0.999_999, 0.1, 1.0, 0.3) < 0.01);
    }
}
