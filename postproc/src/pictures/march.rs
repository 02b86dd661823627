//! Picture of a march.
//!
//! | file | shows |
//! |---|---|
//! | `march_waterfall` | force on the airframe by frequency against time, and its peak and the shaft speed against time |

use std::path::PathBuf;

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::record::FieldRecord;

use super::canvas::{self, Area, Canvas, Sheet, px};
use super::colour::{BLUE, INK, VERMILION, map};
use super::frame::{framed_as, operating_point};
use super::number::short;
use super::panel::{Axis, Room, curve, panel, place};
use super::style::{SMALL, anchored, line, text, write};
use super::{PictureFormat, PlotError};
use crate::Folder;

/// Rows of the waterfall.
const ROWS: usize = 220;
/// Decades of amplitude shown below the largest.
const DECADES: f64 = 3.0;

struct MarchSheet<'a> {
    record: &'a FieldRecord,
    point: &'a OperatingPoint,
}

/// Draws the picture of a march's result into a folder, which is made if it does not exist, and returns its path.
///
/// # Errors
/// [`PlotError`] when the drawing fails or the folder cannot be written.
pub fn draw_march<'f>(
    record: &FieldRecord,
    point: &OperatingPoint,
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let canvas = Canvas::new(format)?;
    let picture = ("march_waterfall", canvas.render(&MarchSheet { record, point })?);
    canvas::save_all(folder.into(), format, &[picture])
}

impl MarchSheet<'_> {
    fn numbers(&self, name: &str) -> &[f64] {
        self.record.numbers(&format!("march/harmonics/{name}"))
    }

    /// Amplitude of the force on the airframe at a revolution and an order, N.
    fn force(&self, revolution: usize, order: usize, orders: usize) -> f64 {
        let part = |axis: &str| {
            let values = self.numbers(&format!("transmitted_{axis}_n"));
            values.get(revolution * orders + order).copied().unwrap_or(0.0)
        };
        ["x", "y", "z"].map(part).iter().map(|a| a * a).sum::<f64>().sqrt()
    }
}

impl Sheet for MarchSheet<'_> {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let title = "Force on the airframe during the march";
        let inner = framed_as(area, title, &operating_point(self.point), &self.record.program_version)?;
        let height = inner.dim_in_pixel().1 as i32;
        let (upper, lower) = inner.split_vertically(height * 2 / 3);
        self.waterfall(&upper)?;
        self.against_time(&lower)
    }
}

impl MarchSheet<'_> {
    fn waterfall<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let (time, speed) = (self.numbers("time_s"), self.numbers("shaft_speed_rad_s"));
        let orders = self.record.numbers("order").len();
        let (Some(first), Some(last)) = (time.first(), time.last()) else { return Ok(()) };
        let hz = |i: usize| speed[i] / std::f64::consts::TAU;
        let step = time.len().div_ceil(ROWS).max(1);
        let shown: Vec<usize> = (0..time.len()).step_by(step).collect();
        let blades = self.point.propeller.blade_count.max(1);
        let top_order = (3 * blades).min(orders.saturating_sub(1)).max(1);
        let fastest = (0..time.len()).map(hz).fold(1e-9, f64::max);
        let high = 1.05 * top_order as f64 * fastest;
        let largest = shown
            .iter()
            .flat_map(|i| (1..=top_order).map(|n| self.force(*i, n, orders)))
            .fold(1e-12, f64::max);
        let x = Axis::round(0.0, high, 8, "frequency, Hz");
        let y = Axis::round(*first, last.max(first + 1e-9), 6, "time, s");
        let heading = format!(
            "By frequency: colour is the amplitude, from {} N (light: {} N) on, in the logarithm",
            short(largest * 10.0_f64.powf(-DECADES)),
            short(largest)
        );
        // Above the plot stand the names of the lines.
        let mut chart = panel(area, &heading, &x, &y, Room { above: 24.0, right: 40.0 })?;
        let tall = 0.5 * (last - first) / shown.len().max(1) as f64;
        let wide = 0.006 * high;
        for &i in &shown {
            let marks = (1..=top_order).filter_map(|n| {
                let share = 1.0 + (self.force(i, n, orders) / largest).max(1e-30).log10() / DECADES;
                (share > 0.0).then(|| {
                    let at = n as f64 * hz(i);
                    let corners = [(at - wide, time[i] - tall), (at + wide, time[i] + tall)];
                    Rectangle::new(corners, map(share).filled())
                })
            });
            chart.draw_series(marks)?;
        }
        let end = time.len() - 1;
        for n in [1, blades, 2 * blades, 3 * blades] {
            if n <= top_order {
                let at = place(area, &chart, (n as f64 * hz(end), time[end]));
                let style = anchored(text(SMALL, INK), HPos::Center, VPos::Bottom);
                write(area, &format!("{n}P"), (at.0, at.1 - px(3.0)), style)?;
            }
        }
        Ok(())
    }

    fn against_time<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let (time, speed) = (self.numbers("time_s"), self.numbers("shaft_speed_rad_s"));
        let orders = self.record.numbers("order").len();
        let (Some(first), Some(last)) = (time.first(), time.last()) else { return Ok(()) };
        let rms: Vec<f64> = (0..time.len())
            .map(|i| (1..orders).map(|n| 0.5 * self.force(i, n, orders).powi(2)).sum::<f64>().sqrt())
            .collect();
        let top = 1.1 * rms.iter().copied().fold(1e-12, f64::max);
        let (slow, fast) = speed.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), s| (a.min(*s), b.max(*s)));
        let rpm = |s: f64| s * 60.0 / std::f64::consts::TAU;
        let heading = format!(
            "Root mean square of a revolution, N: blue. Shaft speed, {:.0} to {:.0} rpm: vermilion, own scale",
            rpm(slow),
            rpm(fast)
        );
        let x = Axis::round(*first, last.max(first + 1e-9), 8, "time, s");
        let y = Axis::round(0.0, top, 4, "N");
        let mut chart = panel(area, &heading, &x, &y, Room { above: 0.0, right: 40.0 })?;
        let span = (fast - slow).max(1e-9);
        let scaled: Vec<_> =
            time.iter().zip(speed).map(|(t, s)| (*t, top * (0.05 + 0.9 * (s - slow) / span))).collect();
        curve(&mut chart, &scaled, line(VERMILION, 1.6))?;
        let points: Vec<_> = time.iter().copied().zip(rms).collect();
        curve(&mut chart, &points, line(BLUE, 2.2))
    }
}
