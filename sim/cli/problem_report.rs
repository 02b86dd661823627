//! Errors for scripts: what `--json` prints on stderr.

use std::io::Write;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue};
use serde_json::{Value, json};
use wakebeat_engine::case::Problem;

use crate::FAILURE;

/// How a hint begins in the text of an error.
const HINT: &str = "\n  hint: ";

/// The object: the whole text, and each problem in its parts; null where a part is missing.
pub fn as_json(text: &str, problems: &[Problem]) -> Value {
    json!({ "error": text.trim_end(), "problems": problems.iter().map(one).collect::<Vec<_>>() })
}

fn one(problem: &Problem) -> Value {
    let given = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    json!({
        "file": given(&problem.file),
        "line": problem.line,
        "key": given(&problem.key),
        "value": given(&problem.value),
        "what": problem.what,
        "allowed": given(&problem.allowed),
        "hint": problem.hint,
    })
}

/// An error that is known as text only.
pub fn of_text(text: &str) -> Problem {
    let (what, hint) = text.split_once(HINT).map_or((text, None), |(what, hint)| (what, Some(hint)));
    Problem { hint: hint.map(str::to_owned), ..Problem::of_file("", what.trim_end()) }
}

/// The same for an error that begins with the file it is about.
pub fn of_file_text(text: &str) -> Problem {
    let whole = of_text(text);
    match whole.what.split_once(": ") {
        Some((file, what)) => Problem { hint: whole.hint.clone(), ..Problem::of_file(file, what) },
        None => whole,
    }
}

/// Ends a command whose line could not be understood: as the parser of the command line does, or with `--json` as an object.
pub fn of_command_line(error: &clap::Error) -> ExitCode {
    let json = std::env::args_os()
        .skip(1)
        .take_while(|argument| argument != "--")
        .any(|argument| argument == "--json");
    if !(json && error.use_stderr()) {
        // A closed stream is no reason to fail.
        let _ = error.print();
        return if error.use_stderr() { ExitCode::from(FAILURE) } else { ExitCode::SUCCESS };
    }
    let text = error.render().to_string();
    let _ = writeln!(std::io::stderr(), "{:#}", as_json(&text, &[usage_problem(error, &text)]));
    ExitCode::from(FAILURE)
}

/// The parts of an error of the command line; without a suggestion its hint is how the command is used.
fn usage_problem(error: &clap::Error, text: &str) -> Problem {
    let first_paragraph: Vec<&str> =
        text.lines().take_while(|line| !line.trim().is_empty()).map(str::trim).collect();
    let what = first_paragraph.join(" ");
    let context = |kind| error.get(kind).map(context_text).unwrap_or_default();
    let suggested = error.get(ContextKind::Suggested).map(context_text);
    let usage = || text.lines().find(|line| line.starts_with("Usage: ")).map(str::to_owned);
    Problem {
        key: context(ContextKind::InvalidArg),
        value: context(ContextKind::InvalidValue),
        allowed: context(ContextKind::ValidValue),
        hint: suggested.or_else(usage),
        ..Problem::of_file("", what.trim_start_matches("error: "))
    }
}

fn context_text(value: &ContextValue) -> String {
    match value {
        ContextValue::Strings(texts) => texts.join(", "),
        ContextValue::StyledStrs(texts) => {
            texts.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
        }
        other => other.to_string(),
    }
}
