//! The table of hub loads: one line a load, one column an order.

use std::f64::consts::TAU;

use wakebeat_engine::point::result::{HubLoad, LoadHistory, PointResult};

use crate::numbers::{decimals, fixed, significant};
use crate::table;

/// Significant digits of a mean.
const MEAN_DIGITS: usize = 4;
/// Significant digits of the largest amplitude of a line; the rest of the ripple gets the same decimals.
const RIPPLE_DIGITS: usize = 3;
/// Numbers this much below the largest force, or moment, are round-off and shown as 0.
const ROUND_OFF: f64 = 1e-9;

/// Frequency of an order, Hz.
pub fn order_hz(order: usize, speed_rad_s: f64) -> f64 {
    order as f64 * speed_rad_s / TAU
}

/// Mean, amplitudes at 1P, NP and 2NP, and peak-to-peak of every hub load.
pub fn load_table(result: &PointResult, speed_rad_s: f64) -> String {
    let orders = orders(result.blade_count);
    let mut heading = vec!["hub load".to_owned(), "unit".to_owned(), "mean".to_owned()];
    heading.extend(orders.iter().map(|&n| format!("{n}P {} Hz", fixed(order_hz(n, speed_rad_s), 0))));
    heading.push("peak to peak".to_owned());
    let columns = heading.len();
    let lines = HubLoad::ALL.map(|load| {
        let least = ROUND_OFF * scale(result, load.unit());
        let mut cells = vec![load.name().replace('_', " "), load.unit().to_owned()];
        cells.extend(numbers(result.hub(load), &orders, least));
        cells
    });
    table::plain(heading, lines.to_vec(), 2..columns)
}

/// 1, N and 2N, each once.
fn orders(blade_count: usize) -> Vec<usize> {
    let mut orders = vec![1, blade_count, 2 * blade_count];
    orders.dedup();
    orders
}

/// The numbers of a line as text: the mean, then the ripple with decimals in common.
fn numbers(load: &LoadHistory, orders: &[usize], least: f64) -> Vec<String> {
    let amplitude = |n: usize| load.harmonics.amplitude.get(n).copied().unwrap_or(f64::NAN);
    let mut ripple: Vec<f64> = orders.iter().map(|&n| amplitude(n)).collect();
    let largest = ripple.iter().copied().filter(|v| v.is_finite()).fold(0.0, f64::max);
    ripple.push(peak_to_peak(load));
    // A ripple without these orders has the higher ones.
    let places = decimals(if largest < least { peak_to_peak(load) } else { largest }, RIPPLE_DIGITS);
    let or_zero = |value: f64, text: String| if value.abs() < least { "0".to_owned() } else { text };
    let mean = amplitude(0);
    let mut texts = vec![or_zero(mean, significant(mean, MEAN_DIGITS))];
    texts.extend(ripple.iter().map(|&v| or_zero(v, fixed(v, places))));
    texts
}

fn peak_to_peak(load: &LoadHistory) -> f64 {
    let greatest = load.history.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = load.history.iter().copied().fold(f64::INFINITY, f64::min);
    greatest - least
}

/// Largest number among the loads of one unit.
fn scale(result: &PointResult, unit: &str) -> f64 {
    let loads = HubLoad::ALL.into_iter().filter(|load| load.unit() == unit);
    loads.flat_map(|load| &result.hub(load).history).fold(0.0, |most, v| f64::max(most, v.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakebeat_engine::point::result::Harmonics;

    fn load(mean: f64, two_p: f64) -> LoadHistory {
        LoadHistory {
            history: vec![mean + two_p, mean, mean - two_p, mean],
            harmonics: Harmonics { amplitude: vec![mean, 0.0, two_p, 0.0, 0.0], phase_rad: vec![0.0; 5] },
        }
    }

    #[test]
    fn orders_appear_once() {
        assert_eq!(orders(1), [1, 2]);
        assert_eq!(orders(2), [1, 2, 4]);
        assert_eq!(orders(5), [1, 5, 10]);
    }

    #[test]
    fn a_small_ripple_keeps_its_digits_beside_a_large_mean() {
        assert_eq!(numbers(&load(-2345.6, 0.012_34), &[1, 2], 1e-9), ["-2346", "0", "0.0123", "0.0247"]);
    }

    #[test]
    fn round_off_is_zero() {
        assert_eq!(numbers(&load(-3e-16, 2e-15), &[1, 2], 1e-9), ["0", "0", "0", "0"]);
    }

    #[test]
    fn a_two_bladed_table_lines_up() {
        let result = PointResult {
            attribution: Vec::new(),
            blade_count: 2,
            azimuth_rad: vec![],
            radius_m: vec![],
            hub: (0..7).map(|k| load(4.321 / f64::from(k + 1), 0.25)).collect(),
            blades: vec![],
            disk: Default::default(),
            summary: vec![],
            airframe: None,
            warnings: vec![],
        };
        let text = load_table(&result, 100.0 * TAU);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 9, "{text}");
        assert!(lines[0].contains("1P 100 Hz") && lines[0].contains("4P 400 Hz"), "{text}");
        assert_eq!(
            lines[2].split_whitespace().collect::<Vec<_>>(),
            ["thrust", "N", "4.321", "0", "0.250", "0", "0.500"]
        );
        assert!(lines.iter().all(|l| l.len() <= 100));
    }
}
