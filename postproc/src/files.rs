//! Files written whole or not at all, and never over a file that is not ours.

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Words by which a picture or table of this program is known.
pub const MARK: &str = "made by wakebeat";
/// Bytes from the start in which a mark stands.
const HEAD: u64 = 1024;

/// A file or folder that could not be written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum FileError {
    /// The system refuses.
    #[error("{}: cannot {action}: {}", path.display(), reason(source))]
    Io {
        /// File or folder.
        path: PathBuf,
        /// What was tried.
        action: &'static str,
        /// Reason given by the system.
        source: io::Error,
    },
    /// The file exists and was not written by this program.
    #[error("{}: exists and was not {MARK}; choose another folder or add `--force`", path.display())]
    Foreign {
        /// File.
        path: PathBuf,
    },
    /// The file exists and is write-protected.
    #[error("{}: exists and is write-protected; choose another folder or add `--force`", path.display())]
    Protected {
        /// File.
        path: PathBuf,
    },
    /// A directory, a device or a pipe has the name of the file.
    #[error("{}: is not a regular file, so nothing can be written there; choose another folder", path.display())]
    NotAFile {
        /// What has the name.
        path: PathBuf,
    },
}

/// Plain words where the system's would puzzle.
fn reason(source: &io::Error) -> String {
    match source.kind() {
        io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory => {
            "a file stands there; choose another name".to_owned()
        }
        _ => source.to_string(),
    }
}

fn failed<'a>(path: &'a Path, action: &'static str) -> impl Fn(io::Error) -> FileError + use<'a> {
    move |source| FileError::Io { path: path.to_path_buf(), action, source }
}

/// Whether a file has the words within its first kilobyte.
pub(crate) fn is_marked(path: &Path, mark: &str) -> bool {
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    read.is_ok() && head.windows(mark.len()).any(|window| window == mark.as_bytes())
}

/// A folder to write files into.
///
/// From a path alone: one in which files without [`MARK`] stay as they are.
#[derive(Debug, Clone, Copy)]
pub struct Folder<'a> {
    /// Where it is; made if it does not exist.
    pub path: &'a Path,
    /// Whether files that are not ours, or are write-protected, may be replaced.
    pub force: bool,
}

impl<'a, P: AsRef<Path> + ?Sized> From<&'a P> for Folder<'a> {
    fn from(path: &'a P) -> Self {
        Self { path: path.as_ref(), force: false }
    }
}

impl Folder<'_> {
    /// Checks that files of these names may be written, before anything is.
    ///
    /// # Errors
    /// [`FileError`] naming the first file that may not be replaced.
    pub fn check<N: AsRef<Path>>(&self, names: impl IntoIterator<Item = N>) -> Result<(), FileError> {
        names.into_iter().try_for_each(|name| self.check_one(self.path.join(name)))
    }

    fn check_one(&self, path: PathBuf) -> Result<(), FileError> {
        // Nothing there, or no folder yet: making it tells what else is in the way.
        let Ok(meta) = fs::metadata(&path) else { return Ok(()) };
        match () {
            () if !meta.is_file() => Err(FileError::NotAFile { path }),
            () if self.force => Ok(()),
            () if !is_marked(&path, MARK) => Err(FileError::Foreign { path }),
            () if meta.permissions().readonly() => Err(FileError::Protected { path }),
            () => Ok(()),
        }
    }
}

/// Writes files into a folder, which is made if it does not exist, each under a temporary name that is renamed when the file is
/// whole; returns their paths. Where one of the names is taken by a file that may not be replaced, none is written.
///
/// # Errors
/// [`FileError`] naming the folder or file.
pub fn save_all<'a>(
    folder: impl Into<Folder<'a>>,
    files: &[(String, &[u8])],
) -> Result<Vec<PathBuf>, FileError> {
    let folder = folder.into();
    let dir = folder.path;
    fs::create_dir_all(dir).map_err(failed(dir, "make the folder"))?;
    folder.check(files.iter().map(|(name, _)| name))?;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_marked_files_are_replaced_without_force() {
        let place = tempfile::tempdir().unwrap();
        let path = |name: &str| place.path().join(name);
        let both = [("a.csv".to_owned(), &b"# made by wakebeat\n1"[..]), ("b.csv".to_owned(), b"2")];
        save_all(place.path(), &both[..1]).unwrap();
        fs::write(path("b.csv"), "mine").unwrap();
        let again = [("a.csv".to_owned(), &b"new"[..]), both[1].clone()];
        let error = save_all(place.path(), &again).unwrap_err();
        assert!(matches!(&error, FileError::Foreign { path } if path.ends_with("b.csv")), "{error}");
        assert_eq!(fs::read_to_string(path("b.csv")).unwrap(), "mine");
        assert!(is_marked(&path("a.csv"), MARK), "nothing is written where one is refused");
        save_all(Folder { path: place.path(), force: true }, &again).unwrap();
        assert_eq!(fs::read_to_string(path("b.csv")).unwrap(), "2");
        fs::create_dir(path("c.csv")).unwrap();
        let error = save_all(Folder { path: place.path(), force: true }, &[("c.csv".to_owned(), b"")]);
        assert!(matches!(error, Err(FileError::NotAFile { .. })));
    }
}
