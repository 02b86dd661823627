//! Cycles of the life by range and mean.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::duty::result::LoadSpectrum;

use super::{Duty, title};
use crate::PlotError;
use crate::pictures::canvas::{Area, px};
use crate::pictures::colour::{FAINT_INK, INK, map};
use crate::pictures::frame::framed_as;
use crate::pictures::number::Prefix;
use crate::pictures::panel::{Axis, Room, panel};
use crate::pictures::style::{BODY, SMALL, anchored, bold, line, text, write};

/// Width of the key's column, pixels.
const KEY: f64 = 190.0;
/// Decades the colours cover, down from the largest count.
const DECADES: f64 = 8.0;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, duty: Duty<'_>) -> Result<(), PlotError> {
    let title = "Rainflow cycles by range and mean";
    let inner = framed_as(area, title, &duty.about(), duty.program_version)?;
    let (width, _) = inner.dim_in_pixel();
    let (left, right) = inner.split_horizontally(width as i32 - px(KEY));
    let loads = duty.leading();
    let counts = || loads.iter().flat_map(|load| load.matrix.iter().copied()).filter(|c| c.is_finite());
    let highest = counts().fold(1.0, f64::max).log10().ceil();
    let lowest = counts().filter(|c| *c > 0.0).fold(f64::INFINITY, f64::min).log10().floor();
    let lowest =
        if lowest.is_finite() { lowest.max(highest - DECADES).min(highest - 1.0) } else { highest - 1.0 };
    for (cell, load) in left.split_evenly((2, 2)).iter().zip(&loads) {
        cells(cell, load, (lowest, highest))?;
    }
    colour_bar(&right.margin(0, 0, px(18.0), 0), (lowest, highest))
}

fn cells<DB: DrawingBackend>(
    cell: &Area<DB>,
    load: &LoadSpectrum,
    (lowest, highest): (f64, f64),
) -> Result<(), PlotError> {
    let ends = |edges: &[f64]| (edges.first().copied().unwrap_or(0.0), edges.last().copied().unwrap_or(1.0));
    let ((mean_low, mean_high), (range_low, range_high)) = (ends(&load.mean_edges), ends(&load.range_edges));
    let prefix = Prefix::of(mean_low.abs().max(mean_high.abs()).max(range_high));
    let unit = prefix.unit(load.unit);
    let x = Axis::round(prefix.factor * mean_low, prefix.factor * mean_high, 4, &format!("mean, {unit}"));
    let y = Axis::round(prefix.factor * range_low, prefix.factor * range_high, 4, &format!("range, {unit}"));
    let mut chart = panel(cell, &title(load), &x, &y, Room::default())?;
    let columns = load.mean_edges.len().saturating_sub(1);
    for (row, ranges) in load.range_edges.windows(2).enumerate() {
        for (column, means) in load.mean_edges.windows(2).enumerate() {
            let count = load.matrix.get(row * columns + column).copied().unwrap_or_default();
            if count <= 0.0 || !count.is_finite() {
                continue;
            }
            // Many cycles are dark, so that a lone one on white still shows.
            let fraction = 1.0 - ((count.log10() - lowest) / (highest - lowest)).clamp(0.0, 1.0);
            let corners = [(means[0], ranges[0]), (means[1], ranges[1])]
                .map(|(mean, range)| (prefix.factor * mean, prefix.factor * range));
            chart.draw_series([Rectangle::new(corners, map(fraction).filled())])?;
        }
    }
    Ok(())
}

fn colour_bar<DB: DrawingBackend>(area: &Area<DB>, (lowest, highest): (f64, f64)) -> Result<(), PlotError> {
    write(area, "Cycles in the life", (0, px(15.0)), bold(BODY, INK))?;
    let (top, bottom, width) = (px(60.0), px(420.0), px(34.0));
    for y in top..=bottom {
        let fraction = f64::from(y - top) / f64::from(bottom - top);
        area.draw(&Rectangle::new([(0, y), (width, y + 1)], map(fraction).filled()))?;
    }
    area.draw(&Rectangle::new([(0, top), (width, bottom)], line(FAINT_INK, 1.0)))?;
    let decades = (highest - lowest).round() as i32;
    let step = (decades / 8).max(1) as usize;
    for decade in (0..=decades).step_by(step) {
        let share = f64::from(decade) / f64::from(decades.max(1));
        let y = bottom - (share * f64::from(bottom - top)).round() as i32;
        let words = format!("1e{}", lowest as i32 + decade);
        write(area, &words, (width + px(10.0), y), anchored(text(SMALL, INK), HPos::Left, VPos::Center))?;
    }
    for (row, words) in ["white: none", "range: maximum", "minus minimum"].iter().enumerate() {
        write(area, words, (0, bottom + px(40.0 + 26.0 * row as f64)), text(SMALL, FAINT_INK))?;
    }
    Ok(())
}
