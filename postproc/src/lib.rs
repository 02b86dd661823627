//! Pictures and tables from wakebeat result files.

pub mod choose;
pub mod counting;
mod error;
mod files;
mod flown;
pub mod page;
mod phase;
pub mod pictures;
pub mod sizing;

pub use error::PlotError;
pub use files::{FileError, Folder, MARK, save_all};
pub use pictures::{
    ComparedCurve, ComparedPanel, ComparedPoint, Comparison, PictureFormat, draw_comparisons, draw_march,
    draw_mount, draw_run, draw_sizing, draw_sweep, plot_run, plot_sweep,
};
