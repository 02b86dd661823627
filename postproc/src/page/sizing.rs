//! Limit loads, spectra over a duty cycle, and damage: what a mount file holds beside vibration.

use maud::{Markup, html};
use wakebeat_engine::duty::result::{DutyResult, TRANSITIONS};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads};

use super::table::{Cell, Column, table};
use crate::pictures::number::short;
use crate::sizing::{SizingData, notes};

/// Equivalent loads that find room in a table.
const MOST_EQUIVALENTS: usize = 4;

/// Limit loads by isolator, and the damage of each detail.
pub(super) fn answer(sizing: &SizingData) -> Markup {
    html! {
        @if let Some((limit, combined)) = &sizing.limit { (limit_loads(limit, combined, sizing.duty.as_ref())) }
        @if let Some(duty) = &sizing.duty { (damage(duty)) }
    }
}

/// The segments, and the loads that are counted.
pub(super) fn why(sizing: &SizingData) -> Markup {
    html! {
        @if let Some(duty) = &sizing.duty { (segments(duty)) (loads(duty)) }
        @if let Some((limit, _)) = &sizing.limit { (cases(limit)) }
    }
}

fn limit_loads(limit: &LimitLoads, combined: &[CombinedLoad], duty: Option<&DutyResult>) -> Markup {
    let columns = [
        Column::new("isolator", ""),
        Column::new("worst case", ""),
        Column::new("limit load", "N"),
        Column::new("alternating", "N"),
        Column::new("both together", "N"),
        Column::new("ultimate", "N"),
    ];
    let rows: Vec<Vec<Cell>> = combined
        .iter()
        .map(|c| {
            let figures = [c.limit_n, c.alternating_n, c.limit_with_vibration_n, c.ultimate_n];
            let mut row = vec![Cell::text(&c.name), Cell::text(&c.worst_case)];
            row.extend(figures.map(Cell::Figure));
            row
        })
        .collect();
    let greatest = combined.iter().max_by(|a, b| a.limit_n.total_cmp(&b.limit_n));
    html! {
        @if let Some(most) = greatest {
            p.answer {
                "The largest limit load is " strong { (short(most.limit_n)) " N" } " on isolator " (most.name) ", " (most.worst_case)
                "; ultimate with vibration " strong { (short(most.ultimate_n)) " N" } "."
            }
        }
        (table("Limit loads of the mount", &columns, &rows))
        @if let Some(note) = duty.and_then(notes::of_limit_loads) { p { strong { (note) } } }
        p.note {
            "Torque factor " (short(limit.torque_factor)) " (" (limit.torque_factor_clause) "); it "
            (if limit.torque_factor_in_gyroscopic { "enters" } else { "does not enter" }) " the gyroscopic cases. Ultimate: "
            (short(limit.ultimate_factor)) " times limit and vibration together. The applicable rules and licensed practice decide."
        }
    }
}

fn damage(duty: &DutyResult) -> Markup {
    if duty.details.is_empty() {
        return html! {};
    }
    let columns = [
        Column::new("detail", ""),
        Column::new("damage sum over the life (Miner)", "1"),
        Column::new("flights to a sum of 1", "1"),
        Column::new("load", ""),
        Column::new("curve", ""),
    ];
    let rows: Vec<Vec<Cell>> = duty
        .details
        .iter()
        .map(|detail| {
            let total = detail.total();
            let life = if total > 0.0 {
                Cell::Figure(duty.flights_per_life / total)
            } else {
                Cell::text("no damage")
            };
            vec![
                Cell::text(&detail.name),
                Cell::Figure(total),
                life,
                Cell::text(detail.load.replace('_', " ")),
                Cell::text(&detail.curve),
            ]
        })
        .collect();
    html! {
        (table("Damage of the details over the life", &columns, &rows))
        p.note { "S-N data are the user's. A sum of 1 is no proof that a part lasts until then." }
    }
}

fn segments(duty: &DutyResult) -> Markup {
    let mut columns = vec![
        Column::new("segment", ""),
        Column::new("duration", "min"),
        Column::new("times", "1"),
        Column::new("airspeed", "m/s"),
        Column::new("angle of attack", "deg"),
        Column::new("shaft speed", "rpm"),
        Column::new("thrust", "N"),
        Column::new("torque", "N m"),
    ];
    columns.extend(duty.details.iter().map(|d| Column::new(format!("damage of {}", d.name), "%")));
    let share = |index: usize| {
        duty.details
            .iter()
            .map(move |d| Cell::Figure(100.0 * d.damage.get(index).copied().unwrap_or(0.0) / d.total()))
    };
    let mut rows: Vec<Vec<Cell>> = duty
        .segments
        .iter()
        .enumerate()
        .map(|(index, s)| {
            let rpm = s.speed_rad_s * 60.0 / std::f64::consts::TAU;
            let mut row = vec![
                Cell::text(&s.name),
                Cell::Figure(s.duration_s / 60.0),
                Cell::shown(s.repeats as f64, s.repeats.to_string()),
                Cell::Figure(s.airspeed_m_s),
                Cell::Figure(s.angle_of_attack_rad.to_degrees()),
                Cell::shown(rpm, format!("{rpm:.0}")),
                Cell::Figure(s.thrust_n),
                Cell::Figure(s.torque_n_m),
            ];
            row.extend(share(index));
            row
        })
        .collect();
    if !duty.details.is_empty() {
        let mut last = vec![Cell::text(TRANSITIONS.replace('_', " "))];
        last.extend((0..7).map(|_| Cell::text("")));
        last.extend(share(duty.segments.len()));
        rows.push(last);
    }
    table("Segments of the duty cycle as flown, and their part of the damage", &columns, &rows)
}

fn loads(duty: &DutyResult) -> Markup {
    let mut columns =
        vec![Column::new("load", ""), Column::new("unit", ""), Column::new("largest range", "")];
    let equivalents = duty.equivalents.iter().take(MOST_EQUIVALENTS);
    columns
        .extend(equivalents.map(|(_, m, n)| {
            Column::new(format!("equivalent range, m = {}, {n:.0e} cycles", short(*m)), "")
        }));
    let rows: Vec<Vec<Cell>> = duty
        .loads
        .iter()
        .map(|load| {
            let mut row = vec![
                Cell::text(load.name.replace('_', " ")),
                Cell::text(load.unit),
                Cell::Figure(load.largest_range),
            ];
            let totals = load.equivalent_range.iter().take(MOST_EQUIVALENTS);
            row.extend(totals.map(|parts| Cell::Figure(parts.last().copied().unwrap_or_default())));
            row
        })
        .collect();
    html! {
        (table("Ranges counted over the duty cycle (rainflow)", &columns, &rows))
        @if let Some(note) = notes::of_spectra(duty) { p.note { (note) } }
    }
}

fn cases(limit: &LimitLoads) -> Markup {
    let mut columns =
        vec![Column::new("limit-load case", ""), Column::new("clause", ""), Column::new("load factor", "1")];
    columns.extend(limit.support_names.iter().map(|name| Column::new(name.as_str(), "N")));
    let rows: Vec<Vec<Cell>> = limit
        .cases
        .iter()
        .map(|case| {
            let mut row = vec![
                Cell::text(&case.name),
                Cell::text(case.clause.to_string()),
                Cell::Figure(case.load_factor),
            ];
            row.extend(case.supports.iter().map(|s| Cell::Figure(s.resultant_n())));
            row
        })
        .collect();
    table("Limit-load cases, resultant on each isolator", &columns, &rows)
}
