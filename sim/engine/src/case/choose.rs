//! What a sweep is judged by, from checked values, and whether it fits the grid.

use super::consistency::at_key;
use super::document::Content;
use super::problem::Problem;
use super::values::Values;
use crate::study::{Choose, Grid, KeepLow, Limits, Over, Phases, Weights};

/// `[choose]`, where the case has it.
pub(super) fn choose(v: &Values) -> Option<Choose> {
    let number = |key: &str| v.number(&format!("choose.{key}"));
    let keep_low = match v.text("choose.keep_low")? {
        "side_force" => KeepLow::SideForce,
        "bending" => KeepLow::Bending,
        "torque" => KeepLow::Torque,
        "index" => KeepLow::Index,
        "airframe_force" => KeepLow::AirframeForce,
        "airframe_moment" => KeepLow::AirframeMoment,
        "airframe_index" => KeepLow::AirframeIndex,
        _ => KeepLow::Thrust,
    };
    let over = match v.text("choose.over")? {
        "weighted_mean" => Over::WeightedMean,
        _ => Over::WorstCase,
    };
    let phases = match v.text("choose.phases")? {
        "any" => Phases::Any,
        _ => Phases::AsGiven,
    };
    let clearance = |name: &str| number(&name.replace("_m", "_min_m"));
    Some(Choose {
        keep_low,
        phases,
        over,
        weights: v.text("choose.weight_axis").map(|axis| Weights {
            axis: axis.to_owned(),
            weights: numbers(v.values("choose.weights").unwrap_or_default()).unwrap_or_default(),
        }),
        decide: v.values("choose.decide").map(|items| texts(items).unwrap_or_default()),
        limits: Limits {
            efficiency_loss_max: number("efficiency_loss_max"),
            pitching_moment_max_n_m: number("pitching_moment_max_n_m"),
            tip_mach_max: number("tip_mach_max"),
            clearance_min_m: Limits::CLEARANCES.map(clearance),
        },
    })
}

/// Every check of `[choose]` against the propellers and the axes; silent where the case has no grid, or no `[choose]`.
pub(super) fn of_grid(label: &str, v: &Values, grid: Option<&Grid>) -> Vec<Problem> {
    let mut problems: Vec<Problem> = of_propellers(label, v).into_iter().collect();
    let axes: Vec<&str> =
        grid.map_or_else(Vec::new, |grid| grid.axes.iter().map(|a| a.key.as_str()).collect());
    let at = |key: &str, what: String| at_key(label, v, &format!("choose.{key}"), what);
    if let Some(items) = v.values("choose.decide") {
        match texts(items) {
            None => {
                problems.push(at("decide", "holds something else than keys".into()).allowed("keys in quotes"))
            }
            Some(keys) if grid.is_some() => {
                let strange = keys.iter().filter(|key| !axes.contains(&key.as_str()));
                problems.extend(strange.map(|key| {
                    at("decide", format!("names `{key}`, which is no axis of the sweep"))
                        .allowed(axes.join(", "))
                }));
            }
            Some(_) => {}
        }
    }
    let Some(axis) = v.text("choose.weight_axis") else { return problems };
    let decided = choose(v).is_some_and(|choose| choose.decides(axis));
    let found = grid.and_then(|grid| grid.axis(axis));
    if grid.is_some() && (found.is_none() || decided) {
        let flown = axes.iter().filter(|key| !choose(v).is_some_and(|choose| choose.decides(key)));
        problems.push(
            at("weight_axis", "is no flown axis of the sweep".into())
                .allowed(flown.copied().collect::<Vec<_>>().join(", ")),
        );
    }
    let Some(items) = v.values("choose.weights") else { return problems };
    let Some(weights) = numbers(items) else {
        problems.push(
            at("weights", "holds something else than numbers from 0 on".into())
                .allowed("numbers from 0 on, at least one above 0"),
        );
        return problems;
    };
    if weights.iter().all(|weight| *weight == 0.0) {
        problems.push(at("weights", "are all 0".into()).allowed("numbers from 0 on, at least one above 0"));
    }
    if let Some(count) = found.map(|axis| axis.values.len()).filter(|count| *count != weights.len()) {
        problems.push(
            at("weights", format!("are {} for the {count} values of {axis}", weights.len()))
                .allowed(format!("{count} numbers")),
        );
    }
    problems
}

/// A load of all propellers together needs more than one.
fn of_propellers(label: &str, v: &Values) -> Option<Problem> {
    let keep_low = choose(v)?.keep_low;
    let alone = keep_low.is_of_airframe() && v.names("further_propeller.NAME").is_empty();
    alone.then(|| {
        let what = "asks for the loads of several propellers at the centre of gravity, and the case has one"
            .to_owned();
        at_key(label, v, "choose.keep_low", what)
            .allowed("with one propeller: thrust, side_force, bending, torque, index")
            .hint("add [[further_propeller]], or keep a load at the hub low")
    })
}

fn texts(items: &[Content]) -> Option<Vec<String>> {
    let text = |item: &Content| match item {
        Content::Text(text) => Some(text.clone()),
        _ => None,
    };
    items.iter().map(text).collect()
}

/// Numbers that are finite and not negative.
fn numbers(items: &[Content]) -> Option<Vec<f64>> {
    let number = |item: &Content| match item {
        Content::Integer(value) => i32::try_from(*value).ok().map(f64::from),
        Content::Number(value) => Some(*value),
        _ => None,
    };
    items.iter().map(|item| number(item).filter(|value| value.is_finite() && *value >= 0.0)).collect()
}
