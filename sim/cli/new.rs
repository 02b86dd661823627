//! `wakebeat new`: a starter case in a folder.

use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

use serde_json::json;
use wakebeat_engine::case::{Scenario, scenarios, schema};

use crate::args::NewArgs;
use crate::failure::Failure;
use crate::output::{Output, wrapped};

/// Name of the schema beside a case.
const SCHEMA_FILE: &str = "case.schema.json";
/// How a TOML language server finds it.
const SCHEMA_LINE: &str = "#:schema ./case.schema.json\n";

/// Writes the scenario's files and says what to type next.
///
/// # Errors
/// When a file exists or cannot be written; then none of them is left behind.
pub fn new(args: &NewArgs, output: Output) -> Result<(), Failure> {
    let (Some(scenario), Some(dir)) = (choose(args.scenario.as_deref()), &args.dir) else {
        return list(output); // an unknown name and a missing folder have been refused by the command line
    };
    let files = files(scenario, dir, args.schema);
    let existing: Vec<PathBuf> = files.iter().map(|(p, _)| p.clone()).filter(|p| p.exists()).collect();
    if !existing.is_empty() {
        return Err(Failure::Exists(existing));
    }
    write_all(&files)?;
    let names = || files.iter().map(|(p, _)| p.display().to_string()).collect::<Vec<_>>();
    output.answer(|| names().join("\n"), || json!({ "scenario": scenario.name, "files": names() }))?;
    let case = dir.join("case.toml");
    output.hint(&format!(
        "next: edit the case, then\n  wakebeat check {0}\n  wakebeat run {0}",
        case.display()
    ));
    Ok(())
}

/// The starter cases, one a line.
fn list(output: Output) -> Result<(), Failure> {
    let text = || {
        let width = scenarios().iter().map(|scenario| scenario.name.len()).max().unwrap_or(0);
        let line = |s: &Scenario| wrapped(&format!("{:<width$}  ", s.name), s.summary);
        scenarios().iter().map(line).collect::<Vec<_>>().join("\n")
    };
    let one = |s: &Scenario| json!({ "name": s.name, "summary": s.summary });
    output.answer(text, || json!({ "scenarios": scenarios().iter().map(one).collect::<Vec<_>>() }))?;
    output.hint("next: wakebeat new DIR --scenario NAME");
    Ok(())
}

/// Path and text of each file, `case.toml` first.
fn files(scenario: &Scenario, dir: &Path, with_schema: bool) -> Vec<(PathBuf, String)> {
    let mut files: Vec<(PathBuf, String)> =
        scenario.files.iter().map(|(name, text)| (dir.join(name), (*text).to_owned())).collect();
    if with_schema {
        if let Some((_, text)) = files.first_mut() {
            text.insert_str(0, SCHEMA_LINE);
        }
        files.push((dir.join(SCHEMA_FILE), format!("{:#}\n", schema())));
    }
    files
}

/// The named scenario, or the first.
fn choose(name: Option<&str>) -> Option<&'static Scenario> {
    match name {
        Some(name) => scenarios().iter().find(|s| s.name == name),
        None => scenarios().first(),
    }
}

/// Writes all files or none.
fn write_all(files: &[(PathBuf, String)]) -> Result<(), Failure> {
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
