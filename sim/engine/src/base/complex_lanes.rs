//! Eight complex numbers side by side, and the Fourier coefficients of eight signals.

use std::ops::{Add, Mul, Sub};

use multiversion::multiversion;

use super::lanes::Lanes;
use super::turn::Turn;

/// Eight complex values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComplexLanes {
    /// Real parts.
    pub re: Lanes,
    /// Imaginary parts.
    pub im: Lanes,
}

impl ComplexLanes {
    /// All lanes zero.
    pub const ZERO: Self = Self { re: Lanes::ZERO, im: Lanes::ZERO };
    /// All lanes one.
    pub const ONE: Self = Self { re: Lanes([1.0; super::lanes::LANES]), im: Lanes::ZERO };

    /// All lanes `re` + i `im`.
    #[must_use]
    pub fn splat((re, im): (f64, f64)) -> Self {
        Self { re: Lanes::splat(re), im: Lanes::splat(im) }
    }

    /// One over each.
    #[must_use]
    pub fn inverse(self) -> Self {
        let square = self.re * self.re + self.im * self.im;
        Self { re: self.re / square, im: -self.im / square }
    }
}

impl Add for ComplexLanes {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { re: self.re + other.re, im: self.im + other.im }
    }
}

impl Sub for ComplexLanes {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { re: self.re - other.re, im: self.im - other.im }
    }
}

impl Mul for ComplexLanes {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self { re: self.re * other.re - self.im * other.im, im: self.re * other.im + self.im * other.re }
    }
}

impl Mul<Lanes> for ComplexLanes {
    type Output = Self;
    fn mul(self, by: Lanes) -> Self {
        Self { re: self.re * by, im: self.im * by }
    }
}

/// Coefficients cₙ of orders 1 to `orders`, x(ψ) = mean + Re Σ cₙ e^{inψ}, of eight signals at the steps of `turn`, appended to
/// `to`. Orders stay below half the number of steps.
pub fn append_orders(values: &[Lanes], turn: &Turn, orders: usize, to: &mut Vec<ComplexLanes>) {
    let first = to.len();
    to.resize(first + orders, ComplexLanes::ZERO);
    sum_orders(values, turn, &mut to[first..]);
}

/// Signals that are 0 at most steps, as a wake's are, take only the others.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn sum_orders(values: &[Lanes], turn: &[(f64, f64)], coefficients: &mut [ComplexLanes]) {
    let count = values.len();
    let scale = 2.0 / count as f64;
    // The cosine is the same a step before and after the beginning, the sine but for its sign: both steps at once.
    let mut folded = Vec::with_capacity(count / 2 + 1);
    for (j, here) in values.iter().enumerate().take(count / 2 + 1) {
        let mirrored = (count - j) % count;
        let there = if mirrored == j { Lanes::ZERO } else { values[mirrored] };
        if !here.all(there, |here, there| here == 0.0 && there == 0.0) {
            folded.push((j, *here + there, *here - there));
        }
    }
    for (order, coefficient) in coefficients.iter_mut().enumerate() {
        let (mut re, mut im) = (Lanes::ZERO, Lanes::ZERO);
        for (j, even, odd) in &folded {
            let (cos, sin) = turn[j * (order + 1) % count];
            re = re + *even * cos;
            im = im - *odd * sin;
        }
        coefficient.re = re * scale;
        coefficient.im = im * scale;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::fourier::Fourier;
    use crate::base::turn::turn;
    use approx::assert_relative_eq;

    #[test]
    fn orders_are_those_of_the_transform() {
        for count in [45, 64] {
            let at = |lane: usize, j: usize| if j % 5 < 2 { ((j * j + 3 * lane) % 17) as f64 } else { 0.0 };
            let values: Vec<Lanes> = (0..count).map(|j| Lanes::from_fn(|lane| at(lane, j))).collect();
            let mut orders = vec![ComplexLanes::ONE];
            append_orders(&values, &turn(count), 20, &mut orders);
            for lane in 0..8 {
                let signal: Vec<f64> = (0..count).map(|j| at(lane, j)).collect();
                let exact = Fourier::new(count).coefficients(&signal);
                for (own, exact) in orders.iter().zip(&exact).skip(1) {
                    assert_relative_eq!(own.re.0[lane], exact.re, epsilon = 1e-13);
                    assert_relative_eq!(own.im.0[lane], exact.im, epsilon = 1e-13);
                }
            }
        }
    }

    #[test]
    fn a_number_times_its_inverse_is_one() {
        let z = ComplexLanes::splat((0.6, -1.7));
        let one = z * z.inverse();
        assert_relative_eq!(one.re.0[4], 1.0, epsilon = 1e-15);
        assert_relative_eq!(one.im.0[4], 0.0, epsilon = 1e-15);
    }
}
