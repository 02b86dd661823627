//! The generic blade: what stands in for a blade nobody has measured.

use crate::base::pchip::Pchip;
use crate::point::input::{BladeRow, BladeTable};

/// Radii of the table, over tip radius.
const RADII: [f64; 13] = [0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0];

/// Chord over tip radius by radius ratio: small fixed-pitch blades, common practice (root 0.10 to 0.14,
/// largest 0.16 to 0.22 at 0.35 to 0.45, 0.10 to 0.14 at 0.75, tip rounded to 0.03 to 0.05); the middle of
/// each range.
const CHORD: [(f64, f64); 7] =
    [(0.15, 0.12), (0.25, 0.16), (0.4, 0.19), (0.6, 0.16), (0.75, 0.12), (0.92, 0.085), (1.0, 0.04)];

/// Thickness over chord at root and tip, straight between; common practice.
const THICKNESS: (f64, f64) = (0.20, 0.08);

/// A blade of constant geometric pitch: tan β = P/(2πr), with a planform and thickness of common practice.
///
/// β is the angle of the line the section's angles count from. Makers quote pitch for the flat face or for
/// the zero-lift line, 3 to 4° apart, so thrust is uncertain by as much; chord and thickness by about a
/// fifth. The section is the first of the propeller. Limit under test: the exact constant-pitch twist.
#[must_use]
pub fn generic_blade(diameter_m: f64, pitch_m: f64) -> BladeTable {
    let chord = Pchip::new(CHORD.map(|row| row.0).to_vec(), CHORD.map(|row| row.1).to_vec());
    let rows = RADII.map(|x| BladeRow {
        radius_ratio: x,
        chord_ratio: chord.at(x),
        twist_rad: (pitch_m / (std::f64::consts::PI * diameter_m * x)).atan(),
        sweep_ratio: 0.0,
        thickness_ratio: THICKNESS.0 + (THICKNESS.1 - THICKNESS.0) * (x - RADII[0]) / (1.0 - RADII[0]),
        section: 0,
    });
    BladeTable { generic: true, rows: rows.to_vec() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lie_in_the_ranges_of_common_practice() {
        let blade = generic_blade(0.3, 0.2);
        let at = |x: f64| blade.rows.iter().find(|row| row.radius_ratio == x).unwrap();
        let largest = blade.rows.iter().map(|row| row.chord_ratio).fold(0.0, f64::max);
        assert!((0.10..=0.14).contains(&at(0.15).chord_ratio));
        assert!((0.16..=0.22).contains(&largest) && at(0.4).chord_ratio == largest);
        assert!((0.10..=0.14).contains(&(0.5 * (at(0.7).chord_ratio + at(0.8).chord_ratio))));
        assert!((0.03..=0.05).contains(&at(1.0).chord_ratio));
        assert_eq!(at(0.15).thickness_ratio, 0.20);
        assert!((at(1.0).thickness_ratio - 0.08).abs() < 1e-12);
    }
}
