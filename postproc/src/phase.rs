//! Loads on the airframe against the phase between propellers, read between the phases that the file holds.
//!
//! While one further propeller takes every phase φ and the others keep theirs, an amplitude of order n is |a + b e^{inφ}|: its
//! square is a mean and one wave of order n. Their three coefficients follow from the file's phases and give the curve anywhere.

use std::f64::consts::TAU;

use wakebeat_engine::point::airframe::{AIRFRAME_LOADS, AirframeSums};
use wakebeat_engine::point::result::{HubLoad, PointResult};

/// An amplitude this much below the largest of its unit is round-off.
const ROUND_OFF: f64 = 1e-9;

/// An amplitude while one further propeller takes every phase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ByPhase {
    order: usize,
    /// Mean of the square, its cosine and its sine part.
    square: [f64; 3],
    /// Amplitudes below are round-off.
    least: f64,
}

impl ByPhase {
    /// Of an order of a load while the further propeller in place `moving` takes every phase; `None` where the file does not
    /// hold the order, or its phases cannot tell the wave from the mean.
    pub fn new(sums: &AirframeSums, moving: usize, load: usize, order: usize) -> Option<Self> {
        let table = sums.by_phase.get(moving)?.get(load)?;
        let phases = &sums.phase_rad;
        let known = order < table.ncols() && !phases.is_empty() && table.nrows() == phases.len();
        if !known || (2 * order).is_multiple_of(phases.len()) {
            return None;
        }
        let part = |wave: fn(f64) -> f64| {
            let squares = table.column(order);
            let terms = squares.iter().zip(phases).map(|(a, phase)| a * a * wave(order as f64 * phase));
            2.0 * terms.sum::<f64>() / phases.len() as f64
        };
        let square = [0.5 * part(|_| 1.0), part(f64::cos), part(f64::sin)];
        let least = round_off(sums, *AIRFRAME_LOADS.get(load)?);
        square.iter().all(|v| v.is_finite()).then_some(Self { order, square, least })
    }

    /// Amplitude at a phase.
    pub fn at(&self, phase_rad: f64) -> f64 {
        let (sin, cos) = (self.order as f64 * phase_rad).sin_cos();
        let square = self.square[0] + self.square[1] * cos + self.square[2] * sin;
        self.clean(square)
    }

    /// Least and greatest amplitude.
    pub fn range(&self) -> (f64, f64) {
        let swing = self.square[1].hypot(self.square[2]);
        (self.clean(self.square[0] - swing), self.clean(self.square[0] + swing))
    }

    /// What is left of a square: the difference of two like ones knows only half the digits of its root.
    fn clean(&self, square: f64) -> f64 {
        let blur = 8.0 * f64::EPSILON * self.square[0].abs();
        if square <= blur.max(self.least * self.least) { 0.0 } else { square.sqrt() }
    }
}

/// Size below which a load is round-off, in its unit: a part of the largest mean or amplitude of the loads in that unit.
pub(crate) fn round_off(sums: &AirframeSums, load: HubLoad) -> f64 {
    let alike = AIRFRAME_LOADS.iter().zip(&sums.greatest).filter(|(one, _)| one.unit() == load.unit());
    let sizes = alike.flat_map(|(_, row)| row).map(|v| v.abs()).filter(|v| v.is_finite());
    ROUND_OFF * sizes.fold(0.0, f64::max)
}

/// As [`ByPhase::new`], of a load by name.
pub(crate) fn curve(sums: &AirframeSums, moving: usize, load: HubLoad, order: usize) -> Option<ByPhase> {
    ByPhase::new(sums, moving, AirframeSums::place(load)?, order)
}

/// Phase over which a blade-rate load repeats, rad.
pub(crate) fn interval_rad(blade_count: usize) -> f64 {
    TAU / blade_count.max(1) as f64
}

/// A phase as people type it, deg.
pub(crate) fn degrees(phase_rad: f64) -> String {
    let hundredths = (100.0 * phase_rad.to_degrees()).round();
    // −0 reads as 0.
    let value = if hundredths == 0.0 { 0.0 } else { hundredths / 100.0 };
    format!("{value}°").replace('-', "−")
}

/// Beat at blade-passage frequency between the first propeller and a further one, Hz; `None` at equal speeds.
pub(crate) fn beat_hz(result: &PointResult, name: &str) -> Option<f64> {
    result.scalar(&format!("{name}_beat_np_hz")).filter(|hz| *hz > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use ndarray::Array2;
    use wakebeat_engine::point::airframe::PHASES;

    /// Two arrows of lengths 3 and 2 at order 4, between the phases of the table and far off its grid.
    #[test]
    fn the_curve_is_exact_between_the_phases_of_the_file() {
        let amplitude = |order: usize, phase: f64| {
            let (sin, cos) = (order as f64 * phase + 0.4).sin_cos();
            (3.0 + 2.0 * cos).hypot(2.0 * sin)
        };
        let sums_of = |order: usize| {
            let phase_rad: Vec<f64> = (0..PHASES).map(|p| TAU * p as f64 / PHASES as f64).collect();
            let table = Array2::from_shape_fn((PHASES, order + 1), |(p, n)| {
                if n == order { amplitude(order, phase_rad[p]) } else { 0.0 }
            });
            AirframeSums {
                loads: Vec::new(),
                greatest: vec![vec![5.0]; 6],
                least: Vec::new(),
                phase_rad,
                by_phase: vec![vec![table; 6]],
            }
        };
        // Also where the waves of the table are finer than its phases.
        for order in [1, 4, 24, 35, 37, 48] {
            let curve = ByPhase::new(&sums_of(order), 0, 0, order).unwrap();
            for k in 0..100 {
                let phase = f64::from(k) * 0.0713;
                assert!((curve.at(phase) - amplitude(order, phase)).abs() < 1e-10, "{order} {k}");
            }
            let (low, high) = curve.range();
            assert!((low - 1.0).abs() < 1e-10 && (high - 5.0).abs() < 1e-10, "{order}: {low} {high}");
        }
        assert_eq!(ByPhase::new(&sums_of(36), 0, 0, 36), None);
        assert_eq!(ByPhase::new(&sums_of(4), 0, 0, 5), None);
        assert_eq!(ByPhase::new(&sums_of(4), 1, 0, 4), None);
    }

    #[test]
    fn phases_read_as_they_were_typed() {
        assert_eq!(degrees(0.0), "0°");
        assert_eq!(degrees(-1e-9), "0°");
        assert_eq!(degrees(f64::to_radians(-22.5)), "−22.5°");
        assert_eq!(degrees(f64::to_radians(40.0)), "40°");
    }

    #[test]
    fn arrows_of_one_length_cancel_to_nothing() {
        let phase_rad: Vec<f64> = (0..PHASES).map(|p| TAU * p as f64 / PHASES as f64).collect();
        let table = Array2::from_shape_fn((PHASES, 3), |(p, _)| (2.0 * phase_rad[p].cos()).abs());
        let sums = AirframeSums {
            loads: Vec::new(),
            greatest: vec![vec![2.0]; 6],
            least: Vec::new(),
            phase_rad,
            by_phase: vec![vec![table; 6]],
        };
        let curve = ByPhase::new(&sums, 0, 0, 2).unwrap();
        assert_eq!(curve.range().0, 0.0);
        assert_eq!(curve.at(0.25 * TAU), 0.0);
    }
}
