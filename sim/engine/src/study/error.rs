//! What ends a sweep early.

use std::path::PathBuf;

use crate::record::RecordError;

/// Why a sweep could not be computed or finished. Parts that are done stay.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SweepError {
    /// Parts of an earlier sweep are there.
    #[error(
        "{}: parts of a sweep in progress ({done} of {total} points)\n  hint: add `--resume` to compute the rest, or \
         `--restart` to throw them away",
        folder.display()
    )]
    Unfinished {
        /// Folder of the parts.
        folder: PathBuf,
        /// Points that are done.
        done: usize,
        /// Points of the sweep.
        total: usize,
    },
    /// The parts belong to a sweep that differs.
    #[error(
        "{}: the parts belong to another sweep and cannot be continued:\n  {}\n  hint: undo the change, write to another \
         file with `-o`, or add `--restart` to throw the parts away",
        folder.display(), differences.join("\n  ")
    )]
    PlanDiffers {
        /// Folder of the parts.
        folder: PathBuf,
        /// What differs, in words.
        differences: Vec<String>,
    },
    /// Another process writes the same file.
    #[error("{}: another sweep writes this file now; wait for it to end, or write to another file with `-o`", path.display())]
    Busy {
        /// Output file.
        path: PathBuf,
    },
    /// A folder of that name is there, but not ours.
    #[error(
        "{}: is needed for the parts of the sweep, but holds something else; move it away, or write to another file with `-o`",
        folder.display()
    )]
    ForeignFolder {
        /// The folder.
        folder: PathBuf,
    },
    /// More shards than points.
    #[error("shard {shard} of a grid of {points} points would be empty; allowed: up to {points} shards")]
    EmptyShard {
        /// The shard, `I/N`.
        shard: String,
        /// Points of the grid.
        points: usize,
    },
    /// A file could not be written or read.
    #[error("{source}{}", kept_hint(*.kept))]
    Record {
        /// What went wrong.
        source: RecordError,
        /// Points that are safe in parts.
        kept: usize,
    },
}

fn kept_hint(kept: usize) -> String {
    match kept {
        0 => String::new(),
        _ => format!("\n  hint: {kept} points are safe; once there is room, `--resume` computes the rest"),
    }
}

impl From<RecordError> for SweepError {
    fn from(source: RecordError) -> Self {
        Self::Record { source, kept: 0 }
    }
}
