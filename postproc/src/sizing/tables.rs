//! The spectra and limit loads as CSV tables.

use std::f64::consts::TAU;
use std::path::PathBuf;

use wakebeat_engine::duty::input::DutyCycle;
use wakebeat_engine::duty::result::{DutyResult, TRANSITIONS};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads};

use super::SizingData;
use crate::{FileError, Folder, MARK, files};

/// What every table says first.
pub const CAUTION: &str = "Estimates for design studies, not for certification. Not modelled: gust and manoeuvre cycles, landing, \
                           starts and stops of the engine, firing pulses and reciprocating unbalance of piston engines, structural response beyond the isolators, notches, corrosion, heat. S-N data are the user's. \
                           Applicable rules and licensed practice decide.";

/// Tables of a duty cycle; the last one where it has details.
const DUTY_NAMES: [&str; 7] = [
    "segments.csv",
    "harmonics.csv",
    "time_at_level.csv",
    "cycles.csv",
    "exceedance.csv",
    "equivalent_loads.csv",
    "damage.csv",
];
/// Tables of limit loads.
const LIMIT_NAMES: [&str; 3] = ["limit_mount.csv", "limit_isolators.csv", "limit_combined.csv"];

/// A table: its file name and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CsvTable {
    /// File name.
    pub name: &'static str,
    /// CSV with leading `#` lines.
    pub text: String,
}

/// Rows under a heading.
struct Rows {
    name: &'static str,
    words: &'static str,
    writer: csv::Writer<Vec<u8>>,
}

impl Rows {
    fn new(name: &'static str, words: &'static str, heading: &[&str]) -> Self {
        let mut rows = Self { name, words, writer: csv::Writer::from_writer(Vec::new()) };
        rows.row(heading.iter().map(ToString::to_string));
        rows
    }

    /// Adds a row. Writing to memory does not fail.
    fn row(&mut self, fields: impl IntoIterator<Item = String>) {
        let fields: Vec<String> = fields.into_iter().collect();
        let _ = self.writer.write_record(&fields);
    }

    fn done(self) -> CsvTable {
        let bytes = self.writer.into_inner().unwrap_or_default();
        let body = String::from_utf8(bytes).unwrap_or_default();
        CsvTable { name: self.name, text: format!("# {} Table {MARK}.\n# {CAUTION}\n{body}", self.words) }
    }
}

/// Writes tables into a folder, which is made if it does not exist, each whole or not at all; returns their paths.
///
/// # Errors
/// [`FileError`] naming the folder or table, as where a file of the name is not ours.
pub fn save_tables<'a>(
    folder: impl Into<Folder<'a>>,
    tables: &[CsvTable],
) -> Result<Vec<PathBuf>, FileError> {
    let all: Vec<(String, &[u8])> = tables.iter().map(|t| (t.name.to_owned(), t.text.as_bytes())).collect();
    files::save_all(folder, &all)
}

/// File names of the tables that a duty cycle and limit loads lead to.
#[must_use]
pub fn names(duty: Option<&DutyCycle>, limit: bool) -> Vec<&'static str> {
    let duty_names: &[_] = match duty {
        None => &[],
        Some(duty) if duty.details.is_empty() => &DUTY_NAMES[..DUTY_NAMES.len() - 1],
        Some(_) => &DUTY_NAMES,
    };
    [duty_names, if limit { &LIMIT_NAMES } else { &[] }].concat()
}

/// All tables of a sized mount.
#[must_use]
pub fn tables(data: &SizingData) -> Vec<CsvTable> {
    let duty = data.duty.iter().flat_map(duty_tables);
    duty.chain(data.limit.iter().flat_map(|(limit, combined)| limit_tables(limit, combined))).collect()
}

fn part_name(duty: &DutyResult, part: usize) -> String {
    duty.segments.get(part).map_or_else(|| TRANSITIONS.to_owned(), |segment| segment.name.clone())
}

/// Tables of a duty cycle.
#[must_use]
pub fn duty_tables(duty: &DutyResult) -> Vec<CsvTable> {
    let mut tables =
        vec![segments(duty), harmonics(duty), levels(duty), cycles(duty), exceedance(duty), equivalent(duty)];
    if !duty.details.is_empty() {
        tables.push(damage(duty));
    }
    tables
}

fn segments(duty: &DutyResult) -> CsvTable {
    let heading = [
        "segment",
        "duration_s",
        "repeats_per_flight",
        "airspeed_m_s",
        "altitude_m",
        "angle_of_attack_deg",
        "speed_rpm",
        "pitch_offset_deg",
        "thrust_n",
        "torque_n_m",
        "revolutions_per_flight",
    ];
    let mut rows = Rows::new("segments.csv", "Segments of the duty cycle as flown.", &heading);
    for s in &duty.segments {
        let numbers = [
            s.duration_s,
            s.repeats as f64,
            s.airspeed_m_s,
            s.altitude_m,
            s.angle_of_attack_rad.to_degrees(),
            s.speed_rad_s * 60.0 / TAU,
            s.pitch_offset_rad.to_degrees(),
            s.thrust_n,
            s.torque_n_m,
            s.revolutions_per_flight(),
        ];
        rows.row([s.name.clone()].into_iter().chain(numbers.map(|x| x.to_string())));
    }
    rows.done()
}

fn harmonics(duty: &DutyResult) -> CsvTable {
    let words = "Harmonics of each load in each segment: order 0 the mean, others single-sided peaks; x = mean + sum of a cos(n psi - phase).";
    let heading = ["load", "unit", "segment", "order", "frequency_hz", "amplitude", "phase_rad"];
    let mut rows = Rows::new("harmonics.csv", words, &heading);
    for load in &duty.loads {
        for (segment, h) in duty.segments.iter().zip(&load.harmonics) {
            for (order, (amplitude, phase)) in h.amplitude.iter().zip(&h.phase_rad).enumerate() {
                let frequency = order as f64 * segment.speed_rad_s / TAU;
                rows.row([
                    load.name.clone(),
                    load.unit.to_owned(),
                    segment.name.clone(),
                    order.to_string(),
                    frequency.to_string(),
                    amplitude.to_string(),
                    phase.to_string(),
                ]);
            }
        }
    }
    rows.done()
}

fn levels(duty: &DutyResult) -> CsvTable {
    let heading = ["load", "unit", "segment", "level_from", "level_to", "time_s"];
    let words = "Time at each level over the life, by segment; levels in the unit of the load.";
    let mut rows = Rows::new("time_at_level.csv", words, &heading);
    for load in &duty.loads {
        for (segment, times) in duty.segments.iter().zip(&load.time_s) {
            for (edges, time) in load.level_edges.windows(2).zip(times).filter(|(_, time)| **time > 0.0) {
                rows.row([
                    load.name.clone(),
                    load.unit.to_owned(),
                    segment.name.clone(),
                    edges[0].to_string(),
                    edges[1].to_string(),
                    time.to_string(),
                ]);
            }
        }
    }
    rows.done()
}

fn cycles(duty: &DutyResult) -> CsvTable {
    let words = "Rainflow cycles over the life (ASTM E1049), largest range first; range is maximum minus minimum, in the unit of the load. \
                 Of a density the cycles of its distribution, cut at 8 times its root mean square.";
    let mut rows = Rows::new("cycles.csv", words, &["load", "unit", "part", "range", "mean", "count"]);
    for load in &duty.loads {
        for cycle in &load.cycles {
            rows.row([
                load.name.clone(),
                load.unit.to_owned(),
                part_name(duty, cycle.part),
                cycle.range.to_string(),
                cycle.mean.to_string(),
                cycle.count.to_string(),
            ]);
        }
    }
    rows.done()
}

fn exceedance(duty: &DutyResult) -> CsvTable {
    let words = "Cycles of a range or a larger one over the life; ranges in the unit of the load.";
    let mut rows = Rows::new("exceedance.csv", words, &["load", "unit", "range", "cycles"]);
    for load in &duty.loads {
        for (range, cycles) in load.exceedance_range.iter().zip(&load.exceedance_cycles) {
            rows.row([load.name.clone(), load.unit.to_owned(), range.to_string(), cycles.to_string()]);
        }
    }
    rows.done()
}

fn equivalent(duty: &DutyResult) -> CsvTable {
    let words = "Damage-equivalent range (sum of count range^m / cycles)^(1/m) by part and in total, in the unit of the load.";
    let heading = ["load", "unit", "equivalent", "exponent", "cycles", "part", "range"];
    let mut rows = Rows::new("equivalent_loads.csv", words, &heading);
    for load in &duty.loads {
        for ((name, exponent, cycles), parts) in duty.equivalents.iter().zip(&load.equivalent_range) {
            for (part, range) in parts.iter().enumerate() {
                let total = part + 1 == parts.len();
                rows.row([
                    load.name.clone(),
                    load.unit.to_owned(),
                    name.clone(),
                    exponent.to_string(),
                    cycles.to_string(),
                    if total { "total".to_owned() } else { part_name(duty, part) },
                    range.to_string(),
                ]);
            }
        }
    }
    rows.done()
}

fn damage(duty: &DutyResult) -> CsvTable {
    let words =
        "Miner damage over the life by part; failure is expected near 1, sums of 0.3 to 3 are common.";
    let mut rows = Rows::new("damage.csv", words, &["detail", "load", "curve", "part", "damage", "share"]);
    for detail in &duty.details {
        let total = detail.total();
        let mut row = |part: String, damage: f64| {
            let share = if total > 0.0 && total.is_finite() { damage / total } else { f64::NAN };
            rows.row([
                detail.name.clone(),
                detail.load.clone(),
                detail.curve.clone(),
                part,
                damage.to_string(),
                share.to_string(),
            ]);
        };
        for (part, damage) in detail.damage.iter().enumerate() {
            row(part_name(duty, part), *damage);
        }
        row("total".to_owned(), total);
    }
    rows.done()
}

/// Tables of the limit loads.
#[must_use]
pub fn limit_tables(limit: &LimitLoads, combined: &[CombinedLoad]) -> Vec<CsvTable> {
    vec![limit_mount(limit), limit_supports(limit), limit_combined(combined)]
}

fn limit_mount(limit: &LimitLoads) -> CsvTable {
    let words = "Limit loads of the powerplant at the middle of its isolators: shaft axes, x aft, y starboard, z up; moments right-handed. \
                 Ultimate loads are larger by the factor of safety.";
    let heading = [
        "case",
        "clause",
        "load_factor",
        "torque_factor",
        "fx_n",
        "fy_n",
        "fz_n",
        "mx_n_m",
        "my_n_m",
        "mz_n_m",
    ];
    let mut rows = Rows::new("limit_mount.csv", words, &heading);
    for case in &limit.cases {
        let (f, m) = (case.force_n, case.moment_n_m);
        let numbers = [case.load_factor, case.torque_factor, f.x, f.y, f.z, m.x, m.y, m.z];
        let start = [case.name.clone(), case.clause.clone()];
        rows.row(start.into_iter().chain(numbers.map(|x| x.to_string())));
    }
    rows.done()
}

fn limit_supports(limit: &LimitLoads) -> CsvTable {
    let words = "Limit force of the powerplant on each isolator: shaft axes; where the gyroscopic moment pulses each isolator at its own worst azimuth.";
    let heading =
        ["case", "isolator", "fx_n", "fy_n", "fz_n", "shear_n", "resultant_n", "pulse_direction_deg"];
    let mut rows = Rows::new("limit_isolators.csv", words, &heading);
    for case in &limit.cases {
        for (name, support) in limit.support_names.iter().zip(&case.supports) {
            let f = support.force_n;
            let numbers = [f.x, f.y, f.z, support.shear_n(), support.resultant_n()];
            let pulse = support.pulse_rad.map_or_else(String::new, |angle| angle.to_degrees().to_string());
            let start = [case.name.clone(), name.clone()];
            rows.row(start.into_iter().chain(numbers.map(|x| x.to_string())).chain([pulse]));
        }
    }
    rows.done()
}

fn limit_combined(combined: &[CombinedLoad]) -> CsvTable {
    let words = "What each isolator has to carry: limit, greatest alternating force of the duty cycle, both together, ultimate; \
                 densities are not in it.";
    let heading = [
        "isolator",
        "worst_case",
        "limit_n",
        "axial_greatest_n",
        "axial_least_n",
        "shear_n",
        "alternating_n",
        "limit_with_vibration_n",
        "ultimate_n",
    ];
    let mut rows = Rows::new("limit_combined.csv", words, &heading);
    for c in combined {
        let numbers = [
            c.limit_n,
            c.axial_greatest_n,
            c.axial_least_n,
            c.shear_n,
            c.alternating_n,
            c.limit_with_vibration_n,
            c.ultimate_n,
        ];
        let start = [c.name.clone(), c.worst_case.clone()];
        rows.row(start.into_iter().chain(numbers.map(|x| x.to_string())));
    }
    rows.done()
}
