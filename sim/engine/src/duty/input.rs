//! What a duty cycle needs, SI units and radians.

use crate::point::input::OperatingPoint;
use crate::trim::Trim;

/// A flight and how often it is flown.
#[derive(Debug, Clone)]
pub struct DutyCycle {
    /// Segments in the order of the flight, one or more.
    pub segments: Vec<Segment>,
    /// Flights in a life.
    pub flights_per_life: f64,
    /// Samples of a revolution that are counted.
    pub samples: usize,
    /// Exponents and counts of damage-equivalent loads.
    pub equivalents: Vec<Equivalent>,
    /// Details with an S-N curve.
    pub details: Vec<Detail>,
    /// Broadband loads.
    pub densities: Vec<Density>,
}

/// A part of the flight in one steady state.
#[derive(Debug, Clone)]
pub struct Segment {
    /// Name, unique over segments.
    pub name: String,
    /// Duration each time, s.
    pub duration_s: f64,
    /// How often it comes in a flight, 1 or more.
    pub repeats: usize,
    /// State of the segment with its mass, before trim.
    pub point: OperatingPoint,
    /// What is adjusted; `None` flies the point as it is.
    pub trim: Option<Trim>,
}

impl DutyCycle {
    /// Indices of the segments in the order they are flown: all once, then those that come again, and so on.
    #[must_use]
    pub fn sequence(&self) -> Vec<usize> {
        sequence(&self.segments.iter().map(|segment| segment.repeats).collect::<Vec<_>>())
    }
}

/// Indices in the order of flight for given repeats: a segment of r repeats is in the first r rounds.
///
/// ```
/// // Taxi, climb and approach, with one further circuit.
/// assert_eq!(wakebeat_engine::duty::input::sequence(&[1, 2, 2]), [0, 1, 2, 1, 2]);
/// ```
#[must_use]
pub fn sequence(repeats: &[usize]) -> Vec<usize> {
    let rounds = repeats.iter().copied().max().unwrap_or(0);
    (0..rounds).flat_map(|round| (0..repeats.len()).filter(move |k| repeats[*k] > round)).collect()
}

/// A damage-equivalent load: exponent and count.
#[derive(Debug, Clone, PartialEq)]
pub struct Equivalent {
    /// Name.
    pub name: String,
    /// Exponent m of the S-N line.
    pub exponent: f64,
    /// Number of cycles it is told for.
    pub cycles: f64,
}

/// How the mean of a cycle acts; levels in MPa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeanRule {
    /// Not at all.
    Ignored,
    /// Goodman's line to the ultimate strength.
    Goodman {
        /// Ultimate strength, MPa.
        ultimate_mpa: f64,
    },
    /// Gerber's parabola to the ultimate strength.
    Gerber {
        /// Ultimate strength, MPa.
        ultimate_mpa: f64,
    },
    /// Soderberg's line to the yield strength.
    Soderberg {
        /// Yield strength, MPa.
        yield_mpa: f64,
    },
    /// Smith, Watson and Topper.
    SmithWatsonTopper,
    /// Walker.
    Walker {
        /// Exponent.
        exponent: f64,
    },
}

/// A detail of the mount with its S-N curve, N = `cycles` (`range_mpa`/range)^`slope`, fully reversed.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Name, unique over details.
    pub name: String,
    /// Key of the load that stresses it.
    pub load: String,
    /// Stress per load, MPa per N or per N m.
    pub stress_per_load: f64,
    /// Stress range at the reference, MPa.
    pub range_mpa: f64,
    /// Cycles to failure there.
    pub cycles: f64,
    /// Exponent, more than 0.
    pub slope: f64,
    /// Stress range below which a cycle does nothing, MPa; 0 for none.
    pub endurance_range_mpa: f64,
    /// How the mean acts.
    pub mean: MeanRule,
}

/// A broadband load given by its one-sided density.
#[derive(Debug, Clone, PartialEq)]
pub struct Density {
    /// Name.
    pub name: String,
    /// Key of the load it belongs to.
    pub load: String,
    /// Index of the segment it acts in; `None` for all.
    pub segment: Option<usize>,
    /// Frequencies, Hz, rising.
    pub frequency_hz: Vec<f64>,
    /// Density, N²/Hz or (N m)²/Hz.
    pub density: Vec<f64>,
}
