//! Mach number in section lift.

use crate::point::input::Compressibility;

/// Mach number above which the factor is held: the Prandtl–Glauert rule has no meaning near 1.
const MACH_CEILING: f64 = 0.9;

/// Factor on lift slope: 1/√(1 − M²) (Glauert, Proc. R. Soc. A 118, 1928, 113–119), held above M = 0.9.
///
/// Range: thin sections below the drag rise, see [`drag_rise_mach`]. Limit: 1 at M = 0.
#[must_use]
pub fn lift_factor(rule: Compressibility, mach: f64) -> f64 {
    match rule {
        Compressibility::None => 1.0,
        Compressibility::PrandtlGlauert => {
            let m = mach.min(MACH_CEILING);
            1.0 / (1.0 - m * m).sqrt()
        }
    }
}

/// Mach number where section drag begins to rise: 0.87 − t/c − cl/10.
///
/// Korn's relation for conventional sections; form and constant from memory. Used only to warn.
#[must_use]
pub fn drag_rise_mach(thickness_ratio: f64, lift: f64) -> f64 {
    0.87 - thickness_ratio - 0.1 * lift.abs()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn rule_is_one_at_rest_and_five_thirds_at_mach_point_eight() {
        assert_eq!(lift_factor(Compressibility::PrandtlGlauert, 0.0), 1.0);
        assert_relative_eq!(lift_factor(Compressibility::PrandtlGlauert, 0.8), 5.0 / 3.0, epsilon = 1e-14);
        assert_eq!(lift_factor(Compressibility::None, 0.8), 1.0);
    }
}
