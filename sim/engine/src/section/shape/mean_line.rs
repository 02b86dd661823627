//! Thin-aerofoil theory on the mean line.

use super::outline::Outline;
use std::f64::consts::PI;

/// What thin-aerofoil theory says of a mean line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MeanLine {
    /// Angle of zero lift against the x axis of the outline, rad.
    pub zero_lift_rad: f64,
    /// Moment about the quarter chord, nose up positive.
    pub moment: f64,
    /// Lift at which the stream meets the nose smoothly.
    pub ideal_lift: f64,
    /// Fourier coefficients of the slope: z′ = a₀ + Σ aₙ cos nθ.
    pub slope: [f64; HARMONICS],
}

/// Coefficients of the slope that are kept, the mean included. Few on purpose: they pass over the digits of a printed table.
pub(super) const HARMONICS: usize = 13;

/// Strips in θ. The mid-point sums converge with the square; 600 leave 1e-5 of the angle.
const STRIPS: usize = 600;

/// Distance from the nose, chords, up to which the mean line is taken as straight: there the mean of two steep
/// surfaces is the difference of large numbers and shows the digits of the table.
const STRAIGHT_TO: f64 = 0.01;

/// Zero-lift angle, moment and design lift of the mean of the surfaces at equal x.
///
/// With x = (1 − cos θ)/2 and z′ the slope: A₀ = (1/π)∫z′dθ, Aₙ = (2/π)∫z′ cos nθ dθ; α₀ = A₀ − A₁/2, `cm` =
/// −(π/4)(A₁ − A₂), design lift πA₁ (H. Glauert, The Elements of Aerofoil and Airscrew Theory, ch. VII, from
/// memory, derived again). Range: small camber, attached flow; measured zero-lift angles of sections to 4 %
/// camber lie within 0.3° of it at Re above 1e6 and closer to zero below 1e5 (common practice).
pub(super) fn mean_line(outline: &Outline) -> MeanLine {
    let step = PI / STRIPS as f64;
    let nose = outline.mean(0.0);
    let edge = super::outline::theta_of(STRAIGHT_TO);
    let straight = (outline.mean(edge) - nose) / STRAIGHT_TO;
    let height = |theta: f64| {
        if theta < edge { nose + straight * 0.5 * (1.0 - theta.cos()) } else { outline.mean(theta) }
    };
    let mut sums = [0.0; HARMONICS];
    for i in 0..STRIPS {
        let (low, high) = (step * i as f64, step * (i + 1) as f64);
        let slope = (height(high) - height(low)) / (0.5 * (low.cos() - high.cos()));
        let middle = 0.5 * (low + high);
        for (n, sum) in sums.iter_mut().enumerate() {
            *sum += slope * (n as f64 * middle).cos() * step;
        }
    }
    let slope = std::array::from_fn(|n| if n == 0 { sums[0] / PI } else { 2.0 * sums[n] / PI });
    let [a0, a1, a2, ..]: [f64; HARMONICS] = slope;
    MeanLine { zero_lift_rad: a0 - 0.5 * a1, moment: -0.25 * PI * (a1 - a2), ideal_lift: PI * a1, slope }
}
