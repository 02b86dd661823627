//! Speed over the thickness form of a section.

use std::f64::consts::PI;

/// Nodes in θ and sine terms. Few terms on purpose: they pass over the digits of a printed table.
pub(super) const NODES: usize = 200;
const TERMS: usize = 16;

/// Thickness form and the speed over it at mid-points of equal steps in θ.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SurfaceSpeed {
    /// θ of the nodes, x = (1 − cos θ)/2.
    pub theta: Vec<f64>,
    /// Distance from the nose, chords.
    pub x: Vec<f64>,
    /// Half thickness without the base, chords.
    pub half_thickness: Vec<f64>,
    /// Slope of the half thickness, dh/dx.
    pub slope: Vec<f64>,
    /// Perturbation along the chord over the speed far ahead, before the nose's factor.
    pub perturbation: Vec<f64>,
    /// Speed over that far ahead.
    pub speed: Vec<f64>,
}

/// Speed over the section's thickness at zero lift.
///
/// The half thickness less its base, h = Σ bₙ sin nθ, by sources on the chord gives the perturbation u = 2 Σ
/// n bₙ sin nθ/sin θ (Glauert's integral); Riegels' factor makes it hold at a round nose: U = (1 + u)/√(1 +
/// h′²) (F. Riegels, Ing.-Arch. 16, 1948, 373; J. Weber, R&M 2918, 1953; from memory). `half_thickness` is h
/// over chord against θ. Limit under test: the ellipse, exact everywhere. A blunt base is left out of h as a
/// wedge: behind it runs a wake of its width.
pub(super) fn surface_speed(half_thickness: impl Fn(f64) -> f64) -> SurfaceSpeed {
    let step = PI / NODES as f64;
    let theta: Vec<f64> = (0..NODES).map(|i| (i as f64 + 0.5) * step).collect();
    let base = half_thickness(PI);
    let x: Vec<f64> = theta.iter().map(|t| 0.5 * (1.0 - t.cos())).collect();
    let given: Vec<f64> = theta.iter().zip(&x).map(|(t, x)| half_thickness(*t) - base * x).collect();
    let terms: Vec<f64> = (1..=TERMS)
        .map(|n| {
            let sum: f64 = theta.iter().zip(&given).map(|(t, h)| h * (n as f64 * t).sin()).sum();
            2.0 / PI * sum * step
        })
        .collect();
    let series = |f: &dyn Fn(f64, f64) -> f64| -> f64 {
        terms.iter().enumerate().map(|(i, b)| f((i + 1) as f64, *b)).sum()
    };
    let half_thickness = theta.iter().map(|t| series(&|n, b| b * (n * t).sin())).collect();
    let perturbation: Vec<f64> =
        theta.iter().map(|t| 2.0 * series(&|n, b| n * b * (n * t).sin()) / t.sin()).collect();
    let slope: Vec<f64> =
        theta.iter().map(|t| 2.0 * series(&|n, b| n * b * (n * t).cos()) / t.sin()).collect();
    let speed =
        perturbation.iter().zip(&slope).map(|(u, slope)| (1.0 + u) / (1.0 + slope * slope).sqrt()).collect();
    SurfaceSpeed { theta, x, half_thickness, slope, perturbation, speed }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// An ellipse of thickness t in a uniform stream: U = (1 + t) sin θ/√(sin²θ + t² cos²θ), exact.
    #[test]
    fn ellipse_is_exact() {
        let t = 0.2;
        let flow = surface_speed(|theta| 0.5 * t * theta.sin());
        for (x, speed) in flow.x.iter().zip(&flow.speed) {
            let cos = 1.0 - 2.0 * x;
            let sin = (1.0 - cos * cos).sqrt();
            assert_relative_eq!(*speed, (1.0 + t) * sin / sin.hypot(t * cos), epsilon = 1e-9);
        }
    }
}
