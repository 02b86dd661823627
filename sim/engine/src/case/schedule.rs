//! The schedule from checked values.

use super::consistency::{at_key, fast_tip};
use super::problem::Problem;
use super::values::Values;
use crate::march::schedule::{Row, Schedule};
use std::f64::consts::TAU;

/// Airload states within a segment in which something changes.
const STATES: usize = 9;

/// The schedule, if the case has one; `None` outside where a value it needs has a problem.
pub(super) fn schedule(label: &str, v: &Values, problems: &mut Vec<Problem>) -> Option<Option<Schedule>> {
    let names = v.names("schedule.NAME");
    if names.is_empty() {
        return Some(None);
    }
    let rows: Vec<Row> = names.iter().map(|name| row(v, name)).collect::<Option<_>>()?;
    if let [only] = rows.as_slice() {
        let problem =
            at_key(label, v, &format!("schedule.{}.time_s", only.name), "is the only row of the schedule");
        problems.push(problem.allowed("two rows or more").hint("add the state at the end of the march"));
        return None;
    }
    let mut good = true;
    for pair in rows.windows(2).filter(|pair| pair[1].time_s <= pair[0].time_s) {
        let what = format!("is not after the row before, `{}` at {} s", pair[0].name, pair[0].time_s);
        let problem = at_key(label, v, &format!("schedule.{}.time_s", pair[1].name), what);
        problems.push(problem.allowed("times that increase from row to row"));
        good = false;
    }
    if good && let Some(problem) = short(label, v, &rows) {
        problems.push(problem);
        good = false;
    }
    let idle: Vec<Problem> = rows.iter().filter_map(|row| no_flap(label, v, row)).collect();
    good &= idle.is_empty();
    problems.extend(idle);
    let fast: Vec<Problem> = rows.iter().filter_map(|row| tip_mach(label, v, row)).collect();
    good &= fast.is_empty();
    problems.extend(fast);
    good.then_some(Some(Schedule { rows, states: STATES }))
}

/// A march tells revolutions, so that it needs one at least.
fn short(label: &str, v: &Values, rows: &[Row]) -> Option<Problem> {
    let turns = |pair: &[Row]| {
        0.5 * (pair[0].speed_rad_s + pair[1].speed_rad_s) * (pair[1].time_s - pair[0].time_s) / TAU
    };
    let revolutions: f64 = rows.windows(2).map(turns).sum();
    let last = rows.last().filter(|_| revolutions < 1.0)?;
    let what = format!("ends the schedule after {revolutions:.3} of a revolution");
    Some(
        at_key(label, v, &format!("schedule.{}.time_s", last.name), what)
            .allowed("a schedule of one revolution or more")
            .hint("end it later, or raise speed_rpm"),
    )
}

/// A change of flaps needs a flap.
fn no_flap(label: &str, v: &Values, row: &Row) -> Option<Problem> {
    let flaps = v.names("surface.NAME").iter().flat_map(|name| v.names(&format!("surface.{name}.flap.NAME")));
    (row.flap_change_rad != 0.0 && flaps.count() == 0).then(|| {
        at_key(label, v, &format!("schedule.{}.flap_change_deg", row.name), "finds no flap to move")
            .allowed("0, or a case with [[surface.flap]]")
            .hint("add the flap below its [[surface]], or leave flap_change_deg out")
    })
}

/// As for the case itself. Between rows the tip speed is below that of one of them: its square is convex in time.
fn tip_mach(label: &str, v: &Values, row: &Row) -> Option<Problem> {
    let key = |key: &str| format!("schedule.{}.{key}", row.name);
    // Where the row gives neither, the case's own speeds are a problem of their own.
    let own = ["speed_rpm", "airspeed_m_s"].map(key).into_iter().find(|path| v.number(path).is_some())?;
    let rpm = v.number(&key("speed_rpm")).or_else(|| v.number("propeller.speed_rpm"))?;
    Some(fast_tip(label, v, &own, (rpm, row.airspeed_m_s))?.hint("lower the row's speed_rpm or airspeed_m_s"))
}

fn row(v: &Values, name: &str) -> Option<Row> {
    let key = |key: &str| format!("schedule.{name}.{key}");
    let or = |own: &str, general: &str| v.number(&key(own)).or_else(|| v.number(general));
    Some(Row {
        name: name.to_owned(),
        time_s: v.number(&key("time_s"))?,
        speed_rad_s: or("speed_rpm", "propeller.speed_rpm")? * TAU / 60.0,
        airspeed_m_s: or("airspeed_m_s", "flight.airspeed_m_s")?,
        angle_of_attack_rad: or("angle_of_attack_deg", "flight.angle_of_attack_deg")?.to_radians(),
        flap_change_rad: v.radians(&key("flap_change_deg"))?,
        record: v.boolean(&key("record"))?,
    })
}
