//! Greatest and least lift of a section.

/// Greatest lift of symmetric sections at Re 6e6 against nose sharpness: the rise of the half thickness from
/// 0.15 to 6 % chord, in per cent of the chord. Measured on four-digit and six-series sections, NACA Report 824
/// (Abbott, von Doenhoff, Stivers 1945), values from memory, ±0.1; the plate's from common practice.
const BY_NOSE: [(f64, f64); 8] = [
    (0.0, 0.75),
    (1.3, 0.80),
    (1.56, 0.92),
    (1.92, 1.17),
    (2.34, 1.32),
    (2.6, 1.44),
    (3.15, 1.59),
    (4.5, 1.45),
];

/// Greatest lift of a symmetric 12 % section against log₁₀ Re: the trend of NACA Report 586 (Jacobs and Sherman
/// 1937) from 4e4 to 3e6, values from memory, ±0.06.
const TWELVE_PER_CENT: [(f64, f64); 7] =
    [(4.6, 0.80), (5.2, 0.86), (5.56, 0.98), (5.85, 1.10), (6.0, 1.18), (6.3, 1.32), (6.78, 1.59)];

/// Greatest lift of a sharp plate. Its stall (thin-aerofoil stall, McCullough and Gault, NACA TN 2502, 1951)
/// hardly depends on Reynolds number.
const PLATE: f64 = BY_NOSE[0].1;

/// Part of the design lift that camber adds to the greatest lift: all of it while the nose stalls first (lift
/// of the symmetric section 0.9 and below), a fifth where the rear does (1.6). Same source and uncertainty.
const NOSE_STALL: (f64, f64) = (0.9, 1.0);
const REAR_STALL: (f64, f64) = (1.6, 0.2);

/// Least lift that stands for a section's own in either sense, so that camber never leaves it none.
const FLOOR: f64 = 0.2;

/// Greatest and least lift coefficient at a Reynolds number.
///
/// `nose_sharpness` is the rise of the half thickness from 0.15 to 6 % chord, in per cent of the chord (the
/// leading-edge parameter of the handbooks), `ideal_lift` the design lift of the mean line. Range: Re 4e4 to
/// 6e6, held outside; 0.15 in lift coefficient. What a round nose gains over a plate scales with Reynolds
/// number as that of the 12 % section. Two-dimensional: blade rotation, which delays stall inboard, is left
/// out.
pub(super) fn greatest_and_least_lift(nose_sharpness: f64, ideal_lift: f64, reynolds: f64) -> (f64, f64) {
    let best = TWELVE_PER_CENT[TWELVE_PER_CENT.len() - 1].1;
    let share = (between(&TWELVE_PER_CENT, reynolds.log10()) - PLATE) / (best - PLATE);
    let symmetric = PLATE + share * (between(&BY_NOSE, nose_sharpness) - PLATE);
    let camber = ideal_lift * between(&[NOSE_STALL, REAR_STALL], symmetric);
    ((symmetric + camber).max(FLOOR), (camber - symmetric).min(-FLOOR))
}

/// Straight lines between rows, ends held.
fn between(rows: &[(f64, f64)], x: f64) -> f64 {
    let after = rows.partition_point(|row| row.0 <= x);
    if after == 0 || after == rows.len() {
        return rows[after.min(rows.len() - 1)].1;
    }
    let ((x0, y0), (x1, y1)) = (rows[after - 1], rows[after]);
    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A row of the published values themselves: 4412 at 6e6 (1.67), 64-206 (1.03), 0012 (1.59).
    #[test]
    fn published_sections_come_back() {
        for (nose, ideal, published) in [(3.15, 0.512, 1.67), (1.3, 0.2, 1.03), (3.15, 0.0, 1.59)] {
            let (greatest, least) = greatest_and_least_lift(nose, ideal, 6e6);
            assert!((greatest - published).abs() < 0.1, "{greatest} {published}");
            assert!(least < 0.0 && (ideal > 0.0 || (greatest + least).abs() < 1e-12));
        }
    }

    #[test]
    fn camber_never_leaves_a_section_without_lift() {
        let (greatest, least) = greatest_and_least_lift(0.0, 2.5, 3e4);
        assert!(greatest > 0.0 && least == -FLOOR);
    }
}
