//! Limit loads together with the vibration of the duty cycle, support by support.
//!
//! Limit: the greatest resultant of the cases plus the greatest alternating force of any segment, as if they pointed the same way: an
//! upper bound. Ultimate: limit times the factor of safety. Alternating: max |f(ψ) − f̄| over a revolution, f̄ the mean.

use super::cases::{LimitLoads, SupportForce};
use crate::duty::loads::revolution;
use crate::point::result::Harmonics;

/// What one support has to carry.
#[derive(Debug, Clone, PartialEq)]
pub struct CombinedLoad {
    /// Name of the support.
    pub name: String,
    /// Case with the greatest resultant.
    pub worst_case: String,
    /// Its resultant, N.
    pub limit_n: f64,
    /// Greatest force along the shaft over the cases, pulling aft positive, N.
    pub axial_greatest_n: f64,
    /// Least force along the shaft over the cases, N.
    pub axial_least_n: f64,
    /// Greatest force across the shaft over the cases, N.
    pub shear_n: f64,
    /// Greatest alternating force of any segment, N; 0 without a duty cycle.
    pub alternating_n: f64,
    /// Limit and alternating together, N.
    pub limit_with_vibration_n: f64,
    /// That times the factor of safety, N.
    pub ultimate_n: f64,
}

/// Greatest distance of a periodic force from its mean, N, over so many samples of a revolution.
#[must_use]
pub fn alternating_n(force: [&Harmonics; 3], samples: usize) -> f64 {
    let along = |harmonics: &Harmonics| {
        let mut about_mean = harmonics.clone();
        if let Some(mean) = about_mean.amplitude.first_mut() {
            *mean = 0.0;
        }
        revolution(&about_mean, samples)
    };
    let [x, y, z] = force.map(along);
    x.iter().zip(&y).zip(&z).map(|((x, y), z)| (x * x + y * y + z * z).sqrt()).fold(0.0, f64::max)
}

/// Combines the cases with the greatest alternating force on each support, N, in the order of the supports.
#[must_use]
pub fn combined(limit: &LimitLoads, alternating_n: &[f64]) -> Vec<CombinedLoad> {
    let support = |(index, name): (usize, &String)| {
        let forces = || limit.cases.iter().filter_map(move |case| case.supports.get(index));
        let greatest =
            |value: fn(&SupportForce) -> f64| forces().map(value).fold(f64::NEG_INFINITY, f64::max);
        let limit_n = greatest(SupportForce::resultant_n);
        let alternating_n = alternating_n.get(index).copied().unwrap_or_default();
        CombinedLoad {
            name: name.clone(),
            worst_case: limit.worst_case(index).map(|case| case.name.clone()).unwrap_or_default(),
            limit_n,
            axial_greatest_n: greatest(|force| force.force_n.x),
            axial_least_n: -greatest(|force| -force.force_n.x),
            shear_n: greatest(SupportForce::shear_n),
            alternating_n,
            limit_with_vibration_n: limit_n + alternating_n,
            ultimate_n: limit.ultimate_factor * (limit_n + alternating_n),
        }
    };
    limit.support_names.iter().enumerate().map(support).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A force that turns in the disk plane is as far from its mean everywhere; one along a line as far as its amplitude.
    #[test]
    fn alternating_force_of_simple_motions() {
        let of = |mean: f64, amplitude: f64, phase: f64| Harmonics {
            amplitude: vec![mean, amplitude],
            phase_rad: vec![0.0, phase],
        };
        let quarter = std::f64::consts::FRAC_PI_2;
        let turning = [&of(5.0, 0.0, 0.0), &of(-2.0, 3.0, 0.0), &of(0.0, 3.0, quarter)];
        assert!((alternating_n(turning, 360) - 3.0).abs() < 1e-12);
        let along = [&of(5.0, 4.0, 0.3), &of(0.0, 3.0, 0.3), &of(0.0, 0.0, 0.0)];
        assert!((alternating_n(along, 7200) - 5.0).abs() < 1e-5);
    }
}
