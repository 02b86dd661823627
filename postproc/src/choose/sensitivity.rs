//! What a small error in building or operating the winner would do, as far as the grid can tell.

use super::measure::{by_condition, over};
use super::study::{Study, StudyAxis};
use wakebeat_engine::study::Choose;

/// How far away lengths are looked at, over the diameter.
const LENGTH_SHARE: f64 = 0.02;

/// How far away the shaft speed is looked at.
const SPEED_SHARE: f64 = 0.02;

/// The figure a step to one side of the winner.
#[derive(Debug, Clone, PartialEq)]
pub enum NearbyValue {
    /// By a straight line between grid points.
    Found(f64),
    /// Why the grid cannot tell.
    Unknown(String),
}

/// What lies to both sides of the winner along one quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Nearby {
    /// The quantity, as the result file names it.
    pub name: String,
    /// The quantity, as people are told it.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// The step, in that unit.
    pub step: f64,
    /// The figure a step below and a step above.
    pub values: [NearbyValue; 2],
}

/// Steps of 0.02 diameters along every decided length, and of 2 % of shaft speed.
pub(super) fn nearby(study: &Study, choose: &Choose, winner: usize, counts: &[bool]) -> Vec<Nearby> {
    let of = &study.candidates[winner];
    let mut all = Vec::new();
    for (along, axis) in study.decided.iter().enumerate() {
        let is_length = axis.unit == "m" && !axis.numbers.is_empty() && axis.name != "diameter_m";
        if is_length {
            let step = LENGTH_SHARE * of.diameter_m;
            let value = |side: f64| length_value(study, choose, winner, (along, axis), side * step, counts);
            all.push(Nearby {
                name: axis.name.clone(),
                label: axis.label.clone(),
                unit: axis.unit.clone(),
                step,
                values: [value(-1.0), value(1.0)],
            });
        }
    }
    let value = |share: f64| speed_value(study, choose, winner, 1.0 + share, counts);
    all.push(Nearby {
        name: "speed_rpm".to_owned(),
        label: "speed_rpm".to_owned(),
        unit: "%".to_owned(),
        step: 100.0 * SPEED_SHARE,
        values: [value(-SPEED_SHARE), value(SPEED_SHARE)],
    });
    all
}

/// Where a value lies between those of an axis: the two neighbours and the share of the upper; `None` outside.
fn between(numbers: &[f64], x: f64) -> Option<(usize, usize, f64)> {
    let mut order: Vec<usize> = (0..numbers.len()).collect();
    order.sort_by(|a, b| numbers[*a].total_cmp(&numbers[*b]));
    let pair = order.windows(2).find(|pair| (numbers[pair[0]]..=numbers[pair[1]]).contains(&x))?;
    Some((pair[0], pair[1], (x - numbers[pair[0]]) / (numbers[pair[1]] - numbers[pair[0]])))
}

/// The figure a step along a decided length, every condition by a straight line.
fn length_value(
    study: &Study,
    choose: &Choose,
    winner: usize,
    (along, axis): (usize, &StudyAxis),
    step: f64,
    counts: &[bool],
) -> NearbyValue {
    let of = &study.candidates[winner];
    let x = axis.numbers[of.subscripts[along]] + step;
    let Some((low, high, share)) = between(&axis.numbers, x) else {
        return NearbyValue::Unknown(format!("the grid ends at {} m", axis.texts[of.subscripts[along]]));
    };
    let values = |i: usize| {
        let mut subscripts = of.subscripts.clone();
        subscripts[along] = i;
        let candidate = study.candidate_at(&subscripts)?;
        Some(by_condition(&study.candidates[candidate], choose.keep_low))
    };
    let (Some(low), Some(high)) = (values(low), values(high)) else {
        return NearbyValue::Unknown("the grid has no neighbour there".to_owned());
    };
    let line = |(a, b): (&Option<f64>, &Option<f64>)| Some((1.0 - share) * (*a)? + share * (*b)?);
    let values: Vec<Option<f64>> = low.iter().zip(&high).map(line).collect();
    match over(&values, &study.weights, counts, choose.over) {
        Some(measured) => NearbyValue::Found(measured.value),
        None => NearbyValue::Unknown("a neighbour there has no answer".to_owned()),
    }
}

/// The figure at another shaft speed, where the grid has an axis of it.
fn speed_value(study: &Study, choose: &Choose, winner: usize, factor: f64, counts: &[bool]) -> NearbyValue {
    let Some(along) = study.flown.iter().position(|axis| axis.key == "propeller.speed_rpm") else {
        let trimmed = if study.trimmed { ": it is trimmed at every point" } else { "" };
        return NearbyValue::Unknown(format!("the grid has no axis of shaft speed{trimmed}"));
    };
    let axis = &study.flown[along];
    let own = by_condition(&study.candidates[winner], choose.keep_low);
    let at = |condition: &Vec<usize>| {
        let (low, high, share) = between(&axis.numbers, axis.numbers[condition[along]] * factor)?;
        let value = |i: usize| {
            let mut other = condition.clone();
            other[along] = i;
            own[study.conditions.iter().position(|c| *c == other)?]
        };
        Some((1.0 - share) * value(low)? + share * value(high)?)
    };
    let values: Vec<Option<f64>> = study.conditions.iter().map(at).collect();
    // At the ends of the axis one side lies outside; what is inside still tells.
    let counts: Vec<bool> =
        counts.iter().zip(&values).map(|(counts, value)| *counts && value.is_some()).collect();
    match over(&values, &study.weights, &counts, choose.over) {
        Some(measured) => NearbyValue::Found(measured.value),
        None => NearbyValue::Unknown("the axis of shaft speed ends there".to_owned()),
    }
}
