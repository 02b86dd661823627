//! A case from a case file or from a result file, which holds its case and inputs.

use std::collections::BTreeMap;

use wakebeat_engine::case::{self, Case};
use wakebeat_engine::record;

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
    let run = record::read_run(&args.case)?;
    let inputs: BTreeMap<String, String> = run.inputs.into_iter().collect();
    let label = args.case.display().to_string();
    Ok(case::from_text(&label, &run.case_toml, &inputs, &args.sets)?)
}
