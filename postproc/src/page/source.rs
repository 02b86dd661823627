//! A result file of any kind with its case.

use std::path::Path;

use wakebeat_engine::case::Case;
use wakebeat_engine::record::{self, FieldRecord, RunRecord, SweepRecord};

use super::{Section, file_name, march, mount, run, sweep};
use crate::PlotError;

/// A result file, read.
pub struct Source {
    /// Name of the file, without folders.
    pub label: String,
    /// The case it answers.
    pub case: Case,
    content: Content,
}

enum Content {
    Run(Box<RunRecord>),
    Sweep(Box<SweepRecord>),
    Mount(FieldRecord),
    March(FieldRecord),
}

impl Source {
    /// Reads a result file of any kind.
    ///
    /// # Errors
    /// [`PlotError`] when the file cannot be read, is not ours, or holds a case of another version.
    pub fn read(file: &Path) -> Result<Self, PlotError> {
        let head = record::read_case(file)?;
        let content = match head.kind.as_str() {
            "sweep" => Content::Sweep(Box::new(record::read_sweep(file)?)),
            "mount" => Content::Mount(record::read_mount(file)?),
            "march" => Content::March(record::read_march(file)?),
            // Any other kind is refused there, by name.
            _ => Content::Run(Box::new(record::read_run(file)?)),
        };
        let case = head
            .case(&file.display().to_string(), &[])
            .map_err(|problems| PlotError::Case { path: file.to_path_buf(), problems })?;
        Ok(Self { label: file_name(file), case, content })
    }

    /// Title of the case, or the name of the file.
    pub(super) fn title(&self) -> &str {
        if self.case.title.is_empty() { &self.label } else { &self.case.title }
    }

    pub(super) fn kind_words(&self) -> &'static str {
        match &self.content {
            Content::Run(_) => "One operating point",
            Content::Sweep(_) => "A sweep over a grid",
            Content::Mount(_) => "The motor mount",
            Content::March(_) => "A march in time",
        }
    }

    /// Version of the program and time of the computation.
    pub(super) fn made(&self) -> (&str, &str) {
        match &self.content {
            Content::Run(record) => (&record.program_version, &record.created_utc),
            Content::Sweep(record) => (&record.program_version, &record.created_utc),
            Content::Mount(record) | Content::March(record) => (&record.program_version, &record.created_utc),
        }
    }

    pub(super) fn section(&self, number: usize) -> Result<Section, PlotError> {
        // Tells figures of one file from those of another.
        let id = format!("f{number}");
        match &self.content {
            Content::Run(record) => run::section(record, &self.case, &id),
            Content::Sweep(record) => sweep::section(record, &self.case, (&self.label, &id)),
            Content::Mount(record) => mount::section(record, &self.case, &id),
            Content::March(record) => march::section(record, &self.case, &id),
        }
    }
}
