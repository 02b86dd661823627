//! Miner's sum of a detail.

use wakebeat_engine::duty::input::{Detail, MeanRule};
use wakebeat_engine::duty::result::DetailDamage;

use super::count::{Counted, PartCycles};
use crate::counting::{Cycle, MeanStress, SnCurve, miner_damage};

fn rule(mean: MeanRule) -> MeanStress {
    match mean {
        MeanRule::Ignored => MeanStress::Ignored,
        MeanRule::Goodman { ultimate_mpa } => MeanStress::Goodman { ultimate: ultimate_mpa },
        MeanRule::Gerber { ultimate_mpa } => MeanStress::Gerber { ultimate: ultimate_mpa },
        MeanRule::Soderberg { yield_mpa } => MeanStress::Soderberg { yield_point: yield_mpa },
        MeanRule::SmithWatsonTopper => MeanStress::SmithWatsonTopper,
        MeanRule::Walker { exponent } => MeanStress::Walker { exponent },
    }
}

fn in_words(detail: &Detail) -> String {
    let mean = match detail.mean {
        MeanRule::Ignored => "mean ignored".to_owned(),
        MeanRule::Goodman { ultimate_mpa } => format!("Goodman to {ultimate_mpa} MPa"),
        MeanRule::Gerber { ultimate_mpa } => format!("Gerber to {ultimate_mpa} MPa"),
        MeanRule::Soderberg { yield_mpa } => format!("Soderberg to {yield_mpa} MPa"),
        MeanRule::SmithWatsonTopper => "Smith-Watson-Topper".to_owned(),
        MeanRule::Walker { exponent } => format!("Walker, exponent {exponent}"),
    };
    format!("N = {} ({} MPa / range)^{}, {mean}", detail.cycles, detail.range_mpa, detail.slope)
}

/// Damage of a detail by part, from the cycles of the load that stresses it.
pub(super) fn damage(detail: &Detail, cycles: &Counted) -> DetailDamage {
    let mean = rule(detail.mean);
    let curve = SnCurve::Power {
        range: detail.range_mpa,
        cycles: detail.cycles,
        slope: detail.slope,
        endurance_range: detail.endurance_range_mpa,
        mean,
    };
    // A load that presses stresses with the sign of its factor.
    let stress = |cycle: &Cycle| Cycle {
        range: cycle.range * detail.stress_per_load.abs(),
        mean: cycle.mean * detail.stress_per_load,
        count: cycle.count,
    };
    let stresses = |parts: &PartCycles| -> Vec<Vec<Cycle>> {
        parts.iter().map(|part| part.iter().map(stress).collect()).collect()
    };
    let reversed = |cycle: &Cycle| 2.0 * mean.reversed_amplitude(cycle.amplitude(), cycle.mean);
    DetailDamage {
        name: detail.name.clone(),
        load: detail.load.clone(),
        curve: in_words(detail),
        damage: stresses(&cycles.all).iter().map(|part| miner_damage(part, &curve)).collect(),
        largest_range_mpa: stresses(&cycles.periodic)
            .iter()
            .flatten()
            .filter(|c| c.count > 0.0)
            .map(reversed)
            .fold(0.0, f64::max),
    }
}
