//! The table of hub loads: one line a load, one column an order.

use std::f64::consts::TAU;

use wakebeat_engine::point::result::{HubLoad, LoadHistory, PointResult};

use crate::numbers::{decimals, fixed};
use crate::table;

/// Significant digits of the largest number of a line; the others get the same decimals.
const DIGITS: usize = 4;
/// Numbers this much below the largest force, or moment, are noise and shown as zero.
const NOISE: f64 = 1e-6;

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
    let line = |load: HubLoad| {
        let values = row(result.hub(load), &orders);
        let places = row_decimals(&values, scale(result, &orders, load.unit()));
        let mut cells = vec![load.name().replace('_', " "), load.unit().to_owned()];
        cells.extend(values.iter().map(|&v| fixed(v, places)));
        cells
    };
    let columns = heading.len();
    table::plain(heading, HubLoad::ALL.map(line).to_vec(), 2..columns)
}

/// 1, N and 2N, each once.
fn orders(blade_count: usize) -> Vec<usize> {
    let mut orders = vec![1, blade_count, 2 * blade_count];
    orders.dedup();
    orders
}

/// Mean, amplitudes, peak-to-peak.
fn row(load: &LoadHistory, orders: &[usize]) -> Vec<f64> {
    let amplitude = |n: usize| load.harmonics.amplitude.get(n).copied().unwrap_or(f64::NAN);
    let mut values = vec![amplitude(0)];
    values.extend(orders.iter().map(|&n| amplitude(n)));
    let greatest = load.history.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = load.history.iter().copied().fold(f64::INFINITY, f64::min);
    values.push(greatest - least);
    values
}

/// Largest number among the loads of one unit.
fn scale(result: &PointResult, orders: &[usize], unit: &str) -> f64 {
    HubLoad::ALL
        .iter()
        .filter(|load| load.unit() == unit)
        .map(|&load| largest(&row(result.hub(load), orders)))
        .fold(0.0, f64::max)
}

fn largest(values: &[f64]) -> f64 {
    values.iter().filter(|v| v.is_finite()).fold(0.0, |most, v| f64::max(most, v.abs()))
}

/// Decimals of a line, not so many that noise shows.
fn row_decimals(values: &[f64], scale: f64) -> usize {
    decimals(largest(values), DIGITS).min(decimals(NOISE * scale, 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_appear_once() {
        assert_eq!(orders(1), [1, 2]);
        assert_eq!(orders(2), [1, 2, 4]);
        assert_eq!(orders(5), [1, 5, 10]);
    }

    #[test]
    fn lines_keep_four_digits_of_their_largest() {
        assert_eq!(row_decimals(&[5.123, 0.01], 5.123), 3);
        assert_eq!(row_decimals(&[0.0123, -0.0456], 5.0), 5);
    }

    #[test]
    fn noise_is_zero() {
        let places = row_decimals(&[3e-16, -2e-15], 5.0);
        assert_eq!(fixed(-2e-15, places), fixed(0.0, places));
    }

    #[test]
    fn a_two_bladed_table_lines_up() {
        let load = |mean: f64, two_p: f64| LoadHistory {
            history: vec![mean + two_p, mean, mean - two_p, mean],
            harmonics: wakebeat_engine::point::result::Harmonics {
                amplitude: vec![mean, 0.0, two_p, 0.0, 0.0],
                phase_rad: vec![0.0; 5],
            },
        };
        let result = PointResult {
            blade_count: 2,
            azimuth_rad: vec![],
            radius_m: vec![],
            hub: (0..7).map(|k| load(4.321 / f64::from(k + 1), 0.25)).collect(),
            blades: vec![],
            disk: vec![],
            summary: vec![],
            warnings: vec![],
        };
        let text = load_table(&result, 100.0 * TAU);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 9, "{text}");
        assert!(lines[0].contains("1P 100 Hz") && lines[0].contains("4P 400 Hz"), "{text}");
        assert_eq!(
            lines[2].split_whitespace().collect::<Vec<_>>(),
            ["thrust", "N", "4.321", "0.000", "0.250", "0.000", "0.500"]
        );
        assert!(lines.iter().all(|l| l.len() <= 100));
    }
}
