//! Writes the file of a sweep from blocks of points, with memory that does not grow with the grid.
//!
//! HDF5 makes a frame of groups and arrays with room for their numbers, each array in one piece. The numbers are then put
//! into their places with ordinary writes, block by block, so that a full disk is an ordinary error.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{Seek, SeekFrom, Write};
use std::path::Path;

use super::SweepHeader;
use super::block::{Block, fill_zero, fixed_variables, width};
use super::part::PartHead;
use super::variables::{
    self, FIRST_BLADE_COUNT, LAST_SOURCES, POINT, SHARES, is_further_summary, source_of, sweep_attribute,
};
use crate::record::error::format_error;
use crate::record::schema::{self, Dimension, Variable, attribute, group};
use crate::record::target::{io_error, save_as};
use crate::record::write::Writer;
use crate::record::{RecordError, now_utc};
use crate::study::{AxisValues, PointStatus};

/// Where blocks come from; each is read twice, its head first.
pub(crate) trait Blocks {
    /// How many.
    fn count(&self) -> usize;
    /// What block `i` holds.
    ///
    /// # Errors
    /// When it cannot be read.
    fn head(&self, i: usize) -> Result<PartHead, RecordError>;
    /// Block `i`.
    ///
    /// # Errors
    /// When it cannot be read.
    fn block(&self, i: usize) -> Result<Block, RecordError>;
}

/// Writes the file of the points that `blocks` hold, in any order, under a temporary name in `folder` (of the same
/// file system) and renames it to `path`.
///
/// # Errors
/// When a point is missing or there twice, or the file cannot be written; an earlier file then stays.
pub(crate) fn assemble(
    path: &Path,
    folder: &Path,
    header: &SweepHeader,
    blocks: &dyn Blocks,
) -> Result<(), RecordError> {
    let union = Union::of(path, header, blocks)?;
    save_as(path, folder, |temporary| {
        let places = frame(path, temporary, header, &union)?;
        let file = OpenOptions::new().write(true).open(temporary).map_err(io_error(path, "write"))?;
        let mut filler = Filler { path, file, first: union.first, places };
        for i in 0..blocks.count() {
            filler.block(&blocks.block(i)?)?;
        }
        Ok(())
    })
}

/// What all blocks hold together.
struct Union {
    /// First point of the file.
    first: usize,
    status: Vec<u8>,
    message: BTreeMap<usize, String>,
    flags: Vec<(String, String, Vec<u8>)>,
    variables: Vec<Variable>,
}

/// Order of columns: group, sources that close the sum last, then as they first appear, whatever the order of blocks.
type Rank = (usize, usize, usize, usize);

impl Union {
    fn of(path: &Path, header: &SweepHeader, blocks: &dyn Blocks) -> Result<Self, RecordError> {
        let range = header.shard.range(header.grid.points());
        let mut met = vec![false; range.len()];
        let mut union = Self {
            first: range.start,
            status: vec![0; range.len()],
            message: BTreeMap::new(),
            flags: Vec::new(),
            variables: Vec::new(),
        };
        let mut columns: BTreeMap<String, (Rank, Variable)> = BTreeMap::new();
        let mut flags: BTreeMap<String, (usize, String, Vec<u8>)> = BTreeMap::new();
        for (place, variable) in fixed_variables(header).into_iter().enumerate() {
            columns.insert(variable.path.clone(), ((0, 0, 0, place), variable));
        }
        for i in 0..blocks.count() {
            let head = blocks.head(i)?;
            for (point, (status, message)) in head.points.iter().zip(head.status.iter().zip(&head.message)) {
                let twice = || RecordError::PointTwice { path: path.to_path_buf(), point: *point };
                let at = point.checked_sub(range.start).filter(|at| *at < met.len()).ok_or_else(twice)?;
                if std::mem::replace(&mut met[at], true) {
                    return Err(twice());
                }
                union.status[at] = *status;
                if !message.is_empty() {
                    union.message.insert(at, message.clone());
                }
            }
            for (place, column) in head.columns.iter().enumerate() {
                let rank = rank(&column.path, column.first, place);
                let entry = columns.entry(column.path.clone()).or_insert_with(|| (rank, column.variable()));
                entry.0 = entry.0.min(rank);
            }
            for flag in &head.flags {
                let new = || (flag.first, flag.example.clone(), vec![0; range.len()]);
                let entry = flags.entry(flag.name.clone()).or_insert_with(new);
                if flag.first < entry.0 {
                    (entry.0, entry.1) = (flag.first, flag.example.clone());
                }
                for (point, set) in head.points.iter().zip(&flag.set) {
                    entry.2[point - range.start] |= set;
                }
            }
        }
        if let Some(at) = met.iter().position(|met| !met) {
            return Err(RecordError::PointMissing { path: path.to_path_buf(), point: range.start + at });
        }
        let mut columns: Vec<(Rank, Variable)> = columns.into_values().collect();
        columns.sort_by_key(|(rank, _)| *rank);
        union.variables = columns.into_iter().map(|(_, variable)| variable).collect();
        union.flags = flags.into_iter().map(|(name, (_, example, set))| (name, example, set)).collect();
        Ok(union)
    }
}

fn rank(path: &str, first: usize, place: usize) -> Rank {
    let own = path.split('/').next().unwrap_or_default();
    let group = match own {
        SHARES => 1,
        group::SUMMARY => 2,
        _ if is_further_summary(path) => 3,
        _ => 0,
    };
    let source = source_of(path).unwrap_or_default();
    let last = LAST_SOURCES.iter().position(|name| *name == source).map_or(0, |at| at + 1);
    if group == 0 { (0, 0, 0, place) } else { (group, last, first, place) }
}

/// Where the numbers of a column go.
struct Place {
    path: String,
    /// Byte of the file at which the array starts.
    offset: u64,
    width: usize,
    share: bool,
}

/// Makes groups, attributes, scales and everything that is not a column of numbers; leaves room for the columns.
fn frame(
    path: &Path,
    temporary: &Path,
    header: &SweepHeader,
    union: &Union,
) -> Result<Vec<Place>, RecordError> {
    let file = hdf5::File::with_options()
        .with_fcpl(|creation| {
            creation
                .obj_track_times(false)
                .link_creation_order(hdf5::plist::file_create::LinkCreationOrder::Indexed)
        })
        .create(temporary)
        .map_err(format_error(path, "create", "/"))?;
    let writer = Writer { path, file: &file };
    writer.head(schema::KIND_SWEEP, &header.program_version, &now_utc())?;
    let groups = [
        group::HUB_HARMONICS,
        group::BLADE_HARMONICS,
        SHARES,
        group::SUMMARY,
        group::WARNINGS,
        group::INPUTS,
    ];
    let sums = [group::AIRFRAME_HARMONICS, group::AIRFRAME_ENVELOPE];
    for name in groups.into_iter().chain(sums.into_iter().filter(|_| header.airframe)) {
        writer.group(name)?;
    }
    further(&writer, header)?;
    writer.text(&schema::case(), &header.case_toml)?;
    axes(&writer, header)?;
    let lead = lead(header, union.status.len());
    if !header.shard.is_whole() {
        writer.text_attribute(&file, sweep_attribute::SHARD, &header.shard.to_string())?;
        let points: Vec<u64> = (union.first..).take(union.status.len()).map(|p| p as u64).collect();
        writer.scale(&variables::point(), &points)?;
    }
    writer.scale(&Dimension::Order.scale(""), &(0..header.orders as u64).collect::<Vec<_>>())?;
    if header.blade_rows > 1 {
        let numbers: Vec<u64> = (1..=header.blade_rows as u64).collect();
        writer.scale(&Dimension::Blade.scale(group::BLADE_HARMONICS), &numbers)?;
    }
    points(&writer, &lead, union)?;
    let mut places = Vec::new();
    for variable in &union.variables {
        if let Some(name) = source_of(&variable.path) {
            source_group(&writer, name, &places)?;
        }
        let dataset = writer.room(&lead, variable)?;
        let offset = dataset.offset().ok_or_else(|| RecordError::Format {
            path: path.to_path_buf(),
            action: "make room for",
            item: variable.path.clone(),
            reason: "the library gave it no place in the file".to_owned(),
        })?;
        places.push(Place {
            path: variable.path.clone(),
            offset,
            width: width(variable, header),
            share: source_of(&variable.path).is_some(),
        });
    }
    writer.inputs(&header.inputs)?;
    file.flush().map_err(format_error(path, "finish", "/"))?;
    file.close().map_err(format_error(path, "finish", "/"))?;
    Ok(places)
}

/// Names and sizes of the grid's dimensions: the axes, or `point` of a shard.
fn lead(header: &SweepHeader, points: usize) -> Vec<(String, usize)> {
    if header.shard.is_whole() {
        header.grid.leading().map(|axis| (axis.name.clone(), axis.values.len())).collect()
    } else {
        vec![(POINT.to_owned(), points)]
    }
}

/// The groups of the further propellers, with their places in the case and blade counts.
fn further(writer: &Writer, header: &SweepHeader) -> Result<(), RecordError> {
    if !header.further.is_empty() {
        writer.group(group::FURTHER)?;
    }
    for (number, one) in (1_u64..).zip(&header.further) {
        let root = schema::further(&one.name);
        let place = writer.group(&root)?;
        writer.number_attribute(&place, attribute::NUMBER, number)?;
        for name in group::OF_FURTHER_IN_SWEEP {
            writer.group(&schema::join(&root, name))?;
        }
        if let Some(blade_count) = one.blade_count {
            writer.array(&schema::blade_count().under(&root), &[], &[blade_count as u64])?;
        }
    }
    Ok(())
}

/// The axes: scales, and paired ones along the scale of the axis that leads them.
fn axes(writer: &Writer, header: &SweepHeader) -> Result<(), RecordError> {
    let leaders: Vec<&str> = header.grid.leading().map(|axis| axis.name.as_str()).collect();
    let mut paired = Vec::new();
    // Leaders first, whatever their order in the case: a paired axis is attached to its leader.
    let numbered = || (1_u64..).zip(&header.grid.axes);
    for (number, axis) in numbered().filter(|(_, a)| a.leads).chain(numbered().filter(|(_, a)| !a.leads)) {
        let variable = variables::axis(axis);
        let dataset = match &axis.values {
            AxisValues::Numbers(values) => writer.dataset(&variable, &[values.len()], values)?,
            AxisValues::Integers(values) => writer.dataset(&variable, &[values.len()], values)?,
            AxisValues::Texts(values) => {
                let texts: Vec<&str> = values.iter().map(String::as_str).collect();
                writer.text_array(&variable, &[values.len()], &texts)?
            }
        };
        writer.text_attribute(&dataset, sweep_attribute::KEY, &axis.key)?;
        writer.number_attribute(&dataset, sweep_attribute::AXIS, number)?;
        if axis.leads {
            writer.make_scale(&dataset, &variable)?;
        } else {
            let leader = leaders.get(axis.dimension).copied().unwrap_or_default();
            writer.text_attribute(&dataset, sweep_attribute::PAIRED_WITH, leader)?;
            writer.attach(&dataset, &variable, &[leader.to_owned()])?;
            paired.push(axis.name.as_str());
        }
    }
    if !paired.is_empty() {
        writer.text_attribute(writer.file, sweep_attribute::COORDINATES, &paired.join(" "))?;
    }
    // By key: beside the axis of a further propeller's count, that of the first goes by a longer name.
    if header.grid.axis(FIRST_BLADE_COUNT).is_none() {
        writer.array(&schema::blade_count(), &[], &[header.blade_count as u64])?;
    }
    Ok(())
}

/// Status, messages and warnings of the points.
fn points(writer: &Writer, lead: &[(String, usize)], union: &Union) -> Result<(), RecordError> {
    let shape: Vec<usize> = lead.iter().map(|(_, size)| *size).collect();
    let names: Vec<String> = lead.iter().map(|(name, _)| name.clone()).collect();
    let status = writer.dataset(&variables::status(), &shape, &union.status)?;
    writer.attach(&status, &variables::status(), &names)?;
    let numbers = PointStatus::ALL.map(PointStatus::number);
    writer.numbers_attribute(&status, sweep_attribute::FLAG_VALUES, &numbers)?;
    let words = PointStatus::ALL.map(PointStatus::word).join(" ");
    writer.text_attribute(&status, sweep_attribute::FLAG_MEANINGS, &words)?;
    let texts: Vec<&str> = (0..union.status.len())
        .map(|at| union.message.get(&at).map(String::as_str).unwrap_or_default())
        .collect();
    let message = writer.text_array(&variables::message(), &shape, &texts)?;
    writer.attach(&message, &variables::message(), &names)?;
    for (name, example, set) in &union.flags {
        let variable = variables::warning(name, example);
        let dataset = writer.dataset(&variable, &shape, set)?;
        writer.attach(&dataset, &variable, &names)?;
    }
    Ok(())
}

/// The group of a source, with its place in the sum, before its first column.
fn source_group(writer: &Writer, name: &str, places: &[Place]) -> Result<(), RecordError> {
    let mut earlier: Vec<&str> = places.iter().filter_map(|place| source_of(&place.path)).collect();
    earlier.dedup();
    if earlier.last() == Some(&name) {
        return Ok(());
    }
    let source = writer.group(&schema::source(name))?;
    writer.number_attribute(&source, attribute::NUMBER, earlier.len() as u64 + 1)
}

/// Puts blocks into the frame.
struct Filler<'a> {
    path: &'a Path,
    file: File,
    /// First point of the file.
    first: usize,
    places: Vec<Place>,
}

impl Filler<'_> {
    fn block(&mut self, block: &Block) -> Result<(), RecordError> {
        let known = block.known_orders();
        let rows = block.points.len();
        for i in 0..self.places.len() {
            let (place_width, share) = (self.places[i].width, self.places[i].share);
            let found = block.columns.iter().find(|column| column.variable.path == self.places[i].path);
            match found {
                Some(column) => self.rows(i, &block.points, &column.values)?,
                None => {
                    let mut values = vec![f64::NAN; rows * place_width];
                    if share {
                        fill_zero(&mut values, &known, place_width);
                    }
                    self.rows(i, &block.points, &values)?;
                }
            }
        }
        Ok(())
    }

    /// Rows of consecutive points go in one write.
    fn rows(&mut self, place: usize, points: &[usize], values: &[f64]) -> Result<(), RecordError> {
        let Place { offset, width, .. } = self.places[place];
        let mut start = 0;
        for end in 1..=points.len() {
            if end < points.len() && points[end] == points[end - 1] + 1 {
                continue;
            }
            let at = offset + 8 * ((points[start] - self.first) * width) as u64;
            let bytes: Vec<u8> =
                values[start * width..end * width].iter().flat_map(|value| value.to_ne_bytes()).collect();
            self.file
                .seek(SeekFrom::Start(at))
                .and_then(|_| self.file.write_all(&bytes))
                .map_err(io_error(self.path, "write"))?;
            start = end;
        }
        Ok(())
    }
}
