//! Reads the reference tables under `validation/data`.
//!
//! A table is CSV with one header row of column names; lines that begin with `#` hold its formula, source, error
//! and units; fields may be quoted.

use thiserror::Error;

/// What is wrong with a reference table or with what is asked of it.
#[derive(Debug, Error)]
pub enum ReferenceError {
    /// The text is not CSV with equally long rows.
    #[error("reference table cannot be read")]
    Csv(#[from] csv::Error),
    /// No column of that name.
    #[error("no column `{0}` in the reference table")]
    NoColumn(String),
    /// A field that should be a number is not.
    #[error("`{text}` in column `{column}` is not a number")]
    NotANumber {
        /// Column name.
        column: String,
        /// Field as written.
        text: String,
    },
}

/// A reference table: named columns, rows of text.
#[derive(Debug, Clone)]
pub struct Table {
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row of a [`Table`].
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    columns: &'a [String],
    fields: &'a [String],
}

impl Table {
    /// Reads a table from its text.
    ///
    /// # Errors
    /// [`ReferenceError::Csv`] if the text is not CSV with equally long rows.
    pub fn parse(text: &str) -> Result<Self, ReferenceError> {
        let mut reader =
            csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
        let columns = reader.headers()?.iter().map(str::to_owned).collect();
        let rows = reader
            .records()
            .map(|record| Ok(record?.iter().map(str::to_owned).collect()))
            .collect::<Result<_, csv::Error>>()?;
        Ok(Self { columns, rows })
    }

    /// The rows, top first.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|fields| Row { columns: &self.columns, fields })
    }

    /// A whole column of numbers.
    ///
    /// # Errors
    /// As [`Row::number`].
    pub fn column(&self, name: &str) -> Result<Vec<f64>, ReferenceError> {
        self.rows().map(|row| row.number(name)).collect()
    }
}

impl<'a> Row<'a> {
    /// A field as text.
    ///
    /// # Errors
    /// [`ReferenceError::NoColumn`] if the table has no such column.
    pub fn text(&self, column: &str) -> Result<&'a str, ReferenceError> {
        let at = self.columns.iter().position(|name| name == column);
        at.map(|at| self.fields[at].as_str()).ok_or_else(|| ReferenceError::NoColumn(column.to_owned()))
    }

    /// A field as a number.
    ///
    /// # Errors
    /// [`ReferenceError`] if the table has no such column or the field is not a number.
    pub fn number(&self, column: &str) -> Result<f64, ReferenceError> {
        let text = self.text(column)?;
        text.parse()
            .map_err(|_| ReferenceError::NotANumber { column: column.to_owned(), text: text.to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# formula: a, b\nname,value\n\"one, quoted\",1.5\nother,x\n";

    #[test]
    fn comments_are_skipped_and_quotes_kept_together() {
        let table = Table::parse(TEXT).unwrap();
        let first = table.rows().next().unwrap();
        assert_eq!(first.text("name").unwrap(), "one, quoted");
        assert_eq!(first.number("value").unwrap(), 1.5);
    }

    #[test]
    fn missing_columns_and_words_for_numbers_are_errors() {
        let table = Table::parse(TEXT).unwrap();
        assert!(matches!(table.column("absent"), Err(ReferenceError::NoColumn(_))));
        assert!(matches!(table.column("value"), Err(ReferenceError::NotANumber { .. })));
        assert!(matches!(Table::parse("a,b\n1\n"), Err(ReferenceError::Csv(_))));
    }
}
