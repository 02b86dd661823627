//! A sweep: the grid of operating points of `[[sweep.axis]]`, computed, continued, shared out and put together.
//!
//! Every point is resolved and solved as a case of its own, so its numbers depend on nothing but its values. What a point may
//! take from others is only what depends on files alone: tables that were read once.

mod choose;
mod error;
mod folder;
mod grid;
mod names;
mod refused;
mod row;
mod shard;
mod status;
mod sweep;
mod workers;

pub use choose::{Choose, KeepLow, Limits, Over, Phases, Weights};
pub use error::SweepError;
pub use folder::Start;
pub use grid::{Axis, AxisValues, Grid};
pub(crate) use names::{axis_names, blade_count_key};
pub use refused::refused_points;
pub use row::{AirframeAnswer, FurtherAnswer, PointAnswer, PointRow};
pub use shard::Shard;
pub use status::PointStatus;
pub use sweep::{Progress, SweepEnd, SweepOptions, all_threads, sweep};
