//! `wakebeat new`: a starter case in a folder.

use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

use serde_json::json;
use wakebeat_engine::case::{Scenario, scenarios};

use crate::args::NewArgs;
use crate::failure::Failure;
use crate::output::Output;

/// Writes the scenario's files and says what to type next.
///
/// # Errors
/// When a file exists or cannot be written; then none of them is left behind.
pub fn new(args: &NewArgs, output: Output) -> Result<(), Failure> {
    let Some(scenario) = choose(args.scenario.as_deref()) else {
        return Ok(()); // no such name: the command line parser has refused it already
    };
    let files: Vec<(PathBuf, &str)> =
        scenario.files.iter().map(|(name, text)| (args.dir.join(name), *text)).collect();
    let existing: Vec<PathBuf> = files.iter().map(|(p, _)| p.clone()).filter(|p| p.exists()).collect();
    if !existing.is_empty() {
        return Err(Failure::Exists(existing));
    }
    write_all(&files)?;
    let names = || files.iter().map(|(p, _)| p.display().to_string()).collect::<Vec<_>>();
    output.answer(|| names().join("\n"), || json!({ "scenario": scenario.name, "files": names() }))?;
    let case = args.dir.join("case.toml");
    output.hint(&format!(
        "next: edit the case, then\n  wakebeat check {0}\n  wakebeat run {0}",
        case.display()
    ));
    Ok(())
}

/// The named scenario, or the first.
fn choose(name: Option<&str>) -> Option<&'static Scenario> {
    match name {
        Some(name) => scenarios().iter().find(|s| s.name == name),
        None => scenarios().first(),
    }
}

/// Writes all files or none.
fn write_all(files: &[(PathBuf, &str)]) -> Result<(), Failure> {
    let mut written = Vec::new();
    for (path, text) in files {
        if let Err(source) = write_one(path, text, &mut written) {
            for path in &written {
                let _ = fs::remove_file(path);
            }
            return Err(Failure::Write { path: path.clone(), source });
        }
    }
    Ok(())
}

/// Writes one new file and notes it as soon as it exists.
fn write_one<'a>(path: &'a Path, text: &str, written: &mut Vec<&'a Path>) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    written.push(path);
    file.write_all(text.as_bytes())?;
    file.sync_all()
}
