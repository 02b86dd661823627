//! The cubic through four equally spaced values.

use std::ops::Mul;

use super::lanes::Lanes;

/// Weights of values at −1, 0, 1, 2 for a place `t` in 0 to 1; the error for a wave of phase step h is 3 h⁴/128 at the most.
#[inline]
#[must_use]
pub fn lagrange4(t: f64) -> [f64; 4] {
    let (a, b, c, d) = (t + 1.0, t, t - 1.0, t - 2.0);
    [-b * c * d / 6.0, a * c * d / 2.0, -a * b * d / 2.0, a * b * c / 6.0]
}

/// The value of a cubic by the weights of its four values, the same for all lanes or each lane's own.
#[inline(always)]
#[must_use]
pub fn weighed4<W: Copy>(values: [Lanes; 4], weights: &[W; 4]) -> Lanes
where
    Lanes: Mul<W, Output = Lanes>,
{
    (values[0] * weights[0] + values[1] * weights[1]) + (values[2] * weights[2] + values[3] * weights[3])
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_cubic_comes_back() {
        let cubic = |x: f64| 2.0 - x + 0.5 * x * x - 3.0 * x.powi(3);
        for t in [0.0, 0.3, 0.5, 1.0] {
            let sum: f64 = lagrange4(t).iter().zip([-1.0, 0.0, 1.0, 2.0]).map(|(w, x)| w * cubic(x)).sum();
            assert_relative_eq!(sum, cubic(t), epsilon = 1e-14);
        }
    }
}
