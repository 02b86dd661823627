//! The limit-load cases from their keys.

use super::consistency::at_key;
use super::problem::Problem;
use super::values::Values;
use crate::limit::input::{Engine, LimitFactors, Power, PowerSource};
use std::f64::consts::TAU;

/// What the limit-load cases are asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitSpec {
    /// Factors of the cases.
    pub factors: LimitFactors,
    /// Take-off power.
    pub takeoff: PowerSource,
    /// Maximum continuous power.
    pub continuous: PowerSource,
}

/// The limit-load cases, if the case asks for them.
pub(super) fn limit(label: &str, v: &Values, problems: &mut Vec<Problem>) -> Option<LimitSpec> {
    let number = |key: &str| v.number(&format!("limit.{key}"));
    let load_factor = number("load_factor")?;
    let cylinders = v.count("limit.cylinders");
    let engine = match v.text("limit.engine")? {
        "turboprop" => Engine::Turboprop,
        "four_stroke" => Engine::FourStroke { cylinders: cylinders? },
        "two_stroke" => Engine::TwoStroke { cylinders: cylinders? },
        _ => Engine::Electric { torque_factor: number("torque_factor")? },
    };
    if v.names("isolator.NAME").is_empty() && !v.some_unnamed {
        let problem =
            at_key(label, v, "limit.load_factor", "asks for limit loads of a mount, and the case has none");
        problems.push(
            problem
                .allowed("a case with [mount] and three or more [[isolator]]")
                .hint("bolts are isolators of high stiffness: 1e8 N/m along all axes"),
        );
        return None;
    }
    Some(LimitSpec {
        factors: LimitFactors {
            engine,
            load_factor,
            side_load_factor: number("side_load_factor"),
            pitch_rate_rad_s: number("pitch_rate_rad_s")?,
            yaw_rate_rad_s: number("yaw_rate_rad_s")?,
            gyroscopic_load_factor: number("gyroscopic_load_factor")?,
            torque_factor_in_gyroscopic: v.boolean("limit.torque_factor_in_gyroscopic")?,
            ultimate_factor: number("ultimate_factor")?,
        },
        takeoff: source(label, v, "takeoff", problems)?,
        continuous: source(label, v, "continuous", problems)?,
    })
}

fn source(label: &str, v: &Values, setting: &str, problems: &mut Vec<Problem>) -> Option<PowerSource> {
    let key = |what: &str| format!("limit.{setting}_{what}");
    if let Some(name) = v.text(&key("segment")) {
        let segments = v.names("duty.segment.NAME");
        if !segments.iter().any(|known| known == name) {
            let problem = at_key(label, v, &key("segment"), "is not the name of a segment");
            let allowed = if segments.is_empty() {
                "no name: the case has no [[duty.segment]]".to_owned()
            } else {
                segments.join(", ")
            };
            problems.push(
                problem.allowed(allowed).hint("or give thrust, torque and speed of that power setting"),
            );
            return None;
        }
        return Some(PowerSource::Segment(name.to_owned()));
    }
    match v.number(&key("thrust_n")) {
        Some(thrust_n) => Some(PowerSource::Given(Power {
            thrust_n,
            torque_n_m: v.number(&key("torque_n_m"))?,
            speed_rad_s: v.number(&key("speed_rpm"))? * TAU / 60.0,
        })),
        None => Some(PowerSource::Largest),
    }
}
