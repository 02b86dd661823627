//! Spectrum of each sensor: amplitude at each order, all axes together, with its limit.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;

use super::super::canvas::{Area, px};
use super::super::colour::{BLUE, ORANGE};
use super::super::number::short;
use super::super::panel::{Axis, Room, curve, panel};
use super::super::style::line;
use super::{Source, framed, largest, legend};
use crate::PlotError;

/// Panels that find room.
const MOST: usize = 3;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, source: Source<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Acceleration of the sensors by order, single-sided peaks", source)?;
    let names = source.record.texts("mount/response/sensor_name");
    let (words, rest) = inner.split_vertically(px(34.0));
    let entries = [(BLUE, "airloads".to_owned()), (ORANGE, "unbalance, worst direction, on top".to_owned())];
    legend(&words, &entries, px(14.0))?;
    let shown = names.len().clamp(1, MOST);
    let parts = rest.split_evenly((shown, 1));
    for (i, (name, part)) in names.iter().zip(&parts).enumerate() {
        spectrum(part, source, i, name)?;
    }
    Ok(())
}

fn spectrum<DB: DrawingBackend>(
    area: &Area<DB>,
    source: Source<'_>,
    sensor: usize,
    name: &str,
) -> Result<(), PlotError> {
    let record = source.record;
    let orders = record.numbers("order").len();
    let size = |path: &str, n: usize| {
        let values = record.numbers(path);
        let axis = |a: usize| values.get((3 * sensor + a) * orders + n).copied().unwrap_or(0.0);
        (0..3).map(|a| axis(a).powi(2)).sum::<f64>().sqrt()
    };
    let air: Vec<f64> = (0..orders).map(|n| size("mount/response/sensor_acceleration_m_s2", n)).collect();
    let unbalance: Vec<f64> =
        (0..orders).map(|n| size("mount/response/sensor_acceleration_unbalance_m_s2", n)).collect();
    let at = |path: &str| record.numbers(path).get(sensor).copied().unwrap_or(f64::NAN);
    let (rms, limit) = (at("mount/response/sensor_rms_m_s2"), at("mount/response/sensor_limit_rms_m_s2"));
    let told = if limit.is_finite() {
        format!(
            "{name}: {} m/s2 rms, limit {} m/s2 rms (line: a single tone at the limit)",
            short(rms),
            short(limit)
        )
    } else {
        format!("{name}: {} m/s2 rms, no limit given", short(rms))
    };
    let tone = limit * std::f64::consts::SQRT_2;
    let high = largest((1..orders).map(|n| air[n] + unbalance[n]));
    let top = if tone < 4.0 * high { 1.15 * high.max(tone) } else { 1.15 * high };
    let last = orders.saturating_sub(1).max(1) as f64;
    let step = if orders > 20 { source.point.propeller.blade_count.max(1) } else { 1 };
    let x = Axis {
        low: 0.4,
        high: last + 0.6,
        ticks: (1..orders).filter(|n| n % step == 0).map(|n| n as f64).collect(),
        label: "order, cycles per shaft revolution".to_owned(),
        numbered: true,
        gridded: false,
    };
    let y = Axis::round(0.0, top, 4, "m/s2");
    let mut chart = panel(area, &told, &x, &y, Room::default())?;
    chart.draw_series(
        (1..orders)
            .map(|n| Rectangle::new([(n as f64 - 0.32, 0.0), (n as f64 + 0.32, air[n])], BLUE.filled())),
    )?;
    chart.draw_series((1..orders).map(|n| {
        Rectangle::new([(n as f64 - 0.32, air[n]), (n as f64 + 0.32, air[n] + unbalance[n])], ORANGE.filled())
    }))?;
    if tone < top {
        curve(&mut chart, &[(0.4, tone), (last + 0.6, tone)], line(super::super::colour::VERMILION, 2.2))?;
    }
    Ok(())
}
