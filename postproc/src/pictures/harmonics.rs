//! Amplitude of each order of each hub load.
//!
//! Like blades, evenly spaced, pass only multiples of the blade count to the hub; bars at other orders show what
//! unequal blades add. Forces share one scale and moments another; the figures stand on the bars at NP, 2NP, …, as far as
//! they were computed. Round-off is drawn as none.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::point::result::HubLoad;

use super::Run;
use super::canvas::{Area, px};
use super::colour::{BLUE, INK, VERMILION};
use super::frame::framed;
use super::loads::{FORCES, MOMENTS, amplitude, title};
use super::number::{Prefix, beside};
use super::panel::{Axis, Room, Y_NUMBERS, cells, panel, place};
use super::style::{BODY, SMALL, anchored, text, write, write_above};
use crate::PlotError;

/// Multiples of the blade count that are shown and carry figures.
const MULTIPLES: usize = 4;
/// Orders shown at least: six multiples of the blade count, as long as figures on all of them find room.
const LEAST_ORDERS: usize = 12;
const ORDER: &str = "order n, cycles per shaft revolution";

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Harmonics of the hub loads, amplitude of each order", run)?;
    let cells = cells(&inner);
    column(&cells, 0, &FORCES, run)?;
    column(&cells, 1, &MOMENTS, run)?;
    legend(&cells[6], run)
}

fn column<DB: DrawingBackend>(
    cells: &[Area<DB>],
    side: usize,
    loads: &[HubLoad],
    run: Run<'_>,
) -> Result<(), PlotError> {
    let largest = loads.iter().flat_map(|load| shown(run, *load)).map(|(_, a)| a).fold(0.0, f64::max);
    for (row, load) in loads.iter().enumerate() {
        // Below the forces the legend's cell carries the words of the axis.
        let bottom = side == 1 && row + 1 == loads.len();
        bars(&cells[2 * row + side], run, *load, largest, bottom)?;
    }
    Ok(())
}

/// Orders from 1 and their amplitudes, as far as they are shown.
fn shown(run: Run<'_>, load: HubLoad) -> Vec<(usize, f64)> {
    let result = &run.record.result;
    let blades = result.blade_count.max(1);
    let last = (MULTIPLES * blades).max(LEAST_ORDERS.min(6 * blades));
    (1..=last).map(|order| (order, amplitude(result, load, order))).filter(|(_, a)| a.is_finite()).collect()
}

fn bars<DB: DrawingBackend>(
    cell: &Area<DB>,
    run: Run<'_>,
    load: HubLoad,
    largest: f64,
    last: bool,
) -> Result<(), PlotError> {
    let blades = run.record.result.blade_count.max(1);
    let prefix = Prefix::of(largest);
    let largest = prefix.factor * largest;
    let amplitudes: Vec<_> =
        shown(run, load).into_iter().map(|(order, value)| (order, prefix.factor * value)).collect();
    let orders = amplitudes.last().map_or(1, |(order, _)| *order);
    // Room above the tallest bar for its figure.
    let reach = 1.35 * if largest > 0.0 { largest } else { 1.0 };
    let x = order_axis(orders, blades, last);
    let y = Axis::round(0.0, reach, 3, &prefix.unit(load.unit()));
    let mut chart = panel(cell, &title(load), &x, &y, Room::default())?;
    let colour = |order: usize| if order.is_multiple_of(blades) { BLUE } else { VERMILION };
    chart.draw_series(amplitudes.iter().filter(|(_, value)| *value > 0.0).map(|(order, value)| {
        let centre = *order as f64;
        Rectangle::new([(centre - 0.32, 0.0), (centre + 0.32, *value)], colour(*order).filled())
    }))?;
    for (order, value) in amplitudes.iter().filter(|(order, _)| order.is_multiple_of(blades)).take(MULTIPLES)
    {
        let (x, y) = place(cell, &chart, (*order as f64, *value));
        write_above(cell, &beside(*value, largest), (x, y - px(3.0)), text(SMALL, INK))?;
    }
    Ok(())
}

/// Orders; numbers at all of them while they fit, else at the multiples of the blade count.
fn order_axis(orders: usize, blades: usize, last: bool) -> Axis {
    let step = if orders <= 16 { 1 } else { blades };
    Axis {
        low: 0.4,
        high: orders as f64 + 0.6,
        ticks: (1..=orders / step).map(|k| (k * step) as f64).collect(),
        label: if last { ORDER.to_owned() } else { String::new() },
        numbered: true,
        gridded: false,
    }
}

/// The multiples of the blade count in words, as far as they were computed, and whether that is all of them.
fn multiples(run: Run<'_>) -> (String, bool) {
    let result = &run.record.result;
    let blades = result.blade_count.max(1);
    let highest = result.hub(HubLoad::Thrust).harmonics.amplitude.len().saturating_sub(1);
    let shown: Vec<_> =
        (1..=MULTIPLES).map(|k| k * blades).take_while(|n| *n <= highest).map(|n| format!("{n}P")).collect();
    (format!("multiples of the blade count: {}", shown.join(", ")), shown.len() == MULTIPLES)
}

fn legend<DB: DrawingBackend>(cell: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let (width, _) = cell.dim_in_pixel();
    let middle = (px(Y_NUMBERS) + width as i32 - px(Room::default().right)) / 2;
    write(cell, ORDER, (middle, px(14.0)), anchored(text(BODY, INK), HPos::Center, VPos::Center))?;
    let (multiples, whole) = multiples(run);
    let rows = [(BLUE, multiples), (VERMILION, "other orders: from unequal blades only".to_owned())];
    for (row, (colour, words)) in rows.iter().enumerate() {
        let y = px(76.0 + 34.0 * row as f64);
        let swatch = [(px(92.0), y - px(8.0)), (px(112.0), y + px(8.0))];
        cell.draw(&Rectangle::new(swatch, colour.filled()))?;
        write(cell, words, (px(122.0), y), text(BODY, INK))?;
    }
    if !whole {
        let below = px(76.0 + 34.0 * rows.len() as f64);
        write(cell, "higher orders were not computed", (px(122.0), below), text(BODY, INK))?;
    }
    Ok(())
}
