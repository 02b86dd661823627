//! Cycles of a range or a larger one, over the life.

use plotters::prelude::{DrawingBackend, LineSeries};
use wakebeat_engine::duty::result::LoadSpectrum;

use super::{Duty, title};
use crate::PlotError;
use crate::pictures::canvas::Area;
use crate::pictures::colour::BLUE;
use crate::pictures::frame::framed_as;
use crate::pictures::number::Prefix;
use crate::pictures::panel::{Axis, Room, panel};
use crate::pictures::style::line;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, duty: Duty<'_>) -> Result<(), PlotError> {
    let title = "Exceedance: cycles of a range or a larger one";
    let inner = framed_as(area, title, &duty.about(), duty.program_version)?;
    let loads = duty.leading();
    for (cell, load) in inner.split_evenly((2, 2)).iter().zip(&loads) {
        steps(cell, load)?;
    }
    Ok(())
}

fn steps<DB: DrawingBackend>(cell: &Area<DB>, load: &LoadSpectrum) -> Result<(), PlotError> {
    let pairs =
        || load.exceedance_range.iter().zip(&load.exceedance_cycles).filter(|(_, cycles)| **cycles > 0.0);
    let largest = pairs().map(|(range, _)| *range).fold(0.0, f64::max);
    let first = pairs().map(|(_, cycles)| cycles.log10()).fold(f64::INFINITY, f64::min);
    let last = pairs().map(|(_, cycles)| cycles.log10()).fold(f64::NEG_INFINITY, f64::max);
    let (low, high) =
        if first.is_finite() { (first.floor(), last.ceil().max(first.floor() + 1.0)) } else { (0.0, 1.0) };
    // A steep step at the left edge would hide behind the axis.
    let low = if first - low < 0.05 { low - 1.0 } else { low };
    let prefix = Prefix::of(largest);
    let step = (((high - low) / 8.0).ceil()).max(1.0);
    let x = Axis {
        low,
        high,
        ticks: (0..=((high - low) / step) as i32).map(|k| low + step * f64::from(k)).collect(),
        label: "cycles in the life, power of ten".to_owned(),
        numbered: true,
        gridded: true,
    };
    let high_y = if largest > 0.0 { 1.06 * prefix.factor * largest } else { 1.0 };
    let y = Axis::round(0.0, high_y, 4, &format!("range, {}", prefix.unit(load.unit)));
    let mut chart = panel(cell, &title(load), &x, &y, Room::default())?;
    let mut points = Vec::new();
    let mut reached = low;
    for (range, cycles) in pairs() {
        let level = prefix.factor * range;
        points.extend([(reached, level), (cycles.log10(), level)]);
        reached = cycles.log10();
    }
    points.push((reached, 0.0));
    chart.draw_series(LineSeries::new(points, line(BLUE, 3.0)))?;
    Ok(())
}
