//! Where a result may go, and how it gets there whole.

use std::fs::{self, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::{RecordError, is_ours};

/// Checks, before anything is computed, that a result can be written to `path`.
///
/// `sources` are the files the run reads: the case and its inputs. `force` allows a file that is not ours, or
/// is write-protected, to be replaced; it never allows an input to be.
///
/// # Errors
/// [`RecordError`] when the folder is missing or cannot be written, when `path` is a directory or a device, when
/// it is one of `sources`, or when it exists, is not ours (or is write-protected) and `force` is not given.
pub fn check_target(path: &Path, force: bool, sources: &[&Path]) -> Result<(), RecordError> {
    let foreign = |path| RecordError::Foreign { path };
    check(path, force, sources, (&is_ours, &foreign))
}

/// The same for a page, which is text: `is_ours` tells whether a file that exists is one of ours.
///
/// # Errors
/// As [`check_target`].
pub fn check_page_target(
    path: &Path,
    force: bool,
    sources: &[&Path],
    is_ours: &dyn Fn(&Path) -> bool,
) -> Result<(), RecordError> {
    let foreign = |path| RecordError::ForeignPage { path };
    check(path, force, sources, (is_ours, &foreign))
}

/// How to know a file of ours, and what to say of another.
type Ours<'a> = (&'a dyn Fn(&Path) -> bool, &'a dyn Fn(PathBuf) -> RecordError);

fn check(path: &Path, force: bool, sources: &[&Path], ours: Ours<'_>) -> Result<(), RecordError> {
    let place = destination(path);
    match fs::metadata(&place) {
        Ok(meta) => check_existing(path, &place, &meta, force, ours)?,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(source) => return Err(io_error(path, "look at the file")(source)),
    }
    if let Some(input) = sources.iter().find(|input| same_file(&place, input)) {
        return Err(RecordError::SameAsInput { path: path.to_path_buf(), input: input.to_path_buf() });
    }
    check_folder(path, folder(&place))
}

fn check_existing(
    path: &Path,
    place: &Path,
    meta: &fs::Metadata,
    force: bool,
    (is_ours, foreign): Ours<'_>,
) -> Result<(), RecordError> {
    let path = path.to_path_buf();
    if !meta.is_file() {
        return Err(RecordError::NotAFile { path });
    }
    if force {
        return Ok(());
    }
    if !is_ours(place) {
        return Err(foreign(path));
    }
    if meta.permissions().readonly() {
        return Err(RecordError::Protected { path });
    }
    Ok(())
}

/// Asks the system by making a file: permission bits tell nothing about a read-only file system, or to root.
fn check_folder(path: &Path, folder: &Path) -> Result<(), RecordError> {
    if !folder.is_dir() {
        return Err(RecordError::FolderMissing { path: path.to_path_buf(), folder: folder.to_path_buf() });
    }
    temporary(folder, path).map(drop).map_err(|source| RecordError::FolderNotWritable {
        path: path.to_path_buf(),
        folder: folder.to_path_buf(),
        source,
    })
}

/// Writes the bytes under a temporary name in the same folder, syncs, renames, and syncs the folder.
///
/// The temporary file removes itself when anything fails before the rename.
pub(super) fn save(path: &Path, bytes: &[u8]) -> Result<(), RecordError> {
    let mut file = temporary_beside(path)?;
    file.write_all(bytes).map_err(io_error(path, "write"))?;
    persist(path, file)
}

/// A temporary file in the folder of `path`, for a writer that needs a place of its own.
pub(super) fn temporary_beside(path: &Path) -> Result<tempfile::NamedTempFile, RecordError> {
    let place = destination(path);
    temporary(folder(&place), path).map_err(io_error(path, "make a temporary file"))
}

/// Syncs a finished temporary file, gives it its name, and syncs the folder.
pub(super) fn persist(path: &Path, file: tempfile::NamedTempFile) -> Result<(), RecordError> {
    let place = destination(path);
    let folder = folder(&place);
    file.as_file().sync_all().map_err(io_error(path, "write"))?;
    file.persist(&place).map_err(|failed| io_error(path, "rename the finished file")(failed.error))?;
    sync_folder(folder).map_err(io_error(path, "sync the folder"))
}

/// Writes a text whole or not at all.
///
/// # Errors
/// [`RecordError::Io`] when the file cannot be written; an earlier file under `path` then stays as it was.
pub fn save_text(path: &Path, text: &str) -> Result<(), RecordError> {
    save(path, text.as_bytes())
}

/// As [`save`], for a file that is written in place: `write` fills it under a temporary name in `room`, a folder of the
/// same file system.
pub(super) fn save_as(
    path: &Path,
    room: &Path,
    write: impl FnOnce(&Path) -> Result<(), RecordError>,
) -> Result<(), RecordError> {
    let file = temporary(room, path).map_err(io_error(path, "make a temporary file"))?;
    write(file.path())?;
    persist(path, file)
}

fn temporary(folder: &Path, path: &Path) -> io::Result<tempfile::NamedTempFile> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let mut builder = tempfile::Builder::new();
    let prefix = format!(".{name}.");
    builder.prefix(&prefix).suffix(".tmp");
    if let Some(permissions) = ordinary_permissions() {
        builder.permissions(permissions);
    }
    builder.tempfile_in(folder)
}

/// Reading and writing as the user's mask allows; a temporary file is private otherwise.
#[cfg(unix)]
fn ordinary_permissions() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn ordinary_permissions() -> Option<Permissions> {
    None
}

/// A rename lives in the folder, which has to reach the disk too.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    fs::File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Links that are followed to a file that is not there yet; the system's own limit is of this size.
const MOST_LINKS: usize = 40;

/// The file behind a symbolic link, there or not yet, so that a rename makes or replaces the file and not the link.
fn destination(path: &Path) -> PathBuf {
    let mut place = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&place) {
            // What a link names is meant from its own folder; an absolute path stays.
            Ok(target) => place = folder(&place).join(target),
            Err(_) => return place,
        }
    }
    path.to_path_buf()
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

fn same_file(a: &Path, b: &Path) -> bool {
    matches!((fs::canonicalize(a), fs::canonicalize(b)), (Ok(a), Ok(b)) if a == b)
}

/// Turns a system error into ours with the file and the action.
pub(super) fn io_error<'a>(
    path: &'a Path,
    action: &'static str,
) -> impl Fn(io::Error) -> RecordError + use<'a> {
    move |source| RecordError::Io { path: path.to_path_buf(), action, source }
}
