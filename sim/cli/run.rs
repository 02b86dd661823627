//! `wakebeat run`: one operating point.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use wakebeat_engine::case::Case;
use wakebeat_engine::record::{self, RunRecord};
use wakebeat_engine::trim;

use crate::args::RunArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::output::Output;
use crate::summary::Summary;

/// Reads the case, computes, writes the result file, prints the summary.
///
/// # Errors
/// When the case is bad, the point has no answer, or the file cannot be written; then nothing is written.
pub fn run(args: &RunArgs, output: Output) -> Result<(), Failure> {
    interrupt::install()?;
    let case_path = &args.case.case;
    let case = load(&args.case)?;
    let target = args.output.clone().unwrap_or_else(|| default_output(case_path));
    check_target(&target, args.force, case_path, &case)?;

    let flown = trim::solve(&case.point, case.trim.as_ref())?;
    let record = RunRecord {
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        result: flown.result,
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        created_utc: record::now_utc(),
    };
    {
        let _writing = interrupt::writing();
        record::write_run(&target, &record, args.force)?;
    }

    let summary = Summary {
        case: &case,
        point: &flown.point,
        trimmed: flown.trimmed.as_ref(),
        result: &record.result,
        file: &target,
    };
    output.answer(|| summary.text(), || summary.json())
}

/// Refuses a bad output before anything is computed: the case and its inputs are never overwritten.
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
