//! The order of the candidates, and why each stands where it stands.

use super::limits::{self, Costs, LEAST_LOSS};
use super::measure::{Measured, by_condition, over};
use super::odd_even::{OddEven, odd_even};
use super::sensitivity::{Nearby, nearby};
use super::study::Study;
use wakebeat_engine::study::{Choose, Limits, Over};

/// Values nearer together than this part of them are equal: round-off tells mirror images apart no better.
pub(super) const EQUAL: f64 = 1e-9;

/// A candidate in the ranking.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Number of the candidate in the study.
    pub candidate: usize,
    /// Whether it keeps all limits and has an answer wherever others have one.
    pub allowed: bool,
    /// What is to be kept low; NaN where it has no answer.
    pub value: f64,
    /// The condition that makes the value.
    pub condition: usize,
    /// What it costs.
    pub costs: Costs,
    /// Whether no allowed candidate is both lower in the value and in the loss of efficiency.
    pub pareto: bool,
    /// Why it is not the first.
    pub reason: String,
}

/// The candidates of a study in order, allowed ones first.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranking {
    /// What was asked.
    pub choose: Choose,
    /// Rows from the best on.
    pub rows: Vec<Row>,
    /// Conditions left out since no candidate has an answer there, with the reason of the first.
    pub left_out: Vec<(usize, String)>,
    /// Whether all weight is on conditions left out, so that no candidate has a value.
    pub weightless: bool,
    /// Limits on something the study does not hold.
    pub idle_limits: Vec<&'static str>,
    /// What lies near the winner.
    pub nearby: Vec<Nearby>,
    /// Odd against even blade counts.
    pub odd_even: Option<OddEven>,
}

impl Ranking {
    /// Rows that keep all limits.
    pub fn allowed(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| row.allowed)
    }
}

/// Ranks the candidates of a study.
#[must_use]
pub fn rank(study: &Study, choose: &Choose) -> Ranking {
    let left_out = left_out(study);
    let counts: Vec<bool> =
        (0..study.conditions.len()).map(|k| left_out.iter().all(|(out, _)| *out != k)).collect();
    let best = limits::best_thrust_per_power(study);
    let mut rows: Vec<Row> =
        (0..study.candidates.len()).map(|candidate| row(study, choose, candidate, &best, &counts)).collect();
    let weight = study.weights.iter().zip(&counts).filter(|(_, counts)| **counts).map(|(weight, _)| weight);
    let weightless = choose.over == Over::WeightedMean && weight.sum::<f64>() <= 0.0;
    if weightless {
        rows.iter_mut()
            .filter(|row| row.reason.is_empty())
            .for_each(|row| row.reason = WEIGHTLESS.to_owned());
    }
    rows.sort_by(|a, b| {
        b.allowed.cmp(&a.allowed).then(a.value.total_cmp(&b.value)).then(a.candidate.cmp(&b.candidate))
    });
    // Equal values keep the order of the grid, so that the ranking is the same every time.
    for_each_equal(&mut rows, |equal| equal.sort_by_key(|row| row.candidate));
    mark_pareto(&mut rows);
    tell_losers(study, choose, &mut rows);
    let winner = rows.first().filter(|row| row.allowed).map(|row| row.candidate);
    Ranking {
        nearby: winner.map_or_else(Vec::new, |winner| nearby(study, choose, winner, &counts)),
        odd_even: winner.and_then(|winner| odd_even(study, choose, winner, &rows, &counts)),
        idle_limits: idle_limits(&rows, &choose.limits),
        choose: choose.clone(),
        rows,
        left_out,
        weightless,
    }
}

/// Why a candidate has no value where all weight is left out.
const WEIGHTLESS: &str = "choose.weights are 0 wherever it has an answer";

/// Does something to each run of allowed rows whose values are equal but for round-off; the rows stand in order of value.
fn for_each_equal(rows: &mut [Row], mut does: impl FnMut(&mut [Row])) {
    let mut rest = rows.split_at_mut(rows.iter().take_while(|row| row.allowed).count()).0;
    while let Some(first) = rest.first() {
        let most = first.value + EQUAL * first.value.abs();
        let count = rest.iter().take_while(|row| row.value <= most).count().max(1);
        let (equal, others) = rest.split_at_mut(count);
        does(equal);
        rest = others;
    }
}

/// Conditions at which no candidate has an answer.
fn left_out(study: &Study) -> Vec<(usize, String)> {
    let reason = |k: usize| {
        let mut all = study.candidates.iter().map(|candidate| &candidate.figures[k]);
        let first = all.clone().find_map(|figures| figures.as_ref().err());
        all.all(Result::is_err).then(|| (k, first.cloned().unwrap_or_default()))
    };
    (0..study.conditions.len()).filter_map(reason).collect()
}

fn row(study: &Study, choose: &Choose, candidate: usize, best: &[Option<f64>], counts: &[bool]) -> Row {
    let of = &study.candidates[candidate];
    let costs = limits::costs(of, best, counts);
    let measured = over(&by_condition(of, choose.keep_low), &study.weights, counts, choose.over);
    let missing = of.figures.iter().enumerate().find_map(|(k, figures)| {
        let message = figures.as_ref().err().filter(|_| counts[k])?;
        let at = study.condition_words(k);
        Some(if at.is_empty() { message.clone() } else { format!("at {at}: {message}") })
    });
    let reasons = match missing {
        Some(message) => vec![message],
        None => limits::passed(study, &costs, &choose.limits),
    };
    let Measured { value, condition } = measured.unwrap_or(Measured { value: f64::NAN, condition: 0 });
    Row {
        candidate,
        allowed: reasons.is_empty() && value.is_finite(),
        value,
        condition,
        costs,
        pareto: false,
        reason: reasons.join("; "),
    }
}

/// Marks the allowed rows that no other allowed row beats in both value and loss of efficiency.
fn mark_pareto(rows: &mut [Row]) {
    let loss = |row: &Row| if row.costs.efficiency_loss.is_nan() { 0.0 } else { row.costs.efficiency_loss };
    let mut least_loss = f64::INFINITY;
    // Rows stand in order of value: one is on the front where its loss is below all before it. Of equal values only the
    // least loss counts.
    for_each_equal(rows, |equal| {
        let least = equal.iter().map(loss).fold(f64::INFINITY, f64::min);
        if least < least_loss - LEAST_LOSS {
            equal.iter_mut().filter(|row| loss(row) <= least + LEAST_LOSS).for_each(|row| row.pareto = true);
            least_loss = least;
        }
    });
}

/// Says of each allowed loser by how much it is behind, and where.
fn tell_losers(study: &Study, choose: &Choose, rows: &mut [Row]) {
    let Some(winner) = rows.first().filter(|row| row.allowed).cloned() else { return };
    for row in rows.iter_mut().skip(1).filter(|row| row.allowed) {
        let at = study.condition_words(row.condition);
        let at = match (at.is_empty(), choose.over) {
            (true, _) => String::new(),
            (false, Over::WorstCase) => format!(", worst at {at}"),
            (false, Over::WeightedMean) => format!(", most of it at {at}"),
        };
        row.reason = format!(
            "{} {}{at}",
            choose.keep_low.words(),
            if row.value <= winner.value * (1.0 + EQUAL) {
                "equal to the winner's".to_owned()
            } else if winner.value > 0.0 {
                format!("{:.2} times the winner's", row.value / winner.value)
            } else {
                "above the winner's".to_owned()
            }
        );
    }
}

/// Limits that no candidate can be held to, since the file holds no such figure.
fn idle_limits(rows: &[Row], limits: &Limits) -> Vec<&'static str> {
    let mut idle = Vec::new();
    let none = |value: &dyn Fn(&Costs) -> f64| rows.iter().all(|row| value(&row.costs).is_nan());
    if limits.pitching_moment_max_n_m.is_some() && none(&|costs| costs.pitching_moment_n_m) {
        idle.push("pitching_moment_max_n_m");
    }
    if limits.efficiency_loss_max.is_some() && none(&|costs| costs.efficiency_loss) {
        idle.push("efficiency_loss_max");
    }
    for (i, name) in Limits::CLEARANCES.into_iter().enumerate() {
        if limits.clearance_min_m[i].is_some() && none(&|costs| costs.clearance_m[i]) {
            idle.push(name);
        }
    }
    idle
}
