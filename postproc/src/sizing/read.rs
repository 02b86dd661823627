//! Spectra, damage and limit loads back from the arrays of a result file.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::duty::result::{DetailDamage, DutyResult, LoadSpectrum, SegmentState, SpectrumCycle};
use wakebeat_engine::limit::{CombinedLoad, LimitCase, LimitLoads, SupportForce};
use wakebeat_engine::point::result::Harmonics;
use wakebeat_engine::record::FieldRecord;

use super::SizingData;
use super::names::{SPECTRUM, in_damage, in_limit, in_spectrum, of_load, suffix};

/// What a result file of kind `mount` holds of it. Arrays that are missing are empty.
#[must_use]
pub fn read(file: &FieldRecord) -> SizingData {
    SizingData {
        duty: file.field(&in_spectrum("flights_per_life")).is_some().then(|| duty(file)),
        limit: file.field(&in_limit("ultimate_factor")).is_some().then(|| limit(file)),
    }
}

fn row(file: &FieldRecord, path: &str) -> Vec<f64> {
    file.numbers(path).to_vec()
}

fn scalar(file: &FieldRecord, path: &str) -> f64 {
    file.numbers(path).first().copied().unwrap_or(f64::NAN)
}

fn words(file: &FieldRecord, path: &str) -> String {
    file.field(path).map(|field| field.long_name.clone()).unwrap_or_default()
}

fn texts(file: &FieldRecord, path: &str) -> Vec<String> {
    file.texts(path).to_vec()
}

/// Equal rows of a table.
fn rows(file: &FieldRecord, path: &str, count: usize) -> Vec<Vec<f64>> {
    let values = file.numbers(path);
    let width = values.len().checked_div(count).unwrap_or(0);
    (0..count).map(|k| values[k * width..(k + 1) * width].to_vec()).collect()
}

/// Names of the loads: groups of the spectrum, in the order of the file.
fn load_names(file: &FieldRecord) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for field in &file.fields {
        let inner = field.path.strip_prefix(SPECTRUM).and_then(|rest| rest.strip_prefix('/'));
        if let Some((name, _)) = inner.and_then(|inner| inner.split_once('/'))
            && !names.iter().any(|known| known == name)
        {
            names.push(name.to_owned());
        }
    }
    names
}

fn duty(file: &FieldRecord) -> DutyResult {
    let names = texts(file, &in_spectrum("equivalent_name"));
    let exponents = row(file, &in_spectrum("equivalent_exponent"));
    let cycles = row(file, &in_spectrum("equivalent_cycles"));
    let equivalents: Vec<(String, f64, f64)> =
        names.into_iter().zip(exponents).zip(cycles).map(|((n, e), c)| (n, e, c)).collect();
    let segments = segments(file);
    let sizes = (segments.len(), equivalents.len());
    let densities = texts(file, &in_spectrum("density_name"));
    DutyResult {
        densities: densities.into_iter().zip(texts(file, &in_spectrum("density_load"))).collect(),
        flights_per_life: scalar(file, &in_spectrum("flights_per_life")),
        loads: load_names(file).iter().map(|name| load(file, name, sizes)).collect(),
        details: details(file),
        segments,
        equivalents,
    }
}

fn segments(file: &FieldRecord) -> Vec<SegmentState> {
    let column = |name: &str| row(file, &in_spectrum(&format!("segment_{name}")));
    let columns = [
        "duration_s",
        "repeats",
        "airspeed_m_s",
        "altitude_m",
        "angle_of_attack_rad",
        "speed_rad_s",
        "pitch_offset_rad",
        "thrust_n",
        "torque_n_m",
    ]
    .map(column);
    let at = |column: usize, k: usize| columns[column].get(k).copied().unwrap_or(f64::NAN);
    let segment = |(k, name): (usize, String)| SegmentState {
        name,
        duration_s: at(0, k),
        repeats: at(1, k) as usize,
        airspeed_m_s: at(2, k),
        altitude_m: at(3, k),
        angle_of_attack_rad: at(4, k),
        speed_rad_s: at(5, k),
        pitch_offset_rad: at(6, k),
        thrust_n: at(7, k),
        torque_n_m: at(8, k),
        warnings: Vec::new(),
    };
    texts(file, &in_spectrum("segment_name")).into_iter().enumerate().map(segment).collect()
}

fn load(file: &FieldRecord, name: &str, (segments, equivalents): (usize, usize)) -> LoadSpectrum {
    let unit = if file.field(&of_load(name, "rest", "n")).is_some() { "N" } else { "N m" };
    let at = |what: &str| of_load(name, what, suffix(unit));
    let plain = |what: &str| of_load(name, what, "");
    let rest = at("rest");
    let told = words(file, &rest);
    let harmonics =
        rows(file, &at("amplitude"), segments).into_iter().zip(rows(file, &plain("phase_rad"), segments));
    let ranges = row(file, &at("cycle_range"));
    // Files of earlier versions have only the cycles.
    let largest = file.numbers(&at("largest_range")).first().or(ranges.first()).copied();
    let cycles = ranges
        .into_iter()
        .zip(row(file, &at("cycle_mean")))
        .zip(row(file, &plain("cycle_count")))
        .zip(row(file, &plain("cycle_part")));
    LoadSpectrum {
        largest_range: largest.unwrap_or(0.0),
        name: name.to_owned(),
        unit,
        long_name: told.split_once(": ").map_or(told.clone(), |(_, of)| of.to_owned()),
        rest: scalar(file, &rest),
        harmonics: harmonics.map(|(amplitude, phase_rad)| Harmonics { amplitude, phase_rad }).collect(),
        lowest: row(file, &at("lowest")),
        highest: row(file, &at("highest")),
        cycles: cycles
            .map(|(((range, mean), count), part)| SpectrumCycle {
                part: (part as usize).saturating_sub(1),
                range,
                mean,
                count,
            })
            .collect(),
        equivalent_range: rows(file, &at("equivalent_range"), equivalents),
        range_edges: row(file, &at("range_edge")),
        mean_edges: row(file, &at("mean_edge")),
        matrix: row(file, &plain("range_mean_cycles")),
        exceedance_range: row(file, &at("exceedance_range")),
        exceedance_cycles: row(file, &plain("exceedance_cycles")),
        level_edges: row(file, &at("level_edge")),
        time_s: rows(file, &plain("time_s"), segments),
    }
}

fn details(file: &FieldRecord) -> Vec<DetailDamage> {
    let names = texts(file, &in_damage("detail_name"));
    let damage = rows(file, &in_damage("damage"), names.len());
    let all = names
        .into_iter()
        .zip(texts(file, &in_damage("detail_load")))
        .zip(texts(file, &in_damage("detail_curve")))
        .zip(damage)
        .zip(row(file, &in_damage("largest_range_mpa")));
    all.map(|((((name, load), curve), damage), largest_range_mpa)| DetailDamage {
        name,
        load,
        curve,
        damage,
        largest_range_mpa,
    })
    .collect()
}

fn limit(file: &FieldRecord) -> (LimitLoads, Vec<CombinedLoad>) {
    let support_names = texts(file, &in_limit("isolator_name"));
    let loads = LimitLoads {
        cases: cases(file, support_names.len()),
        middle_m: vector(file.numbers(&in_limit("middle_m"))),
        torque_factor: scalar(file, &in_limit("mean_torque_factor")),
        torque_factor_clause: words(file, &in_limit("mean_torque_factor")),
        torque_factor_in_gyroscopic: scalar(file, &in_limit("torque_factor_in_gyroscopic")) == 1.0,
        pulsing: scalar(file, &in_limit("pulsing")) == 1.0,
        ultimate_factor: scalar(file, &in_limit("ultimate_factor")),
        support_names: support_names.clone(),
    };
    let columns = [
        "limit_n",
        "axial_greatest_n",
        "axial_least_n",
        "shear_n",
        "alternating_n",
        "limit_with_vibration_n",
        "ultimate_n",
    ]
    .map(|name| row(file, &in_limit(&format!("isolator_{name}"))));
    let at = |column: usize, k: usize| columns[column].get(k).copied().unwrap_or(f64::NAN);
    let worst = texts(file, &in_limit("isolator_worst_case"));
    let combined =
        support_names.into_iter().zip(worst).enumerate().map(|(k, (name, worst_case))| CombinedLoad {
            name,
            worst_case,
            limit_n: at(0, k),
            axial_greatest_n: at(1, k),
            axial_least_n: at(2, k),
            shear_n: at(3, k),
            alternating_n: at(4, k),
            limit_with_vibration_n: at(5, k),
            ultimate_n: at(6, k),
        });
    (loads, combined.collect())
}

fn vector(values: &[f64]) -> Vec3 {
    Vec3::from_fn(|i, _| values.get(i).copied().unwrap_or(f64::NAN))
}

fn cases(file: &FieldRecord, supports: usize) -> Vec<LimitCase> {
    let names = texts(file, &in_limit("case_name"));
    let count = names.len();
    let [forces, moments] = ["force_n", "moment_n_m"].map(|name| rows(file, &in_limit(name), count));
    let on_supports = rows(file, &in_limit("isolator_force_n"), count * supports);
    let pulses = row(file, &in_limit("pulse_direction_rad"));
    let [load_factors, torque_factors] =
        ["load_factor", "torque_factor"].map(|name| row(file, &in_limit(name)));
    let clauses = texts(file, &in_limit("clause"));
    let number = |values: &[f64], k: usize| values.get(k).copied().unwrap_or(f64::NAN);
    let support = |k: usize| SupportForce {
        force_n: vector(on_supports.get(k).map_or(&[], Vec::as_slice)),
        pulse_rad: pulses.get(k).copied().filter(|angle| angle.is_finite()),
    };
    let case = |(k, name): (usize, String)| LimitCase {
        name,
        clause: clauses.get(k).cloned().unwrap_or_default(),
        load_factor: number(&load_factors, k),
        torque_factor: number(&torque_factors, k),
        force_n: vector(&forces[k]),
        moment_n_m: vector(&moments[k]),
        supports: (k * supports..(k + 1) * supports).map(support).collect(),
    };
    names.into_iter().enumerate().map(case).collect()
}
