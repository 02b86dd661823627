//! The periodic loads of a duty cycle.

use std::f64::consts::TAU;

use crate::point::result::{Harmonics, HubLoad, PointResult};

/// A load in every segment, periodic with the shaft.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyLoad {
    /// Name without unit, as used in keys of the case and the result file.
    pub name: String,
    /// Unit.
    pub unit: &'static str,
    /// Words with the sign convention.
    pub long_name: String,
    /// Level between flights, propeller at rest.
    pub rest: f64,
    /// Harmonics in each segment.
    pub segments: Vec<Harmonics>,
}

/// The loads at the hub, in every segment.
#[must_use]
pub fn hub_loads(results: &[&PointResult]) -> Vec<DutyLoad> {
    let load = |load: HubLoad| DutyLoad {
        name: load.name().to_owned(),
        unit: load.unit(),
        long_name: format!("{}, at the hub", load.long_name()),
        rest: 0.0,
        segments: results.iter().map(|result| result.hub(load).harmonics.clone()).collect(),
    };
    HubLoad::ALL.map(load).into()
}

/// One revolution of x(ψ) = a₀ + Σ aₙ cos(nψ − φₙ) at even azimuths from 0; 2π is left out.
///
/// ```
/// use wakebeat_engine::duty::loads::revolution;
/// use wakebeat_engine::point::result::Harmonics;
/// let tone = Harmonics { amplitude: vec![3.0, 0.0, 2.0], phase_rad: vec![0.0; 3] };
/// let samples = revolution(&tone, 8);
/// assert!((samples[0] - 5.0).abs() < 1e-12 && (samples[2] - 1.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn revolution(harmonics: &Harmonics, samples: usize) -> Vec<f64> {
    let tones: Vec<(f64, f64, f64)> = harmonics
        .amplitude
        .iter()
        .zip(&harmonics.phase_rad)
        .enumerate()
        .filter(|(order, (amplitude, _))| *order == 0 || **amplitude != 0.0)
        .map(|(order, (amplitude, phase))| (order as f64, *amplitude, *phase))
        .collect();
    (0..samples)
        .map(|k| {
            let psi = TAU * k as f64 / samples as f64;
            tones.iter().map(|(order, amplitude, phase)| amplitude * (order * psi - phase).cos()).sum()
        })
        .collect()
}
