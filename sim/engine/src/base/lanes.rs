//! Eight numbers side by side: one for each of eight blade stations.
//!
//! Plain arrays, no intrinsics: a function built for several instruction sets by `multiversion`
//! turns these loops into vector instructions, and without fused multiply–add every set gives the
//! same bits.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Stations handled together.
pub const LANES: usize = 8;

/// Eight values.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(align(64))]
pub struct Lanes(pub [f64; LANES]);

impl Lanes {
    /// All lanes zero.
    pub const ZERO: Self = Self([0.0; LANES]);

    /// All lanes equal.
    #[inline(always)]
    #[must_use]
    pub fn splat(v: f64) -> Self {
        Self([v; LANES])
    }

    /// Lane by lane from an index.
    #[inline(always)]
    #[must_use]
    pub fn from_fn(mut f: impl FnMut(usize) -> f64) -> Self {
        // A plain loop: array adaptors are not inlined into functions built for other instruction sets.
        let mut out = [0.0; LANES];
        for (i, o) in out.iter_mut().enumerate() {
            *o = f(i);
        }
        Self(out)
    }

    /// A function of each lane.
    #[inline(always)]
    #[must_use]
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self::from_fn(|i| f(self.0[i]))
    }

    /// A function of two values lane by lane.
    #[inline(always)]
    #[must_use]
    pub fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self::from_fn(|i| f(self.0[i], other.0[i]))
    }

    /// Sum of the lanes, by pairs.
    #[inline(always)]
    #[must_use]
    pub fn sum(self) -> f64 {
        let v = self.0;
        ((v[0] + v[4]) + (v[1] + v[5])) + ((v[2] + v[6]) + (v[3] + v[7]))
    }

    /// Square root.
    #[inline(always)]
    #[must_use]
    pub fn sqrt(self) -> Self {
        self.map(f64::sqrt)
    }

    /// Magnitude.
    #[inline(always)]
    #[must_use]
    pub fn abs(self) -> Self {
        self.map(f64::abs)
    }

    /// Larger of two.
    #[inline(always)]
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        self.zip(other, |a, b| if a > b { a } else { b })
    }

    /// Smaller of two.
    #[inline(always)]
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        self.zip(other, |a, b| if a < b { a } else { b })
    }

    /// Whether a condition on two values holds in every lane.
    #[inline(always)]
    #[must_use]
    pub fn all(self, other: Self, f: impl Fn(f64, f64) -> bool) -> bool {
        let mut ok = true;
        for i in 0..LANES {
            ok &= f(self.0[i], other.0[i]);
        }
        ok
    }

    /// e^x for −700 < x ≤ 0; smaller arguments give e^−700, which is nothing beside any load.
    ///
    /// x = m ln 2 + y, then the Taylor series of e^y to degree 13 on |y| ≤ 0.35: error below 2e-16.
    #[inline(always)]
    #[must_use]
    pub fn exp_decay(self) -> Self {
        self.map(exp_decay)
    }

    /// e^x for x ≤ 0, short where every lane is small: the Taylor series to degree 7 below 0.03 is exact to 2e-17.
    #[inline(always)]
    #[must_use]
    pub fn exp_short_decay(self) -> Self {
        if self.all(Self::splat(-0.03), |x, limit| x > limit) {
            let mut p = Self::splat(1.0 / 5040.0);
            for c in [1.0 / 720.0, 1.0 / 120.0, 1.0 / 24.0, 1.0 / 6.0, 0.5, 1.0, 1.0] {
                p = p * self + c;
            }
            p
        } else {
            self.exp_decay()
        }
    }

    /// Angle of the vector (x, y) lane by lane, as `f64::atan2`.
    #[inline(always)]
    #[must_use]
    pub fn atan2(self, x: Self) -> Self {
        self.zip(x, atan2)
    }
}

/// e^x for −700 < x ≤ 0, without a branch; see [`Lanes::exp_decay`].
#[inline(always)]
pub(crate) fn exp_decay(x: f64) -> f64 {
    const ROUND: f64 = 6_755_399_441_055_744.0; // 1.5 · 2^52: adding it rounds to an integer
    const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
    const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    let x = if x < -700.0 { -700.0 } else { x };
    let shifted = x * std::f64::consts::LOG2_E + ROUND;
    let m = shifted - ROUND;
    let y = (x - m * LN2_HIGH) - m * LN2_LOW;
    let mut p = 1.0 / 6_227_020_800.0;
    p = p * y + 1.0 / 479_001_600.0;
    p = p * y + 1.0 / 39_916_800.0;
    p = p * y + 1.0 / 3_628_800.0;
    p = p * y + 1.0 / 362_880.0;
    p = p * y + 1.0 / 40_320.0;
    p = p * y + 1.0 / 5_040.0;
    p = p * y + 1.0 / 720.0;
    p = p * y + 1.0 / 120.0;
    p = p * y + 1.0 / 24.0;
    p = p * y + 1.0 / 6.0;
    p = p * y + 0.5;
    p = p * y + 1.0;
    p = p * y + 1.0;
    // The low bits of `shifted` hold m as an integer: move it into the exponent.
    let scale = f64::from_bits((shifted.to_bits().wrapping_add(1023)) << 52);
    p * scale
}

/// Branch-free arctangent: reduction to |t| ≤ tan(π/8), then the rational form of Moshier's Cephes
/// Mathematical Library (`atan`, relative error 1.8e-16).
#[inline(always)]
fn atan2(y: f64, x: f64) -> f64 {
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};
    const P: [f64; 5] = [
        -8.750_608_600_031_904e-1,
        -1.615_753_718_733_365_2e1,
        -7.500_855_792_314_705e1,
        -1.228_866_684_490_136_2e2,
        -6.485_021_904_942_025e1,
    ];
    const Q: [f64; 5] = [
        2.485_846_490_142_306_4e1,
        1.650_270_098_316_988_5e2,
        4.328_810_604_912_903e2,
        4.853_903_996_359_137e2,
        1.945_506_571_482_614e2,
    ];
    let (ax, ay) = (x.abs(), y.abs());
    let steep = ay > ax;
    let (num, den) = if steep { (ax, ay) } else { (ay, ax) };
    let far = num > 0.414_213_562_373_095_03 * den;
    // atan t = π/4 + atan((t − 1)/(t + 1)), with t = num/den and one division.
    let (n, d) = if far { (num - den, num + den) } else { (num, den) };
    let t = if d > 0.0 { n / d } else { 0.0 };
    let z = t * t;
    let p = (((P[0] * z + P[1]) * z + P[2]) * z + P[3]) * z + P[4];
    let q = ((((z + Q[0]) * z + Q[1]) * z + Q[2]) * z + Q[3]) * z + Q[4];
    let mut a = t + t * z * p / q;
    a = if far { a + FRAC_PI_4 } else { a };
    a = if steep { FRAC_PI_2 - a } else { a };
    a = if x < 0.0 { PI - a } else { a };
    if y < 0.0 { -a } else { a }
}

macro_rules! lane_op {
    ($trait:ident, $method:ident, $op:tt) => {
        impl $trait for Lanes {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                Self::from_fn(|i| self.0[i] $op other.0[i])
            }
        }
        impl $trait<f64> for Lanes {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                Self::from_fn(|i| self.0[i] $op other)
            }
        }
    };
}
lane_op!(Add, add, +);
lane_op!(Sub, sub, -);
lane_op!(Mul, mul, *);
lane_op!(Div, div, /);

impl Neg for Lanes {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|v| -v)
    }
}

/// Mean over a ring or list of one value or more, lane by lane.
#[must_use]
pub fn mean(values: &[Lanes]) -> Lanes {
    values.iter().fold(Lanes::ZERO, |sum, v| sum + *v) * (1.0 / values.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn exponential_and_arctangent_match_the_standard_library() {
        for i in 0..4000 {
            let x = -f64::from(i) * 0.01;
            assert_relative_eq!(exp_decay(x), x.exp(), max_relative = 4e-16);
            let angle = f64::from(i - 2000) * 0.00157;
            let (s, c) = angle.sin_cos();
            assert_relative_eq!(atan2(s * 7.0, c * 7.0), angle, max_relative = 4e-16, epsilon = 1e-17);
        }
        for x in [-0.0299, -0.0301, -1e-5] {
            assert_relative_eq!(Lanes::splat(x).exp_short_decay().0[5], x.exp(), max_relative = 3e-16);
        }
        assert_relative_eq!(exp_decay(-690.0), (-690.0_f64).exp(), max_relative = 4e-16);
        assert_eq!(atan2(0.0, 0.0), 0.0);
    }
}
