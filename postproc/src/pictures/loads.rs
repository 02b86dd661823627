//! Hub loads over one revolution.
//!
//! A mount carries the mean once and the rest many times a second, so each panel shows the load about its mean
//! and states mean and peak to peak in words. All forces share one scale, and all moments another: what looks
//! small beside its neighbours is small. The eighth panel shows the thrust of one blade, in which the wake
//! passages can be seen where they happen.

use plotters::prelude::DrawingBackend;
use plotters::style::RGBColor;
use wakebeat_engine::point::result::{BladeLoad, HubLoad, PointResult};

use super::Run;
use super::canvas::Area;
use super::colour::{BLUE, FAINT_INK, VERMILION};
use super::frame::framed;
use super::number::{Prefix, short};
use super::panel::{Axis, Room, cells, curve, panel};
use super::style::line;
use crate::PlotError;

/// Forces, left column from the top.
pub(super) const FORCES: [HubLoad; 3] = [HubLoad::Thrust, HubLoad::VerticalForce, HubLoad::SideForce];
/// Moments, right column from the top.
pub(super) const MOMENTS: [HubLoad; 4] =
    [HubLoad::PitchingMoment, HubLoad::YawingMoment, HubLoad::RollingMoment, HubLoad::Torque];

pub(super) const AZIMUTH: &str = "azimuth of blade 1, deg (0: along z, up)";

/// A load ready to draw.
struct Trace {
    name: String,
    unit: &'static str,
    mean: f64,
    /// Added to the heading.
    note: &'static str,
    /// Azimuth in degrees and load minus mean, closed at 360.
    points: Vec<(f64, f64)>,
}

impl Trace {
    fn new(name: &str, unit: &'static str, azimuth_rad: &[f64], history: &[f64]) -> Self {
        let mean = history.iter().sum::<f64>() / history.len().max(1) as f64;
        let degrees = azimuth_rad.iter().map(|psi| psi.to_degrees());
        let mut points: Vec<_> = degrees.zip(history.iter().map(|value| value - mean)).collect();
        if let Some((_, first)) = points.first().copied() {
            points.push((360.0, first));
        }
        Self { name: name.to_owned(), unit, mean, note: "", points }
    }

    fn range(&self) -> (f64, f64) {
        extremes(self.points.iter().map(|(_, value)| *value))
    }

    fn heading(&self, scale: &Scale) -> String {
        let (low, high) = self.range();
        let figure = |value: f64| short(scale.prefix.factor * value);
        let unit = scale.prefix.unit(self.unit);
        format!(
            "{}: mean {}, peak to peak {} {unit}{}",
            self.name,
            figure(self.mean),
            figure(high - low),
            self.note
        )
    }
}

/// The scale a group of traces shares.
struct Scale {
    low: f64,
    high: f64,
    prefix: Prefix,
}

impl Scale {
    fn of(traces: &[Trace]) -> Self {
        let (low, high) = extremes(traces.iter().map(Trace::range).flat_map(|(low, high)| [low, high]));
        let mean = traces.iter().map(|trace| trace.mean.abs()).fold(0.0, f64::max);
        // The change decides on the prefix, unless the mean would need more than a digit more.
        // Steady loads are lines at zero on a scale that shows a hundredth of the mean.
        let room = if high - low > 1e-9 * mean { 0.08 * (high - low) } else { 0.01 * mean.max(1e-3) };
        Self { low: low - room, high: high + room, prefix: Prefix::of(high.max(-low).max(0.1 * mean)) }
    }
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Hub loads over one revolution, about their means", run)?;
    let cells = cells(&inner);
    let (left, right) = (cells.iter().step_by(2), cells.iter().skip(1).step_by(2));
    let forces = FORCES.map(|load| hub_trace(run, load));
    for (cell, trace) in left.zip(&forces) {
        draw_trace(cell, trace, &Scale::of(&forces), false, BLUE)?;
    }
    let moments = MOMENTS.map(|load| hub_trace(run, load));
    for ((row, cell), trace) in right.enumerate().zip(&moments) {
        draw_trace(cell, trace, &Scale::of(&moments), row + 1 == moments.len(), BLUE)?;
    }
    blade_panel(&cells[6], run)
}

fn hub_trace(run: Run<'_>, load: HubLoad) -> Trace {
    let result = &run.record.result;
    Trace::new(&title(load), load.unit(), &result.azimuth_rad, &result.hub(load).history)
}

/// Blade 1, on its own scale.
fn blade_panel<DB: DrawingBackend>(cell: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let result = &run.record.result;
    let Some(blade) = result.blades.first() else { return Ok(()) };
    let history = &blade[BladeLoad::Thrust as usize].history;
    let mut trace = Trace::new("Blade 1 thrust", "N", &result.azimuth_rad, history);
    trace.note = "; own scale";
    let trace = [trace];
    draw_trace(cell, &trace[0], &Scale::of(&trace), true, VERMILION)
}

fn draw_trace<DB: DrawingBackend>(
    cell: &Area<DB>,
    trace: &Trace,
    scale: &Scale,
    last: bool,
    colour: RGBColor,
) -> Result<(), PlotError> {
    let factor = scale.prefix.factor;
    let x = Axis::revolution(AZIMUTH);
    let x = if last { x } else { x.bare() };
    let label = format!("change, {}", scale.prefix.unit(trace.unit));
    let y = Axis::round(factor * scale.low, factor * scale.high, 4, &label);
    let mut chart = panel(cell, &trace.heading(scale), &x, &y, Room::default())?;
    curve(&mut chart, &[(0.0, 0.0), (360.0, 0.0)], line(FAINT_INK, 1.0))?;
    let points: Vec<_> = trace.points.iter().map(|(psi, value)| (*psi, factor * value)).collect();
    curve(&mut chart, &points, line(colour, 2.2))
}

/// Numbers this much below the largest force, or moment, are round-off.
const ROUND_OFF: f64 = 1e-9;

/// Largest number that is round-off: a part of the largest among the loads of one unit over a revolution.
pub(crate) fn round_off(result: &PointResult, load: HubLoad) -> f64 {
    let alike = HubLoad::ALL.into_iter().filter(|other| other.unit() == load.unit());
    let largest =
        alike.flat_map(|other| &result.hub(other).history).fold(0.0, |most, v| f64::max(most, v.abs()));
    ROUND_OFF * largest
}

/// Amplitude of an order of a load: 0 where it is round-off, no number where the order was not computed.
pub(crate) fn amplitude(result: &PointResult, load: HubLoad, order: usize) -> f64 {
    let value = result.hub(load).harmonics.amplitude.get(order).copied().unwrap_or(f64::NAN);
    if value.abs() <= round_off(result, load) { 0.0 } else { value }
}

/// Name of a load with a capital, for headings.
pub(crate) fn title(load: HubLoad) -> String {
    let words = load.name().replace('_', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Least and greatest finite value; an empty set gives 0 and 0.
pub(crate) fn extremes(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let finite = values.filter(|value| value.is_finite());
    let (low, high) =
        finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low <= high { (low, high) } else { (0.0, 0.0) }
}
