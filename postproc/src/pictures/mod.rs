//! Pictures of one operating point.
//!
//! | file | shows |
//! |---|---|
//! | `loads_over_revolution` | hub loads about their means, and the thrust of one blade, against azimuth |
//! | `harmonic_bars` | amplitude of each order of each hub load, multiples of the blade count marked |
//! | `disk_angle_of_attack` | angle of attack over the disk, seen from behind |
//! | `disk_axial_inflow`, `disk_normal_force` | axial inflow without induction, axial blade force, in the same way |
//! | `wake_cut` | axial inflow without induction: against height at 0.75 R on both sides, and around three radii |
//! | `shares` | what each source adds to or takes from the loads at NP, 2NP, 3NP |
//! | `phase_between_propellers` | with further propellers: loads on the airframe at NP and 2NP against the phase between them |
//! | `side_view`, `rear_view` | wing, bodies, disk, shaft and wakes to scale |
//!
//! The pictures of a sweep are in [`plot_sweep`].
//! Pictures of a mount: see [`draw_mount`] and [`draw_sizing`]; of a march: [`draw_march`].

mod canvas;
pub(crate) mod clip;
pub(crate) mod colour;
mod comparison;
mod disk_map;
pub(crate) mod frame;
mod harmonics;
pub(crate) mod loads;
mod march;
mod mount;
pub(crate) mod number;
pub(crate) mod outline;
mod panel;
mod phase;
pub(crate) mod rear_view;
pub(crate) mod ring_match;
pub(crate) mod sample;
mod scene;
mod shares;
pub(crate) mod side_view;
mod sizing;
mod study;
pub(crate) mod style;
mod wake_cut;

use std::path::{Path, PathBuf};

use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::record::{self, RunRecord};

use crate::flown::run_as_flown;
use crate::{Folder, PlotError};
use canvas::{Area, Canvas, Sheet};
pub use comparison::{ComparedCurve, ComparedPanel, ComparedPoint, Comparison, draw_comparisons};
pub use march::draw_march;
pub use mount::draw_mount;
use plotters::prelude::DrawingBackend;
pub use sizing::draw_sizing;
pub use study::{draw_sweep, plot_sweep};

/// File format of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PictureFormat {
    /// Pixels.
    #[default]
    Png,
    /// Vectors; text takes the reader's font.
    Svg,
}

impl PictureFormat {
    /// File extension, without dot.
    #[must_use]
    pub fn extension(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Svg => "svg",
        }
    }
}

/// What a picture is drawn from.
#[derive(Clone, Copy)]
struct Run<'a> {
    record: &'a RunRecord,
    point: &'a OperatingPoint,
}

/// The pictures of a run.
#[derive(Debug, Clone, Copy)]
enum Picture {
    Loads,
    Harmonics,
    DiskMap(disk_map::Quantity),
    WakeCut,
    Shares,
    Phase,
    SideView,
    RearView,
}

impl Picture {
    const ALL: [Self; 10] = [
        Self::Loads,
        Self::Harmonics,
        Self::DiskMap(disk_map::ANGLE_OF_ATTACK),
        Self::DiskMap(disk_map::AXIAL_INFLOW),
        Self::DiskMap(disk_map::NORMAL_FORCE),
        Self::WakeCut,
        Self::Shares,
        Self::Phase,
        Self::SideView,
        Self::RearView,
    ];

    /// Whether a run holds what the picture shows.
    fn fits(self, record: &RunRecord) -> bool {
        match self {
            Self::Shares => shares::has_shares(&record.result),
            Self::Phase => phase::has_phases(&record.result),
            _ => true,
        }
    }

    fn file_stem(self) -> &'static str {
        match self {
            Self::Loads => "loads_over_revolution",
            Self::Harmonics => "harmonic_bars",
            Self::DiskMap(quantity) => quantity.file_stem,
            Self::WakeCut => "wake_cut",
            Self::Shares => "shares",
            Self::Phase => "phase_between_propellers",
            Self::SideView => "side_view",
            Self::RearView => "rear_view",
        }
    }

    fn draw<DB: DrawingBackend>(self, area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
        match self {
            Self::Loads => loads::draw(area, run),
            Self::Harmonics => harmonics::draw(area, run),
            Self::DiskMap(quantity) => disk_map::draw(area, quantity, run),
            Self::WakeCut => wake_cut::draw(area, run),
            Self::Shares => shares::draw(area, run),
            Self::Phase => phase::draw(area, run),
            Self::SideView => side_view::draw(area, run),
            Self::RearView => rear_view::draw(area, run),
        }
    }
}

/// One picture of a run.
struct RunSheet<'a> {
    picture: Picture,
    run: Run<'a>,
}

impl Sheet for RunSheet<'_> {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        self.picture.draw(area, self.run)
    }
}

/// Draws the pictures of a result file of kind `run` into a folder; see [`draw_run`].
///
/// # Errors
/// [`PlotError`] when the file cannot be read, and as [`draw_run`].
pub fn plot_run(file: &Path, dir: &Path, format: PictureFormat) -> Result<Vec<PathBuf>, PlotError> {
    let record = record::read_run(file)?;
    let case = record
        .case(&file.display().to_string(), &[])
        .map_err(|problems| PlotError::Case { path: file.to_path_buf(), problems })?;
    draw_run(&record, &case.point, dir, format)
}

/// Draws the pictures of a run into a folder, which is made if it does not exist, and returns their paths.
///
/// A result without shares has no picture of them, one without further propellers none of their phases. Each picture is written whole or not at all; earlier pictures of the same names are replaced.
///
/// # Errors
/// [`PlotError`] when a quantity holds no finite number or the folder cannot be written.
pub fn draw_run<'f>(
    record: &RunRecord,
    point: &OperatingPoint,
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let run = Run { record, point: &run_as_flown(&record.result, point) };
    let canvas = Canvas::new(format)?;
    let pictures = Picture::ALL
        .iter()
        .filter(|picture| picture.fits(record))
        .map(|picture| Ok((picture.file_stem(), canvas.render(&RunSheet { picture: *picture, run })?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    canvas::save_all(folder.into(), format, &pictures)
}
