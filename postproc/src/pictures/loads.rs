//! Hub loads over one revolution.
//!
//! A mount carries the mean once and the rest many times a second, so each panel shows the load about its mean
//! and states mean and peak to peak in words. All forces share one scale, and all moments another: what looks
//! small beside its neighbours is small. The eighth panel shows the thrust of one blade, in which the wake
//! passages can be seen where they happen.

use plotters::prelude::DrawingBackend;
use wakebeat_engine::point::result::{BladeLoad, HubLoad};

use super::Run;
use super::canvas::Area;
use super::colour::{BLUE, FAINT_INK, VERMILION};
use super::frame::framed;
use super::number::short;
use super::panel::{Axis, Room, curve, panel};
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
    heading: String,
    unit: &'static str,
    /// Azimuth in degrees and load minus mean, closed at 360.
    points: Vec<(f64, f64)>,
}

impl Trace {
    fn new(name: &str, unit: &'static str, azimuth_rad: &[f64], history: &[f64]) -> Self {
        let mean = history.iter().sum::<f64>() / history.len().max(1) as f64;
        let (low, high) = extremes(history.iter().copied());
        let mut points: Vec<_> =
            azimuth_rad.iter().map(|psi| psi.to_degrees()).zip(history.iter().map(|v| v - mean)).collect();
        if let Some((_, first)) = points.first().copied() {
            points.push((360.0, first));
        }
        let heading = format!("{name}: mean {} {unit}, peak to peak {}", short(mean), short(high - low));
        Self { heading, unit, points }
    }

    fn largest(&self) -> f64 {
        self.points.iter().map(|(_, value)| value.abs()).filter(|v| v.is_finite()).fold(0.0, f64::max)
    }
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Hub loads over one revolution, about their means", run)?;
    let cells = inner.split_evenly((4, 2));
    let forces = FORCES.map(|load| hub_trace(run, load));
    let moments = MOMENTS.map(|load| hub_trace(run, load));
    column(&cells, 0, &forces, false)?;
    column(&cells, 1, &moments, true)?;
    blade_panel(&cells[6], run)
}

fn hub_trace(run: Run<'_>, load: HubLoad) -> Trace {
    let result = &run.record.result;
    Trace::new(&title(load), load.unit(), &result.azimuth_rad, &result.hub(load).history)
}

fn column<DB: DrawingBackend>(
    cells: &[Area<DB>],
    side: usize,
    traces: &[Trace],
    to_the_bottom: bool,
) -> Result<(), PlotError> {
    let largest = traces.iter().map(Trace::largest).fold(0.0, f64::max);
    for (row, trace) in traces.iter().enumerate() {
        let last = to_the_bottom && row + 1 == traces.len();
        draw_trace(&cells[2 * row + side], trace, largest, last, BLUE)?;
    }
    Ok(())
}

/// Blade 1, on its own scale.
fn blade_panel<DB: DrawingBackend>(cell: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let result = &run.record.result;
    let Some(blade) = result.blades.first() else { return Ok(()) };
    let history = &blade[BladeLoad::Thrust as usize].history;
    let trace = Trace::new("Blade 1 thrust", "N", &result.azimuth_rad, history);
    draw_trace(cell, &trace, trace.largest(), true, VERMILION)
}

fn draw_trace<DB: DrawingBackend>(
    cell: &Area<DB>,
    trace: &Trace,
    largest: f64,
    last: bool,
    colour: plotters::style::RGBColor,
) -> Result<(), PlotError> {
    // A steady load is a line at zero on a scale of one.
    let reach = if largest > 0.0 { 1.1 * largest } else { 1.0 };
    let x = Axis::revolution(AZIMUTH);
    let x = if last { x } else { x.bare() };
    let y = Axis::round(-reach, reach, 4, &format!("change, {}", trace.unit));
    let mut chart = panel(cell, &trace.heading, &x, &y, Room::default())?;
    curve(&mut chart, &[(0.0, 0.0), (360.0, 0.0)], line(FAINT_INK, 1.0))?;
    curve(&mut chart, &trace.points, line(colour, 2.2))
}

/// Name of a load with a capital, for headings.
pub(super) fn title(load: HubLoad) -> String {
    let words = load.name().replace('_', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Least and greatest finite value; an empty set gives 0 and 0.
pub(super) fn extremes(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let finite = values.filter(|value| value.is_finite());
    let (low, high) =
        finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low <= high { (low, high) } else { (0.0, 0.0) }
}
