//! Blades at their own azimuths to hub loads.
//!
//! Blade k stands at ψ + δ_k, δ_k = 2π(k−1)/N plus its spacing error, so that its share of a hub load
//! is its own signal shifted by δ_k. The shift is made on the Fourier coefficients: exact for what
//! the azimuth grid holds, whether or not N divides it. For even spacing the sum over blades keeps
//! orders that are multiples of N and cancels the others to rounding.

use realfft::num_complex::Complex64;

use super::blade_loads::BladeSignals;
use super::hub_signals::HubSignals;
use crate::base::fourier::{Fourier, harmonics};
use crate::point::result::{BladeLoads, Harmonics, HubLoad, LoadHistory};

/// Azimuth of each blade ahead of the first, rad.
#[must_use]
pub fn blade_azimuths(count: usize, spacing_error_rad: &[f64]) -> Vec<f64> {
    (0..count)
        .map(|k| {
            std::f64::consts::TAU * k as f64 / count as f64 + spacing_error_rad.get(k).copied().unwrap_or(0.0)
        })
        .collect()
}

/// Hub loads in the order of [`HubLoad::ALL`] from the blades' signals.
///
/// `signals` holds one entry where blades are alike, else one a blade; `orders` the number of
/// harmonics kept, order 0 included; `sigma` the sign of the rotation.
#[must_use]
pub fn hub_loads(
    signals: &[BladeSignals],
    spacing_error_rad: &[f64],
    blade_count: usize,
    sigma: f64,
    fourier: &Fourier,
    orders: usize,
) -> Vec<LoadHistory> {
    let turns = blade_turns(blade_count, spacing_error_rad, fourier.kept());
    let of = |load: HubLoad| -> Vec<Complex64> {
        let spectra: Vec<Vec<Complex64>> =
            signals.iter().map(|signal| fourier.coefficients(signal.hub.of(load))).collect();
        sum_of_blades(&spectra, &turns)
    };
    by_load(sigma, of).iter().map(|coefficients| history(coefficients, fourier, orders)).collect()
}

/// Harmonics of the hub loads in the order of [`HubLoad::ALL`] from the spectra of blades that are alike; the rest as for
/// [`hub_loads`].
#[must_use]
pub fn hub_harmonics(
    spectra: &HubSignals<Complex64>,
    spacing_error_rad: &[f64],
    blade_count: usize,
    sigma: f64,
    orders: usize,
) -> Vec<Harmonics> {
    let turns = blade_turns(blade_count, spacing_error_rad, orders);
    let of = |load: HubLoad| {
        let mut sum = sum_of_blades(&[spectra.of(load)], &turns);
        // Beyond what the azimuths hold there is nothing.
        sum.resize(orders, Complex64::default());
        sum
    };
    by_load(sigma, of).iter().map(|coefficients| harmonics(coefficients, orders)).collect()
}

/// Coefficients of all hub loads in the order of [`HubLoad::ALL`]; the rolling moment is the torque's.
fn by_load(sigma: f64, of: impl Fn(HubLoad) -> Vec<Complex64>) -> Vec<Vec<Complex64>> {
    let torque = of(HubLoad::Torque);
    let each = HubLoad::ALL.iter().map(|load| match load {
        HubLoad::Torque => torque.clone(),
        // The airframe is turned against the rotation: starboard side up for a clockwise propeller.
        HubLoad::RollingMoment => torque.iter().map(|c| c * -sigma).collect(),
        other => of(*other),
    });
    each.collect()
}

/// Loads of one blade in the order of the result file.
#[must_use]
pub fn blade_load_histories(signals: &BladeSignals, fourier: &Fourier, orders: usize) -> BladeLoads {
    [&signals.hub.thrust_n, &signals.hub.torque_n_m, &signals.flap_moment_n_m, &signals.lag_moment_n_m].map(
        |signal| LoadHistory {
            history: signal.clone(),
            harmonics: harmonics(&fourier.coefficients(signal), orders),
        },
    )
}

/// A load from its coefficients.
fn history(coefficients: &[Complex64], fourier: &Fourier, orders: usize) -> LoadHistory {
    LoadHistory { history: fourier.samples(coefficients), harmonics: harmonics(coefficients, orders) }
}

/// By which each blade's coefficients of orders 0 to `orders` − 1 are turned (B, orders).
///
/// The even part of the turn is reduced as whole numbers first, so that cancelling blades cancel to rounding at any order.
fn blade_turns(count: usize, spacing_error_rad: &[f64], orders: usize) -> Vec<Vec<Complex64>> {
    let even: Vec<Complex64> = (0..count)
        .map(|part| Complex64::from_polar(1.0, std::f64::consts::TAU * part as f64 / count as f64))
        .collect();
    (0..count)
        .map(|k| {
            let error_rad = spacing_error_rad.get(k).copied().unwrap_or(0.0);
            (0..orders)
                .map(|n| {
                    let turn = even[(n * k) % count];
                    if error_rad == 0.0 { turn } else { turn * Complex64::cis(n as f64 * error_rad) }
                })
                .collect()
        })
        .collect()
}

/// Coefficients of all blades together; `spectra` holds one entry where blades are alike, else one a blade.
fn sum_of_blades<Spectrum: AsRef<[Complex64]>>(
    spectra: &[Spectrum],
    turns: &[Vec<Complex64>],
) -> Vec<Complex64> {
    let mut sum = vec![Complex64::default(); spectra[0].as_ref().len()];
    for (k, turns) in turns.iter().enumerate() {
        let own = spectra[k.min(spectra.len() - 1)].as_ref();
        for ((total, c), turn) in sum.iter_mut().zip(own).zip(turns) {
            *total += c * turn;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_seven_blade_sum_on_a_grid_seven_does_not_divide_keeps_only_multiples_of_seven() {
        let azimuths = 100;
        let thrust: Vec<f64> = (0..azimuths)
            .map(|j| {
                let psi = std::f64::consts::TAU * f64::from(j) / f64::from(azimuths);
                1.0 + (0..20).map(|n| (f64::from(n) * psi - 0.3).cos()).sum::<f64>()
            })
            .collect();
        let zeros = vec![0.0; azimuths as usize];
        let hub = HubSignals {
            thrust_n: thrust,
            side_force_n: zeros.clone(),
            vertical_force_n: zeros.clone(),
            torque_n_m: zeros.clone(),
            pitching_moment_n_m: zeros.clone(),
            yawing_moment_n_m: zeros.clone(),
        };
        let signals = BladeSignals { hub, flap_moment_n_m: zeros.clone(), lag_moment_n_m: zeros };
        let hub = hub_loads(&[signals], &[], 7, 1.0, &Fourier::new(100), 20);
        for (n, amplitude) in hub[0].harmonics.amplitude.iter().enumerate() {
            let expected = match n {
                0 => 7.0 * (1.0 + 0.3_f64.cos()),
                7 | 14 => 7.0,
                _ => 0.0,
            };
            assert_relative_eq!(*amplitude, expected, epsilon = 1e-12);
        }
    }
}
