//! What reaches the airframe and the sensors against shaft speed.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;

use super::super::canvas::{Area, px};
use super::super::colour::{BLUE, FAINT_INK, YELLOW};
use super::super::panel::{Axis, Room, curve, panel};
use super::super::style::line;
use super::{COLOURS, Source, framed, largest, legend};
use crate::PlotError;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, source: Source<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Vibration against shaft speed, root mean square", source)?;
    let record = source.record;
    let rpm = record.numbers("mount/speed/shaft_speed_rpm");
    let names = record.texts("mount/response/sensor_name");
    let height = inner.dim_in_pixel().1 as i32;
    let half = if names.is_empty() { height } else { height / 2 };
    let (upper, lower) = inner.split_vertically(half);
    let force = record.numbers("mount/speed/transmitted_rms_n");
    let curves = [(BLUE, rpm.iter().copied().zip(force.iter().copied()).collect::<Vec<_>>())];
    draw_panel(&upper, source, "Force on the airframe", "N", &curves, &[])?;
    if names.is_empty() {
        return Ok(());
    }
    let felt = record.numbers("mount/speed/sensor_rms_m_s2");
    let limits = record.numbers("mount/response/sensor_limit_rms_m_s2");
    let curves: Vec<_> = (0..names.len())
        .map(|i| {
            let points =
                rpm.iter().enumerate().filter_map(|(k, x)| felt.get(k * names.len() + i).map(|y| (*x, *y)));
            (COLOURS[i % COLOURS.len()], points.collect::<Vec<_>>())
        })
        .collect();
    let (words, plot) = lower.split_vertically(px(30.0));
    let entries: Vec<_> = names
        .iter()
        .enumerate()
        .map(|(i, name)| (COLOURS[i % COLOURS.len()], format!("{name}, limit dashed")))
        .collect();
    legend(&words, &entries, px(16.0))?;
    draw_panel(&plot, source, "Acceleration of the sensors, all axes", "m/s2", &curves, limits)
}

fn draw_panel<DB: DrawingBackend>(
    area: &Area<DB>,
    source: Source<'_>,
    heading: &str,
    unit: &str,
    curves: &[(plotters::style::RGBColor, Vec<(f64, f64)>)],
    limits: &[f64],
) -> Result<(), PlotError> {
    let rpm = source.record.numbers("mount/speed/shaft_speed_rpm");
    let (Some(first), Some(last)) = (rpm.first(), rpm.last()) else { return Ok(()) };
    let high = largest(curves.iter().flat_map(|(_, points)| points.iter().map(|p| p.1)));
    // A limit far above the curves would flatten them.
    let shown: Vec<f64> = limits.iter().copied().map(|l| if l < 4.0 * high { l } else { f64::NAN }).collect();
    let top = 1.1 * largest(shown.iter().copied()).max(high);
    let x = Axis::round(*first, *last, 8, "shaft speed, rpm");
    let y = Axis::round(0.0, top, 4, unit);
    let mut chart = panel(area, heading, &x, &y, Room::default())?;
    let (from, to) =
        (source.record.numbers("mount/bands/from_rpm"), source.record.numbers("mount/bands/to_rpm"));
    for (from, to) in from.iter().zip(to) {
        chart.draw_series([Rectangle::new([(*from, 0.0), (*to, top)], YELLOW.mix(0.3).filled())])?;
    }
    let case = source.point.propeller.speed_rad_s * 60.0 / std::f64::consts::TAU;
    curve(&mut chart, &[(case, 0.0), (case, top)], line(FAINT_INK, 1.4))?;
    for (colour, points) in curves {
        curve(&mut chart, points, line(*colour, 2.2))?;
    }
    for (limit, (colour, _)) in shown.iter().zip(curves) {
        if limit.is_finite() {
            let step = (last - first) / 60.0;
            for k in 0..30 {
                let from = first + 2.0 * f64::from(k) * step;
                curve(&mut chart, &[(from, *limit), (from + step, *limit)], line(*colour, 2.0))?;
            }
        }
    }
    Ok(())
}
