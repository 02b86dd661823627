//! `wakebeat completions`: what a shell needs to complete commands, options and scenarios.

use clap::CommandFactory;
use serde_json::json;

use crate::args::{Cli, CompletionsArgs};
use crate::failure::Failure;
use crate::output::Output;

/// Prints the script of a shell.
///
/// # Errors
/// When stdout cannot be written.
pub fn completions(args: &CompletionsArgs, output: Output) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "wakebeat", &mut script);
    let script = String::from_utf8_lossy(&script);
    output.script(&script, || json!({ "shell": args.shell.to_string(), "script": script }))
}
