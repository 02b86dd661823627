//! What can go wrong with a result file.

use std::path::{Path, PathBuf};

use crate::study::Shard;

/// What the system refused, without its number where plain words do.
fn refused(action: &str, source: &std::io::Error) -> String {
    match source.kind() {
        std::io::ErrorKind::NotFound => "does not exist".to_owned(),
        std::io::ErrorKind::PermissionDenied => format!("cannot {action}: this user may not"),
        _ => format!("cannot {action}: {source}"),
    }
}

/// Why a result file could not be written or read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RecordError {
    /// The folder of the output does not exist.
    #[error("{}: the folder `{}` does not exist\n  hint: make it, or choose another place", path.display(), folder.display())]
    FolderMissing {
        /// Output file.
        path: PathBuf,
        /// Its folder.
        folder: PathBuf,
    },
    /// No file can be made in the folder of the output.
    #[error("{}: cannot write in the folder `{}`: {source}", path.display(), folder.display())]
    FolderNotWritable {
        /// Output file.
        path: PathBuf,
        /// Its folder.
        folder: PathBuf,
        /// Reason given by the system.
        source: std::io::Error,
    },
    /// The output names a directory, a device or a pipe.
    #[error("{}: is not a regular file, so no result can be written there", path.display())]
    NotAFile {
        /// Output file.
        path: PathBuf,
    },
    /// The output exists and was not written by this program.
    #[error("{}: exists and is not a wakebeat result file; choose another name or add `--force`", path.display())]
    Foreign {
        /// Output file.
        path: PathBuf,
    },
    /// The output exists and is no page of this program.
    #[error("{}: exists and is not a page of wakebeat; choose another name or add `--force`", path.display())]
    ForeignPage {
        /// Output file.
        path: PathBuf,
    },
    /// The output exists and is write-protected.
    #[error("{}: exists and is write-protected; choose another name or add `--force`", path.display())]
    Protected {
        /// Output file.
        path: PathBuf,
    },
    /// The output is one of the files the run reads.
    #[error("{}: is an input of this run (`{}`); choose another output", path.display(), input.display())]
    SameAsInput {
        /// Output file.
        path: PathBuf,
        /// The input.
        input: PathBuf,
    },
    /// The file cannot be opened, written or read.
    #[error("{}: {}", path.display(), refused(action, source))]
    Io {
        /// File.
        path: PathBuf,
        /// What was tried.
        action: &'static str,
        /// Reason given by the system.
        source: std::io::Error,
    },
    /// HDF5 refused.
    #[error("{}: cannot {action} `{item}`: {reason}", path.display())]
    Format {
        /// File.
        path: PathBuf,
        /// What was tried.
        action: &'static str,
        /// Group, dataset or attribute.
        item: String,
        /// Reason given by the HDF5 library.
        reason: String,
    },
    /// The file was not written by this program.
    #[error("{}: is not a wakebeat result file\n  hint: `run`, `sweep`, `mount` and `march` write result files, NAME.h5; a case is computed first", path.display())]
    NotOurs {
        /// File.
        path: PathBuf,
    },
    /// Another program holds the file open for writing.
    #[error("{}: is open for writing in another program, which keeps it locked\n  hint: close it there, or wait until it is written", path.display())]
    InUse {
        /// File.
        path: PathBuf,
    },
    /// The path has bytes that are no text.
    #[error("{}: cannot be opened under this path, which is not UTF-8 as the HDF5 library asks for; the file itself may be whole\n  hint: rename the folder or the file, or copy it elsewhere", path.display())]
    NotUtf8 {
        /// File.
        path: PathBuf,
    },
    /// The file begins as one of HDF5 but cannot be read as one.
    #[error("{}: is damaged or cut short: it begins as a result file and cannot be read as one\n  hint: copy it anew from where it was computed, or compute it anew", path.display())]
    CutShort {
        /// File.
        path: PathBuf,
    },
    /// The file was written by a program with another schema.
    #[error("{}: has schema version {found}, this program reads version {supported}\n  hint: compute it anew with this version", path.display())]
    Version {
        /// File.
        path: PathBuf,
        /// Version in the file.
        found: u32,
        /// Version of this program.
        supported: u32,
    },
    /// The file holds something else than a run.
    #[error("{}: holds a `{found}`, expected a `{expected}`\n  hint: `wakebeat {expected} CASE` writes such a file", path.display())]
    Kind {
        /// File.
        path: PathBuf,
        /// Kind in the file.
        found: String,
        /// Kind asked for.
        expected: &'static str,
    },
    /// An array does not fit its dimensions.
    #[error("{}: `{item}` has shape {found:?}, expected {expected:?}", path.display())]
    Shape {
        /// File.
        path: PathBuf,
        /// Dataset.
        item: String,
        /// Shape found.
        found: Vec<usize>,
        /// Shape expected.
        expected: Vec<usize>,
    },
    /// A part of a sweep in progress cannot be understood.
    #[error("{}: is damaged; remove this file and continue with `--resume`, which computes its points again", path.display())]
    Part {
        /// Part file.
        path: PathBuf,
    },
    /// A point of a sweep is there twice, or does not belong there.
    #[error("{}: point {point} of the grid is there twice, or lies outside the range", path.display())]
    PointTwice {
        /// Output file.
        path: PathBuf,
        /// Number of the point, from 0.
        point: usize,
    },
    /// A point of a sweep is missing.
    #[error("{}: point {point} of the grid is missing", path.display())]
    PointMissing {
        /// Output file.
        path: PathBuf,
        /// Number of the point, from 0.
        point: usize,
    },
    /// Shards do not make up one sweep.
    #[error("{}: {what}", path.display())]
    Shards {
        /// The shard that does not fit.
        path: PathBuf,
        /// What does not fit, and what to do.
        what: String,
    },
    /// One shard of a sweep where all of it is needed.
    #[error(
        "{}: is part {} of {} of a sweep, and the whole is needed\n  hint: `wakebeat merge PART… -o WHOLE.h5` makes one file of all {} parts",
        path.display(), shard.number(), shard.of(), shard.of()
    )]
    OneShard {
        /// The shard.
        path: PathBuf,
        /// Which one it is.
        shard: Shard,
    },
    /// A sweep without a point that has an answer.
    #[error(
        "{}: none of its {points} points has an answer; the first: {reason}\n  hint: the file holds the reason of each point in /message; change the case or its grid and sweep again",
        path.display()
    )]
    NoAnswer {
        /// File.
        path: PathBuf,
        /// How many points it holds.
        points: usize,
        /// Why the first has none.
        reason: String,
    },
    /// A text cannot be stored because it holds a NUL character.
    #[error("{}: `{item}` holds a NUL character, which a result file cannot store", path.display())]
    Nul {
        /// File.
        path: PathBuf,
        /// Dataset or attribute.
        item: String,
    },
    /// Parts of a file do not fit each other.
    #[error("{}: is damaged: `{item}` {what}\n  hint: copy it anew from where it was computed, or compute it anew", path.display())]
    Damaged {
        /// File.
        path: PathBuf,
        /// Dataset.
        item: String,
        /// What does not fit.
        what: String,
    },
    /// A stored input no longer matches its stored hash.
    #[error("{}: the stored text of `{item}` does not match its hash; the file is damaged", path.display())]
    Hash {
        /// File.
        path: PathBuf,
        /// Input path.
        item: String,
    },
}

impl RecordError {
    /// An array of another shape than the rest of its file.
    pub(super) fn damaged_shape(path: &Path, item: &str, found: &[usize], expected: &[usize]) -> Self {
        let what = format!("has shape {found:?}, expected {expected:?}");
        Self::Damaged { path: path.to_path_buf(), item: item.to_owned(), what }
    }

    /// A system error with the file and what was tried.
    pub(crate) fn io(path: &Path, action: &'static str, source: std::io::Error) -> Self {
        Self::Io { path: path.to_path_buf(), action, source }
    }
}

/// The reason that the system gave HDF5 for not writing, which HDF5 words on several lines: `…, errno = 28, error message = …`.
pub(super) fn system_reason(text: &str) -> Option<std::io::Error> {
    let number: String = text.split_once("errno = ")?.1.chars().take_while(char::is_ascii_digit).collect();
    Some(std::io::Error::from_raw_os_error(number.parse().ok()?))
}

/// As [`format_error`] of a file that is written piece by piece: a full disk is told as the system tells it.
pub(super) fn stream_error<'a>(
    path: &'a Path,
    action: &'static str,
    item: &'a str,
) -> impl FnOnce(hdf5::Error) -> RecordError + 'a {
    move |error| match system_reason(&error.to_string()) {
        Some(source) => RecordError::io(path, "write", source),
        None => format_error(path, action, item)(error),
    }
}

/// Turns an HDF5 error into ours with the file, the action and the item.
pub(super) fn format_error<'a>(
    path: &'a Path,
    action: &'static str,
    item: &'a str,
) -> impl FnOnce(hdf5::Error) -> RecordError + 'a {
    move |source| RecordError::Format {
        path: path.to_path_buf(),
        action,
        item: item.to_owned(),
        reason: source.to_string(),
    }
}
