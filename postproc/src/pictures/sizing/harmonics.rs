//! Harmonic spectrum: amplitude of the largest orders of the leading loads, one bar a segment.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::duty::result::LoadSpectrum;

use super::key::{WIDTH, colour, key};
use super::{Duty, title};
use crate::PlotError;
use crate::pictures::canvas::{Area, px};
use crate::pictures::colour::{FAINT_INK, INK};
use crate::pictures::frame::framed_as;
use crate::pictures::number::Prefix;
use crate::pictures::panel::{Axis, Room, panel, place};
use crate::pictures::style::{BODY, SMALL, anchored, text, write};

/// Orders shown at most.
const MOST: usize = 5;
/// Amplitude over the largest from which an order is shown.
const SHOWN: f64 = 0.01;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, duty: Duty<'_>) -> Result<(), PlotError> {
    let title = "Harmonics of the mount loads by segment";
    let inner = framed_as(area, title, &duty.about(), duty.program_version)?;
    let (width, _) = inner.dim_in_pixel();
    let (left, right) = inner.split_horizontally(width as i32 - px(WIDTH));
    for (cell, load) in left.split_evenly((2, 2)).iter().zip(duty.leading()) {
        bars(cell, load)?;
    }
    let right = right.margin(0, 0, px(18.0), 0);
    let names: Vec<String> = duty.result.segments.iter().map(|segment| segment.name.clone()).collect();
    let below = key(&right, "Segments", &names, names.len())?;
    for (row, words) in ["bars in this order,", "nP: n cycles per", "shaft revolution;", "single-sided peaks"]
        .iter()
        .enumerate()
    {
        write(&right, words, (0, below + px(24.0 + 26.0 * row as f64)), text(SMALL, FAINT_INK))?;
    }
    Ok(())
}

/// The largest orders of any segment, rising.
fn orders(load: &LoadSpectrum) -> Vec<usize> {
    let count = load.harmonics.iter().map(|h| h.amplitude.len()).max().unwrap_or(0);
    let amplitude = |order: usize| load.harmonics.iter().map(|h| h.phasor(order).norm()).fold(0.0, f64::max);
    let mut all: Vec<(usize, f64)> = (1..count).map(|order| (order, amplitude(order))).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let largest = all.first().map_or(0.0, |(_, amplitude)| *amplitude);
    let some = all.into_iter().take(MOST).filter(|(_, amplitude)| *amplitude > SHOWN * largest);
    let mut orders: Vec<usize> = some.map(|(order, _)| order).collect();
    orders.sort_unstable();
    orders
}

fn bars<DB: DrawingBackend>(cell: &Area<DB>, load: &LoadSpectrum) -> Result<(), PlotError> {
    let orders = orders(load);
    let amplitudes = || orders.iter().flat_map(|&n| load.harmonics.iter().map(move |h| h.phasor(n).norm()));
    let largest = amplitudes().filter(|a| a.is_finite()).fold(0.0, f64::max);
    let prefix = Prefix::of(largest);
    let x = Axis {
        low: 0.0,
        high: orders.len().max(1) as f64,
        ticks: Vec::new(),
        label: String::new(),
        numbered: false,
        gridded: false,
    };
    let high = if largest > 0.0 { 1.08 * prefix.factor * largest } else { 1.0 };
    let y = Axis::round(0.0, high, 4, &format!("amplitude, {}", prefix.unit(load.unit)));
    let mut chart = panel(cell, &title(load), &x, &y, Room::default())?;
    let segments = load.harmonics.len();
    let width = 0.84 / segments.max(1) as f64;
    for (column, &order) in orders.iter().enumerate() {
        for (segment, harmonics) in load.harmonics.iter().enumerate() {
            let from = column as f64 + 0.08 + width * segment as f64;
            let height = prefix.factor * harmonics.phasor(order).norm();
            let bar = Rectangle::new(
                [(from, 0.0), (from + 0.92 * width, height)],
                colour(segment, segments).filled(),
            );
            chart.draw_series([bar])?;
        }
        let (at_x, at_y) = place(cell, &chart, (column as f64 + 0.5, 0.0));
        let style = anchored(text(BODY, INK), HPos::Center, VPos::Top);
        write(cell, &format!("{order}P"), (at_x, at_y + px(6.0)), style)?;
    }
    if orders.is_empty() {
        let at = place(cell, &chart, (0.5, 0.5 * high));
        write(
            cell,
            "steady: no harmonics",
            at,
            anchored(text(SMALL, FAINT_INK), HPos::Center, VPos::Center),
        )?;
    }
    Ok(())
}
