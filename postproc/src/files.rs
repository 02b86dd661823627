//! Files written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A file or folder that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{}: cannot {action}: {}", path.display(), reason(source))]
pub struct FileError {
    /// File or folder.
    pub path: PathBuf,
    /// What was tried.
    pub action: &'static str,
    /// Reason given by the system.
    pub source: io::Error,
}

/// Plain words where the system's would puzzle.
pub(crate) fn reason(source: &io::Error) -> String {
    match source.kind() {
        io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory => {
            "a file stands there; choose another name".to_owned()
        }
        _ => source.to_string(),
    }
}

fn failed<'a>(path: &'a Path, action: &'static str) -> impl Fn(io::Error) -> FileError + use<'a> {
    move |source| FileError { path: path.to_path_buf(), action, source }
}

/// Writes files into a folder, which is made if it does not exist, each under a temporary name that is renamed when the file is
/// whole; returns their paths.
///
/// # Errors
/// [`FileError`] naming the folder or file.
pub fn save_all(dir: &Path, files: &[(String, &[u8])]) -> Result<Vec<PathBuf>, FileError> {
    fs::create_dir_all(dir).map_err(failed(dir, "make the folder"))?;
    files
        .iter()
        .map(|(name, bytes)| {
            let path = dir.join(name);
            save(&path, dir, bytes).map_err(failed(&path, "write"))?;
            Ok(path)
        })
        .collect()
}

fn save(path: &Path, dir: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wakebeat.").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As the user's mask allows; a temporary file is private otherwise.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(dir)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    Ok(())
}
