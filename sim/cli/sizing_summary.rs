//! What `mount` says of spectra and limit loads: part of its screen, and of its JSON.

use std::f64::consts::TAU;

use serde_json::{Value, json};
use wakebeat_engine::duty::result::{DutyResult, LoadSpectrum, TRANSITIONS};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads};
use wakebeat_postproc::sizing::tables::CAUTION;
use wakebeat_postproc::sizing::{SizingData, notes};

use crate::numbers::{given, significant};
use crate::output::indented;
use crate::table;

/// Details whose shares find room beside the segments.
const MOST_DETAILS: usize = 3;
/// Equivalent loads that find room in a line.
const MOST_EQUIVALENTS: usize = 4;

/// The lines, with a blank one after each table.
pub fn text(sizing: &SizingData) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(duty) = &sizing.duty {
        lines.extend([duty_line(duty), segment_table(duty), String::new(), load_table(duty)]);
        lines.extend(notes::of_spectra(duty).map(|note| indented("", &note)));
        lines.push(String::new());
        lines.extend(duty.details.iter().map(|detail| {
            let life =
                if detail.total() > 0.0 { duty.flights_per_life / detail.total() } else { f64::INFINITY };
            let lasts = if life.is_finite() {
                format!("{} flights to a sum of 1", significant(life, 3))
            } else {
                "no damage".to_owned()
            };
            indented(
                &format!("{}: ", detail.name),
                &format!(
                    "Miner {} over the life, {lasts}; {}, on {}",
                    significant(detail.total(), 3),
                    detail.curve,
                    detail.load
                ),
            )
        }));
        if !duty.details.is_empty() {
            lines.push(String::new());
        }
    }
    if let Some((limit, combined)) = &sizing.limit {
        lines.extend([limit_line(limit), limit_table(combined)]);
        lines.extend(limit_note(sizing).map(|note| indented("", &note)));
        lines.push(String::new());
    }
    if !lines.is_empty() {
        lines.push(indented("", CAUTION));
    }
    lines
}

fn limit_note(sizing: &SizingData) -> Option<String> {
    sizing.duty.as_ref().and_then(notes::of_limit_loads)
}

fn duty_line(duty: &DutyResult) -> String {
    let seconds: f64 = duty.segments.iter().map(|s| s.duration_s * s.repeats as f64).sum();
    let (count, length) = (duty.segments.len(), significant(seconds / 60.0, 3));
    let length =
        if seconds < 60.0 { format!("{} s", significant(seconds, 3)) } else { format!("{length} min") };
    format!(
        "duty cycle: {count} {}, {length} in a flight, {} flights",
        if count == 1 { "segment" } else { "segments" },
        given(duty.flights_per_life)
    )
}

/// Segments as flown, and which part of each detail's damage they make; without details of the thrust's at the first exponent.
fn segment_table(duty: &DutyResult) -> String {
    let shares = shares(duty);
    let mut heading: Vec<String> =
        ["segment", "min", "times", "m/s", "alpha deg", "rpm", "thrust N", "torque N m"]
            .map(str::to_owned)
            .into();
    heading.extend(shares.iter().map(|(name, _)| format!("{name} %")));
    let columns = heading.len();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (index, s) in duty.segments.iter().enumerate() {
        let mut row = vec![
            s.name.clone(),
            given(s.duration_s / 60.0),
            s.repeats.to_string(),
            significant(s.airspeed_m_s, 3),
            significant(s.angle_of_attack_rad.to_degrees(), 3),
            format!("{:.0}", s.speed_rad_s * 60.0 / TAU),
            significant(s.thrust_n, 4),
            significant(s.torque_n_m, 4),
        ];
        row.extend(shares.iter().map(|(_, parts)| percent(parts, index)));
        rows.push(row);
    }
    let mut last = vec!["ground-air-ground".to_owned()];
    last.resize(8, String::new());
    last.extend(shares.iter().map(|(_, parts)| percent(parts, duty.segments.len())));
    rows.push(last);
    table::plain(heading, rows, 1..columns)
}

fn percent(parts: &[f64], index: usize) -> String {
    let total: f64 = parts.iter().sum();
    let part = parts.get(index).copied().unwrap_or_default();
    if total.is_infinite() {
        return if part.is_infinite() { "breaks".to_owned() } else { "0".to_owned() };
    }
    if total > 0.0 { format!("{:.1}", 100.0 * part / total) } else { "-".to_owned() }
}

/// Names and damage by part.
fn shares(duty: &DutyResult) -> Vec<(String, Vec<f64>)> {
    if !duty.details.is_empty() {
        return duty.details.iter().take(MOST_DETAILS).map(|d| (d.name.clone(), d.damage.clone())).collect();
    }
    let Some(load) = duty.loads.first() else { return Vec::new() };
    let all = duty.equivalents.iter().zip(&load.equivalent_range).take(MOST_DETAILS);
    all.map(|((_, exponent, _), ranges)| {
        let parts = ranges.iter().take(ranges.len().saturating_sub(1));
        (
            format!("{}, m = {}", load.name.replace('_', " "), given(*exponent)),
            parts.map(|r| r.powf(*exponent)).collect(),
        )
    })
    .collect()
}

/// Largest range and damage-equivalent ranges of each load; isolators by their most loaded axis.
fn load_table(duty: &DutyResult) -> String {
    let mut heading = vec!["load".to_owned(), "unit".into(), "largest range".into()];
    let equivalents = || duty.equivalents.iter().take(MOST_EQUIVALENTS);
    heading.extend(
        equivalents().map(|(_, exponent, cycles)| format!("m = {} at {cycles:.0e}", given(*exponent))),
    );
    let columns = heading.len();
    let rows = most_loaded_axes(duty).into_iter().map(|load| {
        let mut row =
            vec![load.name.replace('_', " "), load.unit.to_owned(), significant(load.largest_range, 4)];
        let totals = load.equivalent_range.iter().take(MOST_EQUIVALENTS);
        row.extend(totals.map(|parts| significant(parts.last().copied().unwrap_or_default(), 4)));
        row
    });
    table::plain(heading, rows.collect(), 2..columns)
}

/// Loads at the hub, and of each isolator the axis with the greatest equivalent range at the first exponent.
fn most_loaded_axes(duty: &DutyResult) -> Vec<&LoadSpectrum> {
    let isolator = |load: &LoadSpectrum| {
        load.name
            .rsplit_once('_')
            .filter(|(_, axis)| ["x", "y", "z"].contains(axis))
            .map(|(name, _)| name.to_owned())
    };
    let size = |load: &LoadSpectrum| {
        load.equivalent_range.first().and_then(|parts| parts.last()).copied().unwrap_or_default()
    };
    let mut shown: Vec<&LoadSpectrum> = Vec::new();
    for load in &duty.loads {
        let own = isolator(load);
        match shown.iter_mut().find(|other| own.is_some() && isolator(other) == own) {
            Some(other) if size(load) > size(other) => *other = load,
            Some(_) => {}
            None => shown.push(load),
        }
    }
    shown
}

fn limit_line(limit: &LimitLoads) -> String {
    let entry = if limit.torque_factor_in_gyroscopic { "enters" } else { "does not enter" };
    let gyroscopic = if limit.pulsing {
        "the gyroscopic moment pulses at 2P, each isolator is taken at its own worst azimuth"
    } else {
        "the gyroscopic moment is steady"
    };
    indented(
        "limit loads: ",
        &format!(
            "torque factor {} ({}), it {entry} the gyroscopic cases; {gyroscopic}",
            given(limit.torque_factor),
            limit.torque_factor_clause
        ),
    )
}

fn limit_table(combined: &[CombinedLoad]) -> String {
    let heading = ["isolator", "worst case", "limit N", "alternating N", "together N", "ultimate N"];
    let rows = combined.iter().map(|c| {
        let figures = [c.limit_n, c.alternating_n, c.limit_with_vibration_n, c.ultimate_n];
        let mut row = vec![c.name.clone(), c.worst_case.clone()];
        row.extend(figures.map(|x| significant(x, 4)));
        row
    });
    table::plain(heading.map(str::to_owned).to_vec(), rows.collect(), 2..6)
}

/// Spectra and limit loads for scripts, units in the keys.
pub fn json(sizing: &SizingData) -> Value {
    let duty = sizing.duty.as_ref().map(duty_json);
    let limit = sizing.limit.as_ref().map(|(limit, combined)| limit_json(limit, combined));
    let notes: Vec<String> = sizing
        .duty
        .iter()
        .flat_map(notes::of_spectra)
        .chain(limit.as_ref().and_then(|_| limit_note(sizing)))
        .collect();
    json!({ "duty": duty, "limit": limit, "notes": notes, "caution": CAUTION })
}

fn duty_json(duty: &DutyResult) -> Value {
    let segments: Vec<Value> = (duty.segments.iter())
        .map(|s| {
            json!({
                "name": s.name,
                "duration_s": s.duration_s,
                "repeats": s.repeats,
                "airspeed_m_s": s.airspeed_m_s,
                "altitude_m": s.altitude_m,
                "angle_of_attack_deg": s.angle_of_attack_rad.to_degrees(),
                "speed_rpm": s.speed_rad_s * 60.0 / TAU,
                "pitch_offset_deg": s.pitch_offset_rad.to_degrees(),
                "thrust_n": s.thrust_n,
                "torque_n_m": s.torque_n_m,
                "revolutions_per_flight": s.revolutions_per_flight(),
            })
        })
        .collect();
    let loads: Vec<Value> = (duty.loads.iter())
        .map(|load| {
            json!({
                "name": load.name,
                "unit": load.unit,
                "largest_range": load.largest_range,
                "equivalent_range": load.equivalent_range.iter().map(|parts| parts.last()).collect::<Vec<_>>(),
                "equivalent_range_by_part": load.equivalent_range,
            })
        })
        .collect();
    let details: Vec<Value> = (duty.details.iter())
        .map(|d| {
            json!({
                "name": d.name,
                "load": d.load,
                "curve": d.curve,
                "damage": d.total(),
                "damage_by_part": d.damage,
                "largest_range_mpa": d.largest_range_mpa,
            })
        })
        .collect();
    let equivalents: Vec<Value> = (duty.equivalents.iter())
        .map(|(name, exponent, cycles)| json!({ "name": name, "exponent": exponent, "cycles": cycles }))
        .collect();
    let mut parts: Vec<&str> = duty.segments.iter().map(|s| s.name.as_str()).collect();
    parts.push(TRANSITIONS);
    json!({
        "flights_per_life": duty.flights_per_life,
        "segments": segments,
        "parts": parts,
        "equivalents": equivalents,
        "loads": loads,
        "details": details,
    })
}

fn limit_json(limit: &LimitLoads, combined: &[CombinedLoad]) -> Value {
    let cases: Vec<Value> = (limit.cases.iter())
        .map(|case| {
            let isolators: Vec<Value> = (limit.support_names.iter().zip(&case.supports))
                .map(|(name, s)| {
                    json!({
                        "name": name,
                        "force_n": s.force_n.as_slice(),
                        "shear_n": s.shear_n(),
                        "resultant_n": s.resultant_n(),
                        "pulse_direction_deg": s.pulse_rad.map(f64::to_degrees),
                    })
                })
                .collect();
            json!({
                "name": case.name,
                "clause": case.clause,
                "load_factor": case.load_factor,
                "torque_factor": case.torque_factor,
                "force_n": case.force_n.as_slice(),
                "moment_n_m": case.moment_n_m.as_slice(),
                "isolators": isolators,
            })
        })
        .collect();
    let isolators: Vec<Value> = (combined.iter())
        .map(|c| {
            json!({
                "name": c.name,
                "worst_case": c.worst_case,
                "limit_n": c.limit_n,
                "axial_greatest_n": c.axial_greatest_n,
                "axial_least_n": c.axial_least_n,
                "shear_n": c.shear_n,
                "alternating_n": c.alternating_n,
                "limit_with_vibration_n": c.limit_with_vibration_n,
                "ultimate_n": c.ultimate_n,
            })
        })
        .collect();
    json!({
        "torque_factor": limit.torque_factor,
        "torque_factor_clause": limit.torque_factor_clause,
        "torque_factor_in_gyroscopic": limit.torque_factor_in_gyroscopic,
        "gyroscopic_moment_pulses": limit.pulsing,
        "ultimate_factor": limit.ultimate_factor,
        "middle_m": limit.middle_m.as_slice(),
        "cases": cases,
        "isolators": isolators,
    })
}
