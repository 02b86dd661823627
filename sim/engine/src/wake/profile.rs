//! The deficit across a wake: shapes in closed form, cheap enough for every blade element at every azimuth.

use crate::base::lanes::{Lanes, exp_decay};
use crate::base::quadrature::gauss8;
use std::f64::consts::{FRAC_PI_2, LN_2, PI};

/// Half-depth half widths at which a Gaussian is below 1e-12 of its peak: √(log2 1e12) = 6.3138.
const GAUSSIAN_SUPPORT: f64 = 6.314;

/// Cells narrower than this share of the width are taken at their middle: there the difference of two error
/// functions loses more digits to round-off than the curvature of the profile adds.
const POINT_CELL: f64 = 1e-5;

/// Form of the deficit across the wake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WakeShape {
    /// Velocity deficit exp(−ln 2 (n/b)²) of the peak; the width b is the half-depth half width.
    Gaussian,
    /// Loss of dynamic pressure cos²(π n/(2 b)) of its peak, none beyond b; the width b is the edge half width.
    CosineSquared,
}

impl WakeShape {
    /// Mean velocity deficit over edge speed between `from` and `to` widths from the centre line, of Gaussian wakes side by side;
    /// `middle` is the deficit half-way. The same as [`WakeStation::mean_over`].
    #[must_use]
    #[inline(always)]
    pub(crate) fn gaussian_mean_lanes(peak: Lanes, (from, to): (Lanes, Lanes), middle: Lanes) -> Lanes {
        let scale = LN_2.sqrt();
        let span = (to * scale).erf() - (from * scale).erf();
        let width = to - from;
        let mean = peak * span * (0.5 * PI.sqrt() / scale) / width;
        Lanes::from_fn(|i| if width.0[i].abs() < POINT_CELL { middle.0[i] } else { mean.0[i] })
    }

    /// Velocity deficit over edge speed at `eta` widths from the centre line, of wakes of this shape side by side.
    #[must_use]
    #[inline(always)]
    pub fn deficit_lanes(self, peak: Lanes, eta: Lanes) -> Lanes {
        match self {
            Self::Gaussian => peak * (eta * eta * -LN_2).exp_decay(),
            Self::CosineSquared => {
                let held = eta.abs().min(Lanes::splat(1.0));
                let cosine = cosine_of_quarter(held);
                let loss = peak * (Lanes::splat(2.0) - peak) * (cosine * cosine);
                loss / ((Lanes::splat(1.0) - loss).sqrt() + 1.0)
            }
        }
    }
}

/// cos(π x/2) for 0 ≤ x ≤ 1, without a branch: the Taylor series to degree 22 leaves 3e-20.
#[inline(always)]
fn cosine_of_quarter(x: Lanes) -> Lanes {
    let z = x * x * (FRAC_PI_2 * FRAC_PI_2);
    let mut sum = Lanes::splat(1.0);
    // 1 − z/2 (1 − z/12 (1 − z/30 (…))): from the innermost out.
    for k in (1..=11).rev() {
        let below = f64::from((2 * k - 1) * (2 * k));
        sum = Lanes::splat(1.0) - sum * z * (1.0 / below);
    }
    sum
}

/// A wake at one distance behind the trailing edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WakeStation {
    /// Velocity deficit on the centre line over edge speed, 0 to below 1.
    pub peak: f64,
    /// Width as [`WakeShape`] defines it, m.
    pub width_m: f64,
    /// Form of the profile.
    pub shape: WakeShape,
}

impl WakeStation {
    /// Velocity deficit over edge speed at distance `n_m` from the centre line, m.
    #[must_use]
    #[inline]
    pub fn deficit(&self, n_m: f64) -> f64 {
        let eta = n_m / self.width_m;
        match self.shape {
            WakeShape::Gaussian => self.peak * exp_decay(-LN_2 * eta * eta),
            WakeShape::CosineSquared => {
                if eta.abs() >= 1.0 {
                    return 0.0;
                }
                let cosine = (FRAC_PI_2 * eta).cos();
                velocity_deficit(dynamic_pressure_loss(self.peak) * cosine * cosine)
            }
        }
    }

    /// Distance from the centre line beyond which the deficit is below 1e-12 of its peak, m.
    #[must_use]
    pub fn support_m(&self) -> f64 {
        match self.shape {
            WakeShape::Gaussian => GAUSSIAN_SUPPORT * self.width_m,
            WakeShape::CosineSquared => self.width_m,
        }
    }

    /// Distance from the centre line at which the velocity deficit is half its peak, m.
    #[must_use]
    pub fn half_width_m(&self) -> f64 {
        match self.shape {
            WakeShape::Gaussian => self.width_m,
            WakeShape::CosineSquared => {
                if self.peak <= 0.0 {
                    return 0.5 * self.width_m; // limit of a shallow wake
                }
                let ratio = dynamic_pressure_loss(0.5 * self.peak) / dynamic_pressure_loss(self.peak);
                self.width_m * ratio.sqrt().acos() / FRAC_PI_2
            }
        }
    }

    /// Mean velocity deficit over edge speed between two distances from the centre line, m, in either order.
    #[must_use]
    pub fn mean_over(&self, from_m: f64, to_m: f64) -> f64 {
        if (to_m - from_m).abs() < POINT_CELL * self.width_m {
            return self.deficit(0.5 * (from_m + to_m));
        }
        match self.shape {
            WakeShape::Gaussian => {
                // ∫ exp(−ln2 (n/b)²) dn = b √(π/ln 2)/2 · erf(√ln2 n/b)
                let scale = LN_2.sqrt() / self.width_m;
                let span = libm::erf(scale * to_m) - libm::erf(scale * from_m);
                0.5 * PI.sqrt() * self.peak * span / (scale * (to_m - from_m))
            }
            WakeShape::CosineSquared => {
                let (low, high) = (from_m.min(to_m), from_m.max(to_m));
                let edge = |n: f64| n.clamp(-self.width_m, self.width_m);
                // A deep profile is nearly pointed at its middle: integrate the two sides apart.
                let middle = 0.0_f64.clamp(edge(low), edge(high));
                let area = self.area(edge(low), middle) + self.area(middle, edge(high));
                area / (high - low)
            }
        }
    }

    /// Momentum thickness of the whole profile, ∫ (1 − δ) δ dn, m.
    #[must_use]
    pub fn momentum_thickness_m(&self) -> f64 {
        match self.shape {
            WakeShape::Gaussian => {
                let area_m = self.peak * self.width_m * (PI / LN_2).sqrt();
                area_m * (1.0 - self.peak / std::f64::consts::SQRT_2)
            }
            WakeShape::CosineSquared => {
                let side = |n: f64| self.deficit(n) * (1.0 - self.deficit(n));
                2.0 * gauss8(0.0, self.width_m, side)
            }
        }
    }

    fn area(&self, from_m: f64, to_m: f64) -> f64 {
        gauss8(from_m, to_m, |n| self.deficit(n))
    }
}

/// Velocity deficit of a loss of dynamic pressure, 1 − √(1 − Δq/q), without cancellation for small losses.
#[must_use]
pub(super) fn velocity_deficit(loss: f64) -> f64 {
    loss / (1.0 + (1.0 - loss).sqrt())
}

/// Loss of dynamic pressure of a velocity deficit, 1 − (1 − δ)².
#[must_use]
pub(super) fn dynamic_pressure_loss(deficit: f64) -> f64 {
    deficit * (2.0 - deficit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const SHAPES: [WakeShape; 2] = [WakeShape::Gaussian, WakeShape::CosineSquared];

    fn station(shape: WakeShape) -> WakeStation {
        WakeStation { peak: 0.4, width_m: 0.02, shape }
    }

    /// Fine midpoint sum, the plain twin of the closed means.
    fn sampled_mean(wake: &WakeStation, from: f64, to: f64) -> f64 {
        let cells = 20_000;
        let step = (to - from) / f64::from(cells);
        (0..cells).map(|i| wake.deficit(from + (f64::from(i) + 0.5) * step)).sum::<f64>() / f64::from(cells)
    }

    #[test]
    fn half_of_the_peak_is_at_the_half_width() {
        for shape in SHAPES {
            let wake = station(shape);
            assert_relative_eq!(wake.deficit(0.0), wake.peak, max_relative = 1e-15);
            assert_relative_eq!(wake.deficit(wake.half_width_m()), 0.5 * wake.peak, max_relative = 1e-14);
        }
    }

    #[test]
    fn eight_side_by_side_are_the_eight_alone() {
        for shape in SHAPES {
            let wake = station(shape);
            for i in 0..100 {
                let n = 0.0011 * f64::from(i - 50);
                let lanes = shape.deficit_lanes(Lanes::splat(wake.peak), Lanes::splat(n / wake.width_m));
                assert_relative_eq!(lanes.0[3], wake.deficit(n), epsilon = 1e-15);
            }
        }
    }

    #[test]
    fn nothing_is_left_beyond_the_support() {
        for shape in SHAPES {
            let wake = station(shape);
            assert!(wake.deficit(wake.support_m()) < 1e-12 * wake.peak);
            assert!(wake.deficit(0.95 * wake.support_m()) > 1e-12 * wake.peak);
        }
    }

    #[test]
    fn mean_over_a_cell_is_the_integral() {
        for shape in SHAPES {
            let wake = station(shape);
            for (from, to) in [(-0.03, 0.05), (0.004, 0.006), (0.01, 0.2), (-0.5, -0.4), (0.05, -0.03)] {
                // The midpoint sum of 20 000 cells is good to 1e-7 of the peak where the profile has an edge.
                let error = wake.mean_over(from, to) - sampled_mean(&wake, from, to);
                assert!(error.abs() < 1e-7 * wake.peak, "{shape:?} {from} {to}: {error:e}");
            }
            assert_relative_eq!(wake.mean_over(0.01, 0.01 + 1e-9), wake.deficit(0.01), max_relative = 1e-6);
        }
    }

    #[test]
    fn eight_means_side_by_side_are_the_eight_alone() {
        let wake = station(WakeShape::Gaussian);
        let peak = Lanes::splat(wake.peak);
        for (from, to) in [(-0.03, 0.05), (0.004, 0.006), (0.01, 0.2), (0.05, -0.03), (0.01, 0.01 + 1e-9)] {
            let at = |n: f64| Lanes::splat(n / wake.width_m);
            let middle = wake.shape.deficit_lanes(peak, at(0.5 * (from + to)));
            let mean = WakeShape::gaussian_mean_lanes(peak, (at(from), at(to)), middle);
            // The rounding of two error functions, 4e-16 each, over the narrowest cell, a tenth of the width.
            assert_relative_eq!(mean.0[6], wake.mean_over(from, to), epsilon = 1e-14);
        }
    }

    #[test]
    fn deep_cosine_wakes_keep_their_mean() {
        let wake = WakeStation { peak: 0.9, width_m: 0.02, shape: WakeShape::CosineSquared };
        let exact = sampled_mean(&wake, -0.02, 0.02);
        // 1 % of dynamic pressure left in the middle: the integrand bends sharply, eight points give 1e-4.
        assert_relative_eq!(wake.mean_over(-0.02, 0.02), exact, max_relative = 1e-4);
    }
}
