//! Where text goes: data on stdout, the rest on stderr.

use std::io::{self, IsTerminal, Write};

use serde_json::{Value, json};
use wakebeat_engine::point::result::Warning;

use crate::args::OutputArgs;
use crate::failure::Failure;
use crate::problem_report;

/// Columns that text is wrapped to.
pub const WIDTH: usize = 100;

/// Text behind a label, wrapped to the screen; further lines hang under its first word.
pub fn wrapped(label: &str, text: &str) -> String {
    set_in(label, text, &" ".repeat(label.chars().count()))
}

/// Text behind a label, wrapped to the screen; further lines are set in by two spaces.
pub fn indented(label: &str, text: &str) -> String {
    set_in(label, text, "  ")
}

fn set_in(label: &str, text: &str, further: &str) -> String {
    textwrap::fill(text, textwrap::Options::new(WIDTH).initial_indent(label).subsequent_indent(further))
}

/// Warnings for scripts.
pub fn warnings_json(warnings: &[Warning]) -> Value {
    warnings.iter().map(|w| json!({ "name": w.name, "text": w.text })).collect()
}

/// The two streams and how much the user wants on them.
#[derive(Debug, Clone, Copy)]
pub struct Output {
    json: bool,
    quiet: bool,
}

impl Output {
    /// Follows the options of the command line.
    pub fn new(args: OutputArgs) -> Self {
        Self { json: args.json, quiet: args.quiet }
    }

    /// Prints a command's answer: as JSON if asked for, else as text unless quiet. Only the form that is
    /// printed is made.
    pub fn answer(self, text: impl FnOnce() -> String, json: impl FnOnce() -> Value) -> Result<(), Failure> {
        if self.json {
            self.data(&format!("{:#}", json()))
        } else if self.quiet {
            Ok(())
        } else {
            self.data(text().trim_end())
        }
    }

    /// Prints text that another program reads, quiet or not, with a line's end at its end; as JSON if asked for.
    pub fn script(self, text: &str, json: impl FnOnce() -> Value) -> Result<(), Failure> {
        if self.json { self.data(&format!("{:#}", json())) } else { self.data(text.trim_end_matches('\n')) }
    }

    /// Prints text that is all the command does, quiet or not.
    pub fn data(self, text: &str) -> Result<(), Failure> {
        let mut stdout = io::stdout().lock();
        writeln!(stdout, "{text}").and_then(|()| stdout.flush()).map_err(Failure::Stdout)
    }

    /// Whether progress is welcome on stderr.
    pub fn is_talkative(self) -> bool {
        !self.json && !self.quiet
    }

    /// Tells the user what to do next, unless that is noise.
    pub fn hint(self, text: &str) {
        if self.is_talkative() {
            // A closed stderr is no reason to fail.
            let _ = writeln!(io::stderr(), "{text}");
        }
    }

    /// Shows how far long work is, on one line of a terminal; nothing where stderr goes elsewhere or noise is not wanted.
    pub fn progress(self, text: &str) {
        if !self.quiet && io::stderr().is_terminal() {
            let short: String = text.chars().take(WIDTH).collect();
            let _ = write!(io::stderr(), "\r{short:WIDTH$}");
        }
    }

    /// Wipes the line of progress.
    pub fn progress_done(self) {
        if !self.quiet && io::stderr().is_terminal() {
            let _ = write!(io::stderr(), "\r{:WIDTH$}\r", "");
        }
    }

    /// Prints why the command ended: text, or with `--json` an object with the problems one by one.
    pub fn error(self, failure: &Failure) {
        let text = failure.to_string();
        let _ = if self.json {
            writeln!(io::stderr(), "{:#}", problem_report::as_json(&text, &failure.problems()))
        } else {
            let prefix = if text.starts_with("error") { "" } else { "error: " };
            writeln!(io::stderr(), "{prefix}{}", text.trim_end())
        };
    }
}
