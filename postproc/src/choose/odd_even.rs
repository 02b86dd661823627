//! Odd against even blade counts at the winner's geometry.

use super::measure::{by_condition, over};
use super::rank::Row;
use super::study::Study;
use wakebeat_engine::study::{Choose, KeepLow};

/// Figures of one blade count at the winner's geometry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByBlades {
    /// Blade count.
    pub blade_count: usize,
    /// What is to be kept low; NaN where there is no answer.
    pub value: f64,
    /// NP thrust, N.
    pub thrust_n: f64,
    /// NP bending moment, N m.
    pub bending_n_m: f64,
}

/// Blade counts compared.
#[derive(Debug, Clone, PartialEq)]
pub struct OddEven {
    /// All counts at the winner's other settings.
    pub counts: Vec<ByBlades>,
    /// In plain words.
    pub sentence: String,
}

/// Compares blade counts, where the study decides them.
pub(super) fn odd_even(
    study: &Study,
    choose: &Choose,
    winner: usize,
    rows: &[Row],
    counts: &[bool],
) -> Option<OddEven> {
    let along = study.decided.iter().position(|axis| axis.key == "propeller.blade_count")?;
    let of = &study.candidates[winner];
    let mut by_blades: Vec<ByBlades> = (0..study.decided[along].texts.len())
        .filter_map(|i| {
            let mut subscripts = of.subscripts.clone();
            subscripts[along] = i;
            let candidate = &study.candidates[study.candidate_at(&subscripts)?];
            let figure = |keep_low: KeepLow| {
                let values = by_condition(candidate, keep_low);
                over(&values, &study.weights, counts, choose.over).map_or(f64::NAN, |m| m.value)
            };
            Some(ByBlades {
                blade_count: candidate.blade_count,
                value: figure(choose.keep_low),
                thrust_n: figure(KeepLow::Thrust),
                bending_n_m: figure(KeepLow::Bending),
            })
        })
        .collect();
    by_blades.sort_by_key(|b| b.blade_count);
    let best = |odd: bool| {
        let mut allowed = rows.iter().filter(|row| row.allowed);
        allowed.find(|row| (study.candidates[row.candidate].blade_count % 2 == 1) == odd)
    };
    let sentence = sentence(study, choose, &by_blades, best(true), best(false));
    Some(OddEven { counts: by_blades, sentence })
}

fn sentence(
    study: &Study,
    choose: &Choose,
    counts: &[ByBlades],
    odd: Option<&Row>,
    even: Option<&Row>,
) -> String {
    let mut text = format!("Odd against even here: {}", neighbours(counts));
    if let (Some(odd), Some(even)) = (odd, even) {
        let (better, worse) = if odd.value < even.value { (odd, even) } else { (even, odd) };
        let word = |row: &Row| if row.candidate == odd.candidate { "odd" } else { "even" };
        text.push_str(&format!(
            " Over the whole study the best {} count ({}) has {:.3} {} of {}, the best {} count ({}) {:.3}.",
            word(better),
            study.candidate_words(better.candidate),
            better.value,
            unit(choose.keep_low),
            choose.keep_low.words(),
            word(worse),
            study.candidate_words(worse.candidate),
            worse.value,
        ));
    }
    text
}

fn unit(keep_low: KeepLow) -> &'static str {
    match keep_low.unit() {
        "1" => "(no unit)",
        unit => unit,
    }
}

/// How many times another amplitude one is, where the other is more than nothing.
fn times(one: f64, other: f64) -> String {
    match (one > 0.0, other > 0.0) {
        (_, true) => format!("{:.2} times", one / other),
        (true, false) => "more than none of".to_owned(),
        (false, false) => "no more of".to_owned(),
    }
}

/// Each odd count against the counts one below and one above, thrust and bending apart.
fn neighbours(counts: &[ByBlades]) -> String {
    let solved = |n: usize| counts.iter().find(|c| c.blade_count == n && c.thrust_n.is_finite());
    let mut parts = Vec::new();
    for odd in counts.iter().filter(|c| c.blade_count % 2 == 1 && c.thrust_n.is_finite()) {
        for n in [odd.blade_count - 1, odd.blade_count + 1] {
            if let Some(even) = solved(n) {
                parts.push(format!(
                    "{} blades against {n} have {} the NP thrust and {} the NP bending moment",
                    odd.blade_count,
                    times(odd.thrust_n, even.thrust_n),
                    times(odd.bending_n_m, even.bending_n_m),
                ));
            }
        }
    }
    if parts.is_empty() {
        return "the study has no odd count beside an even one.".to_owned();
    }
    let first = counts.iter().filter(|c| c.blade_count % 2 == 1).any(|odd| {
        solved(odd.blade_count + 1).is_some_and(|even| odd.thrust_n > even.thrust_n)
            || solved(odd.blade_count - 1).is_some_and(|even| odd.thrust_n > even.thrust_n)
    });
    let verdict = if first {
        "so an odd count by itself is no cure for thrust ripple at this geometry."
    } else {
        "so odd counts do lower the thrust ripple at this geometry; mind the bending moment."
    };
    format!("{}; {verdict}", parts.join(", "))
}
