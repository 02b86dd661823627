//! What `run` says of a result: one screen of text, or JSON.

use std::path::Path;

use serde_json::{Map, Value, json};
use wakebeat_engine::case::Case;
use wakebeat_engine::point::consequences::clearance_rules;
use wakebeat_engine::point::input::{OperatingPoint, Rotation};
use wakebeat_engine::point::result::{HubLoad, LoadHistory, PointResult};
use wakebeat_engine::trim::{By, ThrustTarget, Trimmed};

use crate::airframe;
use crate::clearances;
use crate::load_table;
use crate::numbers::{given, significant};
use crate::output::{warnings_json, wrapped};
use crate::shares;

/// What the numbers are good for; one line.
pub const CAUTION: &str =
    "Design-study estimate of airloads: no turbulence, no structure; rules and licensed practice decide.";

/// Spread between the limits of suction, over the value, from which it is printed.
const SPREAD: f64 = 0.2;

/// A result with the case it answers and the file it went to.
pub struct Summary<'a> {
    /// The case.
    pub case: &'a Case,
    /// The point as solved: angle of attack, speed and pitch as trimmed.
    pub point: &'a OperatingPoint,
    /// How it was trimmed.
    pub trimmed: Option<&'a Trimmed>,
    /// The answer.
    pub result: &'a PointResult,
    /// The result file.
    pub file: &'a Path,
}

impl Summary<'_> {
    /// One screen of text.
    pub fn text(&self) -> String {
        let mut lines = Vec::new();
        if !self.case.title.is_empty() {
            lines.push(self.case.title.clone());
        }
        lines.push(flight_line(self.point));
        lines.push(propeller_line(self.point, self.result));
        lines.extend(self.trimmed.map(|trimmed| wrapped("trimmed: ", &trim_words(self.case, trimmed))));
        lines.push(String::new());
        lines.push(mean_line(self.result));
        lines.push(String::new());
        lines.push(load_table::load_table(self.result, self.point.propeller.speed_rad_s));
        lines.push(String::new());
        if let Some(table) = shares::share_table(self.result) {
            lines.extend([table, String::new()]);
        }
        if let Some(text) = airframe::text(self.point, self.result) {
            lines.extend([text, String::new()]);
        }
        lines.extend(clearances::text(&clearance_rules(self.point)));
        lines.extend(moment_line(self.result));
        lines.extend(suction_line(self.result));
        lines.extend(self.result.warnings.iter().map(|w| wrapped("warning: ", &w.text)));
        lines.push(format!("result file: {}", self.file.display()));
        lines.push(CAUTION.to_owned());
        lines.join("\n")
    }

    /// Summary scalars, harmonics and warnings, named as in the result file.
    pub fn json(&self) -> Value {
        let summary: Map<String, Value> =
            self.result.summary.iter().map(|s| (s.name.clone(), json!(s.value))).collect();
        let mut answer = json!({
            "title": self.case.title,
            "file": self.file.display().to_string(),
            "blade_count": self.result.blade_count,
            "summary": summary,
            "hub_harmonics": harmonics(self.result, self.point.propeller.speed_rad_s),
            "attribution": shares::json(self.result),
            "warnings": warnings_json(&self.result.warnings),
            "caution": CAUTION,
        });
        for (name, value) in airframe::json(self.result.airframe.as_ref()) {
            answer[name] = value;
        }
        answer
    }
}

/// What was adjusted, to what, and what more blades mean.
fn trim_words(case: &Case, trimmed: &Trimmed) -> String {
    let mut parts = Vec::new();
    let Some(how) = &case.trim else { return String::new() };
    if how.level {
        let lift_n = trimmed.forces.map_or(f64::NAN, |forces| forces.lift_n);
        let mass_kg = case.point.airframe.mass_kg.unwrap_or(f64::NAN);
        parts.push(format!(
            "angle of attack for level flight of {} kg (airframe lift {} N)",
            given(mass_kg),
            significant(lift_n, 4)
        ));
    }
    if let Some(wanted_n) = trimmed.thrust_wanted_n {
        let by = match how.by {
            By::Speed { .. } => "shaft speed",
            By::Pitch { .. } => "pitch offset",
        };
        let pitch = match how.by {
            By::Speed { .. } => String::new(),
            By::Pitch { .. } => {
                format!(" of {} deg", significant(trimmed.point.propeller.pitch_offset_rad.to_degrees(), 4))
            }
        };
        let what = match trimmed.drag_n {
            Some(drag_n) if how.thrust == Some(ThrustTarget::Drag) => {
                format!("the drag of {} N", significant(drag_n, 4))
            }
            _ => format!("{} N of thrust", given(wanted_n)),
        };
        parts.push(format!("{by}{pitch} to meet {what}"));
    }
    parts.push(if how.keeps_solidity {
        format!("equal solidity, chords times {}", significant(trimmed.chord_factor, 4))
    } else {
        "same blade at any blade count".to_owned()
    });
    parts.join("; ")
}

/// Moment of the thrust line about the centre of gravity, of all propellers where there are several.
fn moment_line(result: &PointResult) -> Option<String> {
    let moment = result.scalar("thrust_line_moment_n_m")?;
    let several = result.airframe.as_ref().is_some_and(|airframe| !airframe.further.is_empty());
    if several {
        let [all, own] = [result.thrust_lines_moment_n_m()?, moment].map(|moment| significant(moment, 3));
        let words = format!(
            "thrust lines about the centre of gravity: pitching moment of all propellers {all} N m, of `propeller` {own} N m (nose up positive)"
        );
        return Some(wrapped("", &words) + "\n");
    }
    let height = result.scalar("thrust_line_height_m")?;
    Some(format!(
        "thrust line {} m {} the centre of gravity: pitching moment {} N m (nose up positive)\n",
        significant(height.abs(), 3),
        if height < 0.0 { "below" } else { "above" },
        significant(moment, 3)
    ))
}

fn flight_line(point: &OperatingPoint) -> String {
    let flight = &point.flight;
    let mut line = format!(
        "{} m/s at {} m, angle of attack {} deg, sideslip {} deg",
        given(flight.airspeed_m_s),
        given(flight.altitude_m),
        given(flight.angle_of_attack_rad.to_degrees()),
        given(flight.sideslip_rad.to_degrees()),
    );
    if flight.temperature_offset_k != 0.0 {
        line.push_str(&format!(", {} K off standard", given(flight.temperature_offset_k)));
    }
    line
}

fn propeller_line(point: &OperatingPoint, result: &PointResult) -> String {
    let propeller = &point.propeller;
    let rotation = match propeller.rotation {
        Rotation::Clockwise => "clockwise",
        Rotation::Counterclockwise => "counterclockwise",
    };
    let blades = match (propeller.blade.generic, propeller.blade_count) {
        (true, 1) => "generic blade",
        (true, _) => "generic blades",
        (false, 1) => "blade",
        (false, _) => "blades",
    };
    let mut line = format!(
        "{} {blades}, diameter {} m, {} rpm {rotation}",
        propeller.blade_count,
        given(propeller.diameter_m),
        given(propeller.speed_rad_s * 30.0 / std::f64::consts::PI),
    );
    for (words, name) in [("advance ratio", "advance_ratio"), ("tip Mach", "tip_mach")] {
        if let Some(value) = result.scalar(name) {
            line.push_str(&format!(", {words} {}", significant(value, 3)));
        }
    }
    line
}

/// Mean thrust, torque, power, efficiency and disk loading.
fn mean_line(result: &PointResult) -> String {
    let scalar = |name| result.scalar(name).unwrap_or(f64::NAN);
    // A propeller that drives its shaft has no efficiency.
    let efficiency = if scalar("power_w") > 0.0 { scalar("efficiency") } else { f64::NAN };
    format!(
        "thrust {} N   torque {} N m   power {} W   efficiency {}   disk loading {} N/m2",
        significant(scalar("thrust_n"), 4),
        significant(scalar("torque_n_m"), 4),
        significant(scalar("power_w"), 4),
        significant(efficiency, 3),
        significant(scalar("disk_loading_n_per_m2"), 3),
    )
}

/// NP thrust between the limits of suction, where they differ by more than [`SPREAD`] of it.
fn suction_line(result: &PointResult) -> Option<String> {
    let far = result.scalar("thrust_np_suction_far_n")?;
    let edge = result.scalar("thrust_np_suction_trailing_edge_n")?;
    let here = result.scalar("thrust_np_n")?;
    ((far - edge).abs() > SPREAD * here).then(|| {
        let [far, edge] = [far, edge].map(|v| significant(v, 3));
        wrapped(
            "uncertain: ",
            &format!(
                "NP thrust is {far} N with the wake made far ahead of the propeller's suction and {edge} N with \
                 all of it made at the trailing edge (`solver.suction`)"
            ),
        )
    })
}

fn harmonics(result: &PointResult, speed_rad_s: f64) -> Value {
    let orders = result.hub.first().map_or(0, |h| h.harmonics.amplitude.len());
    let frequencies: Vec<f64> = (0..orders).map(|n| load_table::order_hz(n, speed_rad_s)).collect();
    let mut all = Map::new();
    all.insert("order".to_owned(), json!((0..orders).collect::<Vec<_>>()));
    all.insert("frequency_hz".to_owned(), json!(frequencies));
    for load in HubLoad::ALL {
        let LoadHistory { harmonics, .. } = result.hub(load);
        all.insert(load.key().to_owned(), json!(harmonics.amplitude));
        all.insert(format!("{}_phase_rad", load.name()), json!(harmonics.phase_rad));
    }
    Value::Object(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::WIDTH;

    #[test]
    fn the_caution_fits_one_line() {
        assert!(CAUTION.len() <= WIDTH);
    }

    #[test]
    fn suction_is_mentioned_where_its_limits_differ() {
        let result = |far: f64| {
            let scalar = |name: &str, value| {
                let (name, unit, long_name) = (name.to_owned(), "N", String::new());
                wakebeat_engine::point::result::Scalar { name, unit, long_name, value }
            };
            PointResult {
                attribution: Vec::new(),
                blade_count: 2,
                azimuth_rad: vec![],
                radius_m: vec![],
                hub: vec![],
                blades: vec![],
                disk: Default::default(),
                summary: vec![
                    scalar("thrust_np_n", 0.05),
                    scalar("thrust_np_suction_far_n", far),
                    scalar("thrust_np_suction_trailing_edge_n", 0.048),
                ],
                airframe: None,
                warnings: vec![],
            }
        };
        assert_eq!(suction_line(&result(0.056)), None);
        let text = suction_line(&result(0.0612)).unwrap().replace('\n', " ");
        assert!(text.contains("0.0612 N") && text.contains("0.0480"), "{text}");
    }

    #[test]
    fn long_warnings_wrap_under_their_label() {
        let text = wrapped("warning: ", &"word ".repeat(40));
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|l| l.len() <= WIDTH));
        assert!(text.lines().skip(1).all(|l| l.starts_with("         word")));
    }
}
