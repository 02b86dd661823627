//! Counting cycles in load histories, and what the counts do to a part.
//!
//! | file | what it holds | source |
//! |---|---|---|
//! | `turning` | peaks and valleys of a history | ASTM E1049-85(2017), 3.1 |
//! | `rainflow` | rainflow cycles of a history, and of one that repeats itself | the same, 5.4.4 and 5.4.5 |
//! | `simple_counts` | level crossings, peaks, simple ranges, range pairs | the same, 5.1 to 5.3 |
//! | `matrix` | range–mean matrix | the same, 5.4 |
//! | `exceedance` | cycles at or above a range | textbook |
//! | `sn_curve`, `mean_stress` | cycles to failure, correction for the mean | Basquin; the form of MIL-HDBK-5; Goodman, Gerber, Soderberg, Smith–Watson–Topper, Walker |
//! | `damage` | damage-equivalent range, Miner's sum | Palmgren and Miner |
//! | `density` | cycles of a Gaussian load from its spectral density | Rice; Dirlik; Wirsching and Light; Tovo and Benasciutti |
//!
//! Levels, ranges and means have the unit of the history, range being maximum minus minimum.

mod damage;
mod density;
mod exceedance;
mod matrix;
mod mean_stress;
mod rainflow;
mod simple_counts;
mod sn_curve;
mod turning;

pub use damage::{equivalent_range, miner_damage, range_sum};
pub use density::{DensityError, DirlikCoefficients, SpectralMoments};
pub use exceedance::{ExceedanceStep, exceedance};
pub use matrix::RangeMeanMatrix;
pub use mean_stress::MeanStress;
pub use rainflow::{rainflow, rainflow_repeating, rainflow_with};
pub use simple_counts::{LevelCount, level_crossings, peak_counts, range_pairs, simple_ranges};
pub use sn_curve::SnCurve;
pub use turning::turning_points;

/// Cycles of one range about one mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// Maximum minus minimum, unit of the history.
    pub range: f64,
    /// Half the sum of maximum and minimum, unit of the history.
    pub mean: f64,
    /// How many cycles: ½ for half a cycle, 1 for a closed one, more where a revolution repeats.
    pub count: f64,
}

impl Cycle {
    /// Cycle between two levels.
    #[must_use]
    pub fn between(one: f64, other: f64, count: f64) -> Self {
        Self { range: (one - other).abs(), mean: 0.5 * (one + other), count }
    }

    /// The same cycle so many times.
    #[must_use]
    pub fn times(self, times: f64) -> Self {
        Self { count: self.count * times, ..self }
    }

    /// Half the range.
    #[must_use]
    pub fn amplitude(self) -> f64 {
        0.5 * self.range
    }
}

/// A history that cannot be counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("sample {index} of the history is not a finite number, so its cycles cannot be counted")]
pub struct NotFinite {
    /// Index of the first such sample, from 0.
    pub index: usize,
}

/// Refuses NaN and infinities: a comparison with them would silently merge or drop cycles.
fn finite(history: &[f64]) -> Result<(), NotFinite> {
    // Without a way out inside a chunk the test runs on many samples at once.
    let all = |chunk: &[f64]| chunk.iter().fold(true, |good, x| good & x.is_finite());
    if history.chunks(256).all(all) {
        return Ok(());
    }
    history.iter().position(|x| !x.is_finite()).map_or(Ok(()), |index| Err(NotFinite { index }))
}
