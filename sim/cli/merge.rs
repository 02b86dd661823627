//! `wakebeat merge`: the shards of a sweep into one file.

use wakebeat_engine::record;

use crate::args::MergeArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::output::Output;
use crate::sweep_summary::SweepSummary;

/// Merges the shards and prints what a sweep prints.
///
/// # Errors
/// When the shards do not make up one sweep, or the file cannot be written, then nothing is written; when no point has an answer, then the file
/// tells why.
pub fn merge(args: &MergeArgs, output: Output) -> Result<(), Failure> {
    interrupt::install()?;
    {
        let _writing = interrupt::writing();
        record::merge_shards(&args.files, &args.output, args.force)?;
    }
    let record = record::read_sweep(&args.output)?;
    record.check_answers()?;
    let summary = SweepSummary::new(&record, &args.output)?;
    output.answer(|| summary.text(), || summary.json())
}
