//! The error function of eight numbers side by side.
//!
//! erf x = 1 − e^(−x²) f(x) for x ≥ 0, with f(x) = e^(x²) erfc x as a series of Chebyshev polynomials in (x − 3)/(x + 3); odd in x. The
//! coefficients were computed to 40 digits from f at the Chebyshev points; those left out add up to 2e-17. Without a branch, so that eight
//! take little more than one.

use super::lanes::Lanes;

/// Coefficients of the Chebyshev polynomials of degree 0 to 23.
const COEFFICIENTS: [f64; 24] = [
    0.329_862_774_753_036_77,
    -0.453_661_520_537_802_07,
    0.160_398_340_821_562_96,
    -0.044_908_121_151_122_825,
    0.009_641_428_650_695_697,
    -0.001_442_508_077_744_394_2,
    0.000_100_994_367_353_800_12,
    1.208_502_453_445_552e-5,
    -3.625_420_602_754_363_8e-6,
    7.186_810_742_357_812e-8,
    8.914_235_859_770_334e-8,
    -7.421_566_625_810_571e-9,
    -2.389_336_570_345_353e-9,
    3.062_235_542_683_646e-10,
    7.788_945_510_136_506e-11,
    -1.097_374_460_937_037_2e-11,
    -3.091_520_008_336_211_6e-12,
    3.525_433_233_246_554e-13,
    1.399_037_022_737_214_5e-13,
    -8.247_270_707_414_602e-15,
    -6.641_101_099_799_939e-15,
    -8.036_479_459_416_017e-17,
    3.049_336_303_975_143e-16,
    3.122_837_031_926_277_7e-17,
];

/// Place of the middle of the series.
const MIDDLE: f64 = 3.0;

impl Lanes {
    /// erf x lane by lane, to 4e-16.
    #[inline(always)]
    #[must_use]
    pub fn erf(self) -> Self {
        let x = self.abs();
        let twice = (x - MIDDLE) * 2.0 / (x + MIDDLE);
        // Clenshaw's recurrence, from the highest degree down.
        let (mut sum, mut before) = (Self::ZERO, Self::ZERO);
        for coefficient in COEFFICIENTS[1..].iter().rev() {
            (sum, before) = (twice * sum - before + *coefficient, sum);
        }
        let scaled = twice * 0.5 * sum - before + COEFFICIENTS[0];
        let positive = Self::splat(1.0) - (-(x * x)).exp_decay() * scaled;
        positive.zip(self, f64::copysign)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_that_of_the_mathematical_library() {
        for i in -7000..=7000 {
            let x = f64::from(i) * 1e-3;
            let error = Lanes::splat(x).erf().0[5] - libm::erf(x);
            assert!(error.abs() < 4e-16, "{x}: {error:e}");
        }
        assert_eq!(Lanes::splat(1e9).erf().0[0], 1.0);
        assert_eq!(Lanes::splat(-1e9).erf().0[7], -1.0);
    }
}
