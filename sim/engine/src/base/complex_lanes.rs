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

/// Coefficients cₙ of orders 1 to `orders`, x(ψ) = mean + Re Σ cₙ e^{inψ}, of eight signals at the steps of `turn`. Orders stay
/// below half the number of steps.
#[must_use]
pub fn signal_orders(values: &[Lanes], turn: &Turn, orders: usize) -> Vec<ComplexLanes> {
    let mut coefficients = vec![ComplexLanes::ZERO; orders];
    sum_orders(values, turn, &mut coefficients);
    coefficients
}

/// A step of a folded ring: its index, and the sums that go with the cosine and the sine of an order.
type Folded = (usize, Lanes, Lanes);

/// Sums over a ring folded twice, or once where its count is odd: the cosine is the same a step before and after the beginning, and
/// around a quarter turn it is the same or the opposite by whether the order is even; the sine likewise but for a sign.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn sum_orders(values: &[Lanes], turn: &[(f64, f64)], coefficients: &mut [ComplexLanes]) {
    let half = fold_about_beginning(values);
    let (even, odd) =
        if values.len().is_multiple_of(2) { fold_about_quarter(&half) } else { (felt(&half), felt(&half)) };
    sum_every_other(1, &odd, turn, coefficients);
    sum_every_other(2, &even, turn, coefficients);
}

/// Orders `first`, `first` + 2 …, two at a time.
#[inline(always)]
fn sum_every_other(first: usize, folded: &[Folded], turn: &[(f64, f64)], coefficients: &mut [ComplexLanes]) {
    let count = turn.len();
    let scale = 2.0 / count as f64;
    // Where the angle of each step stands at the present order; whole steps, so that high orders lose nothing.
    let mut angles = Vec::with_capacity(folded.len());
    for (j, ..) in folded {
        angles.push(first * j % count);
    }
    let mut order = first;
    while order <= coefficients.len() {
        let (mut re, mut im) = (Lanes::ZERO, Lanes::ZERO);
        let (mut next_re, mut next_im) = (Lanes::ZERO, Lanes::ZERO);
        for (step, angle) in folded.iter().zip(&mut angles) {
            let ((cos, sin), at) = (turn[*angle], once_around(*angle + 2 * step.0, count));
            let ((next_cos, next_sin), at) = (turn[at], once_around(at + 2 * step.0, count));
            re = re + step.1 * cos;
            im = im - step.2 * sin;
            next_re = next_re + step.1 * next_cos;
            next_im = next_im - step.2 * next_sin;
            *angle = at;
        }
        coefficients[order - 1] = ComplexLanes { re: re * scale, im: im * scale };
        if let Some(next) = coefficients.get_mut(order + 1) {
            *next = ComplexLanes { re: next_re * scale, im: next_im * scale };
        }
        order += 4;
    }
}

/// A step of a ring from one that may have gone around once: a step from half the ring, twice, goes no further.
#[inline(always)]
fn once_around(at: usize, count: usize) -> usize {
    if at >= count { at - count } else { at }
}

/// Sum and difference of each step from 0 to half the ring and its mirror image.
#[inline(always)]
fn fold_about_beginning(values: &[Lanes]) -> Vec<Folded> {
    let count = values.len();
    let mut folded = Vec::with_capacity(count / 2 + 1);
    for (j, here) in values.iter().enumerate().take(count / 2 + 1) {
        let mirrored = (count - j) % count;
        let there = if mirrored == j { Lanes::ZERO } else { values[mirrored] };
        folded.push((j, *here + there, *here - there));
    }
    folded
}

/// Steps 0 to a quarter of the ring, for even and for odd orders.
#[inline(always)]
fn fold_about_quarter(half: &[Folded]) -> (Vec<Folded>, Vec<Folded>) {
    let last = half.len() - 1;
    let room = || Vec::with_capacity(last / 2 + 1);
    let (mut even, mut odd) = (room(), room());
    for (j, sum, difference) in half.iter().take(last / 2 + 1) {
        let (_, sum_there, difference_there) =
            if last - j == *j { (0, Lanes::ZERO, Lanes::ZERO) } else { half[last - j] };
        even.push((*j, *sum + sum_there, *difference - difference_there));
        odd.push((*j, *sum - sum_there, *difference + difference_there));
    }
    (felt(&even), felt(&odd))
}

/// The steps that are not 0: a wake is felt at few.
#[inline(always)]
fn felt(folded: &[Folded]) -> Vec<Folded> {
    let mut felt = Vec::with_capacity(folded.len());
    for step in folded {
        if !step.1.all(step.2, |sum, difference| sum == 0.0 && difference == 0.0) {
            felt.push(*step);
        }
    }
    felt
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::fourier::Fourier;
    use crate::base::turn::turn;
    use approx::assert_relative_eq;

    #[test]
    fn orders_are_those_of_the_transform() {
        for count in [45, 64, 90] {
            let at = |lane: usize, j: usize| if j % 5 < 2 { ((j * j + 3 * lane) % 17) as f64 } else { 0.0 };
            let values: Vec<Lanes> = (0..count).map(|j| Lanes::from_fn(|lane| at(lane, j))).collect();
            let orders = signal_orders(&values, &turn(count), 20);
            for lane in 0..8 {
                let signal: Vec<f64> = (0..count).map(|j| at(lane, j)).collect();
                let exact = Fourier::new(count).coefficients(&signal);
                for (own, exact) in orders.iter().zip(&exact[1..]) {
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
