//! What a duty cycle leads to, as the result file holds it. G segments, O orders, E equivalent loads.
//!
//! Counts, times and damage are over the life, all flights together.

use crate::point::result::{Harmonics, Warning};

/// How a segment is flown.
#[derive(Debug, Clone, PartialEq)]
pub struct SegmentState {
    /// Name.
    pub name: String,
    /// Duration each time, s.
    pub duration_s: f64,
    /// How often it comes in a flight.
    pub repeats: usize,
    /// True airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Altitude, m.
    pub altitude_m: f64,
    /// Angle of attack, trimmed where it is, rad.
    pub angle_of_attack_rad: f64,
    /// Shaft speed, trimmed where it is, rad/s.
    pub speed_rad_s: f64,
    /// Pitch offset, trimmed where it is, rad.
    pub pitch_offset_rad: f64,
    /// Mean thrust, N.
    pub thrust_n: f64,
    /// Mean torque, N m.
    pub torque_n_m: f64,
    /// Limits of the model that it passes; empty where a file is read, which tells them elsewhere.
    pub warnings: Vec<Warning>,
}

impl SegmentState {
    /// Revolutions in a flight.
    #[must_use]
    pub fn revolutions_per_flight(&self) -> f64 {
        self.duration_s * self.repeats as f64 * self.speed_rad_s / std::f64::consts::TAU
    }
}

/// Cycles of one range and mean, with the part of the duty cycle they come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpectrumCycle {
    /// Index of the segment; G for the transitions between segments and the ground–air–ground cycle.
    pub part: usize,
    /// Maximum minus minimum, unit of the load.
    pub range: f64,
    /// Mean, unit of the load.
    pub mean: f64,
    /// How many in the life.
    pub count: f64,
}

/// The spectrum of one load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadSpectrum {
    /// Name without unit.
    pub name: String,
    /// Unit.
    pub unit: &'static str,
    /// Words with the sign convention.
    pub long_name: String,
    /// Level between flights.
    pub rest: f64,
    /// Harmonics of each segment (G).
    pub harmonics: Vec<Harmonics>,
    /// Lowest level of each segment (G).
    pub lowest: Vec<f64>,
    /// Highest level of each segment (G).
    pub highest: Vec<f64>,
    /// All cycles, largest range first.
    pub cycles: Vec<SpectrumCycle>,
    /// Largest range of the cycles counted in the periodic load; a density, whose cycles are cut from a tail without end, has none.
    pub largest_range: f64,
    /// Damage-equivalent range (E) by part: segments, transitions, all together (G + 2).
    pub equivalent_range: Vec<Vec<f64>>,
    /// Edges of the range bins of the matrix.
    pub range_edges: Vec<f64>,
    /// Edges of its mean bins.
    pub mean_edges: Vec<f64>,
    /// Cycles at `[range bin * mean bins + mean bin]`.
    pub matrix: Vec<f64>,
    /// Ranges of the exceedance curve, largest first.
    pub exceedance_range: Vec<f64>,
    /// Cycles of that range or a larger one.
    pub exceedance_cycles: Vec<f64>,
    /// Edges of the bins of level.
    pub level_edges: Vec<f64>,
    /// Time at each level by segment (G), s.
    pub time_s: Vec<Vec<f64>>,
}

/// Damage of one detail.
#[derive(Debug, Clone, PartialEq)]
pub struct DetailDamage {
    /// Name.
    pub name: String,
    /// Load that stresses it.
    pub load: String,
    /// S-N curve and correction in words.
    pub curve: String,
    /// Miner's sum by part: segments, then transitions and ground–air–ground (G + 1).
    pub damage: Vec<f64>,
    /// Largest stress range of the life after correction for the mean, MPa; of the periodic load, without densities.
    pub largest_range_mpa: f64,
}

impl DetailDamage {
    /// Miner's sum of the life.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.damage.iter().sum()
    }
}

/// The spectra of a duty cycle.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyResult {
    /// Segments (G).
    pub segments: Vec<SegmentState>,
    /// Flights in the life.
    pub flights_per_life: f64,
    /// Names, exponents and counts of the equivalent loads (E).
    pub equivalents: Vec<(String, f64, f64)>,
    /// One spectrum a load.
    pub loads: Vec<LoadSpectrum>,
    /// One entry a detail.
    pub details: Vec<DetailDamage>,
    /// Names of the densities and the load each belongs to.
    pub densities: Vec<(String, String)>,
}

/// Name of the part that is no segment.
pub const TRANSITIONS: &str = "transitions and ground-air-ground";
