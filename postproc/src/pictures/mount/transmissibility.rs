//! Transmitted over applied load against frequency, both in the logarithm.

use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};

use super::super::canvas::{Area, px};
use super::super::colour::FAINT_INK;
use super::super::number::short;
use super::super::panel::{Axis, Room, curve, panel, place};
use super::super::style::{SMALL, anchored, line, text, write};
use super::{COLOURS, Source, framed, largest, legend};
use crate::PlotError;

const NAMES: [&str; 6] = ["force x", "force y", "force z", "moment x", "moment y", "moment z"];

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, source: Source<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Transmissibility: load on the airframe over load at the hub", source)?;
    let (words, plot) = inner.split_vertically(px(36.0));
    let record = source.record;
    let (hz, ratio) = (
        record.numbers("mount/transmissibility/frequency_hz"),
        record.numbers("mount/transmissibility/ratio"),
    );
    let (Some(first), Some(last)) = (hz.first(), hz.last()) else { return Ok(()) };
    let high = largest(ratio.iter().copied()).log10().ceil().max(1.0);
    let x = decades(first.log10(), last.log10(), "frequency, Hz");
    let y = Axis { ticks: (-3..=high as i32).map(f64::from).collect(), ..decades(-3.0, high, "ratio") };
    let mut chart = panel(&plot, "", &x, &y, Room::default())?;
    for at in &x.ticks {
        let (left, top) = place(&plot, &chart, (*at, -3.0));
        let style = anchored(text(SMALL, FAINT_INK), HPos::Center, VPos::Top);
        write(&plot, &short(10.0_f64.powf(*at)), (left, top + px(7.0)), style)?;
    }
    for at in &y.ticks {
        let (left, top) = place(&plot, &chart, (first.log10(), *at));
        let style = anchored(text(SMALL, FAINT_INK), HPos::Right, VPos::Center);
        write(&plot, &short(10.0_f64.powf(*at)), (left - px(8.0), top), style)?;
    }
    let blades = source.point.propeller.blade_count as f64;
    let shaft = source.point.propeller.speed_rad_s / std::f64::consts::TAU;
    for order in [1.0, blades, 2.0 * blades] {
        let at = (order * shaft).log10();
        if at > first.log10() && at < last.log10() {
            curve(&mut chart, &[(at, -3.0), (at, high)], line(FAINT_INK, 1.4))?;
        }
    }
    curve(&mut chart, &[(first.log10(), 0.0), (last.log10(), 0.0)], line(FAINT_INK, 1.6))?;
    for (i, row) in ratio.chunks(hz.len()).enumerate() {
        let points: Vec<_> =
            hz.iter().zip(row).map(|(f, r)| (f.log10(), r.max(1e-12).log10().max(-3.0))).collect();
        curve(&mut chart, &points, line(COLOURS[i % COLOURS.len()], 2.0))?;
    }
    let mut entries: Vec<_> =
        NAMES.iter().zip(COLOURS).map(|(name, colour)| (colour, (*name).to_owned())).collect();
    entries.push((FAINT_INK, "1P, NP, 2NP".to_owned()));
    legend(&words, &entries, px(14.0))
}

/// An axis in the logarithm to base ten.
fn decades(low: f64, high: f64, label: &str) -> Axis {
    let mut ticks = Vec::new();
    for decade in low.floor() as i32..=high.ceil() as i32 {
        for step in [1.0_f64, 2.0, 5.0] {
            let at = f64::from(decade) + step.log10();
            if at >= low && at <= high {
                ticks.push(at);
            }
        }
    }
    // The numbers at the ticks are written by the picture: they are not those of the axis.
    Axis { ticks, numbered: false, ..Axis::round(low, high, 4, label) }
}
