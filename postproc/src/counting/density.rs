//! Cycles of a stationary Gaussian load from its one-sided spectral density.
//!
//! For broadband parts (turbulence). Lines at nP are not Gaussian: their history is known and counted.
//!
//! Moments m_k = ∫ f^k G(f) df with f in Hz, G a straight line between rows and 0 outside them. Rising zero crossings ν0 = √(m2/m0), peaks νp = √(m4/m2) (Rice 1944). Damage
//! rates are Σ amplitude^k per second; in ranges they are 2^k times larger.
//!
//! - narrow band: peaks follow Rayleigh, ν0 (2 m0)^(k/2) Γ(1 + k/2); never too low for one mode, high for wide bands.
//! - T. Dirlik, thesis, Warwick 1985: density of ranges from one exponential and two Rayleigh parts.
//! - P. Wirsching and M. Light, J. Struct. Div. ASCE 106 (1980): a factor on the narrow band.
//! - R. Tovo and D. Benasciutti, Int. J. Fatigue 24 (2002), 28 (2006): a mix of two limits.

use libm::tgamma;

use super::Cycle;

/// A density that has no moments.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DensityError {
    /// Rows of unequal number, or fewer than two.
    #[error("a density needs two or more rows of frequency and value, as many of one as of the other")]
    Rows,
    /// A frequency does not rise, or is negative or no number.
    #[error("frequency {index} of the density does not rise from 0 or more")]
    Frequency {
        /// Row, from 0.
        index: usize,
    },
    /// A value is negative or no number.
    #[error("value {index} of the density is negative or no number")]
    Value {
        /// Row, from 0.
        index: usize,
    },
    /// All power at no frequency, or no power at all.
    #[error("the density holds no power, so there are no cycles to count")]
    NoPower,
}

/// Moments of a one-sided density: m0 in unit², m1 in unit² Hz, and so on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpectralMoments {
    /// Mean square.
    pub m0: f64,
    /// First moment.
    pub m1: f64,
    /// Second moment.
    pub m2: f64,
    /// Fourth moment.
    pub m4: f64,
}

/// Coefficients of Dirlik's density of Z = amplitude/√m0: (D1/Q) e^(−Z/Q) + (D2 Z/R²) e^(−Z²/2R²) + D3 Z e^(−Z²/2).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirlikCoefficients {
    /// Share of the exponential part.
    pub d1: f64,
    /// Share of the narrow Rayleigh part.
    pub d2: f64,
    /// Share of the unit Rayleigh part.
    pub d3: f64,
    /// Scale of the exponential part.
    pub q: f64,
    /// Scale of the narrow Rayleigh part.
    pub r: f64,
}

/// Ranges into which Dirlik's density is cut for the matrix and the exceedance curve, up to [`HIGHEST`].
const STEPS: usize = 480;
/// Amplitude over √m0 past which less than 1e-13 of the cycles lie.
const HIGHEST: f64 = 8.0;

impl SpectralMoments {
    /// Exact for straight lines between the rows: frequencies in Hz, values in unit²/Hz, nothing before the first row and after
    /// the last.
    ///
    /// # Errors
    /// [`DensityError`] where rows are missing, frequencies do not rise, values are negative, or no power is there.
    pub fn of(frequency_hz: &[f64], density: &[f64]) -> Result<Self, DensityError> {
        if frequency_hz.len() != density.len() || density.len() < 2 {
            return Err(DensityError::Rows);
        }
        let falls = |k: usize| !(frequency_hz[k] >= 0.0 && (k == 0 || frequency_hz[k] > frequency_hz[k - 1]));
        if let Some(index) = (0..frequency_hz.len()).find(|&k| falls(k) || !frequency_hz[k].is_finite()) {
            return Err(DensityError::Frequency { index });
        }
        if let Some(index) = density.iter().position(|g| !(*g >= 0.0 && g.is_finite())) {
            return Err(DensityError::Value { index });
        }
        let moment = |order: i32| -> f64 {
            let ends = frequency_hz.windows(2).zip(density.windows(2));
            ends.map(|(f, g)| line_moment([f[0], f[1]], [g[0], g[1]], order)).sum()
        };
        let moments = Self { m0: moment(0), m1: moment(1), m2: moment(2), m4: moment(4) };
        if moments.m0 > 0.0 && moments.m2 > 0.0 { Ok(moments) } else { Err(DensityError::NoPower) }
    }

    /// Rising crossings of the mean a second, Hz.
    #[must_use]
    pub fn crossings_hz(&self) -> f64 {
        (self.m2 / self.m0).sqrt()
    }

    /// Peaks a second, Hz.
    #[must_use]
    pub fn peaks_hz(&self) -> f64 {
        (self.m4 / self.m2).sqrt()
    }

    /// Regularity γ = m2/√(m0 m4): 1 for one frequency, towards 0 for a wide band.
    #[must_use]
    pub fn regularity(&self) -> f64 {
        self.m2 / (self.m0 * self.m4).sqrt()
    }

    /// Mean frequency of Dirlik, (m1/m0) √(m2/m4).
    #[must_use]
    pub fn mean_frequency_ratio(&self) -> f64 {
        self.m1 / self.m0 * (self.m2 / self.m4).sqrt()
    }

    /// Dirlik's coefficients.
    #[must_use]
    pub fn dirlik(&self) -> DirlikCoefficients {
        let (gamma, xm) = (self.regularity(), self.mean_frequency_ratio());
        let d1 = 2.0 * (xm - gamma * gamma) / (1.0 + gamma * gamma);
        let rest = 1.0 - gamma - d1 + d1 * d1;
        let r = (gamma - xm - d1 * d1) / rest;
        let d2 = rest / (1.0 - r);
        let d3 = 1.0 - d1 - d2;
        let q = 1.25 * (gamma - d3 - d2 * r) / d1;
        DirlikCoefficients { d1, d2, d3, q, r }
    }

    /// Σ amplitude^k per second of a narrow band.
    #[must_use]
    pub fn narrow_band_rate(&self, exponent: f64) -> f64 {
        self.crossings_hz() * (2.0 * self.m0).powf(0.5 * exponent) * tgamma(1.0 + 0.5 * exponent)
    }

    /// Σ amplitude^k per second by Dirlik.
    #[must_use]
    pub fn dirlik_rate(&self, exponent: f64) -> f64 {
        let DirlikCoefficients { d1, d2, d3, q, r } = self.dirlik();
        let rayleigh = 2_f64.powf(0.5 * exponent) * tgamma(1.0 + 0.5 * exponent);
        let shape =
            d1 * q.powf(exponent) * tgamma(1.0 + exponent) + rayleigh * (d2 * r.abs().powf(exponent) + d3);
        self.peaks_hz() * self.m0.powf(0.5 * exponent) * shape
    }

    /// Σ amplitude^k per second by Wirsching and Light; k from 2.5 to 6 in their fit.
    #[must_use]
    pub fn wirsching_light_rate(&self, exponent: f64) -> f64 {
        let (a, b) = (0.926 - 0.033 * exponent, 1.587 * exponent - 2.323);
        let width = (1.0 - self.regularity().powi(2)).max(0.0).sqrt();
        self.narrow_band_rate(exponent) * (a + (1.0 - a) * (1.0 - width).powf(b))
    }

    /// Σ amplitude^k per second by Tovo and Benasciutti.
    #[must_use]
    pub fn tovo_benasciutti_rate(&self, exponent: f64) -> f64 {
        let (a1, a2) = (self.m1 / (self.m0 * self.m2).sqrt(), self.regularity());
        let bracket = 1.112 * (1.0 + a1 * a2 - a1 - a2) * (2.11 * a2).exp() + (a1 - a2);
        let b = (a1 - a2) * bracket / (a2 - 1.0).powi(2);
        self.narrow_band_rate(exponent) * (b + (1.0 - b) * a2.powf(exponent - 1.0))
    }

    /// Dirlik's cycles over a duration about a mean, in fine steps of range.
    ///
    /// The sums Σ n Rᵐ agree with [`Self::dirlik_rate`] to 0.1 % for m up to 10.
    #[must_use]
    pub fn dirlik_cycles(&self, duration_s: f64, mean: f64) -> Vec<Cycle> {
        let coefficients = self.dirlik();
        let total = self.peaks_hz() * duration_s;
        let step = HIGHEST / STEPS as f64;
        (0..STEPS)
            .map(|k| {
                let (low, high) = (k as f64 * step, (k + 1) as f64 * step);
                let count = total * (coefficients.beyond(low) - coefficients.beyond(high));
                Cycle { range: (low + high) * self.m0.sqrt(), mean, count: count.max(0.0) }
            })
            .collect()
    }
}

/// ∫ f^n G df over a straight line of G from one row to the next.
///
/// With f = (1 − t) a + t b the integrand is a sum of Bernstein terms, each of which integrates to a quotient of factorials:
/// (b − a)/((n + 1)(n + 2)) Σ_j a^(n−j) b^j ((n − j + 1) G(a) + (j + 1) G(b)), j = 0…n. No term is negative, so rows that lie close
/// together lose no digits.
fn line_moment([a, b]: [f64; 2], [at_a, at_b]: [f64; 2], order: i32) -> f64 {
    let n = f64::from(order);
    let term = |j: i32| {
        let (low, high) = (f64::from(order - j + 1), f64::from(j + 1));
        a.powi(order - j) * b.powi(j) * (low * at_a + high * at_b)
    };
    (b - a) / ((n + 1.0) * (n + 2.0)) * (0..=order).map(term).sum::<f64>()
}

impl DirlikCoefficients {
    /// Share of cycles with an amplitude above Z √m0.
    #[must_use]
    pub fn beyond(&self, z: f64) -> f64 {
        // Near one frequency the two small parts vanish with their scales: 0/0 is their share, nought.
        let part = |share: f64, power: f64| {
            let value = share * power.exp();
            if value.is_finite() { value } else { 0.0 }
        };
        part(self.d1, -z / self.q) + part(self.d2, -0.5 * (z / self.r).powi(2)) + part(self.d3, -0.5 * z * z)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(low: f64, high: f64) -> SpectralMoments {
        let frequency: Vec<f64> = (0..=2000).map(|k| low + (high - low) * f64::from(k) / 2000.0).collect();
        SpectralMoments::of(&frequency, &vec![2.0; frequency.len()]).unwrap()
    }

    fn close(of: f64, to: f64) {
        // Round-off of a few sums and powers.
        assert!((of / to - 1.0).abs() < 1e-12, "{of} {to}");
    }

    /// m_k = G (f2^(k+1) − f1^(k+1))/(k + 1), whether the band is told by its corners or by two thousand rows.
    #[test]
    fn val_moments_of_a_flat_band() {
        for m in [band(20.0, 200.0), SpectralMoments::of(&[20.0, 200.0], &[2.0, 2.0]).unwrap()] {
            close(m.m0, 360.0);
            close(m.m1, 2.0 * (4e4 - 4e2) / 2.0);
            close(m.m2, 2.0 * (8e6 - 8e3) / 3.0);
            close(m.m4, 2.0 * (3.2e11 - 3.2e6) / 5.0);
        }
    }

    /// A ramp from 0 at 0 Hz to 6 at 3 Hz and back to 0 at 5 Hz, by hand: G = 2 f, then 15 − 3 f.
    /// m0 = 9 + 6, m1 = 18 + 22, m2 = 40.5 + (15·98/3 − 3·544/4), m4 = 243 + (15·2882/5 − 3·14896/6).
    #[test]
    fn val_moments_of_straight_lines() {
        let m = SpectralMoments::of(&[0.0, 3.0, 5.0], &[0.0, 6.0, 0.0]).unwrap();
        close(m.m0, 15.0);
        close(m.m1, 40.0);
        close(m.m2, 122.5);
        close(m.m4, 1441.0);
    }

    /// A narrow band tends to Rayleigh peaks in every model.
    #[test]
    fn models_agree_on_a_narrow_band() {
        let m = band(99.5, 100.5);
        for exponent in [3.0, 5.0, 8.0] {
            let narrow = m.narrow_band_rate(exponent);
            for rate in [m.dirlik_rate(exponent), m.tovo_benasciutti_rate(exponent)] {
                assert!((rate / narrow - 1.0).abs() < 2e-3, "{exponent}: {rate} {narrow}");
            }
        }
    }

    /// 0.1 %: the width of a step, 1/60 of √m0.
    #[test]
    fn cut_into_cycles_it_has_the_same_sums() {
        let m = band(20.0, 200.0);
        let cycles = m.dirlik_cycles(3600.0, 5.0);
        for exponent in [3.0, 5.0, 10.0] {
            let whole = m.dirlik_rate(exponent) * 3600.0 * 2_f64.powf(exponent);
            let sum = crate::counting::range_sum(&cycles, exponent);
            assert!((sum / whole - 1.0).abs() < 1e-3, "{exponent}: {sum} {whole}");
        }
    }

    #[test]
    fn bad_densities_are_named() {
        let of = |f: &[f64], g: &[f64]| SpectralMoments::of(f, g).unwrap_err();
        assert_eq!(of(&[1.0], &[1.0]), DensityError::Rows);
        assert_eq!(of(&[1.0, 1.0], &[1.0, 1.0]), DensityError::Frequency { index: 1 });
        assert_eq!(of(&[1.0, 2.0], &[1.0, -1.0]), DensityError::Value { index: 1 });
        assert_eq!(of(&[0.0, 2.0], &[0.0, 0.0]), DensityError::NoPower);
    }
}
