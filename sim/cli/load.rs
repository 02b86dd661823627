//! A case from a case file or from a result file, which holds its case and inputs.

use std::collections::BTreeMap;
use std::path::Path;

use wakebeat_engine::case::{self, Case};
use wakebeat_engine::record::{self, RunRecord};

use crate::args::CaseArgs;
use crate::failure::Failure;

/// Loads the case and applies the changes of `--set`.
///
/// # Errors
/// All problems of the case at once, or what is wrong with the result file.
pub fn load(args: &CaseArgs) -> Result<Case, Failure> {
    if !record::is_ours(&args.case) {
        return Ok(case::load(&args.case, &args.sets)?);
    }
    of_run(&args.case, &record::read_run(&args.case)?, &args.sets)
}

/// The case a result file holds.
///
/// # Errors
/// All problems of the case at once: another version may take fewer keys.
pub fn of_run(file: &Path, run: &RunRecord, sets: &[String]) -> Result<Case, Failure> {
    let inputs: BTreeMap<String, String> = run.inputs.iter().cloned().collect();
    Ok(case::from_text(&file.display().to_string(), &run.case_toml, &inputs, sets)?)
}
