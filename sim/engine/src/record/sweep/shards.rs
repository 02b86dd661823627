//! Shards into one sweep.

use std::fs::{File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

use super::block::{Block, Column, Flag};
use super::frame::{Blocks, assemble};
use super::part::PartHead;
use super::variables::source_of;
use super::{SweepHeader, SweepRecord};
use crate::record::RecordError;
use crate::record::error::format_error;
use crate::record::schema::{self, Dimension, Variable, attribute, group};
use crate::record::target::{check_target, io_error, save_as};
use crate::study::{PointStatus, Shard};

/// Points read at a time: some megabytes.
const SLAB: usize = 256;

/// Writes the sweep that `shards` make up to `path`: what one sweep over all points would have written. Shard 1 of 1 is a whole
/// sweep, and copied.
///
/// # Errors
/// When a file is no shard, shards come from different sweeps, leave a gap or overlap, or a file cannot be read or written.
pub fn merge_shards(shards: &[PathBuf], path: &Path, force: bool) -> Result<(), RecordError> {
    let sources: Vec<&Path> = shards.iter().map(PathBuf::as_path).collect();
    check_target(path, force, &sources)?;
    let mut opened = Vec::new();
    for file in shards {
        let record = SweepRecord::open(file)?;
        if record.shard.is_whole() && shards.len() == 1 {
            return copy(file, path);
        }
        if record.shard.is_whole() {
            let what = "is a whole sweep, not one of several shards; shards come from `sweep --shard I/N`";
            return Err(misfit(file, what));
        }
        opened.push((file.clone(), record));
    }
    opened.sort_by_key(|(_, record)| record.first_point());
    check_together(&opened)?;
    let Some((first_path, first)) = opened.first() else {
        return Err(misfit(path, "needs shards to merge"));
    };
    let header = header(first_path, first)?;
    assemble(path, folder_of(path), &header, &Shards::new(&opened)?)
}

/// The one shard of one, which holds all there is.
fn copy(file: &Path, path: &Path) -> Result<(), RecordError> {
    save_as(path, folder_of(path), |temporary| {
        let mut from = File::open(file).map_err(io_error(file, "open"))?;
        let mut to = OpenOptions::new().write(true).open(temporary).map_err(io_error(path, "write"))?;
        io::copy(&mut from, &mut to).map(drop).map_err(io_error(path, "write"))
    })
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

fn misfit(path: &Path, what: impl Into<String>) -> RecordError {
    RecordError::Shards { path: path.to_path_buf(), what: what.into() }
}

/// All of one sweep, each point once.
fn check_together(opened: &[(PathBuf, SweepRecord)]) -> Result<(), RecordError> {
    let Some((first_path, first)) = opened.first() else { return Ok(()) };
    for (path, record) in &opened[1..] {
        let differs = if record.case_toml != first.case_toml {
            "another case"
        } else if record.inputs != first.inputs {
            "other input files"
        } else if record.program_version != first.program_version {
            "another version of the program"
        } else {
            continue;
        };
        return Err(misfit(path, format!("belongs to {differs} than {}", first_path.display())));
    }
    let points = first.grid.points();
    let mut next = 0;
    for (path, record) in opened {
        let range = record.shard.range(points);
        if range.start < next {
            let what = format!(
                "is shard {} and holds point {} of the grid, as does an earlier one",
                record.shard, range.start
            );
            return Err(misfit(path, what));
        }
        if range.start > next {
            let missing = format!("points {next} to {} of {points} are in no shard", range.start - 1);
            return Err(misfit(path, format!("is shard {}, and {missing} before it", record.shard)));
        }
        next = range.end;
    }
    match opened.last() {
        Some((path, record)) if next < points => {
            let missing = format!("points {next} to {} of {points} are in no shard", points - 1);
            Err(misfit(path, format!("is shard {}, and {missing} after it", record.shard)))
        }
        _ => Ok(()),
    }
}

fn header(path: &Path, record: &SweepRecord) -> Result<SweepHeader, RecordError> {
    let scale = Dimension::Blade.scale(group::BLADE_HARMONICS).path;
    let reader = record.reader();
    let blade_rows = if reader.file.link_exists(&scale) { reader.dataset(&scale)?.size() } else { 1 };
    let blade_count = record.blade_count.first().copied();
    Ok(SweepHeader {
        case_toml: record.case_toml.clone(),
        inputs: record.inputs.clone(),
        program_version: record.program_version.clone(),
        grid: record.grid.clone(),
        shard: Shard::WHOLE,
        orders: record.orders,
        blade_rows,
        airframe: record.has_airframe(),
        further: record.further()?,
        blade_count: blade_count.ok_or_else(|| misfit(path, "holds no point"))?,
    })
}

/// A column of a shard.
struct Stored {
    variable: Variable,
    width: usize,
}

/// A warning of a shard.
struct StoredFlag {
    name: String,
    example: String,
    set: Vec<u8>,
}

/// Slabs of shards as blocks.
struct Shards<'a> {
    records: Vec<(&'a SweepRecord, Vec<Stored>, Vec<StoredFlag>)>,
    /// Shard, and the range of its rows.
    slabs: Vec<(usize, std::ops::Range<usize>)>,
}

impl<'a> Shards<'a> {
    fn new(opened: &'a [(PathBuf, SweepRecord)]) -> Result<Self, RecordError> {
        let mut all = Self { records: Vec::new(), slabs: Vec::new() };
        for (shard, (_, record)) in opened.iter().enumerate() {
            let rows = record.status.len();
            let starts = (0..rows).step_by(SLAB);
            all.slabs.extend(starts.map(|start| (shard, start..(start + SLAB).min(rows))));
            all.records.push((record, columns(record)?, flags(record)?));
        }
        Ok(all)
    }

    /// Everything but the numbers.
    fn empty(&self, i: usize) -> Block {
        let (shard, range) = &self.slabs[i];
        let (record, columns, flags) = &self.records[*shard];
        let first = record.first_point();
        let flag = |StoredFlag { name, example, set }: &StoredFlag| Flag {
            name: name.clone(),
            first: first + set.iter().position(|set| *set != 0).unwrap_or_default(),
            example: example.clone(),
            set: set[range.clone()].to_vec(),
        };
        let column = |column: &Stored| Column {
            variable: column.variable.clone(),
            first,
            width: column.width,
            values: Vec::new(),
        };
        Block {
            points: range.clone().map(|row| first + row).collect(),
            status: record.status[range.clone()].iter().copied().map(PointStatus::number).collect(),
            message: record.message[range.clone()].to_vec(),
            flags: flags.iter().map(flag).collect(),
            columns: columns.iter().map(column).collect(),
        }
    }
}

impl Blocks for Shards<'_> {
    fn count(&self) -> usize {
        self.slabs.len()
    }

    fn head(&self, i: usize) -> Result<PartHead, RecordError> {
        Ok(PartHead::of(&self.empty(i)))
    }

    fn block(&self, i: usize) -> Result<Block, RecordError> {
        let mut block = self.empty(i);
        let (shard, range) = &self.slabs[i];
        let (record, _, _) = &self.records[*shard];
        let reader = record.reader();
        for column in &mut block.columns {
            let name = &column.variable.path;
            let dataset = reader.dataset(name)?;
            let failed = |error| format_error(reader.path, "read", name)(error);
            let rows = range.clone();
            column.values = match dataset.ndim() {
                1 => dataset.read_slice_1d::<f64, _>(rows).map_err(failed)?.into_iter().collect(),
                2 => dataset.read_slice_2d::<f64, _>((rows, ..)).map_err(failed)?.into_iter().collect(),
                _ => {
                    let slab = dataset.read_slice::<f64, _, ndarray::Ix3>((rows, .., ..)).map_err(failed)?;
                    slab.into_iter().collect()
                }
            };
        }
        Ok(block)
    }
}

/// The columns of a shard in the order of the file.
fn columns(record: &SweepRecord) -> Result<Vec<Stored>, RecordError> {
    let reader = record.reader();
    let mut paths = Vec::new();
    let sums = [group::AIRFRAME_HARMONICS, group::AIRFRAME_ENVELOPE];
    let sums = sums.into_iter().filter(|_| record.has_airframe());
    let groups = [group::HUB_HARMONICS, group::BLADE_HARMONICS].into_iter().chain(sums);
    let of_further = record.further()?.into_iter().flat_map(|one| {
        let root = schema::further(&one.name);
        group::OF_FURTHER_IN_SWEEP.map(|name| schema::join(&root, name))
    });
    for name in groups.chain([group::SUMMARY]).map(str::to_owned).chain(of_further) {
        let members = reader.members(&reader.group(&name)?)?;
        let scale = Dimension::Blade.scale(&name).path;
        paths.extend(
            members.into_iter().map(|member| format!("{name}/{member}")).filter(|path| *path != scale),
        );
    }
    for source in record.sources()? {
        let name = format!("{}/{source}", group::ATTRIBUTION);
        let members = reader.members(&reader.group(&name)?)?;
        paths.extend(members.into_iter().map(|member| format!("{name}/{member}")));
    }
    let mut columns = Vec::new();
    for path in paths {
        let dataset = reader.dataset(&path)?;
        let shape = dataset.shape();
        let dimensions = match (shape.len(), source_of(&path)) {
            (1, _) => vec![],
            (2, _) => vec![Dimension::Order],
            _ => vec![Dimension::Blade, Dimension::Order],
        };
        columns.push(Stored {
            width: shape[1..].iter().product(),
            variable: Variable {
                unit: reader.text_attribute(&dataset, attribute::UNITS)?,
                long_name: reader.text_attribute(&dataset, attribute::LONG_NAME)?,
                path,
                dimensions,
            },
        });
    }
    Ok(columns)
}

/// Warnings with the example that their description ends in.
fn flags(record: &SweepRecord) -> Result<Vec<StoredFlag>, RecordError> {
    let reader = record.reader();
    let empty = super::variables::warning("", "").long_name;
    let one = |(name, set): (String, Vec<u8>)| {
        let dataset = reader.dataset(&format!("{}/{name}", group::WARNINGS))?;
        let words = reader.text_attribute(&dataset, attribute::LONG_NAME)?;
        let example = words.strip_prefix(empty.as_str()).unwrap_or(&words).to_owned();
        Ok(StoredFlag { name, example, set })
    };
    record.warnings()?.into_iter().map(one).collect()
}
