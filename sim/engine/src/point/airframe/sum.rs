//! The sum of all propellers at the centre of gravity, for every phase between them.
//!
//! A propeller that runs at ratio s of the first one's speed and leads it by φ has the azimuth sψ + φ; its load of order n is
//! Re c e^{in(sψ + φ)}. At equal speeds the sum of an order is |Σ c e^{inφ}|. Over all phases, which for slightly unequal speeds
//! is what a beat runs through, it is at most Σ|c| and at least the part of the largest that the others together cannot cancel.

use ndarray::Array2;
use realfft::num_complex::Complex64;
use std::f64::consts::TAU;

use super::centre::ToCentre;
use super::{AIRFRAME_LOADS, AirframeSums, FurtherResult, PHASES};
use crate::base::Vec3;
use crate::base::fourier::{Fourier, harmonics};
use crate::frames::DiskAxes;
use crate::point::input::{OperatingPoint, Placement, Rotation};
use crate::point::result::{LoadHistory, PointResult};

/// One propeller as the airframe feels it.
struct Part {
    /// Azimuth ahead of the first propeller, rad.
    phase_rad: f64,
    /// Shaft speed over that of the first.
    speed_ratio: f64,
    /// Loads at the centre over its own azimuth, by load (A).
    histories: Vec<Vec<f64>>,
    /// Their Fourier coefficients over its own azimuth, by load.
    coefficients: Vec<Vec<Complex64>>,
}

/// Sums all propellers at the centre of gravity.
pub(super) fn sums(
    point: &OperatingPoint,
    centre_m: &Vec3,
    first: &PointResult,
    further: &[FurtherResult],
) -> AirframeSums {
    let azimuths = first.azimuth_rad.len();
    let orders = point.orders();
    let fourier = Fourier::new(azimuths);
    let part = |result: &PointResult, placement: &Placement, rotation: Rotation, phase_rad, speed_ratio| {
        let to_centre = ToCentre::new(&DiskAxes::new(placement, rotation), centre_m);
        let histories = carried(result, &to_centre);
        let coefficients = histories.iter().map(|history| fourier.coefficients(history)).collect();
        Part { phase_rad, speed_ratio, histories, coefficients }
    };
    let mut parts = vec![part(first, &point.placement, point.propeller.rotation, 0.0, 1.0)];
    for (one, solved) in point.further.iter().zip(further) {
        parts.push(part(&solved.result, &one.placement, one.rotation, one.phase_rad, one.speed_ratio));
    }
    let loads = 0..AIRFRAME_LOADS.len();
    AirframeSums {
        loads: loads.clone().map(|load| summed(&parts, load, &fourier, &first.azimuth_rad, orders)).collect(),
        greatest: loads.clone().map(|load| extremes(&parts, load, orders, greatest)).collect(),
        least: loads.clone().map(|load| extremes(&parts, load, orders, least)).collect(),
        phase_rad: (0..if further.is_empty() { 0 } else { PHASES })
            .map(|p| TAU * p as f64 / PHASES as f64)
            .collect(),
        by_phase: (1..parts.len())
            .map(|turned| loads.clone().map(|load| by_phase(&parts, turned, load, orders)).collect())
            .collect(),
    }
}

/// Histories of the loads at the centre, over the propeller's own azimuth.
fn carried(result: &PointResult, to_centre: &ToCentre) -> Vec<Vec<f64>> {
    let azimuths = result.azimuth_rad.len();
    let mut histories = vec![Vec::with_capacity(azimuths); AIRFRAME_LOADS.len()];
    for j in 0..azimuths {
        let hub = AIRFRAME_LOADS.map(|load| result.hub(load).history[j]);
        for (history, value) in histories.iter_mut().zip(to_centre.apply(hub)) {
            history.push(value);
        }
    }
    histories
}

/// Turns a coefficient of order n ahead by a phase. Whole turns are taken off first, so that propellers in phase and in
/// anti-phase agree to rounding at any order.
fn turned(coefficient: Complex64, order: usize, phase_rad: f64) -> Complex64 {
    let turns = order as f64 * (phase_rad / TAU);
    coefficient * Complex64::from_polar(1.0, TAU * (turns - turns.round()))
}

/// The sum over the first propeller's revolution that starts with the phases as given, and its harmonics at that instant.
fn summed(parts: &[Part], load: usize, fourier: &Fourier, azimuth_rad: &[f64], orders: usize) -> LoadHistory {
    let together = frozen(parts, load);
    let history = if parts.iter().all(|part| part.speed_ratio == 1.0) {
        match parts {
            // One propeller alone keeps its history to the last bit.
            [only] => only.histories[load].clone(),
            _ => fourier.samples(&together),
        }
    } else {
        let at = |psi: &f64| parts.iter().map(|part| value(part, load, *psi)).sum();
        azimuth_rad.iter().map(at).collect()
    };
    LoadHistory { history, harmonics: harmonics(&together, orders) }
}

/// Coefficients of the sum with the phases as given.
fn frozen(parts: &[Part], load: usize) -> Vec<Complex64> {
    let count = parts[0].coefficients[load].len();
    let at = |n: usize| parts.iter().map(|part| turned(part.coefficients[load][n], n, part.phase_rad)).sum();
    (0..count).map(at).collect()
}

/// A part's load when the first propeller stands at `psi_rad`.
fn value(part: &Part, load: usize, psi_rad: f64) -> f64 {
    let step = Complex64::from_polar(1.0, part.speed_ratio * psi_rad + part.phase_rad);
    // Horner's rule in e^{iψ}; the coefficients of orders above 0 already hold both signs of the order.
    let sum = part.coefficients[load].iter().rev().fold(Complex64::default(), |sum, c| sum * step + c);
    sum.re
}

/// An amplitude of every order from the sizes of the parts; order 0 is the mean.
fn extremes(parts: &[Part], load: usize, orders: usize, of: fn(&[f64]) -> f64) -> Vec<f64> {
    let means = parts.iter().map(|part| part.coefficients[load][0].re).sum();
    let at = |n: usize| {
        let sizes: Vec<f64> = parts.iter().map(|part| part.coefficients[load][n].norm()).collect();
        of(&sizes)
    };
    std::iter::once(means).chain((1..orders).map(at)).collect()
}

fn greatest(sizes: &[f64]) -> f64 {
    sizes.iter().sum()
}

/// Arrows of these lengths in any directions: the sum vanishes unless one is longer than all others together.
fn least(sizes: &[f64]) -> f64 {
    let longest = sizes.iter().copied().fold(0.0, f64::max);
    (2.0 * longest - greatest(sizes)).max(0.0)
}

/// Amplitudes (P, K) while one part takes every phase and the others keep theirs.
fn by_phase(parts: &[Part], moving: usize, load: usize, orders: usize) -> Array2<f64> {
    let at = |n: usize, phase_rad: f64| -> Complex64 {
        let phases = parts.iter().enumerate().map(|(i, part)| {
            turned(part.coefficients[load][n], n, if i == moving { phase_rad } else { part.phase_rad })
        });
        phases.sum()
    };
    Array2::from_shape_fn((PHASES, orders), |(p, n)| {
        let sum = at(n, TAU * p as f64 / PHASES as f64);
        if n == 0 { sum.re } else { sum.norm() }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrows_of_comparable_length_cancel_and_a_long_one_keeps_its_rest() {
        assert_eq!(least(&[3.0, 2.0, 2.0]), 0.0);
        assert_eq!(least(&[5.0, 2.0, 2.0]), 1.0);
        assert_eq!(least(&[5.0]), 5.0);
    }
}
