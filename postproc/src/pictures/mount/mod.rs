//! Pictures of a mount.
//!
//! | file | shows |
//! |---|---|
//! | `mount_frequencies` | frequencies against shaft speed with the nP lines, crossings, and speeds to avoid |
//! | `mount_response` | force on the airframe and acceleration of the sensors against shaft speed, with limits |
//! | `mount_transmissibility` | transmitted over applied load against frequency |
//! | `mount_whirl` | critical stiffness against airspeed for some shaft speeds |
//! | `mount_sensors` | spectrum of each sensor by order, with its limit |

mod frequencies;
mod response;
mod sensors;
mod transmissibility;
mod whirl;

use std::path::PathBuf;

use plotters::prelude::DrawingBackend;
use plotters::style::RGBColor;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::record::FieldRecord;

use super::canvas::{self, Area, Canvas, Sheet, px};
use super::colour::{BLUE, GREEN, INK, ORANGE, PURPLE, SKY, VERMILION};
use super::frame::{framed_as, operating_point};
use super::style::{SMALL, anchored, line, stroke, text, write};
use super::{PictureFormat, PlotError};
use crate::Folder;
use crate::flown::mount_as_flown;

/// Colours of curves side by side.
const COLOURS: [RGBColor; 6] = [BLUE, VERMILION, GREEN, PURPLE, ORANGE, SKY];

/// What a picture is drawn from.
#[derive(Clone, Copy)]
struct Source<'a> {
    record: &'a FieldRecord,
    point: &'a OperatingPoint,
}

/// The pictures of a mount.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Frequencies,
    Response,
    Transmissibility,
    Whirl,
    Sensors,
}

struct MountSheet<'a> {
    kind: Kind,
    source: Source<'a>,
}

impl Sheet for MountSheet<'_> {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        match self.kind {
            Kind::Frequencies => frequencies::draw(area, self.source),
            Kind::Response => response::draw(area, self.source),
            Kind::Transmissibility => transmissibility::draw(area, self.source),
            Kind::Whirl => whirl::draw(area, self.source),
            Kind::Sensors => sensors::draw(area, self.source),
        }
    }
}

/// Draws the pictures of a mount's result into a folder, which is made if it does not exist, and returns their paths.
///
/// A mount without sensors has no picture of them. Earlier pictures of the same names are replaced.
///
/// # Errors
/// [`PlotError`] when the drawing fails or the folder cannot be written.
pub fn draw_mount<'f>(
    record: &FieldRecord,
    point: &OperatingPoint,
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let point = &mount_as_flown(record, point);
    let canvas = Canvas::new(format)?;
    let source = Source { record, point };
    let mut kinds = vec![
        (Kind::Frequencies, "mount_frequencies"),
        (Kind::Response, "mount_response"),
        (Kind::Transmissibility, "mount_transmissibility"),
        (Kind::Whirl, "mount_whirl"),
    ];
    if !record.texts("mount/response/sensor_name").is_empty() {
        kinds.push((Kind::Sensors, "mount_sensors"));
    }
    let pictures = kinds
        .into_iter()
        .map(|(kind, stem)| Ok((stem, canvas.render(&MountSheet { kind, source })?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    canvas::save_all(folder.into(), format, &pictures)
}

fn framed<DB: DrawingBackend>(
    area: &Area<DB>,
    title: &str,
    source: Source<'_>,
) -> Result<Area<DB>, PlotError> {
    framed_as(area, title, &operating_point(source.point), &source.record.program_version)
}

/// Colours and words side by side, from the left.
fn legend<DB: DrawingBackend>(
    area: &Area<DB>,
    entries: &[(RGBColor, String)],
    y: i32,
) -> Result<(), PlotError> {
    let mut x = px(92.0);
    for (colour, words) in entries {
        stroke(area, vec![(x, y), (x + px(26.0), y)], line(*colour, 3.0))?;
        x += px(34.0);
        let style = text(SMALL, INK);
        let (width, _) =
            style.font.box_size(words).map_err(|error| PlotError::Drawing { reason: error.to_string() })?;
        write(area, words, (x, y), anchored(style, HPos::Left, VPos::Center))?;
        x += width as i32 + px(28.0);
    }
    Ok(())
}

/// Largest finite value, at least a little.
fn largest(values: impl Iterator<Item = f64>) -> f64 {
    values.filter(|v| v.is_finite()).fold(1e-12, f64::max)
}
