//! The input files of a case: fetched once each, kept with their hash.

use super::InputFile;
use super::blade_file::blade_table;
use super::problem::Problem;
use super::section_file::section_table;
use super::shape_file::section_shape;
use super::source::InputSource;
use super::survey_file::survey_data;
use super::values::Entry;
use super::walk::problem_at;
use crate::point::input::{BladeTable, SectionTable, SurveyData};
use crate::section::shape::SectionShape;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// Fetches files and remembers what it fetched.
pub(super) struct Inputs<'a> {
    pub label: &'a str,
    pub source: &'a dyn InputSource,
    pub read: Vec<InputFile>,
    pub parsed: Parsed,
}

/// Files as they were understood, so that the points of a sweep do not read the same one again.
///
/// Files without problems only: what is kept depends on the text and on the words it may use, nothing else.
#[derive(Debug, Default)]
pub(super) struct Parsed {
    pub blades: BTreeMap<(String, Vec<String>), BladeTable>,
    pub tables: BTreeMap<String, SectionTable>,
    pub shapes: BTreeMap<String, SectionShape>,
    pub surveys: BTreeMap<String, SurveyData>,
}

impl<'a> Inputs<'a> {
    pub(super) fn new(label: &'a str, source: &'a dyn InputSource) -> Self {
        Self { label, source, read: Vec::new(), parsed: Parsed::default() }
    }

    /// The blade in the file a key names; `sections` are the names its rows may use.
    pub(super) fn blade(
        &mut self,
        entry: &Entry,
        path: &str,
        sections: &[String],
    ) -> Result<BladeTable, Vec<Problem>> {
        let key = (path.to_owned(), sections.to_vec());
        if let Some(kept) = self.parsed.blades.get(&key) {
            return Ok(kept.clone());
        }
        let table = blade_table(path, &self.text(entry, path).map_err(|problem| vec![*problem])?, sections)?;
        Ok(self.parsed.blades.entry(key).or_insert(table).clone())
    }

    /// The section table in the file a key names.
    pub(super) fn section_table(&mut self, entry: &Entry, path: &str) -> Result<SectionTable, Vec<Problem>> {
        if let Some(kept) = self.parsed.tables.get(path) {
            return Ok(kept.clone());
        }
        let table = section_table(path, &self.text(entry, path).map_err(|problem| vec![*problem])?)?;
        Ok(self.parsed.tables.entry(path.to_owned()).or_insert(table).clone())
    }

    /// The outline in the file a key names.
    pub(super) fn section_shape(&mut self, entry: &Entry, path: &str) -> Result<SectionShape, Vec<Problem>> {
        if let Some(kept) = self.parsed.shapes.get(path) {
            return Ok(kept.clone());
        }
        let shape = section_shape(path, &self.text(entry, path).map_err(|problem| vec![*problem])?)?;
        Ok(self.parsed.shapes.entry(path.to_owned()).or_insert(shape).clone())
    }

    /// The velocity field in the file a key names.
    pub(super) fn survey(&mut self, entry: &Entry, path: &str) -> Result<SurveyData, Vec<Problem>> {
        if let Some(kept) = self.parsed.surveys.get(path) {
            return Ok(kept.clone());
        }
        let data = survey_data(path, &self.text(entry, path).map_err(|problem| vec![*problem])?)?;
        Ok(self.parsed.surveys.entry(path.to_owned()).or_insert(data).clone())
    }

    /// The text of the file a key names, or the problem at that key or in that file.
    pub(super) fn text(&mut self, entry: &Entry, path: &str) -> Result<String, Box<Problem>> {
        if let Some(held) = self.read.iter().find(|held| held.path == path) {
            return Ok(held.text.clone());
        }
        let bytes = self.source.read(path).map_err(|error| {
            let place = entry.place.unwrap_or(super::document::Place::Line(1));
            let what = format!("names a file that cannot be used: {path} {error}");
            let problem = problem_at(self.label, place, what)
                .key(super::keys::join(&entry.group, entry.spec.name))
                .value(entry.written.clone())
                .allowed(entry.spec.allowed());
            Box::new(problem)
        })?;
        let text = utf8(path, bytes)?;
        let sha256 = sha256_hex(&text);
        self.read.push(InputFile { path: path.to_owned(), text: text.clone(), sha256 });
        Ok(text)
    }
}

/// Bytes as text, or the place of the first byte that is no UTF-8.
pub(super) fn utf8(file: &str, bytes: Vec<u8>) -> Result<String, Box<Problem>> {
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let before = &error.as_bytes()[..valid];
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        let column = before.iter().rev().take_while(|byte| **byte != b'\n').count() + 1;
        let byte = error.as_bytes()[valid];
        let what = format!("is not UTF-8 text: byte 0x{byte:02x} at byte {column} of the line");
        let problem = Problem::of_file(file, what).at_line(Some(line)).allowed("UTF-8 text");
        Box::new(problem.hint("save the file as UTF-8, or take special characters out of its comments"))
    })
}

fn sha256_hex(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}
