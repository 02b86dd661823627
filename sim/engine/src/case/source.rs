//! Where the files a case names come from: a folder, a result file, or the program itself.

use super::scenario::Scenario;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// Why an input could not be fetched.
#[derive(Debug, thiserror::Error)]
pub enum SourceError {
    /// Nothing by that name.
    #[error("does not exist")]
    Missing,
    /// A folder stands where a file is wanted.
    #[error("is a folder, not a file")]
    Folder,
    /// The system refused.
    #[error("cannot be read: {0}")]
    Unreadable(io::Error),
}

/// Fetches the input files a case names.
pub trait InputSource {
    /// The content of the input written as `path` in the case.
    ///
    /// # Errors
    /// [`SourceError`] when there is no such file, it is a folder, or it cannot be read.
    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError>;
}

/// Inputs in a folder on disk; absolute paths stay absolute.
#[derive(Debug, Clone)]
pub struct Folder(pub PathBuf);

impl InputSource for Folder {
    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        read_file(&self.0.join(path))
    }
}

/// Inputs held in memory by the path the case uses, as a result file holds them.
impl InputSource for BTreeMap<String, String> {
    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        self.get(path).map(|text| text.clone().into_bytes()).ok_or(SourceError::Missing)
    }
}

/// Inputs compiled in with a scenario.
impl InputSource for Scenario {
    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        self.file(path).map(|text| text.as_bytes().to_vec()).ok_or(SourceError::Missing)
    }
}

/// Reads a file and tells a folder from other failures.
pub(super) fn read_file(path: &Path) -> Result<Vec<u8>, SourceError> {
    if path.is_dir() {
        return Err(SourceError::Folder);
    }
    std::fs::read(path).map_err(|error| match error.kind() {
        io::ErrorKind::NotFound => SourceError::Missing,
        _ => SourceError::Unreadable(error),
    })
}
