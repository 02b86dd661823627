//! `wakebeat run`: one operating point.

use wakebeat_engine::record::{self, RunRecord};
use wakebeat_engine::trim;

use crate::args::RunArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::output::Output;
use crate::summary::Summary;
use crate::target::{check_target, default_output};

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
