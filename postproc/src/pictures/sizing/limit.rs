//! Limit loads: the resultant on each isolator by kind of case, with vibration, and ultimate.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads, SupportForce};

use crate::PlotError;
use crate::pictures::canvas::{Area, px};
use crate::pictures::colour::{BLUE, FAINT_INK, GREEN, INK, NO_DATA, ORANGE, PURPLE, SKY, VERMILION};
use crate::pictures::frame::framed_as;
use crate::pictures::number::{Prefix, short};
use crate::pictures::panel::{Axis, Room, panel, place};
use crate::pictures::style::{BODY, SMALL, anchored, cut, line, text, write};

/// Isolators shown at most.
const MOST: usize = 8;

/// Kinds of cases: how their names begin, what the key says, colour.
const KINDS: [(&str, &str, RGBColor); 5] = [
    ("take-off", "take-off torque", SKY),
    ("continuous", "continuous torque", BLUE),
    ("propeller-control", "control malfunction", PURPLE),
    ("side", "side load", GREEN),
    ("gyroscopic", "gyroscopic", ORANGE),
];

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(
    area: &Area<DB>,
    limit: &LimitLoads,
    combined: &[CombinedLoad],
    program_version: &str,
) -> Result<(), PlotError> {
    let gyroscopic =
        if limit.pulsing { "gyroscopic moment pulses at 2P" } else { "gyroscopic moment steady" };
    let about = format!(
        "torque factor {}, {} cases, {gyroscopic}, ultimate {} x limit",
        limit.torque_factor,
        limit.cases.len(),
        limit.ultimate_factor
    );
    let inner = framed_as(area, "Limit loads on the isolators, resultants", &about, program_version)?;
    let (_, height) = inner.dim_in_pixel();
    let (top, bottom) = inner.split_vertically(height as i32 - px(96.0));
    let shown: Vec<&CombinedLoad> = combined.iter().take(MOST).collect();
    let kinds: Vec<_> = KINDS
        .into_iter()
        .filter(|(start, ..)| limit.cases.iter().any(|case| case.name.starts_with(start)))
        .collect();
    bars(&top, limit, &shown, &kinds)?;
    key(&bottom, &kinds)
}

/// Greatest resultant of a kind of cases on an isolator.
fn resultant(limit: &LimitLoads, start: &str, isolator: usize) -> f64 {
    let cases = limit.cases.iter().filter(|case| case.name.starts_with(start));
    cases.filter_map(|case| case.supports.get(isolator)).map(SupportForce::resultant_n).fold(0.0, f64::max)
}

fn bars<DB: DrawingBackend>(
    cell: &Area<DB>,
    limit: &LimitLoads,
    shown: &[&CombinedLoad],
    kinds: &[(&str, &str, RGBColor)],
) -> Result<(), PlotError> {
    let largest = shown.iter().map(|c| c.ultimate_n).filter(|u| u.is_finite()).fold(0.0, f64::max);
    let prefix = Prefix::of(largest);
    let count = shown.len().max(1) as f64;
    let x = Axis {
        low: 0.0,
        high: count,
        ticks: Vec::new(),
        label: String::new(),
        numbered: false,
        gridded: false,
    };
    let high = if largest > 0.0 { 1.12 * prefix.factor * largest } else { 1.0 };
    let y = Axis::round(0.0, high, 6, &format!("force on the isolator, {}", prefix.unit("N")));
    let mut chart = panel(cell, "", &x, &y, Room::default())?;
    let width = 0.84 / (kinds.len() + 2) as f64;
    for (isolator, load) in shown.iter().enumerate() {
        let left = isolator as f64 + 0.08;
        let values = kinds.iter().map(|(start, _, colour)| (resultant(limit, start, isolator), *colour));
        let more = [(load.limit_with_vibration_n, VERMILION), (load.ultimate_n, NO_DATA)];
        for (column, (value, colour)) in values.chain(more).enumerate() {
            let from = left + width * column as f64;
            let corners = [(from, 0.0), (from + 0.92 * width, prefix.factor * value)];
            chart.draw_series([
                Rectangle::new(corners, colour.filled()),
                Rectangle::new(corners, line(if colour == NO_DATA { FAINT_INK } else { colour }, 1.0)),
            ])?;
        }
        let top = left + width * (kinds.len() as f64 + 1.46);
        let (at_x, at_y) = place(cell, &chart, (top, prefix.factor * load.ultimate_n));
        let style = anchored(text(SMALL, INK), HPos::Center, VPos::Bottom);
        write(cell, &short(prefix.factor * load.ultimate_n), (at_x, at_y - px(4.0)), style)?;
        let (at_x, at_y) = place(cell, &chart, (isolator as f64 + 0.5, 0.0));
        let style = anchored(text(BODY, INK), HPos::Center, VPos::Top);
        let letters = (96 / shown.len().max(1)).min(30);
        write(cell, &cut(&load.name.replace('_', " "), letters), (at_x, at_y + px(8.0)), style)?;
    }
    Ok(())
}

fn key<DB: DrawingBackend>(area: &Area<DB>, kinds: &[(&str, &str, RGBColor)]) -> Result<(), PlotError> {
    let more = [("", "limit with vibration", VERMILION), ("", "ultimate", NO_DATA)];
    for (index, (_, words, colour)) in kinds.iter().copied().chain(more).enumerate() {
        let (column, row) = (index % 4, index / 4);
        let (x, y) = (px(20.0 + 280.0 * column as f64), px(26.0 + 32.0 * row as f64));
        let swatch = [(x, y - px(9.0)), (x + px(26.0), y + px(9.0))];
        area.draw(&Rectangle::new(swatch, colour.filled()))?;
        area.draw(&Rectangle::new(swatch, line(if colour == NO_DATA { FAINT_INK } else { colour }, 1.0)))?;
        write(area, words, (x + px(36.0), y), text(BODY, INK))?;
    }
    Ok(())
}
