//! `wakebeat mount`: what shakes, at which speed, is it stable, and what the mount has to carry over its life.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use wakebeat_engine::base::field::Field;
use wakebeat_engine::case::Case;
use wakebeat_engine::duty::{in_bands, past_limits};
use wakebeat_engine::mount::input::Mount;
use wakebeat_engine::mount::study::MountResult;
use wakebeat_engine::mount::{fields, study};
use wakebeat_engine::point::result::Warning;
use wakebeat_engine::record::{self, FieldRecord};
use wakebeat_engine::trim;
use wakebeat_postproc::Folder;
use wakebeat_postproc::sizing::{self, SizingData, size_case, tables};

use crate::args::MountArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::mount_summary::MountSummary;
use crate::output::{Output, warnings_json, wrapped};
use crate::sizing_summary;
use crate::target::{check_target, default_output};

/// Reads the case, computes the mount's answer, writes the result file and the tables, prints the summary.
///
/// # Errors
/// When the case is bad or has neither mount nor duty cycle, the mount has no answer, a segment cannot be flown, or a file cannot be
/// written; then nothing is written.
pub fn mount(args: &MountArgs, output: Output) -> Result<(), Failure> {
    interrupt::install()?;
    let case_path = &args.case.case;
    let case = load(&args.case)?;
    if case.mount.is_none() && case.duty.is_none() {
        return Err(Failure::NoMount { file: case.file });
    }
    let target = args.output.clone().unwrap_or_else(|| default_output(case_path));
    check_target(&target, args.force, case_path, &case)?;
    let tables_dir = args.tables.clone().unwrap_or_else(|| default_tables(&target));
    let folder = Folder { path: &tables_dir, force: args.force };
    folder.check(tables::names(case.duty.as_ref(), case.limit.is_some() && case.mount.is_some()))?;
    let response = case.mount.as_ref().map(|mount| {
        let flown = trim::solve(&case.point, case.trim.as_ref())?;
        Ok::<_, Failure>((mount, study::study(&flown.point, mount, case.trim.as_ref())?))
    });
    let response = response.transpose()?;
    let sizing = size_case(&case)?;
    let warnings = all_warnings(&case, response.as_ref().map(|(_, result)| result), &sizing);
    let mut all = response.as_ref().map_or_else(Vec::new, |(mount, result)| fields::fields(result, mount));
    all.extend(sizing::fields(&sizing));
    all.extend(fields::warnings(&warnings));
    let record = mount_record(&case, all);
    let tables = {
        let _writing = interrupt::writing();
        record::write_fields(&target, &record, args.force)?;
        write_tables(folder, &sizing)?
    };
    let answer = Answer {
        case: &case,
        response: response.as_ref(),
        sizing: &sizing,
        warnings: &warnings,
        file: &target,
        tables: &tables,
    };
    output.answer(|| answer.text(), || answer.json())
}

/// The warnings of the response with what duty cycle and engine add to them.
fn all_warnings(case: &Case, response: Option<&MountResult>, sizing: &SizingData) -> Vec<Warning> {
    let segments = sizing.duty.as_ref().map_or(&[][..], |duty| &duty.segments);
    let (mut all, bands) =
        response.map_or((Vec::new(), &[][..]), |result| (result.warnings.clone(), &result.bands[..]));
    all.extend(in_bands(segments, bands));
    all.extend(past_limits(segments, &all));
    if case.limit.as_ref().is_some_and(|limit| limit.factors.engine.has_cylinders()) {
        let text = "firing pulses and reciprocating unbalance of the piston engine, as a rule the larger part of what shakes its mount, are \
                    in no number here but the torque factor of the limit loads: the engine maker's figures come on top";
        all.push(Warning { name: "piston_engine", text: text.into() });
    }
    all
}

/// The tables as CSV in a folder beside the result file; none where there is nothing to tabulate.
fn write_tables(folder: Folder<'_>, sizing: &SizingData) -> Result<Vec<PathBuf>, Failure> {
    let all = tables::tables(sizing);
    if all.is_empty() {
        return Ok(Vec::new());
    }
    Ok(tables::save_tables(folder, &all)?)
}

/// `my-pusher.h5` → `my-pusher-tables`, beside it.
fn default_tables(target: &Path) -> PathBuf {
    let mut name = target.file_stem().unwrap_or_default().to_os_string();
    name.push("-tables");
    target.with_file_name(name)
}

/// Everything there is to say.
struct Answer<'a> {
    case: &'a Case,
    response: Option<&'a (&'a Mount, MountResult)>,
    sizing: &'a SizingData,
    /// Of response, duty cycle and engine.
    warnings: &'a [Warning],
    file: &'a Path,
    tables: &'a [PathBuf],
}

impl Answer<'_> {
    fn summary(&self) -> Option<MountSummary<'_>> {
        let (mount, result) = self.response?;
        Some(MountSummary { case: self.case, mount, result, warnings: self.warnings, file: self.file })
    }

    fn text(&self) -> String {
        let mut lines = Vec::new();
        let more = sizing_summary::text(self.sizing);
        match self.summary() {
            // Spectra and limit loads share the screen with what shakes.
            Some(summary) if !more.is_empty() => lines.push(summary.short_text()),
            Some(summary) => lines.push(summary.text()),
            None => {
                lines.push(self.case.title.clone());
                lines.extend(self.warnings.iter().map(|w| wrapped("warning: ", &w.text)));
                lines.push(format!("result file: {}", self.file.display()));
            }
        }
        if !more.is_empty() {
            lines.push(String::new());
        }
        lines.extend(more);
        if let Some(folder) = self.tables.first().and_then(|table| table.parent()) {
            lines.push(format!("tables: {}", folder.display()));
        }
        lines.join("\n")
    }

    fn json(&self) -> Value {
        let mut all = self.summary().map_or_else(
            || json!({ "title": self.case.title, "file": self.file.display().to_string() }),
            |summary| summary.json(),
        );
        all["warnings"] = warnings_json(self.warnings);
        all["sizing"] = sizing_summary::json(self.sizing);
        all["tables"] =
            json!(self.tables.iter().map(|table| table.display().to_string()).collect::<Vec<_>>());
        all
    }
}

/// The record of a case with its arrays.
fn mount_record(case: &Case, fields: Vec<Field>) -> FieldRecord {
    FieldRecord {
        kind: "mount".to_owned(),
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        fields,
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        created_utc: record::now_utc(),
    }
}
