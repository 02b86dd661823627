//! What every picture carries: a title, the operating point in a line, and the caution.

use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::point::input::{OperatingPoint, Rotation};

use super::Run;
use super::canvas::{Area, SIZE, px};
use super::colour::{FAINT_INK, INK};
use super::number::short;
use super::style::{BODY, SMALL, TITLE, anchored, bold, fitted, text, width, write};
use crate::PlotError;

const CAUTION: &str = "estimates for design studies; not for certification";

/// Margin around everything, pixels.
pub(super) const MARGIN: f64 = 24.0;
/// Height of title and operating point, pixels.
pub(super) const HEADER: f64 = 92.0;
/// Height of the small print, pixels.
pub(super) const FOOTER: f64 = 34.0;

/// Writes title, operating point and caution; returns the area between them.
pub(super) fn framed<DB: DrawingBackend>(
    area: &Area<DB>,
    title: &str,
    run: Run<'_>,
) -> Result<Area<DB>, PlotError> {
    framed_as(area, title, &operating_point(run.point), &run.record.program_version)
}

/// The same for any result: a line under the title, and the version of the program that made it.
pub(super) fn framed_as<DB: DrawingBackend>(
    area: &Area<DB>,
    title: &str,
    subtitle: &str,
    version: &str,
) -> Result<Area<DB>, PlotError> {
    titled(area, title, subtitle, &format!("wakebeat {version}"))
}

/// Writes a title, a line below it, the caution, and words at the lower right; returns the area between them.
pub(super) fn titled<DB: DrawingBackend>(
    area: &Area<DB>,
    title: &str,
    below: &str,
    lower_right: &str,
) -> Result<Area<DB>, PlotError> {
    write(area, title, (px(MARGIN), px(36.0)), bold(TITLE, INK))?;
    write_below(area, below)?;
    let (width, height) = (f64::from(SIZE.0), f64::from(SIZE.1));
    let baseline = px(height - 0.5 * FOOTER);
    write(area, CAUTION, (px(MARGIN), baseline), text(SMALL, FAINT_INK))?;
    let right = anchored(text(SMALL, FAINT_INK), HPos::Right, VPos::Center);
    write(area, lower_right, (px(width - MARGIN), baseline), right)?;
    Ok(area.margin(px(HEADER), px(FOOTER), px(MARGIN), px(MARGIN)))
}

/// The line below the title; what is too long for one stands in two smaller ones.
fn write_below<DB: DrawingBackend>(area: &Area<DB>, words: &str) -> Result<(), PlotError> {
    let room = px(f64::from(SIZE.0) - 2.0 * MARGIN);
    let (large, small) = (text(BODY, FAINT_INK), text(SMALL, FAINT_INK));
    if width(words, &large)? <= room {
        return write(area, words, (px(MARGIN), px(72.0)), large);
    }
    // Break behind the last comma or semicolon that leaves a line that fits, else at the last such blank.
    let last = |marks: &[char]| -> Result<Option<usize>, PlotError> {
        let mut last = None;
        for (at, mark) in words.match_indices(marks) {
            let end = at + mark.trim_end().len();
            if width(&words[..end], &small)? <= room {
                last = Some(end);
            }
        }
        Ok(last)
    };
    let end = last(&[',', ';'])?.or(last(&[' '])?).unwrap_or(0);
    let (one, two) = words.split_at(end);
    write(area, one, (px(MARGIN), px(62.0)), small.clone())?;
    write(area, &fitted(two.trim_start(), &small, room)?, (px(MARGIN), px(82.0)), small)
}

/// Blades, size, speeds and sense of rotation in a line.
pub(crate) fn operating_point(point: &OperatingPoint) -> String {
    let propeller = &point.propeller;
    let blades = match propeller.blade_count {
        1 => "1 blade".to_owned(),
        count => format!("{count} blades"),
    };
    let rpm = propeller.speed_rad_s * 60.0 / std::f64::consts::TAU;
    format!(
        "{blades}, diameter {} m, {rpm:.0} rpm {} seen from behind, {} m/s",
        short(propeller.diameter_m),
        rotation(propeller.rotation),
        short(point.flight.airspeed_m_s),
    )
}

/// The word of the case file.
pub(crate) fn rotation(sense: Rotation) -> &'static str {
    match sense {
        Rotation::Clockwise => "clockwise",
        Rotation::Counterclockwise => "counterclockwise",
    }
}

/// Side to which azimuth grows from the top, seen from behind: +1 starboard (clockwise), −1 port.
pub(crate) fn sense(rotation: Rotation) -> f64 {
    match rotation {
        Rotation::Clockwise => 1.0,
        Rotation::Counterclockwise => -1.0,
    }
}
