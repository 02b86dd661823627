//! What can go wrong with a picture.

use std::path::PathBuf;

use plotters::drawing::DrawingAreaErrorKind;
use wakebeat_engine::case::Problems;
use wakebeat_engine::point::PointError;
use wakebeat_engine::record::RecordError;

use crate::FileError;

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlotError {
    /// The result file cannot be read.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The case in the result file does not fit this version of the program.
    #[error("the case in {} cannot be read:\n{problems}", path.display())]
    Case {
        /// Result file.
        path: PathBuf,
        /// What is wrong with it.
        problems: Problems,
    },
    /// The wakes of the case cannot be found.
    #[error(transparent)]
    Point(#[from] PointError),
    /// The folder or the picture cannot be written.
    #[error(transparent)]
    File(#[from] FileError),
    /// The result holds nothing that can be drawn.
    #[error("`{item}` holds no finite number, so it cannot be drawn")]
    NotFinite {
        /// Name of the quantity, as in the result file.
        item: &'static str,
    },
    /// A ranking that gives no candidate a value.
    #[error(
        "`choose.weights` are 0 wherever a candidate has an answer, so nothing can be ranked\n  hint: give weight to conditions that can be flown, or widen the grid"
    )]
    NoWeight,
    /// The drawing library refused.
    #[error("cannot draw: {reason}")]
    Drawing {
        /// Reason given by the library.
        reason: String,
    },
}

impl<E: std::error::Error + Send + Sync> From<DrawingAreaErrorKind<E>> for PlotError {
    fn from(error: DrawingAreaErrorKind<E>) -> Self {
        Self::Drawing { reason: error.to_string() }
    }
}
