//! Time at each level.

use wakebeat_engine::duty::result::SegmentState;

/// Bins of level.
const BINS: usize = 64;

/// Time at level by segment.
pub(super) struct Levels {
    /// Edges of the bins, rising.
    pub edges: Vec<f64>,
    /// Seconds of the life, by segment and bin.
    pub time_s: Vec<Vec<f64>>,
}

/// Sorts the samples of every segment into equal bins between the lowest and the highest level of the flight.
pub(super) fn time_at_level(
    states: &[SegmentState],
    flights_per_life: f64,
    revolutions: &[Vec<f64>],
) -> Levels {
    let every = || revolutions.iter().flatten().copied();
    let (lowest, highest) =
        (every().fold(f64::INFINITY, f64::min), every().fold(f64::NEG_INFINITY, f64::max));
    // A load that never changes still has a bin with a width.
    let spare = if highest > lowest { 0.0 } else { 0.5 * highest.abs().max(1.0) };
    let (lowest, highest) = (lowest - spare, highest + spare);
    let width = (highest - lowest) / BINS as f64;
    let edges = (0..=BINS).map(|k| lowest + width * k as f64).collect();
    let by_segment = states.iter().zip(revolutions).map(|(state, samples)| {
        let seconds = state.duration_s * state.repeats as f64 * flights_per_life;
        let mut bins = vec![0.0; BINS];
        for x in samples {
            let bin = (((x - lowest) / width) as usize).min(BINS - 1);
            bins[bin] += seconds / samples.len() as f64;
        }
        bins
    });
    Levels { time_s: by_segment.collect(), edges }
}
