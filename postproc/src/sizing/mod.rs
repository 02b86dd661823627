//! From the loads of a duty cycle to spectra, equivalent loads and damage.
//!
//! Lines at nP are deterministic. Within a segment every revolution is the same, so one revolution is turned round to start at
//! its maximum, closed, counted, and multiplied by the number of revolutions; no random process is assumed. What ties
//! the segments together, the ground–air–ground cycle among it, comes from the sequence of their extremes
//! (`transitions`). Broadband parts given as a density are counted by Dirlik and added; that they ride on the nP lines is left
//! out, which is too kind where both are large and the S-N line is steep.

mod count;
mod details;
mod fields;
mod levels;
mod names;
pub mod notes;
mod read;
mod run;
pub mod tables;
mod transitions;

use wakebeat_engine::duty::input::DutyCycle;
use wakebeat_engine::duty::loads::{DutyLoad, revolution};
use wakebeat_engine::duty::result::{DutyResult, LoadSpectrum, SegmentState};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads};

use crate::counting::{Cycle, DensityError, NotFinite, RangeMeanMatrix, equivalent_range, exceedance};
use count::Counted;

pub use fields::fields;
pub use read::read;
pub use run::{RunError, size_case};

/// What sizing a mount leads to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SizingData {
    /// Spectra of the duty cycle.
    pub duty: Option<DutyResult>,
    /// Limit loads, and what every isolator has to carry.
    pub limit: Option<(LimitLoads, Vec<CombinedLoad>)>,
}

/// Bins of range and of mean in the matrix.
const MATRIX_BINS: (usize, usize) = (32, 24);

/// Why there are no spectra.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SizingError {
    /// A load is no number somewhere.
    #[error("load `{load}`: {source}")]
    Load {
        /// Load.
        load: String,
        /// Where.
        source: NotFinite,
    },
    /// A density cannot be counted.
    #[error("density `duty.density.{name}`: {source}")]
    Density {
        /// Density.
        name: String,
        /// Why not.
        source: DensityError,
    },
}

/// Counts every load of a duty cycle.
///
/// `states` are the segments as flown, `loads` the periodic loads in each of them, in the same order.
///
/// # Errors
/// [`SizingError`] where a load or a density is no number.
pub fn size(
    duty: &DutyCycle,
    states: Vec<SegmentState>,
    loads: &[DutyLoad],
) -> Result<DutyResult, SizingError> {
    let mut spectra = Vec::with_capacity(loads.len());
    let mut counted = Vec::with_capacity(loads.len());
    for load in loads {
        let cycles = count::count(duty, &states, load)?;
        spectra.push(spectrum(duty, &states, load, &cycles));
        counted.push((load.name.clone(), cycles));
    }
    let details = duty.details.iter().filter_map(|detail| {
        let (_, cycles) = counted.iter().find(|(name, _)| *name == detail.load)?;
        Some(details::damage(detail, cycles))
    });
    Ok(DutyResult {
        details: details.collect(),
        segments: states,
        flights_per_life: duty.flights_per_life,
        equivalents: duty.equivalents.iter().map(|e| (e.name.clone(), e.exponent, e.cycles)).collect(),
        loads: spectra,
        densities: duty.densities.iter().map(|d| (d.name.clone(), d.load.clone())).collect(),
    })
}

/// One load, from its cycles.
fn spectrum(duty: &DutyCycle, states: &[SegmentState], load: &DutyLoad, counted: &Counted) -> LoadSpectrum {
    let parts = &counted.all;
    let ranges = counted.periodic.iter().flatten().map(|cycle| cycle.range);
    let all: Vec<Cycle> = parts.iter().flatten().copied().collect();
    let matrix = RangeMeanMatrix::of(&all, MATRIX_BINS.0, MATRIX_BINS.1);
    let steps = exceedance(&all);
    let revolutions: Vec<Vec<f64>> = load.segments.iter().map(|h| revolution(h, duty.samples)).collect();
    let levels = levels::time_at_level(states, duty.flights_per_life, &revolutions);
    let equivalent = |exponent: f64, cycles: f64| {
        let each = parts.iter().map(|part| equivalent_range(part, exponent, cycles));
        each.chain([equivalent_range(&all, exponent, cycles)]).collect()
    };
    LoadSpectrum {
        name: load.name.clone(),
        unit: load.unit,
        long_name: load.long_name.clone(),
        rest: load.rest,
        harmonics: load.segments.clone(),
        lowest: revolutions.iter().map(|x| x.iter().copied().fold(f64::INFINITY, f64::min)).collect(),
        highest: revolutions.iter().map(|x| x.iter().copied().fold(f64::NEG_INFINITY, f64::max)).collect(),
        cycles: count::listed(parts),
        largest_range: ranges.fold(0.0, f64::max),
        equivalent_range: duty.equivalents.iter().map(|e| equivalent(e.exponent, e.cycles)).collect(),
        range_edges: matrix.range_edges,
        mean_edges: matrix.mean_edges,
        matrix: matrix.cycles,
        exceedance_range: steps.iter().map(|step| step.range).collect(),
        exceedance_cycles: steps.iter().map(|step| step.cycles).collect(),
        level_edges: levels.edges,
        time_s: levels.time_s,
    }
}
