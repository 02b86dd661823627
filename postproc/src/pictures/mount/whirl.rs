//! How soft the isolators may be: critical stiffness against airspeed.

use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;

use super::super::canvas::{Area, px};
use super::super::colour::{FAINT_INK, INK, VERMILION};
use super::super::panel::{Axis, Room, curve, panel};
use super::super::style::line;
use super::{COLOURS, Source, framed, largest, legend};
use crate::PlotError;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, source: Source<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Whirl boundary on an immovable base", source)?;
    let (words, plot) = inner.split_vertically(px(36.0));
    let record = source.record;
    let wind = record.numbers("mount/whirl/axial_wind_m_s");
    let speeds = record.numbers("mount/whirl/shaft_speed_rad_s");
    let map = record.numbers("mount/whirl/critical_stiffness_ratio");
    let loaded =
        record.numbers("mount/whirl/critical_stiffness_ratio_loaded").first().copied().unwrap_or(0.0);
    let Some(last) = wind.last() else { return Ok(()) };
    let top = 1.15 * largest(map.iter().copied().chain([loaded, 1.0]));
    let x = Axis::round(0.0, *last, 8, "axial wind, m/s");
    let y = Axis::round(0.0, top, 5, "stiffness over that of the case; unstable below a curve");
    let mut chart = panel(&plot, "", &x, &y, Room::default())?;
    curve(&mut chart, &[(0.0, 1.0), (*last, 1.0)], line(INK, 2.0))?;
    for (j, _) in speeds.iter().enumerate() {
        let mut points: Vec<(f64, f64)> = vec![(0.0, 0.0)];
        points.extend(
            wind.iter().enumerate().filter_map(|(i, v)| map.get(i * speeds.len() + j).map(|k| (*v, *k))),
        );
        curve(&mut chart, &points, line(COLOURS[j % COLOURS.len()], 2.2))?;
    }
    let at = source.point.flight.airspeed_m_s;
    chart.draw_series([Circle::new((at, loaded), px(6.0), VERMILION.filled())])?;
    let rpm = |w: f64| w * 60.0 / std::f64::consts::TAU;
    let mut entries: Vec<_> = speeds
        .iter()
        .enumerate()
        .map(|(j, w)| (COLOURS[j % COLOURS.len()], format!("{:.0} rpm", rpm(*w))))
        .collect();
    entries.push((INK, "this mount".to_owned()));
    entries.push((FAINT_INK, "dot: loaded propeller".to_owned()));
    legend(&words, &entries, px(14.0))
}
