//! Checked values of a case by key path.

use super::Origin;
use super::document::{Content, Place, number_to_toml};
use super::keys::KeySpec;
use std::collections::BTreeMap;
use toml_edit::Value;

/// A value of the right type within its range.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Checked {
    Text(String),
    Boolean(bool),
    Integer(u32),
    Number(f64),
    Numbers(Vec<f64>),
    Values(Vec<Content>),
}

impl Checked {
    pub(super) fn to_toml(&self) -> String {
        match self {
            Self::Text(text) => Value::from(text.as_str()).to_string().trim().to_owned(),
            Self::Boolean(flag) => flag.to_string(),
            Self::Integer(number) => number.to_string(),
            Self::Number(number) => number_to_toml(*number),
            Self::Numbers(numbers) => {
                let texts: Vec<String> = numbers.iter().map(|n| number_to_toml(*n)).collect();
                format!("[{}]", texts.join(", "))
            }
            Self::Values(items) => {
                let texts: Vec<String> = items.iter().map(Content::to_toml).collect();
                format!("[{}]", texts.join(", "))
            }
        }
    }
}

/// A checked value and where it came from.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub checked: Checked,
    pub origin: Origin,
    pub place: Option<Place>,
    /// The value as TOML text, a whole number where one was written.
    pub written: String,
    pub spec: &'static KeySpec,
    /// Group path with the member's name: `surface.wing`.
    pub group: String,
}

/// All checked values in the order of the reference; keys with a problem are missing.
#[derive(Debug, Default)]
pub(super) struct Values {
    entries: Vec<Entry>,
    index: BTreeMap<String, usize>,
    /// Names of the members of named groups in file order, by group path with the names of outer members filled in
    /// (`surface.NAME`, `surface.wing.flap.NAME`); `section` has one with an empty
    /// name where the case gives a default section.
    pub members: BTreeMap<String, Vec<String>>,
    /// Whether a member of an array has no valid name of its own, which is a problem already reported.
    pub some_unnamed: bool,
}

impl Values {
    pub(super) fn push(&mut self, entry: Entry) {
        self.index.insert(super::keys::join(&entry.group, entry.spec.name), self.entries.len());
        self.entries.push(entry);
    }

    pub(super) fn entries(&self) -> &[Entry] {
        &self.entries
    }

    pub(super) fn entry(&self, path: &str) -> Option<&Entry> {
        self.index.get(path).map(|&i| &self.entries[i])
    }

    /// Names of the members of a named group, in file order.
    pub(super) fn names(&self, group: &str) -> &[String] {
        self.members.get(group).map_or(&[], Vec::as_slice)
    }

    pub(super) fn number(&self, path: &str) -> Option<f64> {
        match self.entry(path)?.checked {
            Checked::Number(number) => Some(number),
            _ => None,
        }
    }

    /// A number in degrees, as radians.
    pub(super) fn radians(&self, path: &str) -> Option<f64> {
        self.number(path).map(f64::to_radians)
    }

    pub(super) fn count(&self, path: &str) -> Option<usize> {
        match self.entry(path)?.checked {
            Checked::Integer(number) => usize::try_from(number).ok(),
            _ => None,
        }
    }

    pub(super) fn boolean(&self, path: &str) -> Option<bool> {
        match self.entry(path)?.checked {
            Checked::Boolean(flag) => Some(flag),
            _ => None,
        }
    }

    pub(super) fn text(&self, path: &str) -> Option<&str> {
        match &self.entry(path)?.checked {
            Checked::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The items of a list whose types another key decides.
    pub(super) fn values(&self, path: &str) -> Option<&[Content]> {
        match &self.entry(path)?.checked {
            Checked::Values(items) => Some(items),
            _ => None,
        }
    }

    pub(super) fn numbers(&self, path: &str) -> Option<&[f64]> {
        match &self.entry(path)?.checked {
            Checked::Numbers(numbers) => Some(numbers),
            _ => None,
        }
    }
}
