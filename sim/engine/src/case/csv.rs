//! Comma-separated tables with `#` comments and one header line.

use super::keys::Range;
use super::nearest::nearest;
use super::problem::Problem;

/// A column a table may have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub name: &'static str,
    pub required: bool,
    /// Range and unit of a number; `None` for a text.
    pub number: Option<(Range, &'static str)>,
}

/// A table read from a file: every row has as many cells as the header.
#[derive(Debug)]
pub(super) struct Table {
    pub file: String,
    header_line: usize,
    columns: Vec<String>,
    /// Line and cells of each row.
    pub rows: Vec<(usize, Vec<String>)>,
}

/// Splits a text into a table and checks its header against the known columns.
///
/// # Errors
/// All problems of header and row lengths; an empty table is one too.
pub(super) fn read(file: &str, text: &str, known: &[Column]) -> Result<Table, Vec<Problem>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines = text
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let Some((header_line, header)) = lines.next() else {
        let problem = Problem::of_file(file, "is empty: no header and no rows");
        return Err(vec![problem.allowed(format!("a header with {}, then rows", required(known)))]);
    };
    let lines: Vec<(usize, &str)> = lines.collect();
    if let Some(problem) = other_separator(file, (header_line, header), &lines) {
        return Err(vec![problem]);
    }
    let rows = lines.into_iter().map(|(line, text)| (line, cells(text))).collect();
    let table = Table { file: file.to_owned(), header_line, columns: cells(header), rows };
    let mut problems = table.header_problems(known);
    problems.extend(table.ragged_rows());
    if table.rows.is_empty() {
        let problem = Problem::of_file(file, "is empty: a header but no rows").at_line(Some(header_line));
        problems.push(problem.allowed("one row or more"));
    }
    if problems.is_empty() { Ok(table) } else { Err(problems) }
}

/// The required columns as a header.
fn required(known: &[Column]) -> String {
    let names: Vec<&str> = known.iter().filter(|c| c.required).map(|c| c.name).collect();
    names.join(",")
}

/// A table of a spreadsheet that separates by something else, and then may write decimals with a comma.
fn other_separator(file: &str, (line, header): (usize, &str), rows: &[(usize, &str)]) -> Option<Problem> {
    let separators = [(';', "semicolons"), ('\t', "tabs")];
    let (separator, words) = separators.into_iter().find(|(separator, _)| {
        header.contains(*separator) || rows.first().is_some_and(|(_, row)| row.contains(*separator))
    })?;
    let decimals = rows.iter().any(|(_, row)| row.split(separator).any(|cell| cell.contains(',')));
    let what = format!("is separated by {words}{}", if decimals { ", with decimal commas" } else { "" });
    let problem = Problem::of_file(file, what).at_line(Some(line)).value(header);
    Some(problem.allowed("commas between the cells, points in the decimals"))
}

fn cells(line: &str) -> Vec<String> {
    line.split(',').map(|cell| cell.trim().to_owned()).collect()
}

impl Table {
    fn header_problems(&self, known: &[Column]) -> Vec<Problem> {
        let at_header = |what: &str| Problem::of_file(&self.file, what).at_line(Some(self.header_line));
        let mut problems = Vec::new();
        for (index, name) in self.columns.iter().enumerate() {
            if self.columns[..index].contains(name) {
                problems.push(at_header("stands twice in the header").key(name).allowed("each column once"));
            } else if !known.iter().any(|column| column.name == name) {
                let names: Vec<&str> = known.iter().map(|c| c.name).collect();
                let mut problem = at_header("is not a known column").key(name).allowed(names.join(", "));
                problem.hint =
                    nearest(name, names.iter().copied()).map(|best| format!("did you mean `{best}`?"));
                problems.push(problem);
            }
        }
        for column in known.iter().filter(|c| c.required) {
            if !self.columns.iter().any(|name| name == column.name) {
                let allowed = format!("a header with {}", required(known));
                problems.push(at_header("is missing from the header").key(column.name).allowed(allowed));
            }
        }
        problems
    }

    fn ragged_rows(&self) -> impl Iterator<Item = Problem> {
        let wanted = self.columns.len();
        self.rows.iter().filter(move |(_, cells)| cells.len() != wanted).map(move |(line, cells)| {
            Problem::of_file(&self.file, format!("has {} cells where the header has {wanted}", cells.len()))
                .at_line(Some(*line))
                .value(cells.join(","))
                .allowed(format!("{wanted} cells in every row: {}", self.columns.join(",")))
        })
    }

    /// Whether the table has a column.
    pub(super) fn has(&self, name: &str) -> bool {
        self.columns.iter().any(|column| column == name)
    }

    /// A problem of all rows together.
    pub(super) fn problem_as_a_whole(&self, what: impl Into<String>) -> Problem {
        Problem::of_file(&self.file, what)
    }

    /// A problem of one cell.
    pub(super) fn problem(&self, row: usize, column: &str, what: impl Into<String>) -> Problem {
        let (line, _) = self.rows[row];
        Problem::of_file(&self.file, what)
            .at_line(Some(line))
            .key(column)
            .value(self.text(row, column).unwrap_or_default())
    }

    /// A cell as text; `None` where the table has no such column.
    pub(super) fn text(&self, row: usize, column: &str) -> Option<&str> {
        let index = self.columns.iter().position(|name| name == column)?;
        self.rows.get(row)?.1.get(index).map(String::as_str)
    }

    /// A column of numbers; cells with a problem become NaN. Empty where the table has no such column.
    pub(super) fn numbers(&self, column: &Column, problems: &mut Vec<Problem>) -> Vec<f64> {
        let Some((range, unit)) = column.number.filter(|_| self.has(column.name)) else { return Vec::new() };
        let mut number = |row: usize| {
            let text = self.text(row, column.name).unwrap_or_default();
            let what = match text.parse::<f64>() {
                Ok(value) if range.contains(value) => return value,
                Ok(value) if !value.is_finite() => "is not a finite number",
                Ok(_) => "is out of range",
                Err(_) => "is not a number",
            };
            problems.push(self.problem(row, column.name, what).allowed(range.describe(unit)));
            f64::NAN
        };
        (0..self.rows.len()).map(&mut number).collect()
    }
}
