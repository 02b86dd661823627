//! `wakebeat mount`: what shakes, at which speed, and is it stable.

use wakebeat_engine::case::Case;
use wakebeat_engine::mount::{fields, study};
use wakebeat_engine::record::{self, FieldRecord};
use wakebeat_engine::trim;

use crate::args::MountArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::mount_summary::MountSummary;
use crate::output::Output;
use crate::target::{check_target, default_output};

/// Reads the case, computes the mount's answer, writes the result file, prints the summary.
///
/// # Errors
/// When the case is bad or has no mount, the mount has no answer, or the file cannot be written; then nothing is written.
pub fn mount(args: &MountArgs, output: Output) -> Result<(), Failure> {
    interrupt::install()?;
    let case_path = &args.case.case;
    let case = load(&args.case)?;
    let Some(mount) = &case.mount else { return Err(Failure::NoMount { file: case.file }) };
    let target = args.output.clone().unwrap_or_else(|| default_output(case_path));
    check_target(&target, args.force, case_path, &case)?;
    let flown = trim::solve(&case.point, case.trim.as_ref())?;
    let result = study::study(&flown.point, mount)?;
    let record = mount_record(&case, fields::fields(&result, mount));
    {
        let _writing = interrupt::writing();
        record::write_fields(&target, &record, args.force)?;
    }
    let summary = MountSummary { case: &case, mount, result: &result, file: &target };
    output.answer(|| summary.text(), || summary.json())
}

/// The record of a case with its arrays.
fn mount_record(case: &Case, fields: Vec<wakebeat_engine::base::field::Field>) -> FieldRecord {
    FieldRecord {
        kind: "mount".to_owned(),
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        fields,
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        created_utc: record::now_utc(),
    }
}
