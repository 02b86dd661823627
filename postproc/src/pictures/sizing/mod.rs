//! Pictures of a sized mount.

mod damage;
mod exceedance;
mod harmonics;
mod key;
mod limit;
mod matrix;

use std::path::PathBuf;

use plotters::prelude::DrawingBackend;
use wakebeat_engine::duty::result::{DutyResult, LoadSpectrum};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads};

use super::PictureFormat;
use super::canvas::{Area, Canvas, Sheet, save_all};
use crate::sizing::SizingData;
use crate::{Folder, PlotError};

/// What a picture of spectra is drawn from.
#[derive(Clone, Copy)]
struct Duty<'a> {
    result: &'a DutyResult,
    program_version: &'a str,
}

impl Duty<'_> {
    /// Segments, flight and life in a line.
    fn about(&self) -> String {
        let segments = self.result.segments.len();
        let seconds: f64 = self.result.segments.iter().map(|s| s.duration_s * s.repeats as f64).sum();
        let plural = if segments == 1 { "segment" } else { "segments" };
        format!(
            "{segments} {plural}, {:.0} min in a flight, {} flights in the life",
            seconds / 60.0,
            self.result.flights_per_life
        )
    }

    /// Thrust, the larger force in the disk plane, the larger bending moment, and the isolator force (without a mount the torque)
    /// that has most of equivalent range.
    fn leading(&self) -> Vec<&LoadSpectrum> {
        let weight = |load: &LoadSpectrum| {
            load.equivalent_range.first().and_then(|parts| parts.last()).copied().unwrap_or_default()
        };
        let largest = |wanted: &dyn Fn(&str) -> bool| {
            let some = self.result.loads.iter().filter(|load| wanted(&load.name));
            some.max_by(|a, b| weight(a).total_cmp(&weight(b)))
        };
        const HUB: [&str; 8] = [
            "thrust",
            "side_force",
            "vertical_force",
            "torque",
            "rolling_moment",
            "pitching_moment",
            "yawing_moment",
            "motor_torque",
        ];
        let isolator = largest(&|name| !HUB.contains(&name));
        let chosen = [
            largest(&|name| name == "thrust"),
            largest(&|name| name == "side_force" || name == "vertical_force"),
            largest(&|name| name == "pitching_moment" || name == "yawing_moment"),
            isolator.or_else(|| largest(&|name| name == "torque")),
        ];
        let chosen: Vec<&LoadSpectrum> = chosen.into_iter().flatten().collect();
        if chosen.is_empty() { self.result.loads.iter().take(4).collect() } else { chosen }
    }
}

/// Name of a load for people.
fn title(load: &LoadSpectrum) -> String {
    load.name.replace('_', " ")
}

/// The pictures.
enum Picture<'a> {
    Harmonics(Duty<'a>),
    Matrix(Duty<'a>),
    Exceedance(Duty<'a>),
    Damage(Duty<'a>),
    Limit { limit: &'a LimitLoads, combined: &'a [CombinedLoad], program_version: &'a str },
}

impl Picture<'_> {
    fn file_stem(&self) -> &'static str {
        match self {
            Self::Harmonics(_) => "spectrum_harmonics",
            Self::Matrix(_) => "spectrum_range_mean",
            Self::Exceedance(_) => "spectrum_exceedance",
            Self::Damage(_) => "damage_by_segment",
            Self::Limit { .. } => "limit_loads",
        }
    }
}

impl Sheet for Picture<'_> {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        match self {
            Self::Harmonics(duty) => harmonics::draw(area, *duty),
            Self::Matrix(duty) => matrix::draw(area, *duty),
            Self::Exceedance(duty) => exceedance::draw(area, *duty),
            Self::Damage(duty) => damage::draw(area, *duty),
            Self::Limit { limit, combined, program_version } => {
                limit::draw(area, limit, combined, program_version)
            }
        }
    }
}

/// Draws the pictures of a sized mount into a folder, which is made if it does not exist, and returns their paths.
///
/// | file | shows |
/// |---|---|
/// | `spectrum_harmonics` | amplitude of the orders of the leading loads, segment by segment |
/// | `spectrum_range_mean` | cycles of the life by range and mean |
/// | `spectrum_exceedance` | cycles of a range or a larger one |
/// | `damage_by_segment` | which segment eats the life |
/// | `limit_loads` | limit load of each isolator by case, with vibration, and ultimate |
///
/// # Errors
/// [`PlotError`] when the folder cannot be written.
pub fn draw_sizing<'f>(
    data: &SizingData,
    program_version: &str,
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let mut pictures = Vec::new();
    if let Some(result) = &data.duty {
        let duty = Duty { result, program_version };
        pictures.extend([
            Picture::Harmonics(duty),
            Picture::Matrix(duty),
            Picture::Exceedance(duty),
            Picture::Damage(duty),
        ]);
    }
    if let Some((limit, combined)) = &data.limit {
        pictures.push(Picture::Limit { limit, combined, program_version });
    }
    let canvas = Canvas::new(format)?;
    let drawn = pictures
        .iter()
        .map(|picture| Ok((picture.file_stem(), canvas.render(picture)?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    save_all(folder.into(), format, &drawn)
}
