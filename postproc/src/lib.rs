//! Pictures and tables from wakebeat result files.

pub mod counting;
mod error;
mod files;
pub mod pictures;
pub mod sizing;

pub use error::PlotError;
pub use files::FileError;
pub use pictures::{PictureFormat, draw_march, draw_mount, draw_run, draw_sizing, plot_run};
