//! The cycles of one load over the life, part by part.

use wakebeat_engine::duty::input::{Density, DutyCycle};
use wakebeat_engine::duty::loads::{DutyLoad, revolution};
use wakebeat_engine::duty::result::{SegmentState, SpectrumCycle};

use super::SizingError;
use super::transitions::{Extremes, transitions};
use crate::counting::{Cycle, SpectralMoments, rainflow_repeating};

/// Cycles of every segment, then of the transitions.
pub(super) type PartCycles = Vec<Vec<Cycle>>;

/// The cycles of one load.
pub(super) struct Counted {
    /// Those of the periodic load.
    pub periodic: PartCycles,
    /// With those of its densities.
    pub all: PartCycles,
}

/// Counts one load.
pub(super) fn count(
    duty: &DutyCycle,
    states: &[SegmentState],
    load: &DutyLoad,
) -> Result<Counted, SizingError> {
    let (mut periodic, mut all) = (PartCycles::new(), PartCycles::new());
    let mut extremes = Vec::with_capacity(states.len());
    for (index, (state, harmonics)) in states.iter().zip(&load.segments).enumerate() {
        let samples = revolution(harmonics, duty.samples);
        let revolutions = state.revolutions_per_flight() * duty.flights_per_life;
        let once = rainflow_repeating(&samples)
            .map_err(|source| SizingError::Load { load: load.name.clone(), source })?;
        let mut cycles: Vec<Cycle> = once.into_iter().map(|cycle| cycle.times(revolutions)).collect();
        periodic.push(cycles.clone());
        let mean = harmonics.amplitude.first().copied().unwrap_or_default();
        for density in duty.densities.iter().filter(|d| d.load == load.name && acts_in(d, index)) {
            let seconds = state.duration_s * state.repeats as f64 * duty.flights_per_life;
            cycles.extend(broadband(density, seconds, mean)?);
        }
        all.push(cycles);
        extremes.push(Extremes::of(&samples));
    }
    let between = transitions(&duty.sequence(), &extremes, load.rest)
        .map_err(|source| SizingError::Load { load: load.name.clone(), source })?;
    let between: Vec<Cycle> = between.into_iter().map(|cycle| cycle.times(duty.flights_per_life)).collect();
    periodic.push(between.clone());
    all.push(between);
    Ok(Counted { periodic, all })
}

fn acts_in(density: &Density, segment: usize) -> bool {
    density.segment.is_none_or(|only| only == segment)
}

fn broadband(density: &Density, seconds: f64, mean: f64) -> Result<Vec<Cycle>, SizingError> {
    let moments = SpectralMoments::of(&density.frequency_hz, &density.density)
        .map_err(|source| SizingError::Density { name: density.name.clone(), source })?;
    Ok(moments.dirlik_cycles(seconds, mean))
}

/// All cycles with their part, largest range first; equal ranges in the order of the parts.
pub(super) fn listed(parts: &PartCycles) -> Vec<SpectrumCycle> {
    let mut all: Vec<SpectrumCycle> = parts
        .iter()
        .enumerate()
        .flat_map(|(part, cycles)| {
            cycles.iter().map(move |c| SpectrumCycle { part, range: c.range, mean: c.mean, count: c.count })
        })
        .collect();
    all.sort_by(|a, b| b.range.total_cmp(&a.range));
    all
}
