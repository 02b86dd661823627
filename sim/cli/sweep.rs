//! `wakebeat sweep`: the grid of a case.

use std::path::{Path, PathBuf};

use wakebeat_engine::record;
use wakebeat_engine::study::{self, Shard, Start, SweepEnd, SweepOptions};

use crate::args::SweepArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::output::Output;
use crate::progress::ProgressLine;
use crate::sweep_summary::SweepSummary;
use crate::target::{check_target, default_output};

/// Reads the case, computes its grid, writes the result file, prints the summary.
///
/// # Errors
/// When the case is bad or has no grid, or a file cannot be written, then what is done is kept for `--resume`; when no point has an
/// answer, then the file tells why.
pub fn sweep(args: &SweepArgs, output: Output) -> Result<(), Failure> {
    let stop = interrupt::install_gentle()?;
    let case_path = &args.case.case;
    let case = load(&args.case)?;
    case.grid()?;
    let shard = args.shard.unwrap_or(Shard::WHOLE);
    let target = args.output.clone().unwrap_or_else(|| shard_output(case_path, shard));
    check_target(&target, args.force, case_path, &case)?;
    let options = SweepOptions {
        threads: args.threads.map_or_else(study::all_threads, usize::from),
        shard,
        start: match (args.resume, args.restart) {
            (true, _) => Start::Resume,
            (_, true) => Start::Restart,
            _ => Start::Fresh,
        },
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
    };
    let mut line = ProgressLine::new(output.is_talkative());
    let end = study::sweep(&case, &target, &options, stop, &mut |progress| line.show(progress));
    line.end();
    if let SweepEnd::Stopped(progress, folder) = end? {
        return Err(Failure::Interrupted { done: progress.done, folder });
    }
    let record = record::read_sweep(&target)?;
    // A shard without an answer may be a part of a grid that has some.
    if record.shard.is_whole() {
        record.check_answers()?;
    }
    let summary = SweepSummary::new(&record, &target)?;
    output.answer(|| summary.text(), || summary.json())
}

/// The default output; a shard has its number in it, so that shards lie beside each other.
fn shard_output(case_path: &Path, shard: Shard) -> PathBuf {
    let output = default_output(case_path);
    if shard.is_whole() {
        return output;
    }
    output.with_extension(format!("{}of{}.h5", shard.number(), shard.of()))
}
