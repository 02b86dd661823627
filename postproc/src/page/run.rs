//! The argument of one operating point.

use std::f64::consts::TAU;

use maud::{Markup, html};
use wakebeat_engine::case::Case;
use wakebeat_engine::point::airframe::AIRFRAME_LOADS;
use wakebeat_engine::point::consequences::clearance_rules;
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::point::result::{HubLoad, PointResult};
use wakebeat_engine::record::RunRecord;
use wakebeat_engine::trim::{By, ThrustTarget};

use super::shares::Shares;
use super::table::{Cell, Column, figure, table};
use super::{Section, cautions, disk, geometry, harmonics, phase as by_phase, prose};
use crate::PlotError;
use crate::flown::run_as_flown;
use crate::phase;
use crate::pictures::frame::rotation;
use crate::pictures::loads::{amplitude, round_off, title};
use crate::pictures::number::short;

/// Spread between the limits of suction, over the value, that is worth a word.
const SPREAD: f64 = 0.2;

/// The section of a run.
pub(super) fn section(record: &RunRecord, case: &Case, id: &str) -> Result<Section, PlotError> {
    let result = &record.result;
    let point = run_as_flown(result, &case.point);
    let shares = Shares {
        order: result.blade_count,
        totals: result.hub.iter().map(|hub| hub.harmonics.clone()).collect(),
        sources: result.attribution.clone(),
    };
    Ok(Section {
        asked: html! { (asked(case, &point)) (trimmed(case, result)) (geometry::views(&point)?) },
        answer: html! { (sentence(&point, result, &shares)) (answer_table(&point, result)) (airframe(result)) },
        why: html! {
            h4 { "Which source makes it" }
            (shares.shown())
            h4 { "At which orders" }
            (harmonics::shown(result, point.propeller.speed_rad_s, &format!("{id}-order")))
            @if let Some(sums) = result.airframe.as_ref().and_then(|airframe| airframe.sums.as_ref()).filter(|sums| !sums.by_phase.is_empty()) {
                h4 { "At which phase between the propellers" }
                (by_phase::shown(result, &point, sums, &format!("{id}-phase")))
            }
            h4 { "What the blades meet" }
            (disk::shown(result, &point, &format!("{id}-disk"))?)
        },
        sure: sure(result),
        avoid: None,
        costs: Some(costs(result, &point)),
        cautions: vec![cautions::AIRLOADS],
    })
}

/// Notes of the case and the conditions in a sentence.
pub(super) fn asked(case: &Case, point: &OperatingPoint) -> Markup {
    let flight = &point.flight;
    let propeller = &point.propeller;
    let generic = if propeller.blade.generic { "generic " } else { "" };
    let blades = if propeller.blade_count == 1 { "blade" } else { "blades" };
    html! {
        @if !case.notes.is_empty() { p { (case.notes) } }
        p {
            "What does the hub feel at " (short(flight.airspeed_m_s)) " m/s, " (short(flight.altitude_m)) " m altitude, angle of attack "
            (short(flight.angle_of_attack_rad.to_degrees())) "°, sideslip " (short(flight.sideslip_rad.to_degrees())) "°, with "
            (propeller.blade_count) " " (generic) (blades) " of " (geometry::metres(propeller.diameter_m)) " diameter at "
            (format!("{:.0}", propeller.speed_rad_s * 60.0 / TAU)) " rpm, " (rotation(propeller.rotation)) " seen from behind?"
        }
    }
}

/// What trim has found, and what for.
fn trimmed(case: &Case, result: &PointResult) -> Markup {
    let Some(how) = &case.trim else { return html! {} };
    let by = match how.by {
        By::Speed { .. } => format!("the shaft speed {} rpm", short(scalar(result, "speed_rpm"))),
        By::Pitch { .. } => {
            format!("the pitch offset {}°", short(scalar(result, "pitch_offset_rad").to_degrees()))
        }
    };
    let wanted_n = result.scalar("trim_thrust_n");
    html! {
        p.note {
            "Trimmed: "
            @if how.level {
                "the angle of attack " (short(scalar(result, "angle_of_attack_rad").to_degrees())) "° is that of level flight"
                @if let Some(mass_kg) = case.point.airframe.mass_kg { " of " (short(mass_kg)) " kg" }
                @if wanted_n.is_some() { "; " }
            }
            @if let Some(wanted_n) = wanted_n {
                (by) " meets " @if how.thrust == Some(ThrustTarget::Drag) { "the drag, " }
                (short(wanted_n)) " N of thrust"
            }
            ". The inputs in full hold the first guess instead."
        }
    }
}

fn scalar(result: &PointResult, name: &str) -> f64 {
    result.scalar(name).unwrap_or(f64::NAN)
}

/// A propeller that drives its shaft has no efficiency.
fn efficiency(result: &PointResult) -> f64 {
    if scalar(result, "power_w") > 0.0 { scalar(result, "efficiency") } else { f64::NAN }
}

fn sentence(point: &OperatingPoint, result: &PointResult, shares: &Shares) -> Markup {
    let np = result.blade_count;
    let hz = np as f64 * point.propeller.speed_rad_s / TAU;
    let (mean, ripple) = (scalar(result, "thrust_n"), amplitude(result, HubLoad::Thrust, np));
    html! {
        p.answer {
            "The propeller gives " strong { (short(mean)) " N" } " of thrust for " strong { (short(scalar(result, "power_w"))) " W" }
            @if efficiency(result).is_finite() { " (efficiency " (short(efficiency(result))) ")" }
            ", and its thrust swings by ±" strong { (figure(ripple)) " N" } " at " (np) "P, " (short(hz)) " Hz"
            @if mean > 0.0 { ", " (figure(100.0 * ripple / mean)) " % of the mean" }
            @if let Some((name, part)) = shares.largest(HubLoad::Thrust) {
                ", of which " (name) " makes " (format!("{:.0}", 100.0 * part)) " %"
            }
            "."
        }
    }
}

/// Means, amplitudes at 1P, NP, 2NP and peak to peak; below them what has no harmonics.
fn answer_table(point: &OperatingPoint, result: &PointResult) -> Markup {
    let np = result.blade_count.max(1);
    let mut orders = vec![1, np, 2 * np];
    orders.dedup();
    let hz = |order: usize| short(order as f64 * point.propeller.speed_rad_s / TAU);
    let mut columns = vec![Column::new("quantity", ""), Column::new("unit", ""), Column::new("mean", "")];
    columns.extend(orders.iter().map(|n| Column::new(format!("{n}P"), &format!("{} Hz", hz(*n)))));
    columns.push(Column::new("peak to peak", ""));
    let loads = HubLoad::ALL.into_iter().map(|load| {
        let swing = scalar(result, &peak_to_peak(load));
        let mut row = vec![Cell::text(title(load)), Cell::text(load.unit())];
        row.push(Cell::Figure(amplitude(result, load, 0)));
        row.extend(orders.iter().map(|n| Cell::Figure(amplitude(result, load, *n))));
        // Round-off is shown as none.
        row.push(Cell::Figure(if swing.abs() <= round_off(result, load) { 0.0 } else { swing }));
        row
    });
    let short_of = orders.iter().any(|n| amplitude(result, HubLoad::Thrust, *n).is_nan());
    let single = [
        ("Power", "W", scalar(result, "power_w")),
        ("Efficiency", "1", efficiency(result)),
        ("Disk loading", "N/m²", scalar(result, "disk_loading_n_per_m2")),
        ("Advance ratio", "1", scalar(result, "advance_ratio")),
        ("Helical tip Mach number", "1", scalar(result, "tip_mach")),
    ];
    let singles = single.into_iter().map(|(name, unit, value)| {
        let mut row = vec![Cell::text(name), Cell::text(unit), Cell::Figure(value)];
        row.extend((0..=orders.len()).map(|_| Cell::text("")));
        row
    });
    let rows: Vec<Vec<Cell>> = loads.chain(singles).collect();
    html! {
        (table("Loads of the propeller on the airframe, about the hub: mean, amplitudes (single-sided peaks), peak to peak", &columns, &rows))
        @if short_of {
            p.note { "A dash among the orders: not computed, because " code { "solver.harmonics" } " stops below it." }
        }
        p.note {
            "Shaft-aligned: thrust forward +, side force starboard +, vertical force up +, rolling moment starboard side down +, pitching \
             moment nose up +, yawing moment nose to starboard +; torque + where the propeller absorbs power."
        }
    }
}

/// Further propellers, and the sum of all at the centre of gravity.
fn airframe(result: &PointResult) -> Markup {
    let Some(airframe) = &result.airframe else { return html! {} };
    let np = result.blade_count.max(1);
    let columns = [
        Column::new("further propeller", ""),
        Column::new("thrust", "N"),
        Column::new("torque", "N m"),
        Column::new("power", "W"),
        Column::new("thrust at its NP", "N"),
    ];
    let row = |name: &str, one: &PointResult| {
        let own = one.hub(HubLoad::Thrust).harmonics.phasor(one.blade_count).norm();
        let figures = [scalar(one, "thrust_n"), scalar(one, "torque_n_m"), scalar(one, "power_w"), own];
        let mut cells = vec![Cell::text(name)];
        cells.extend(figures.map(Cell::Figure));
        cells
    };
    let further: Vec<Vec<Cell>> = airframe.further.iter().map(|one| row(&one.name, &one.result)).collect();
    html! {
        @if !further.is_empty() { (table("Further propellers", &columns, &further)) }
        @if let Some(sums) = &airframe.sums {
            @let at = |rows: &[Vec<f64>], i: usize| rows.get(i).and_then(|row| row.get(np)).copied().unwrap_or(f64::NAN);
            @let rows: Vec<Vec<Cell>> = AIRFRAME_LOADS.into_iter().zip(&sums.loads).enumerate().map(|(i, (load, sum))| {
                // Mirror images leave round-off where they cancel.
                let least = phase::round_off(sums, load);
                let clean = |value: f64| Cell::Figure(if value.abs() < least { 0.0 } else { value });
                vec![
                    Cell::text(title(load)),
                    Cell::text(load.unit()),
                    clean(sum.harmonics.amplitude.first().copied().unwrap_or(f64::NAN)),
                    clean(sum.harmonics.amplitude.get(np).copied().unwrap_or(f64::NAN)),
                    clean(at(&sums.least, i)),
                    clean(at(&sums.greatest, i)),
                ]
            }).collect();
            (table("Sum of all propellers at the centre of gravity", &[
                Column::new("load", ""),
                Column::new("unit", ""),
                Column::new("mean", ""),
                Column::new(format!("{np}P"), ""),
                Column::new(format!("{np}P, least over the phases"), ""),
                Column::new(format!("{np}P, greatest over the phases"), ""),
            ], &rows))
        }
    }
}

fn peak_to_peak(load: HubLoad) -> String {
    format!("{}_peak_to_peak{}", load.name(), load.key().strip_prefix(load.name()).unwrap_or_default())
}

fn sure(result: &PointResult) -> Markup {
    let spread = [
        scalar(result, "thrust_np_n"),
        scalar(result, "thrust_np_suction_far_n"),
        scalar(result, "thrust_np_suction_trailing_edge_n"),
    ];
    let [here, far, edge] = spread;
    html! {
        @if far.is_finite() && edge.is_finite() {
            p {
                "How far the propeller's suction acts where the wake is made is not known: with the wake made far ahead of it NP thrust is "
                (short(far)) " N, with all of it made at the trailing edge " (short(edge)) " N, against " (short(here)) " N here"
                @if (far - edge).abs() > SPREAD * here.abs() { ". " strong { "That spread belongs in the uncertainty." } } @else { "." }
            }
        }
        @if result.warnings.is_empty() {
            p { "The run passed none of the limits it warns at." }
        } @else {
            p { "Limits that this run passes, with their figures:" }
            ul.warnings { @for warning in &result.warnings { li { (prose(&warning.text)) } } }
        }
    }
}

fn costs(result: &PointResult, point: &OperatingPoint) -> Markup {
    let height = result.scalar("thrust_line_height_m");
    let moment = result.scalar("thrust_line_moment_n_m");
    html! {
        p {
            "Power " (figure(scalar(result, "power_w"))) " W for " (figure(scalar(result, "thrust_n"))) " N at efficiency "
            (figure(efficiency(result))) ". "
            @match (height, moment) {
                (Some(height), Some(moment)) => {
                    "The thrust line passes " (geometry::metres(height.abs())) (if height < 0.0 { " below" } else { " above" })
                    " the centre of gravity: pitching moment " (figure(moment)) " N m, nose up positive."
                    @if let Some(all) = result.thrust_lines_moment_n_m().filter(|_| !point.further.is_empty()) {
                        " That of all propellers together is " (figure(all)) " N m."
                    }
                }
                _ => "The case gives no centre of gravity, so the moment of the thrust line is not known.",
            }
        }
        (clearances(point))
    }
}

/// Clearances beside what published rules ask for.
pub(super) fn clearances(point: &OperatingPoint) -> Markup {
    let rules = clearance_rules(point);
    if rules.is_empty() {
        return html! { p { "The case holds nothing that clearances could be measured to." } };
    }
    let columns = [
        Column::new("clearance between", ""),
        Column::new("clearance", "m"),
        Column::new("rule asks for", "m"),
        Column::new("met", ""),
        Column::new("rule", ""),
    ];
    let rows: Vec<Vec<Cell>> = rules
        .iter()
        .map(|rule| {
            let asked = if rule.least_m > 0.0 { short(rule.least_m) } else { "above 0".to_owned() };
            vec![
                Cell::text(rule.between()),
                Cell::Figure(rule.clearance_m),
                Cell::shown(rule.least_m, asked),
                Cell::text(if rule.is_met() { "yes" } else { "less" }),
                Cell::text(rule.rule),
            ]
        })
        .collect();
    html! {
        (table("Clearances of the blades", &columns, &rows))
        p.note { (cautions::CLEARANCES) }
    }
}
