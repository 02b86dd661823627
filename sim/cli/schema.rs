//! `wakebeat schema`: every key of a case file.

use wakebeat_engine::case;

use crate::failure::Failure;
use crate::output::Output;

/// Prints the schema; it is JSON with or without `--json`.
///
/// # Errors
/// When stdout cannot be written.
pub fn schema(output: Output) -> Result<(), Failure> {
    output.data(&format!("{:#}", case::schema()))
}
