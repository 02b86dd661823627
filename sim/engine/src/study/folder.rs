//! The folder of a sweep in progress, `FILE.parts`: plan, lock and numbered parts.
//!
//! Nothing in it is ever changed in place: a part is there whole or not at all, so that a process may be killed at any
//! moment. One process at a time holds the lock, which the system lets go of when the process ends, however it ends.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::SweepError;
use crate::case::Plan;
use crate::record::{Block, Blocks, PartHead, RecordError, read_part, read_part_head, save_text, write_part};

const PLAN: &str = "plan.toml";
const LOCK: &str = "lock";
const PART: &str = "part-";
const PART_END: &str = ".part";
const TEMPORARY: &str = ".tmp";

/// What to do with parts that are there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Start {
    /// Refuse them.
    #[default]
    Fresh,
    /// Compute what they lack.
    Resume,
    /// Throw them away.
    Restart,
}

/// The folder, locked.
pub(super) struct Folder {
    path: PathBuf,
    next: usize,
    parts: Vec<PathBuf>,
    _lock: File,
}

/// `FILE.parts` beside FILE.
pub(super) fn folder_of(target: &Path) -> PathBuf {
    let mut name = target.as_os_str().to_owned();
    name.push(".parts");
    PathBuf::from(name)
}

impl Folder {
    /// Opens the folder of `target` for a plan over `total` points: an empty one, or one to be continued.
    pub(super) fn open(target: &Path, plan: &Plan, start: Start, total: usize) -> Result<Self, SweepError> {
        let path = folder_of(target);
        let new = !path.exists();
        if !new && !is_ours(&path) {
            return Err(SweepError::ForeignFolder { folder: path });
        }
        let lock = lock(target, &path)?;
        let mut folder = Self { path, next: 0, parts: Vec::new(), _lock: lock };
        folder.sweep_out(|name| name.ends_with(TEMPORARY))?;
        let earlier = fs::read_to_string(folder.path.join(PLAN)).ok();
        folder.parts = folder.list_parts()?;
        match earlier {
            // Without a plan, or without a part, there is nothing worth keeping.
            Some(text) if start != Start::Restart && !folder.parts.is_empty() => {
                folder.check_plan(&text, plan)?;
                folder.next = folder.parts.iter().filter_map(|part| number(part)).max().map_or(0, |n| n + 1);
                if start == Start::Fresh {
                    let done = folder.done()?.len();
                    return Err(SweepError::Unfinished { done, folder: folder.path.clone(), total });
                }
                return Ok(folder);
            }
            _ => folder.sweep_out(|name| name != LOCK)?,
        }
        folder.parts.clear();
        if let Err(error) = save_text(&folder.path.join(PLAN), &plan.to_toml()) {
            // Nothing is lost with a folder that has no part.
            let _ = folder.remove();
            return Err(error.into());
        }
        Ok(folder)
    }

    fn check_plan(&self, text: &str, plan: &Plan) -> Result<(), SweepError> {
        let differences = match Plan::from_toml(text) {
            Some(earlier) if earlier == *plan => return Ok(()),
            Some(earlier) => earlier.differences(plan),
            None => vec![format!("{PLAN} cannot be read")],
        };
        Err(SweepError::PlanDiffers { folder: self.path.clone(), differences })
    }

    /// Points that are done, in no order.
    pub(super) fn done(&self) -> Result<Vec<usize>, SweepError> {
        let mut points = Vec::new();
        for i in 0..self.count() {
            points.extend(self.head(i)?.points);
        }
        Ok(points)
    }

    /// Writes the next part.
    pub(super) fn add(&mut self, block: &Block) -> Result<(), RecordError> {
        let part = self.path.join(format!("{PART}{:06}{PART_END}", self.next));
        write_part(&part, block)?;
        self.next += 1;
        self.parts.push(part);
        Ok(())
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Removes what belongs to the sweep, and the folder.
    pub(super) fn remove(&self) -> Result<(), SweepError> {
        // The plan goes before the parts: without it they count for nothing.
        self.sweep_out(|name| name == PLAN)?;
        self.sweep_out(|name| name != LOCK)?;
        self.sweep_out(|_| true)?;
        // Another sweep may have made its lock in the meantime; then the folder is that one's.
        let _ = fs::remove_dir(&self.path);
        Ok(())
    }

    fn sweep_out(&self, which: impl Fn(&str) -> bool) -> Result<(), SweepError> {
        for name in names(&self.path)? {
            if belongs(&name) && which(&name) {
                let file = self.path.join(&name);
                fs::remove_file(&file).map_err(|source| RecordError::io(&file, "remove", source))?;
            }
        }
        Ok(())
    }

    fn list_parts(&self) -> Result<Vec<PathBuf>, SweepError> {
        let mut parts: Vec<PathBuf> = names(&self.path)?
            .into_iter()
            .map(|name| self.path.join(name))
            .filter(|path| number(path).is_some())
            .collect();
        parts.sort();
        Ok(parts)
    }
}

impl Blocks for Folder {
    fn count(&self) -> usize {
        self.parts.len()
    }

    fn head(&self, i: usize) -> Result<PartHead, RecordError> {
        read_part_head(&self.parts[i])
    }

    fn block(&self, i: usize) -> Result<Block, RecordError> {
        read_part(&self.parts[i])
    }
}

/// Number of a part; `None` for other files.
fn number(path: &Path) -> Option<usize> {
    path.file_name()?.to_str()?.strip_prefix(PART)?.strip_suffix(PART_END)?.parse().ok()
}

/// Whether a file of this name is one that a sweep puts into its folder.
fn belongs(name: &str) -> bool {
    let part = name.starts_with(PART) && name.ends_with(PART_END);
    let temporary = name.starts_with('.') && name.ends_with(TEMPORARY);
    name == PLAN || name == LOCK || part || temporary
}

/// Whether everything in the folder is what a sweep puts there.
fn is_ours(folder: &Path) -> bool {
    folder.is_dir() && names(folder).is_ok_and(|names| names.iter().all(|name| belongs(name)))
}

fn names(folder: &Path) -> Result<Vec<String>, SweepError> {
    let list = || -> io::Result<Vec<String>> {
        fs::read_dir(folder)?.map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned())).collect()
    };
    Ok(list().map_err(|source| RecordError::io(folder, "list the folder", source))?)
}

/// Makes the folder where it is not there and takes its lock.
fn lock(target: &Path, folder: &Path) -> Result<File, SweepError> {
    let failed = |source| RecordError::io(folder, "lock the folder", source);
    loop {
        fs::create_dir_all(folder).map_err(|source| RecordError::io(folder, "make the folder", source))?;
        let path = folder.join(LOCK);
        let file = match OpenOptions::new().create(true).truncate(false).write(true).open(&path) {
            Ok(file) => file,
            // The folder was removed by a sweep that ended just now.
            Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
            Err(error) => return Err(failed(error).into()),
        };
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(SweepError::Busy { path: target.to_path_buf() }),
            Err(TryLockError::Error(error)) => return Err(failed(error).into()),
        }
        // A lock on a file that has been removed keeps nobody out.
        if is_at(&file, &path) {
            return Ok(file);
        }
    }
}

/// Whether the open file is the one under that name.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let same = |a: &fs::Metadata, b: &fs::Metadata| (a.dev(), a.ino()) == (b.dev(), b.ino());
    matches!((file.metadata(), fs::metadata(path)), (Ok(a), Ok(b)) if same(&a, &b))
}

/// An open file cannot be removed there.
#[cfg(not(unix))]
fn is_at(_: &File, path: &Path) -> bool {
    path.exists()
}
