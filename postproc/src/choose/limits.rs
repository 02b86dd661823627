//! What a candidate costs, and which limits it passes.

use super::study::{Candidate, Figures, Study};
use wakebeat_engine::study::Limits;

/// The clearances in words, in the order of [`Limits::CLEARANCES`].
const CLEARANCE_WORDS: [&str; 6] = [
    "axial clearance to structure",
    "tip clearance to structure",
    "ground clearance",
    "ground clearance, gear deflected",
    "ground clearance, rotated",
    "water clearance",
];

/// A loss below this is round-off.
pub(super) const LEAST_LOSS: f64 = 1e-9;

/// The worst of a candidate over the conditions that count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// Greatest loss of thrust for power against the best candidate at the same condition; NaN where none is defined.
    pub efficiency_loss: f64,
    /// Condition of that loss.
    pub at: usize,
    /// Pitching moment of greatest size of all thrust lines about the centre of gravity, N m; NaN where it is not known.
    pub pitching_moment_n_m: f64,
    /// Greatest helical tip Mach number.
    pub tip_mach: f64,
    /// Least clearances, m; NaN where there is none.
    pub clearance_m: [f64; 6],
}

/// Thrust for power of all propellers; `None` where they do no work.
fn thrust_per_power(figures: &Figures) -> Option<f64> {
    let (thrust_n, power_w) = (figures.thrust_of_all_n, figures.power_of_all_w);
    (thrust_n > 0.0 && power_w > 0.0).then(|| thrust_n / power_w)
}

/// Best thrust for power of any candidate at each condition.
pub(super) fn best_thrust_per_power(study: &Study) -> Vec<Option<f64>> {
    let at = |k: usize| {
        let all = study.candidates.iter().filter_map(|c| thrust_per_power(c.figures[k].as_ref().ok()?));
        all.reduce(f64::max)
    };
    (0..study.conditions.len()).map(at).collect()
}

pub(super) fn costs(candidate: &Candidate, best: &[Option<f64>], counts: &[bool]) -> Costs {
    let mut costs = Costs {
        efficiency_loss: f64::NAN,
        at: 0,
        pitching_moment_n_m: f64::NAN,
        tip_mach: f64::NAN,
        clearance_m: [f64::NAN; 6],
    };
    for (k, figures) in candidate.figures.iter().enumerate() {
        let Ok(figures) = figures else { continue };
        if !counts[k] {
            continue;
        }
        if let (Some(own), Some(best)) = (thrust_per_power(figures), best[k]) {
            let loss = 1.0 - own / best;
            let loss = if loss < LEAST_LOSS { 0.0 } else { loss };
            if costs.efficiency_loss.is_nan() || loss > costs.efficiency_loss {
                (costs.efficiency_loss, costs.at) = (loss, k);
            }
        }
        let moment = figures.pitching_moment_n_m;
        if costs.pitching_moment_n_m.is_nan() || moment.abs() > costs.pitching_moment_n_m.abs() {
            costs.pitching_moment_n_m = moment;
        }
        // The greater and the lesser of two leave NaN out.
        costs.tip_mach = costs.tip_mach.max(figures.tip_mach);
        for (least, clearance) in costs.clearance_m.iter_mut().zip(figures.clearance_m) {
            *least = least.min(clearance);
        }
    }
    costs
}

/// Every limit that a candidate passes, in words.
pub(super) fn passed(study: &Study, costs: &Costs, limits: &Limits) -> Vec<String> {
    let mut reasons = Vec::new();
    if let Some(most) = limits.efficiency_loss_max
        && costs.efficiency_loss > most
    {
        let at = study.condition_words(costs.at);
        let at = if at.is_empty() { at } else { format!(" at {at}") };
        reasons.push(format!(
            "efficiency {:.1} % below the best{at}, allowed {:.1} %",
            100.0 * costs.efficiency_loss,
            100.0 * most
        ));
    }
    if let Some(most) = limits.pitching_moment_max_n_m
        && costs.pitching_moment_n_m.abs() > most
    {
        reasons.push(format!(
            "thrust-line moment {:.3} N m, allowed {most} either way",
            costs.pitching_moment_n_m
        ));
    }
    if let Some(most) = limits.tip_mach_max
        && costs.tip_mach > most
    {
        reasons.push(format!("tip Mach number {:.3}, allowed {most}", costs.tip_mach));
    }
    for ((least, clearance), words) in
        limits.clearance_min_m.iter().zip(costs.clearance_m).zip(CLEARANCE_WORDS)
    {
        if let Some(least) = least
            && clearance < *least
        {
            reasons.push(format!("{words} {clearance:.4} m, at least {least}"));
        }
    }
    reasons
}
