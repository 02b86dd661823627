//! A part of a sweep in progress: one line of JSON that says what follows, then the numbers, 8 bytes each, least
//! significant byte first, column after column, point after point.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::block::{Block, Column, Flag};
use super::variables::{dimension_name, dimension_of};
use crate::record::RecordError;
use crate::record::schema::Variable;
use crate::record::target::{io_error, save};

/// First member of the head; the number grows with the format.
const FORMAT: &str = "wakebeat sweep part 1";

/// The line of JSON.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct PartHead {
    format: String,
    /// Numbers of the points, rising.
    pub points: Vec<usize>,
    pub status: Vec<u8>,
    pub message: Vec<String>,
    pub flags: Vec<FlagHead>,
    pub columns: Vec<ColumnHead>,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct FlagHead {
    pub name: String,
    pub first: usize,
    pub example: String,
    pub set: Vec<u8>,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct ColumnHead {
    pub path: String,
    pub unit: String,
    pub long_name: String,
    pub dimensions: Vec<String>,
    pub first: usize,
    pub width: usize,
}

impl ColumnHead {
    fn of(column: &Column) -> Self {
        let Variable { path, unit, long_name, dimensions } = column.variable.clone();
        let dimensions = dimensions.into_iter().filter_map(dimension_name).map(str::to_owned).collect();
        Self { path, unit, long_name, dimensions, first: column.first, width: column.width }
    }

    pub(super) fn variable(&self) -> Variable {
        Variable {
            path: self.path.clone(),
            unit: self.unit.clone(),
            long_name: self.long_name.clone(),
            dimensions: self.dimensions.iter().filter_map(|name| dimension_of(name)).collect(),
        }
    }
}

impl PartHead {
    pub(super) fn of(block: &Block) -> Self {
        let flag = |flag: &Flag| FlagHead {
            name: flag.name.clone(),
            first: flag.first,
            example: flag.example.clone(),
            set: flag.set.clone(),
        };
        Self {
            format: FORMAT.to_owned(),
            points: block.points.clone(),
            status: block.status.clone(),
            message: block.message.clone(),
            flags: block.flags.iter().map(flag).collect(),
            columns: block.columns.iter().map(ColumnHead::of).collect(),
        }
    }

    /// Whether every list is as long as the list of points.
    fn is_sound(&self) -> bool {
        let points = self.points.len();
        let lists = [self.status.len(), self.message.len()];
        let flags = self.flags.iter().map(|flag| flag.set.len());
        self.format == FORMAT
            && self.points.is_sorted_by(|a, b| a < b)
            && lists.into_iter().chain(flags).all(|n| n == points)
    }
}

/// Writes a part whole or not at all.
pub(crate) fn write_part(path: &Path, block: &Block) -> Result<(), RecordError> {
    let mut bytes =
        serde_json::to_vec(&PartHead::of(block)).map_err(|error| io_error(path, "write")(error.into()))?;
    bytes.push(b'\n');
    for column in &block.columns {
        bytes.extend(column.values.iter().flat_map(|value| value.to_le_bytes()));
    }
    save(path, &bytes)
}

/// Reads the head of a part.
pub(crate) fn read_part_head(path: &Path) -> Result<PartHead, RecordError> {
    open(path).map(|(head, _)| head)
}

/// Reads a part.
pub(crate) fn read_part(path: &Path) -> Result<Block, RecordError> {
    let (head, mut file) = open(path)?;
    let mut columns = Vec::with_capacity(head.columns.len());
    for column in &head.columns {
        let mut bytes = vec![0; 8 * column.width * head.points.len()];
        file.read_exact(&mut bytes).map_err(|_| damaged(path))?;
        let values =
            bytes.chunks_exact(8).map(|eight| f64::from_le_bytes(eight.try_into().unwrap_or_default()));
        columns.push(Column {
            variable: column.variable(),
            first: column.first,
            width: column.width,
            values: values.collect(),
        });
    }
    let flag =
        |flag: FlagHead| Flag { name: flag.name, first: flag.first, example: flag.example, set: flag.set };
    Ok(Block {
        points: head.points,
        status: head.status,
        message: head.message,
        flags: head.flags.into_iter().map(flag).collect(),
        columns,
    })
}

fn open(path: &Path) -> Result<(PartHead, BufReader<File>), RecordError> {
    let mut file = BufReader::new(File::open(path).map_err(io_error(path, "open"))?);
    let mut line = Vec::new();
    file.read_until(b'\n', &mut line).map_err(io_error(path, "read"))?;
    let head: PartHead = serde_json::from_slice(&line).map_err(|_| damaged(path))?;
    let numbers: usize = head.columns.iter().map(|column| column.width * head.points.len()).sum();
    let size = file.get_ref().metadata().map_err(io_error(path, "look at the file"))?.len();
    if !head.is_sound() || size != (line.len() + 8 * numbers) as u64 {
        return Err(damaged(path));
    }
    Ok((head, file))
}

fn damaged(path: &Path) -> RecordError {
    RecordError::Part { path: path.to_path_buf() }
}
