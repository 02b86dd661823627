//! A panel: a heading, two axes with round ticks, and what is drawn between them.

use plotters::chart::{ChartBuilder, ChartContext, LabelAreaPosition};
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::{Cartesian2d, DrawingBackend, LineSeries, PathElement};
use plotters::style::ShapeStyle;
use plotters::style::text_anchor::{HPos, VPos};

use super::canvas::{Area, FINE, px};
use super::colour::{FAINT_INK, GRID, INK};
use super::number::{tick_label, ticks};
use super::style::{BODY, SMALL, anchored, bold, fitted, line, text, upwards, width, write};
use crate::PlotError;

/// The coordinates of a panel.
type Coordinates = Cartesian2d<RangedCoordf64, RangedCoordf64>;

/// A panel being drawn.
pub(super) type Chart<'a, DB> = ChartContext<'a, DB, Coordinates>;

/// One axis.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    pub low: f64,
    pub high: f64,
    pub ticks: Vec<f64>,
    /// Words and unit; empty where a neighbour carries them.
    pub label: String,
    /// Whether numbers stand at the ticks.
    pub numbered: bool,
    /// Whether grid lines stand at the ticks.
    pub gridded: bool,
}

impl Axis {
    /// An axis with about `count` steps at round values.
    pub fn round(low: f64, high: f64, count: usize, label: &str) -> Self {
        Self {
            low,
            high,
            ticks: ticks(low, high, count),
            label: label.to_owned(),
            numbered: true,
            gridded: true,
        }
    }

    /// One revolution in quarters, degrees.
    pub fn revolution(label: &str) -> Self {
        let ticks = (0..=8).map(|k| 45.0 * f64::from(k)).collect();
        Self { low: 0.0, high: 360.0, ticks, label: label.to_owned(), numbered: true, gridded: true }
    }

    /// The same axis without words and numbers.
    pub fn bare(mut self) -> Self {
        self.label.clear();
        self.numbered = false;
        self
    }

    fn step(&self) -> f64 {
        match self.ticks.as_slice() {
            [first, second, ..] => second - first,
            _ => 1.0,
        }
    }

    fn tick_label(&self, value: f64) -> String {
        if self.numbered { tick_label(value, self.step()) } else { String::new() }
    }
}

// Sizes around the plot, pixels.
/// Above the plot.
const HEADING: f64 = 30.0;
/// Left of the plot.
pub(super) const Y_NUMBERS: f64 = 92.0;
/// Below the plot.
const X_NUMBERS: f64 = 26.0;
/// Below the numbers.
const X_LABEL: f64 = 30.0;

/// Room for what a picture adds around the plot, pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    /// Between heading and plot.
    pub above: f64,
    /// Right of the plot.
    pub right: f64,
}

impl Default for Room {
    /// Half a tick number on the right.
    fn default() -> Self {
        Self { above: 0.0, right: 22.0 }
    }
}

/// Width and height of the plot of a panel whose axes both have words, pixels.
pub(super) fn plot_size<DB: DrawingBackend>(area: &Area<DB>, room: Room) -> (f64, f64) {
    let (width, height) = area.dim_in_pixel();
    let fine = f64::from(FINE);
    let (width, height) = (f64::from(width) / fine, f64::from(height) / fine);
    (width - Y_NUMBERS - room.right, height - HEADING - room.above - X_NUMBERS - X_LABEL)
}

/// Draws heading, grid and axes and returns the chart to draw in.
pub(super) fn panel<'a, DB: DrawingBackend>(
    area: &'a Area<DB>,
    heading: &str,
    x: &Axis,
    y: &Axis,
    room: Room,
) -> Result<Chart<'a, DB>, PlotError> {
    write_heading(area, heading)?;
    let below = if x.label.is_empty() { X_NUMBERS } else { X_NUMBERS + X_LABEL };
    let mut chart = ChartBuilder::on(area)
        .margin_top(px(HEADING + room.above))
        .margin_right(px(room.right))
        .set_label_area_size(LabelAreaPosition::Left, px(Y_NUMBERS))
        .set_label_area_size(LabelAreaPosition::Bottom, px(below))
        .build_cartesian_2d(x.low..x.high, y.low..y.high)?;
    grid(&mut chart, x, y)?;
    numbers(area, &chart, x, y)?;
    labels(area, &chart, x, y)?;
    Ok(chart)
}

/// The name in bold, what follows a colon in plain.
fn write_heading<DB: DrawingBackend>(area: &Area<DB>, heading: &str) -> Result<(), PlotError> {
    let y = px(0.5 * HEADING);
    let (name, figures) = heading.split_once(": ").unwrap_or((heading, ""));
    let room = area.dim_in_pixel().0 as i32;
    let figures_wide = if figures.is_empty() { 0 } else { width(figures, &text(SMALL, INK))? + px(14.0) };
    let mut style = bold(BODY, INK);
    if width(name, &style)? + figures_wide > room {
        style = bold(SMALL, INK);
    }
    let name = fitted(name, &style, (room - figures_wide).max(room / 2))?;
    let at = width(&name, &style)? + px(14.0);
    write(area, &name, (0, y), style)?;
    write(area, figures, (at, y), text(SMALL, INK))
}

/// Lines at the ticks.
fn grid<DB: DrawingBackend>(chart: &mut Chart<'_, DB>, x: &Axis, y: &Axis) -> Result<(), PlotError> {
    let ticks = |axis: &Axis| if axis.gridded { axis.ticks.clone() } else { Vec::new() };
    let upright = ticks(x).into_iter().map(|at| vec![(at, y.low), (at, y.high)]);
    let level = ticks(y).into_iter().map(|at| vec![(x.low, at), (x.high, at)]);
    let lines = upright.chain(level).map(|ends| PathElement::new(ends, line(GRID, 1.0)));
    chart.draw_series(lines)?;
    Ok(())
}

/// Words of the axes.
fn labels<DB: DrawingBackend>(
    area: &Area<DB>,
    chart: &Chart<'_, DB>,
    x: &Axis,
    y: &Axis,
) -> Result<(), PlotError> {
    let (across, down) = chart.plotting_area().get_pixel_range();
    let (origin_x, origin_y) = area.get_base_pixel();
    let (_, height) = area.dim_in_pixel();
    if !x.label.is_empty() {
        let at = ((across.start + across.end) / 2 - origin_x, height as i32 - px(0.5 * X_LABEL));
        write(area, &x.label, at, anchored(text(BODY, INK), HPos::Center, VPos::Center))?;
    }
    if !y.label.is_empty() {
        let at = (px(0.5 * BODY), (down.start + down.end) / 2 - origin_y);
        write(area, &y.label, at, upwards(BODY))?;
    }
    Ok(())
}

/// Tick numbers, and the frame lines they stand on.
fn numbers<DB: DrawingBackend>(
    area: &Area<DB>,
    chart: &Chart<'_, DB>,
    x: &Axis,
    y: &Axis,
) -> Result<(), PlotError> {
    let place = |at: (f64, f64)| place(area, chart, at);
    let below = anchored(text(SMALL, FAINT_INK), HPos::Center, VPos::Top);
    for value in &x.ticks {
        let (at_x, at_y) = place((*value, y.low));
        write(area, &x.tick_label(*value), (at_x, at_y + px(7.0)), below.clone())?;
    }
    let beside = anchored(text(SMALL, FAINT_INK), HPos::Right, VPos::Center);
    for value in &y.ticks {
        let (at_x, at_y) = place((x.low, *value));
        write(area, &y.tick_label(*value), (at_x - px(8.0), at_y), beside.clone())?;
    }
    let corners = [(x.low, y.high), (x.low, y.low), (x.high, y.low)];
    area.draw(&PathElement::new(corners.map(place).to_vec(), line(FAINT_INK, 1.0)))?;
    Ok(())
}

/// Where a value of the chart stands on the area that holds it.
pub(super) fn place<DB: DrawingBackend>(
    area: &Area<DB>,
    chart: &Chart<'_, DB>,
    at: (f64, f64),
) -> (i32, i32) {
    let (origin_x, origin_y) = area.get_base_pixel();
    let (x, y) = chart.backend_coord(&at);
    (x - origin_x, y - origin_y)
}

/// A curve through points; gaps where a value is not finite.
pub(super) fn curve<DB: DrawingBackend>(
    chart: &mut Chart<'_, DB>,
    points: &[(f64, f64)],
    style: ShapeStyle,
) -> Result<(), PlotError> {
    for piece in points.split(|(x, y)| !(x.is_finite() && y.is_finite())) {
        if piece.len() > 1 {
            chart.draw_series(LineSeries::new(piece.iter().copied(), style))?;
        }
    }
    Ok(())
}

/// Four rows of two cells, in reading order; the last row is taller by the words below its axes.
pub(super) fn cells<DB: DrawingBackend>(area: &Area<DB>) -> Vec<Area<DB>> {
    let (width, height) = area.dim_in_pixel();
    let row = (height as i32 - px(X_LABEL)) / 4;
    area.split_by_breakpoints([width as i32 / 2], [row, 2 * row, 3 * row])
}
