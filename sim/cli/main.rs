//! The `wakebeat` command: parses the command line, calls, and maps errors to exit codes.

use std::process::ExitCode;

use clap::Parser;

mod airframe;
mod args;
mod check;
mod check_grid;
mod choose;
mod clearances;
mod completions;
mod explain;
mod failure;
mod interrupt;
mod load;
mod load_table;
mod man;
mod march;
mod merge;
mod mount;
mod mount_summary;
mod new;
mod numbers;
mod output;
mod plot;
mod problem_report;
mod progress;
mod reference;
mod report;
mod run;
mod schema;
mod shares;
mod sizing_summary;
mod summary;
mod sweep;
mod sweep_summary;
mod table;
mod target;
mod validate;

use args::{Cli, Command};
use failure::Failure;
use output::Output;

/// What an operating point takes and gives back stays with the process: asking the system for it anew for each point
/// costs a tenth of the point.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Bad input or failure; 1 is kept for a check that failed.
pub const FAILURE: u8 = 2;
/// What a shell reports for a program that SIGINT ended.
const INTERRUPTED: u8 = 130;

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return problem_report::of_command_line(&error),
    };
    let output = Output::new(cli.output);
    let outcome = match &cli.command {
        Command::New(args) => new::new(args, output),
        Command::Check(args) => check::check(args, output),
        Command::Run(args) => run::run(args, output),
        Command::March(args) => march::march(args, output),
        Command::Mount(args) => mount::mount(args, output),
        Command::Sweep(args) => sweep::sweep(args, output),
        Command::Merge(args) => merge::merge(args, output),
        Command::Choose(args) => choose::choose(args, output),
        Command::Plot(args) => plot::plot(args, output),
        Command::Explain(args) => explain::explain(args, output),
        Command::Report(args) => report::report(args, output),
        Command::Schema => schema::schema(output),
        Command::Completions(args) => completions::completions(args, output),
        Command::Man(args) => man::man(args, output),
        Command::Validate(args) => return ended(validate::validate(args, output), output),
    };
    ended(outcome.map(|()| ExitCode::SUCCESS), output)
}

/// The exit code of a command that ended, well or not.
fn ended(outcome: Result<ExitCode, Failure>, output: Output) -> ExitCode {
    match outcome {
        Ok(code) => code,
        Err(failure) if failure.is_broken_pipe() => ExitCode::SUCCESS,
        Err(failure) => {
            output.error(&failure);
            ExitCode::from(if failure.is_interrupt() { INTERRUPTED } else { FAILURE })
        }
    }
}
