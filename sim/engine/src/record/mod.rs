//! The result file: HDF5 that h5py and xarray open, written whole or not at all.
//!
//! Only this module knows HDF5. What the file holds (groups, names, units, words, dimensions) stands once in
//! the private module `schema`, from which the writer and the reader both work. Every array has `units` and
//! `long_name`, and every dimension an attached scale, so that `xarray.open_datatree(FILE, engine="h5netcdf")`
//! finds coordinates in every group.
//!
//! Two files of the same run differ in the attribute `created_utc` and in nothing else.

mod error;
mod image;
mod inputs;
mod read;
mod scales;
mod schema;
mod sweep;
mod target;
mod write;

use std::collections::BTreeMap;
use std::path::Path;

pub use error::RecordError;
pub(crate) use sweep::{Block, Blocks, PartHead, assemble, read_part, read_part_head, write_part};
pub use sweep::{FurtherHeader, SweepHeader, SweepRecord, merge_shards, read_sweep};
pub use target::{check_page_target, check_target, save_text};
pub use write::{MarchFile, MarchHead};

use crate::base::field::{Field, FieldValues};
use crate::case::{self, Case, Problems};
use crate::point::result::PointResult;

/// Everything a file of kind `run` holds.
#[derive(Debug, Clone)]
pub struct RunRecord {
    /// The resolved case as TOML text.
    pub case_toml: String,
    /// Path, as the case names it, and text of each file the case reads.
    pub inputs: Vec<(String, String)>,
    /// The answer.
    pub result: PointResult,
    /// Version of the program that computed it.
    pub program_version: String,
    /// When it was computed, RFC 3339 in UTC; see [`now_utc`].
    pub created_utc: String,
}

impl RunRecord {
    /// The case as it was run, from the text and the input files held here; `label` names it in messages,
    /// `sets` are overrides `KEY=VALUE`.
    ///
    /// # Errors
    /// All problems of the case at once: after overrides, or when the file comes from another version.
    pub fn case(&self, label: &str, sets: &[String]) -> Result<Case, Problems> {
        let inputs: BTreeMap<String, String> = self.inputs.iter().cloned().collect();
        case::from_text(label, &self.case_toml, &inputs, sets)
    }
}

/// Everything a file of named arrays holds: kinds `mount` and `march`.
#[derive(Debug, Clone)]
pub struct FieldRecord {
    /// Kind of the file.
    pub kind: String,
    /// The resolved case as TOML text.
    pub case_toml: String,
    /// Path, as the case names it, and text of each file the case reads.
    pub inputs: Vec<(String, String)>,
    /// The arrays, scales among them.
    pub fields: Vec<Field>,
    /// Version of the program that computed it.
    pub program_version: String,
    /// When it was computed, RFC 3339 in UTC; see [`now_utc`].
    pub created_utc: String,
}

impl FieldRecord {
    /// A field by its path.
    #[must_use]
    pub fn field(&self, path: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.path == path)
    }

    /// The numbers of a field; none where it is absent or holds texts.
    #[must_use]
    pub fn numbers(&self, path: &str) -> &[f64] {
        match self.field(path).map(|field| &field.values) {
            Some(FieldValues::Numbers(values)) => values,
            _ => &[],
        }
    }

    /// The texts of a field; none where it is absent or holds numbers.
    #[must_use]
    pub fn texts(&self, path: &str) -> &[String] {
        match self.field(path).map(|field| &field.values) {
            Some(FieldValues::Texts(values)) => values,
            _ => &[],
        }
    }
}

/// Writes a file of named arrays as [`write_run`] writes a run.
///
/// # Errors
/// As [`write_run`].
pub fn write_fields(path: &Path, record: &FieldRecord, force: bool) -> Result<(), RecordError> {
    check_target(path, force, &[])?;
    target::save(path, &write::fields_image(path, record)?)
}

/// Reads a file of kind `mount`.
///
/// # Errors
/// As [`read_run`].
pub fn read_mount(path: &Path) -> Result<FieldRecord, RecordError> {
    read::fields(path, schema::KIND_MOUNT)
}

/// Reads a file of kind `march`.
///
/// # Errors
/// As [`read_run`].
pub fn read_march(path: &Path) -> Result<FieldRecord, RecordError> {
    read::fields(path, schema::KIND_MARCH)
}

/// What every result file holds, of any kind: the case and its inputs.
#[derive(Debug, Clone)]
pub struct CaseRecord {
    /// Root attribute `kind`: `run`, `sweep`.
    pub kind: String,
    /// The resolved case as TOML text.
    pub case_toml: String,
    /// Path, as the case names it, and text of each file the case reads.
    pub inputs: Vec<(String, String)>,
}

impl CaseRecord {
    /// The case, from the text and the input files held here; `label` names it in messages, `sets` are overrides
    /// `KEY=VALUE`.
    ///
    /// # Errors
    /// All problems of the case at once: after overrides, or when the file comes from another version.
    pub fn case(&self, label: &str, sets: &[String]) -> Result<Case, Problems> {
        let inputs: BTreeMap<String, String> = self.inputs.iter().cloned().collect();
        case::from_text(label, &self.case_toml, &inputs, sets)
    }
}

/// Reads the case that a result file of any kind holds.
///
/// # Errors
/// [`RecordError`] when the file cannot be opened, is not ours, has a newer schema, or lacks its case.
pub fn read_case(path: &Path) -> Result<CaseRecord, RecordError> {
    read::case(path)
}

/// The present moment to the second, RFC 3339 in UTC, such as `2026-01-31T12:00:00Z`.
#[must_use]
pub fn now_utc() -> String {
    jiff::Timestamp::from_second(jiff::Timestamp::now().as_second())
        .unwrap_or(jiff::Timestamp::UNIX_EPOCH)
        .to_string()
}

/// Writes a result file under a temporary name in the same folder, syncs it and renames it to `path`.
///
/// On any error the temporary file is removed and an earlier file under `path` stays as it was.
///
/// # Errors
/// [`RecordError`] as for [`check_target`]; when arrays of the result disagree in size; when a text holds a NUL
/// character; when the disk is full or the folder cannot be written.
pub fn write_run(path: &Path, record: &RunRecord, force: bool) -> Result<(), RecordError> {
    check_target(path, force, &[])?;
    target::save(path, &write::run_image(path, record)?)
}

/// Reads a result file of kind `run`.
///
/// # Errors
/// [`RecordError`] when the file cannot be opened, is not ours, has another kind or a newer schema, or lacks
/// something the schema asks for.
pub fn read_run(path: &Path) -> Result<RunRecord, RecordError> {
    read::run(path)
}

/// Whether a file is a result file of this program, of any kind and version.
#[must_use]
pub fn is_ours(path: &Path) -> bool {
    read::is_ours(path)
}
