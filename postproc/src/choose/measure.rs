//! The figure of a candidate.

use super::study::{AirframeFigures, Candidate, Figures};
use wakebeat_engine::study::{KeepLow, Over};

/// A candidate's figure and the condition that makes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Measured {
    /// The figure, in the unit of what is kept low.
    pub value: f64,
    /// The condition with the greatest value; of a mean, that of the greatest part in it.
    pub condition: usize,
}

/// Amplitudes this much below the candidate's mean thrust, moments below that times the tip radius, are round-off.
const ROUND_OFF: f64 = 1e-9;

/// Value of what is kept low at each condition, round-off as 0; `None` where there is no answer.
pub(crate) fn by_condition(candidate: &Candidate, keep_low: KeepLow) -> Vec<Option<f64>> {
    let solved: Vec<&Figures> = candidate.figures.iter().flatten().collect();
    let thrust_n = solved.iter().map(|f| f.thrust_n.abs()).sum::<f64>() / solved.len().max(1) as f64;
    let moment_n_m = thrust_n * 0.5 * candidate.diameter_m;
    let of_all = solved.iter().filter_map(|f| f.airframe.map(|airframe| airframe.thrust_n.abs()));
    let thrust_of_all_n = of_all.sum::<f64>() / solved.len().max(1) as f64;
    let moment_of_all_n_m = thrust_of_all_n * 0.5 * candidate.diameter_m;
    let clean = |load: f64, mean: f64| if load < ROUND_OFF * mean { 0.0 } else { load };
    let value = |f: &Figures| {
        let [thrust, side, bending, torque] = f.loads;
        let (thrust, side) = (clean(thrust, thrust_n), clean(side, thrust_n));
        let (bending, torque) = (clean(bending, moment_n_m), clean(torque, moment_n_m));
        Some(match keep_low {
            KeepLow::Thrust => thrust,
            KeepLow::SideForce => side,
            KeepLow::Bending => bending,
            KeepLow::Torque => torque,
            KeepLow::Index => {
                let forces = (thrust.powi(2) + side.powi(2)) / thrust_n.powi(2);
                let moments = (bending.powi(2) + torque.powi(2)) / moment_n_m.powi(2);
                (forces + moments).sqrt()
            }
            KeepLow::AirframeForce => clean(f.airframe?.force_n, thrust_of_all_n),
            KeepLow::AirframeMoment => clean(f.airframe?.moment_n_m, moment_of_all_n_m),
            KeepLow::AirframeIndex => {
                let AirframeFigures { force_n, moment_n_m, .. } = f.airframe?;
                (force_n / thrust_of_all_n).hypot(moment_n_m / moment_of_all_n_m)
            }
        })
    };
    candidate.figures.iter().map(|figures| figures.as_ref().ok().and_then(value)).collect()
}

/// One figure over the conditions that count; `None` where one of them has no answer or none counts.
pub(super) fn over(values: &[Option<f64>], weights: &[f64], counts: &[bool], how: Over) -> Option<Measured> {
    let mut worst: Option<Measured> = None;
    let (mut sum, mut total) = (0.0, 0.0);
    for (condition, ((value, weight), counts)) in values.iter().zip(weights).zip(counts).enumerate() {
        if !counts {
            continue;
        }
        let value = (*value)?;
        let part = match how {
            Over::WorstCase => value,
            Over::WeightedMean => weight * value,
        };
        sum += weight * value;
        total += weight;
        if worst.is_none_or(|worst| part > worst.value) {
            worst = Some(Measured { value: part, condition });
        }
    }
    let worst = worst?;
    match how {
        Over::WorstCase => Some(worst),
        Over::WeightedMean if total > 0.0 => Some(Measured { value: sum / total, ..worst }),
        Over::WeightedMean => None,
    }
}
