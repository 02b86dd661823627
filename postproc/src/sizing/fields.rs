//! Spectra, damage and limit loads as named arrays, units in the names.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::base::field::Field;
use wakebeat_engine::duty::result::{DetailDamage, DutyResult, LoadSpectrum, SegmentState, TRANSITIONS};
use wakebeat_engine::limit::{CombinedLoad, LimitCase, LimitLoads};

use super::SizingData;
use super::names::{in_damage, in_limit, in_spectrum, of_load, suffix};

/// Everything sizing has.
#[must_use]
pub fn fields(data: &SizingData) -> Vec<Field> {
    let mut list = Vec::new();
    if let Some(duty) = &data.duty {
        duty_fields(&mut list, duty);
    }
    if let Some((limit, combined)) = &data.limit {
        limit_fields(&mut list, limit, combined);
    }
    list
}

fn numbers(
    list: &mut Vec<Field>,
    path: String,
    unit: &str,
    words: &str,
    dimensions: &[&str],
    values: Vec<f64>,
) {
    list.push(Field::numbers(&path, unit, words, dimensions, values));
}

fn scale(list: &mut Vec<Field>, path: &str, unit: &str, words: &str, values: Vec<f64>) {
    list.push(Field::scale(path, unit, words, values));
}

/// A scale 1, 2, … with the names of its members beside it.
fn named(list: &mut Vec<Field>, path: &str, words: &str, names: Vec<String>) {
    list.push(Field::counted(path, &format!("{words} number, from 1"), names.len()));
    texts(list, format!("{path}_name"), &format!("name of the {words}"), path, names);
}

fn texts(list: &mut Vec<Field>, path: String, words: &str, scale: &str, values: Vec<String>) {
    list.push(Field::texts(&path, words, scale, values));
}

fn duty_fields(list: &mut Vec<Field>, duty: &DutyResult) {
    let segment = in_spectrum("segment");
    named(list, &segment, "segment", duty.segments.iter().map(|s| s.name.clone()).collect());
    segment_fields(list, &segment, &duty.segments);
    let words = "flights in the life; counts, times and damage are over the life";
    numbers(list, in_spectrum("flights_per_life"), "1", words, &[], vec![duty.flights_per_life]);
    let mut parts: Vec<String> = duty.segments.iter().map(|s| s.name.clone()).collect();
    parts.extend([TRANSITIONS.to_owned(), "total".to_owned()]);
    named(list, &in_spectrum("part"), "part of the life", parts);
    let equivalent = in_spectrum("equivalent");
    named(
        list,
        &equivalent,
        "equivalent load",
        duty.equivalents.iter().map(|(name, ..)| name.clone()).collect(),
    );
    let exponents = duty.equivalents.iter().map(|(_, exponent, _)| *exponent).collect();
    numbers(
        list,
        in_spectrum("equivalent_exponent"),
        "1",
        "exponent of the S-N line",
        &[&equivalent],
        exponents,
    );
    let counts = duty.equivalents.iter().map(|(.., cycles)| *cycles).collect();
    numbers(
        list,
        in_spectrum("equivalent_cycles"),
        "1",
        "cycles the equivalent range is told for",
        &[&equivalent],
        counts,
    );
    let orders = duty.loads.first().and_then(|load| load.harmonics.first()).map_or(0, |h| h.amplitude.len());
    let words = "harmonic order, cycles per shaft revolution; 0 is the mean";
    scale(list, &in_spectrum("order"), "1", words, (0..orders).map(|n| n as f64).collect());
    for load in &duty.loads {
        load_fields(list, load);
    }
    density_fields(list, duty);
    detail_fields(list, duty);
}

fn segment_fields(list: &mut Vec<Field>, scale: &str, segments: &[SegmentState]) {
    type Column = (&'static str, &'static str, &'static str, fn(&SegmentState) -> f64);
    let columns: [Column; 9] = [
        ("duration_s", "s", "duration each time", |s| s.duration_s),
        ("repeats", "1", "how often it comes in a flight", |s| s.repeats as f64),
        ("airspeed_m_s", "m/s", "true airspeed", |s| s.airspeed_m_s),
        ("altitude_m", "m", "geopotential altitude", |s| s.altitude_m),
        ("angle_of_attack_rad", "rad", "angle of attack as flown", |s| s.angle_of_attack_rad),
        ("speed_rad_s", "rad/s", "shaft speed as flown", |s| s.speed_rad_s),
        ("pitch_offset_rad", "rad", "pitch offset as flown", |s| s.pitch_offset_rad),
        ("thrust_n", "N", "mean thrust", |s| s.thrust_n),
        ("torque_n_m", "N m", "mean torque", |s| s.torque_n_m),
    ];
    for (name, unit, words, value) in columns {
        // `segment_` keeps them apart from the groups of loads.
        let path = in_spectrum(&format!("segment_{name}"));
        numbers(list, path, unit, words, &[scale], segments.iter().map(value).collect());
    }
}

fn load_fields(list: &mut Vec<Field>, load: &LoadSpectrum) {
    let ending = suffix(load.unit);
    let at = |name: &str| of_load(&load.name, name, ending);
    let plain = |name: &str| of_load(&load.name, name, "");
    let (segment, order, part, equivalent) =
        (in_spectrum("segment"), in_spectrum("order"), in_spectrum("part"), in_spectrum("equivalent"));
    let (unit, of) = (load.unit, &load.long_name);
    let amplitude = load.harmonics.iter().flat_map(|h| h.amplitude.iter().copied()).collect();
    let words = format!("amplitude, order 0 the signed mean, others single-sided peaks: {of}");
    numbers(list, at("amplitude"), unit, &words, &[&segment, &order], amplitude);
    let phase = load.harmonics.iter().flat_map(|h| h.phase_rad.iter().copied()).collect();
    let words = format!("phase lag of each order in cos(n psi - phase): {of}");
    numbers(list, plain("phase_rad"), "rad", &words, &[&segment, &order], phase);
    numbers(list, at("rest"), unit, &format!("level between flights: {of}"), &[], vec![load.rest]);
    for (name, values) in [("lowest", &load.lowest), ("highest", &load.highest)] {
        let words = format!("{name} level over a revolution: {of}");
        numbers(list, at(name), unit, &words, &[&segment], values.clone());
    }
    let cycle = plain("cycle");
    let count = load.cycles.len();
    scale(
        list,
        &cycle,
        "1",
        "cycle number, largest range first, from 1",
        (1..=count).map(|k| k as f64).collect(),
    );
    let mut column = |path: String, unit, words: &str, values: Vec<f64>| {
        numbers(list, path, unit, words, &[&cycle], values);
    };
    column(
        at("cycle_range"),
        unit,
        "maximum minus minimum of the cycle",
        load.cycles.iter().map(|c| c.range).collect(),
    );
    column(at("cycle_mean"), unit, "mean of the cycle", load.cycles.iter().map(|c| c.mean).collect());
    column(plain("cycle_count"), "1", "how many in the life", load.cycles.iter().map(|c| c.count).collect());
    let parts = load.cycles.iter().map(|c| (c.part + 1) as f64).collect();
    column(
        plain("cycle_part"),
        "1",
        "part of the life the cycle belongs to, number in mount/spectrum/part",
        parts,
    );
    let words = "largest range of the cycles counted in the periodic load; densities have none";
    numbers(list, at("largest_range"), unit, words, &[], vec![load.largest_range]);
    let words = format!("damage-equivalent range: {of}");
    let ranges = load.equivalent_range.iter().flatten().copied().collect();
    numbers(list, at("equivalent_range"), unit, &words, &[&equivalent, &part], ranges);
    matrix_fields(list, load, &at, &plain);
    let range = at("exceedance_range");
    scale(list, &range, unit, "range of the exceedance curve", load.exceedance_range.clone());
    let words = "cycles in the life of this range or a larger one";
    numbers(list, plain("exceedance_cycles"), "1", words, &[&range], load.exceedance_cycles.clone());
    let level = at("level");
    scale(list, &at("level_edge"), unit, "edges of the bins of level", load.level_edges.clone());
    scale(list, &level, unit, "middle of the bin of level", middles(&load.level_edges));
    let times = load.time_s.iter().flatten().copied().collect();
    numbers(list, plain("time_s"), "s", "time at the level in the life", &[&segment, &level], times);
}

fn density_fields(list: &mut Vec<Field>, duty: &DutyResult) {
    if duty.densities.is_empty() {
        return;
    }
    let density = in_spectrum("density");
    named(list, &density, "density", duty.densities.iter().map(|(name, _)| name.clone()).collect());
    let loads = duty.densities.iter().map(|(_, load)| load.clone()).collect();
    texts(list, in_spectrum("density_load"), "load that the density adds to", &density, loads);
}

fn matrix_fields(
    list: &mut Vec<Field>,
    load: &LoadSpectrum,
    at: &impl Fn(&str) -> String,
    plain: &impl Fn(&str) -> String,
) {
    let (range, mean) = (at("range"), at("mean"));
    scale(list, &at("range_edge"), load.unit, "edges of the bins of range", load.range_edges.clone());
    scale(list, &at("mean_edge"), load.unit, "edges of the bins of mean", load.mean_edges.clone());
    scale(
        list,
        &range,
        load.unit,
        "middle of the bin of range, maximum minus minimum",
        middles(&load.range_edges),
    );
    scale(list, &mean, load.unit, "middle of the bin of mean", middles(&load.mean_edges));
    let words = "cycles in the life by range and mean";
    numbers(list, plain("range_mean_cycles"), "1", words, &[&range, &mean], load.matrix.clone());
}

fn middles(edges: &[f64]) -> Vec<f64> {
    edges.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect()
}

fn detail_fields(list: &mut Vec<Field>, duty: &DutyResult) {
    if duty.details.is_empty() {
        return;
    }
    let (detail, part) = (in_damage("detail"), in_damage("part"));
    let names = |value: fn(&DetailDamage) -> &String| {
        duty.details.iter().map(|d| value(d).clone()).collect::<Vec<_>>()
    };
    named(list, &detail, "detail", names(|d| &d.name));
    texts(list, in_damage("detail_load"), "load that stresses the detail", &detail, names(|d| &d.load));
    texts(list, in_damage("detail_curve"), "S-N curve and rule for the mean", &detail, names(|d| &d.curve));
    let mut parts: Vec<String> = duty.segments.iter().map(|s| s.name.clone()).collect();
    parts.push(TRANSITIONS.to_owned());
    named(list, &part, "part of the life", parts);
    let damage = duty.details.iter().flat_map(|d| d.damage.iter().copied()).collect();
    let words = "Miner damage over the life; failure is expected near 1";
    numbers(list, in_damage("damage"), "1", words, &[&detail, &part], damage);
    let largest = duty.details.iter().map(|d| d.largest_range_mpa).collect();
    let words = "largest stress range of the life after correction for the mean, of the periodic load without densities";
    numbers(list, in_damage("largest_range_mpa"), "MPa", words, &[&detail], largest);
}

fn limit_fields(list: &mut Vec<Field>, limit: &LimitLoads, combined: &[CombinedLoad]) {
    let (case, support, axis) = (in_limit("case"), in_limit("isolator"), in_limit("axis"));
    named(list, &case, "load case", limit.cases.iter().map(|c| c.name.clone()).collect());
    texts(
        list,
        in_limit("clause"),
        "rule the case follows",
        &case,
        limit.cases.iter().map(|c| c.clause.clone()).collect(),
    );
    named(list, &support, "isolator", limit.support_names.clone());
    scale(list, &axis, "1", "shaft axis: 1 x aft, 2 y starboard, 3 z up", vec![1.0, 2.0, 3.0]);
    let per_case = |value: fn(&LimitCase) -> f64| limit.cases.iter().map(value).collect::<Vec<_>>();
    numbers(
        list,
        in_limit("load_factor"),
        "1",
        "load factor on the weight",
        &[&case],
        per_case(|c| c.load_factor),
    );
    let words = "factor on the mean torque, 0 without torque";
    numbers(list, in_limit("torque_factor"), "1", words, &[&case], per_case(|c| c.torque_factor));
    let vectors = |value: fn(&LimitCase) -> Vec3| {
        limit.cases.iter().flat_map(|c| value(c).iter().copied().collect::<Vec<_>>()).collect::<Vec<_>>()
    };
    let words = "limit force of the powerplant at the middle of the isolators, shaft axes";
    numbers(list, in_limit("force_n"), "N", words, &[&case, &axis], vectors(|c| c.force_n));
    let words = "limit moment about the middle of the isolators, right-handed about shaft axes; where it pulses, with the greatest gyroscopic moment";
    numbers(list, in_limit("moment_n_m"), "N m", words, &[&case, &axis], vectors(|c| c.moment_n_m));
    let all = || limit.cases.iter().flat_map(|c| &c.supports);
    let forces = all().flat_map(|s| s.force_n.iter().copied().collect::<Vec<_>>()).collect();
    let words = "limit force of the powerplant on each isolator, shaft axes; of a pulsing moment at its own worst azimuth";
    numbers(list, in_limit("isolator_force_n"), "N", words, &[&case, &support, &axis], forces);
    let pulses = all().map(|s| s.pulse_rad.unwrap_or(f64::NAN)).collect();
    let words = "direction of the pulsing moment that is worst for the isolator, from y towards z; no number where nothing pulses";
    numbers(list, in_limit("pulse_direction_rad"), "rad", words, &[&case, &support], pulses);
    let middle = limit.middle_m.iter().copied().collect();
    numbers(
        list,
        in_limit("middle_m"),
        "m",
        "middle of the isolators from the hub, shaft axes",
        &[&axis],
        middle,
    );
    let scalar = |list: &mut Vec<Field>, name: &str, words: &str, value: f64| {
        numbers(list, in_limit(name), "1", words, &[], vec![value]);
    };
    scalar(list, "mean_torque_factor", &limit.torque_factor_clause, limit.torque_factor);
    let flag = f64::from(u8::from(limit.torque_factor_in_gyroscopic));
    scalar(
        list,
        "torque_factor_in_gyroscopic",
        "1 where the torque factor enters the gyroscopic cases, else 0",
        flag,
    );
    let flag = f64::from(u8::from(limit.pulsing));
    scalar(list, "pulsing", "1 where the gyroscopic moment pulses at 2P, else 0", flag);
    scalar(list, "ultimate_factor", "ultimate over limit load", limit.ultimate_factor);
    combined_fields(list, &support, combined);
}

fn combined_fields(list: &mut Vec<Field>, support: &str, combined: &[CombinedLoad]) {
    type Column = (&'static str, &'static str, fn(&CombinedLoad) -> f64);
    let columns: [Column; 7] = [
        ("limit_n", "greatest resultant of the cases", |c| c.limit_n),
        ("axial_greatest_n", "greatest force along the shaft over the cases, aft positive", |c| {
            c.axial_greatest_n
        }),
        ("axial_least_n", "least force along the shaft over the cases, aft positive", |c| c.axial_least_n),
        ("shear_n", "greatest force across the shaft over the cases", |c| c.shear_n),
        (
            "alternating_n",
            "greatest alternating force of any segment, periodic part; densities are not in it",
            |c| c.alternating_n,
        ),
        ("limit_with_vibration_n", "limit and alternating force together, without densities", |c| {
            c.limit_with_vibration_n
        }),
        ("ultimate_n", "limit and alternating force times the factor of safety, without densities", |c| {
            c.ultimate_n
        }),
    ];
    for (name, words, value) in columns {
        let values = combined.iter().map(value).collect();
        numbers(list, in_limit(&format!("isolator_{name}")), "N", words, &[support], values);
    }
    let worst = combined.iter().map(|c| c.worst_case.clone()).collect();
    texts(list, in_limit("isolator_worst_case"), "case of the greatest resultant", support, worst);
}
