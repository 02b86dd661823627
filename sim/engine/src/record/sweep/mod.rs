//! The file of a sweep: the same groups as that of a run, over the grid.
//!
//! A whole sweep has its axes as dimensions; a shard has the one dimension `point`. In row-major order both hold the same
//! numbers, so that a shard, and a part of a sweep in progress, is a block of rows of the whole.

mod block;
mod frame;
mod part;
mod read;
mod shards;
mod variables;

use std::path::Path;

pub(crate) use block::Block;
pub(crate) use frame::{Blocks, assemble};
pub(crate) use part::{PartHead, read_part, read_part_head, write_part};
pub use read::SweepRecord;
pub use shards::merge_shards;

use super::RecordError;
use crate::study::{Grid, Shard};

/// What a sweep file holds beside its points.
#[derive(Debug, Clone)]
pub struct SweepHeader {
    /// The resolved case as TOML text.
    pub case_toml: String,
    /// Path, as the case names it, and text of each file the case reads, those of the axes too.
    pub inputs: Vec<(String, String)>,
    /// Version of the program that computes it.
    pub program_version: String,
    /// Axes and shape.
    pub grid: Grid,
    /// Which part of the grid the file holds.
    pub shard: Shard,
    /// Harmonic orders, 0 included, of the point that has most (K).
    pub orders: usize,
    /// Further propellers, in the order of the case.
    pub further: Vec<FurtherHeader>,
    /// Distinct blades: 1 where blades are alike.
    pub blade_rows: usize,
    /// Whether points have sums of several propellers at the centre of gravity.
    pub airframe: bool,
    /// Blade count of the case, where no axis sets it.
    pub blade_count: usize,
}

/// What a sweep file holds of a further propeller beside its points.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FurtherHeader {
    /// Its name.
    pub name: String,
    /// Its blade count, where no axis sets it.
    pub blade_count: Option<usize>,
}

/// Reads the file of a sweep, or of a shard of one; its arrays are read when asked for.
///
/// # Errors
/// [`RecordError`] when the file cannot be opened, is not ours, has another kind or a newer schema, or lacks
/// something the schema asks for.
pub fn read_sweep(path: &Path) -> Result<SweepRecord, RecordError> {
    SweepRecord::open(path)
}
