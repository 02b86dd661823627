//! The input files of a case: fetched once each, kept with their hash.

use super::InputFile;
use super::problem::Problem;
use super::source::InputSource;
use super::values::Entry;
use super::walk::problem_at;
use sha2::{Digest, Sha256};

/// Fetches files and remembers what it fetched.
pub(super) struct Inputs<'a> {
    pub label: &'a str,
    pub source: &'a dyn InputSource,
    pub read: Vec<InputFile>,
}

impl Inputs<'_> {
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
