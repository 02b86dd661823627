//! Frequencies against shaft speed, the lines of the orders that reach the mount, their crossings, and the speeds to avoid.

use plotters::element::{Circle, Rectangle};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, WHITE};

use super::super::canvas::{Area, px};
use super::super::colour::{BLUE, FAINT_INK, GREEN, INK, ORANGE, VERMILION, YELLOW};
use super::super::panel::{Axis, Room, curve, panel, place};
use super::super::style::{BODY, anchored, line, text, write};
use super::{Source, framed, largest, legend};
use crate::PlotError;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, source: Source<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Frequencies of the mount against shaft speed", source)?;
    let (_, height) = inner.dim_in_pixel();
    let (words, plot) = inner.split_vertically(px(36.0).min(height as i32));
    let record = source.record;
    let rpm = record.numbers("mount/speed/shaft_speed_rpm");
    let frequency = record.numbers("mount/speed/frequency_hz");
    let modes = record.numbers("mount/speed/mode").len();
    let (Some(first), Some(last)) = (rpm.first(), rpm.last()) else { return Ok(()) };
    let top = 1.12 * largest(frequency.iter().copied());
    let x = Axis::round(*first, *last, 8, "shaft speed, rpm");
    let y = Axis::round(0.0, top, 6, "frequency, Hz");
    let mut chart = panel(&plot, "", &x, &y, Room { above: 0.0, right: 64.0 })?;
    let (from, to) = (record.numbers("mount/bands/from_rpm"), record.numbers("mount/bands/to_rpm"));
    let measures = record.texts("mount/bands/measure");
    for ((from, to), measure) in from.iter().zip(to).zip(measures) {
        let colour = if measure.starts_with("growth") { ORANGE.mix(0.55) } else { YELLOW.mix(0.38) };
        chart.draw_series([Rectangle::new([(*from, 0.0), (*to, top)], colour.filled())])?;
    }
    let blades = source.point.propeller.blade_count.max(1);
    for order in [1, blades, 2 * blades, 3 * blades] {
        let at = |rpm: f64| order as f64 * rpm / 60.0;
        let end = last.min(60.0 * top / order as f64);
        if at(*first) < top {
            curve(&mut chart, &[(*first, at(*first)), (end, at(end))], line(FAINT_INK, 1.4))?;
        }
    }
    for mode in 0..modes {
        let points: Vec<_> = rpm
            .iter()
            .enumerate()
            .filter_map(|(i, x)| frequency.get(i * modes + mode).map(|f| (*x, *f)))
            .collect();
        curve(&mut chart, &points, line(BLUE, 2.2))?;
    }
    let blade_speed = record.numbers("mount/blade/shaft_speed_rad_s");
    let blade_hz = record.numbers("mount/blade/frequency_against_speed_hz");
    let blade_modes = record.numbers("mount/blade/mode").len();
    for mode in 0..blade_modes {
        let points: Vec<_> = blade_speed
            .iter()
            .enumerate()
            .filter_map(|(i, w)| {
                blade_hz.get(i * blade_modes + mode).map(|f| (w * 60.0 / std::f64::consts::TAU, *f))
            })
            .filter(|(rpm, f)| rpm >= first && *f <= top)
            .collect();
        curve(&mut chart, &points, line(GREEN, 2.2))?;
    }
    let (speeds, hz) =
        (record.numbers("mount/crossings/shaft_speed_rpm"), record.numbers("mount/crossings/frequency_hz"));
    chart.draw_series(speeds.iter().zip(hz).map(|(x, y)| Circle::new((*x, *y), px(5.0), WHITE.filled())))?;
    chart.draw_series(
        speeds.iter().zip(hz).map(|(x, y)| Circle::new((*x, *y), px(5.0), line(VERMILION, 2.0))),
    )?;
    let mut told: Vec<(i32, i32)> = Vec::new();
    for order in [1, blades, 2 * blades, 3 * blades] {
        let end = last.min(60.0 * top / order as f64);
        let at = place(&plot, &chart, (end, order as f64 * end / 60.0));
        let words = format!("{order}P");
        let clear =
            told.iter().all(|other| (other.0 - at.0).abs() > px(40.0) || (other.1 - at.1).abs() > px(20.0));
        if end > *first && clear {
            let below_top = end < *last;
            let (dx, dy) = if below_top { (0, -px(11.0)) } else { (px(8.0), 0) };
            let anchor = if below_top { HPos::Center } else { HPos::Left };
            write(&plot, &words, (at.0 + dx, at.1 + dy), anchored(text(BODY, INK), anchor, VPos::Center))?;
            told.push(at);
        }
    }
    let mut entries = vec![
        (BLUE, "modes, with air".to_owned()),
        (GREEN, "blade flap".to_owned()),
        (FAINT_INK, "nP lines".to_owned()),
    ];
    entries.push((VERMILION, "crossings".to_owned()));
    if !from.is_empty() {
        entries.push((YELLOW, "speeds to avoid".to_owned()));
    }
    if measures.iter().any(|m| m.starts_with("growth")) {
        entries.push((ORANGE, "unstable: turning inertia".to_owned()));
    }
    legend(&words, &entries, px(14.0))
}
