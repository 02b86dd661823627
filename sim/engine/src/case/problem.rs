//! What is wrong with a case, in words a designer can act on.

use std::fmt;

/// One thing that is wrong with a case, an override or an input file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// File as the user named it, or `--set` for an override.
    pub file: String,
    /// Line in the file, counted from 1, where it is known.
    pub line: Option<usize>,
    /// Path of the key, or the column of a table; empty where the file as a whole is meant.
    pub key: String,
    /// The value as written; empty where there is none.
    pub value: String,
    /// What is wrong, without full stop.
    pub what: String,
    /// What would be accepted; empty where `what` says it all.
    pub allowed: String,
    /// What to try.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem of a file as a whole.
    #[must_use]
    pub fn of_file(file: impl Into<String>, what: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            line: None,
            key: String::new(),
            value: String::new(),
            what: what.into(),
            allowed: String::new(),
            hint: None,
        }
    }

    pub(super) fn at_line(mut self, line: Option<usize>) -> Self {
        self.line = line;
        self
    }

    pub(super) fn key(mut self, key: impl Into<String>) -> Self {
        self.key = key.into();
        self
    }

    pub(super) fn value(mut self, value: impl Into<String>) -> Self {
        self.value = value.into();
        self
    }

    pub(super) fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = allowed.into();
        self
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

impl fmt::Display for Problem {
    /// ``file:line: `key = value` what; allowed: …``, then a line `  hint: …`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        write!(f, ":")?;
        match (self.key.is_empty(), self.value.is_empty()) {
            (false, false) => write!(f, " `{} = {}`", self.key, self.value)?,
            (false, true) => write!(f, " `{}`", self.key)?,
            (true, false) => write!(f, " `{}`", self.value)?,
            (true, true) => {}
        }
        write!(f, " {}", self.what)?;
        if !self.allowed.is_empty() {
            write!(f, "; allowed: {}", self.allowed)?;
        }
        if let Some(hint) = &self.hint {
            write!(f, "\n  hint: {hint}")?;
        }
        Ok(())
    }
}

/// A count with its noun: `1 entry`, `3 entries`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Every problem found in one case; never empty when returned as an error.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl fmt::Display for Problems {
    /// One block for each problem, in the order found.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.0.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

impl Problems {
    /// Files in the order first mentioned, each file by line; problems without a line come first. A file that
    /// is read for two keys is reported once.
    pub(super) fn sorted(mut self) -> Self {
        let mut files: Vec<String> = Vec::new();
        for problem in &self.0 {
            if !files.contains(&problem.file) {
                files.push(problem.file.clone());
            }
        }
        self.0.sort_by_key(|p| (files.iter().position(|f| *f == p.file), p.line));
        self.0.dedup();
        self
    }
}
