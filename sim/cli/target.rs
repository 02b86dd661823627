//! Where a command writes its result file.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use wakebeat_engine::case::Case;
use wakebeat_engine::record;

use crate::failure::Failure;
use crate::interrupt;

/// Refuses a bad output before anything is computed: the case and its inputs are never overwritten.
///
/// # Errors
/// When the file must not or cannot be written.
pub fn check_target(target: &Path, force: bool, case_path: &Path, case: &Case) -> Result<(), Failure> {
    let folder = case_path.parent().unwrap_or(Path::new(""));
    let inputs: Vec<PathBuf> = case.inputs.iter().map(|input| folder.join(&input.path)).collect();
    let mut sources = vec![case_path];
    sources.extend(inputs.iter().map(PathBuf::as_path));
    let _writing = interrupt::writing();
    Ok(record::check_target(target, force, &sources)?)
}

/// Name of the case's folder + `.h5`, in the current folder; for a result file its own name.
pub fn default_output(case_path: &Path) -> PathBuf {
    let stem = if record::is_ours(case_path) { case_path.file_stem() } else { None };
    let mut name =
        stem.map(OsString::from).or_else(|| folder_name(case_path)).unwrap_or_else(|| "case".into());
    name.push(".h5");
    PathBuf::from(name)
}

/// Name of the folder a file lies in, also where the path does not spell it.
fn folder_name(file: &Path) -> Option<OsString> {
    let folder = file.canonicalize().ok()?;
    Some(folder.parent()?.file_name()?.to_os_string())
}
