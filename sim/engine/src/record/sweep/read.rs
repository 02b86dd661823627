//! The file of a sweep, read piece by piece.

use std::path::{Path, PathBuf};

use hdf5::types::{FloatSize, IntSize, TypeDescriptor, VarLenUnicode};
use hdf5::{Dataset, File};
use ndarray::ArrayD;

use super::FurtherHeader;
use super::variables::{self, FIRST_BLADE_COUNT, SHARES, sweep_attribute};
use crate::case::{Case, Problems};
use crate::point::result::HubLoad;
use crate::record::error::format_error;
use crate::record::read::{Reader, open};
use crate::record::schema::{self, Dimension, attribute, group};
use crate::record::{CaseRecord, RecordError};
use crate::study::{Axis, AxisValues, Grid, PointStatus, Shard, blade_count_key};

/// A sweep, or a shard of one. What is small is held here; arrays are read when asked for.
///
/// Points are in row-major order over [`SweepRecord::grid`], the last axis fastest; a shard holds a contiguous range of them.
#[derive(Debug)]
pub struct SweepRecord {
    /// The resolved case as TOML text.
    pub case_toml: String,
    /// Path, as the case names it, and text of each file the case reads.
    pub inputs: Vec<(String, String)>,
    /// Version of the program that computed it.
    pub program_version: String,
    /// When it was written, RFC 3339 in UTC.
    pub created_utc: String,
    /// Axes and shape of the whole grid.
    pub grid: Grid,
    /// Which part of the grid the file holds.
    pub shard: Shard,
    /// What became of each point the file holds.
    pub status: Vec<PointStatus>,
    /// Why a point has no answer; empty where it has one.
    pub message: Vec<String>,
    /// Harmonic orders, 0 included (K).
    pub orders: usize,
    /// Blade count of each point the file holds.
    pub blade_count: Vec<usize>,
    path: PathBuf,
    file: File,
}

impl SweepRecord {
    pub(super) fn open(path: &Path) -> Result<Self, RecordError> {
        let file = open(path)?;
        let reader = Reader { path, file: &file };
        reader.check_root(schema::KIND_SWEEP)?;
        let grid = grid(&reader)?;
        let shard = shard(&reader)?;
        let status = status(&reader)?;
        let points = shard.range(grid.points());
        let message = strings(&reader, &variables::message().path)?;
        for (item, found) in [("status", status.len()), ("message", message.len())] {
            if found != points.len() {
                return Err(RecordError::damaged_shape(path, item, &[found], &[points.len()]));
            }
        }
        Ok(Self {
            case_toml: reader.text(&schema::case())?,
            inputs: reader.inputs()?,
            program_version: reader.text_attribute(&file, attribute::PROGRAM_VERSION)?,
            created_utc: reader.text_attribute(&file, attribute::CREATED_UTC)?,
            orders: reader.dataset(&Dimension::Order.scale("").path)?.size(),
            blade_count: blade_counts(&reader, &grid, points)?,
            message,
            status,
            shard,
            grid,
            path: path.to_path_buf(),
            file,
        })
    }

    /// The case, from the text and the input files held here; `label` names it in messages, `sets` are overrides
    /// `KEY=VALUE`.
    ///
    /// # Errors
    /// All problems of the case at once.
    pub fn case(&self, label: &str, sets: &[String]) -> Result<Case, Problems> {
        let (kind, case_toml, inputs) =
            (schema::KIND_SWEEP.to_owned(), self.case_toml.clone(), self.inputs.clone());
        CaseRecord { kind, case_toml, inputs }.case(label, sets)
    }

    /// An array of numbers by its path, such as `hub_harmonics/thrust_n` or `summary/thrust_np_n`, of shape (grid…) or
    /// (grid…, K); of a shard (points) or (points, K). NaN where a point has no answer or fewer orders.
    ///
    /// # Errors
    /// When the file has no such array, or it does not fit the grid.
    pub fn array(&self, name: &str) -> Result<ArrayD<f64>, RecordError> {
        self.fitting(name, |found, mut lead| {
            // Blades and orders are its own.
            lead.extend_from_slice(found.get(lead.len()..).unwrap_or_default());
            lead
        })
    }

    /// An array over points and orders, row by row.
    ///
    /// # Errors
    /// When the file has no such array, or it does not fit grid and orders.
    pub fn by_order(&self, name: &str) -> Result<Vec<f64>, RecordError> {
        let expected = |_: &[usize], mut lead: Vec<usize>| {
            lead.push(self.orders);
            lead
        };
        Ok(self.fitting(name, expected)?.into_iter().collect())
    }

    /// One number a point.
    fn by_point(&self, name: &str) -> Result<Vec<f64>, RecordError> {
        Ok(self.fitting(name, |_, lead| lead)?.into_iter().collect())
    }

    /// An array of the shape that `expected` makes of its own and the sizes of the dimensions of points.
    fn fitting(
        &self,
        name: &str,
        expected: impl FnOnce(&[usize], Vec<usize>) -> Vec<usize>,
    ) -> Result<ArrayD<f64>, RecordError> {
        let lead = if self.shard.is_whole() { self.grid.shape.clone() } else { vec![self.status.len()] };
        let dataset = self.reader().dataset(name)?;
        let found = dataset.shape();
        let expected = expected(&found, lead);
        if found != expected {
            return Err(RecordError::damaged_shape(&self.path, name, &found, &expected));
        }
        dataset.read_dyn().map_err(format_error(&self.path, "read", name))
    }

    /// A scalar of the summary at every point, such as `thrust_np_n`; an axis of that name, spread over the grid.
    ///
    /// # Errors
    /// When the file has neither.
    pub fn summary(&self, name: &str) -> Result<Vec<f64>, RecordError> {
        if let Some(axis) = self.grid.axes.iter().find(|axis| axis.name == name) {
            let points = self.shard.range(self.grid.points());
            let value = |point| axis.values.number(self.grid.subscripts(point)[axis.dimension]);
            return Ok(points.map(|point| value(point).unwrap_or(f64::NAN)).collect());
        }
        self.by_point(&format!("{}/{name}", group::SUMMARY))
    }

    /// Unit of an array.
    ///
    /// # Errors
    /// When the file has no such array.
    pub fn unit(&self, name: &str) -> Result<String, RecordError> {
        let reader = self.reader();
        reader.text_attribute(&*reader.dataset(name)?, attribute::UNITS)
    }

    /// Names of the scalars of the summary, in the order of the file.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn summary_names(&self) -> Result<Vec<String>, RecordError> {
        self.members(group::SUMMARY)
    }

    /// Names of the sources of shares, in the order of the sum.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn sources(&self) -> Result<Vec<String>, RecordError> {
        self.members(SHARES)
    }

    /// Amplitudes of a hub load at an order that may differ between points, such as N; NaN where there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn hub_amplitude(
        &self,
        load: HubLoad,
        order: impl Fn(usize) -> usize,
    ) -> Result<Vec<f64>, RecordError> {
        let flat = self.by_order(&schema::hub_amplitude(load).path)?;
        let at = |(point, row): (usize, &[f64])| row.get(order(point)).copied().unwrap_or(f64::NAN);
        Ok(flat.chunks(self.orders.max(1)).enumerate().map(at).collect())
    }

    /// Whether the file holds sums of several propellers at the centre of gravity (`airframe_harmonics/…`, `airframe_envelope/…`).
    #[must_use]
    pub fn has_airframe(&self) -> bool {
        self.file.link_exists(group::AIRFRAME_HARMONICS)
    }

    /// Further propellers, in the order of the case; none in files from before their loads were kept.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn further(&self) -> Result<Vec<FurtherHeader>, RecordError> {
        if !self.file.link_exists(group::FURTHER) {
            return Ok(Vec::new());
        }
        let reader = self.reader();
        let one = |name: String| {
            let path = schema::blade_count().under(&schema::further(&name)).path;
            let given = self.file.link_exists(&path);
            let count = given.then(|| count(&reader, &path)).transpose()?;
            Ok(FurtherHeader { name, blade_count: count })
        };
        self.members(group::FURTHER)?.into_iter().map(one).collect()
    }

    /// Blade count of a further propeller at each point the file holds.
    ///
    /// # Errors
    /// When the file has no such propeller.
    pub fn further_blade_count(&self, name: &str) -> Result<Vec<usize>, RecordError> {
        let points = self.shard.range(self.grid.points());
        if let Some(counts) = along_axis(&self.grid, &blade_count_key(name), points) {
            return Ok(counts);
        }
        let path = schema::blade_count().under(&schema::further(name)).path;
        if self.file.link_exists(&path) {
            return Ok(vec![count(&self.reader(), &path)?; self.status.len()]);
        }
        // The count of the first propeller, which an axis sets.
        self.reader().group(&schema::further(name))?;
        Ok(self.blade_count.clone())
    }

    /// A scalar of a further propeller's summary at every point, such as `thrust_n`.
    ///
    /// # Errors
    /// When the file does not have it.
    pub fn further_summary(&self, name: &str, scalar: &str) -> Result<Vec<f64>, RecordError> {
        self.by_point(&format!("{}/{}/{scalar}", schema::further(name), group::SUMMARY))
    }

    /// Names of the warnings, and 1 for each point where one applies, else 0.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn warnings(&self) -> Result<Vec<(String, Vec<u8>)>, RecordError> {
        let one = |name: String| {
            let path = format!("{}/{name}", group::WARNINGS);
            let flags = self.reader().dataset(&path)?.read_raw::<u8>();
            let flags = flags.map_err(format_error(&self.path, "read", &path))?;
            match flags.len() == self.status.len() {
                true => Ok((name, flags)),
                false => {
                    Err(RecordError::damaged_shape(&self.path, &path, &[flags.len()], &[self.status.len()]))
                }
            }
        };
        self.members(group::WARNINGS)?.into_iter().map(one).collect()
    }

    /// Refuses a shard: what looks at the grid as a whole needs all of it.
    ///
    /// # Errors
    /// [`RecordError::OneShard`], which tells how shards are put together.
    pub fn check_whole(&self) -> Result<(), RecordError> {
        match self.shard.is_whole() {
            true => Ok(()),
            false => Err(RecordError::OneShard { path: self.path.clone(), shard: self.shard }),
        }
    }

    /// Refuses a file in which no point has an answer.
    ///
    /// # Errors
    /// [`RecordError::NoAnswer`] with the reason of the first point.
    pub fn check_answers(&self) -> Result<(), RecordError> {
        if self.status.contains(&PointStatus::Computed) {
            return Ok(());
        }
        let first = self.message.first().and_then(|message| message.lines().next());
        Err(RecordError::NoAnswer {
            path: self.path.clone(),
            points: self.status.len(),
            reason: first.unwrap_or("no reason is kept").to_owned(),
        })
    }

    /// Number in the grid of the file's first point; 0 but for shards.
    #[must_use]
    pub fn first_point(&self) -> usize {
        self.shard.range(self.grid.points()).start
    }

    fn members(&self, name: &str) -> Result<Vec<String>, RecordError> {
        let reader = self.reader();
        reader.members(&reader.group(name)?)
    }

    pub(super) fn reader(&self) -> Reader<'_> {
        Reader { path: &self.path, file: &self.file }
    }
}

fn shard(reader: &Reader) -> Result<Shard, RecordError> {
    if reader.file.attr(sweep_attribute::SHARD).is_err() {
        return Ok(Shard::WHOLE);
    }
    let text = reader.text_attribute(reader.file, sweep_attribute::SHARD)?;
    text.parse().map_err(|reason| RecordError::Format {
        path: reader.path.to_path_buf(),
        action: "read",
        item: sweep_attribute::SHARD.to_owned(),
        reason,
    })
}

fn status(reader: &Reader) -> Result<Vec<PointStatus>, RecordError> {
    let name = variables::status().path;
    let numbers =
        reader.dataset(&name)?.read_raw::<u8>().map_err(format_error(reader.path, "read", &name))?;
    let unknown = |number: u8| RecordError::Format {
        path: reader.path.to_path_buf(),
        action: "read",
        item: name.clone(),
        reason: format!("{number} is not a status of this version"),
    };
    numbers.into_iter().map(|n| PointStatus::from_number(n).ok_or_else(|| unknown(n))).collect()
}

fn strings(reader: &Reader, name: &str) -> Result<Vec<String>, RecordError> {
    let raw = reader.dataset(name)?.read_raw::<VarLenUnicode>();
    let raw = raw.map_err(format_error(reader.path, "read", name))?;
    Ok(raw.iter().map(ToString::to_string).collect())
}

/// Blade count of each point: an axis, or the case's own.
fn blade_counts(
    reader: &Reader,
    grid: &Grid,
    points: std::ops::Range<usize>,
) -> Result<Vec<usize>, RecordError> {
    if let Some(counts) = along_axis(grid, FIRST_BLADE_COUNT, points.clone()) {
        return Ok(counts);
    }
    Ok(vec![count(reader, &schema::blade_count().path)?; points.len()])
}

/// Whole numbers at each point, where an axis sets them.
fn along_axis(grid: &Grid, key: &str, points: std::ops::Range<usize>) -> Option<Vec<usize>> {
    let Axis { values: AxisValues::Integers(values), dimension, .. } = grid.axis(key)? else { return None };
    let at = |point: usize| usize::try_from(values[grid.subscripts(point)[*dimension]]).unwrap_or_default();
    Some(points.map(at).collect())
}

/// A whole number of the file.
fn count(reader: &Reader, name: &str) -> Result<usize, RecordError> {
    let value: i64 = reader.dataset(name)?.read_scalar().map_err(format_error(reader.path, "read", name))?;
    Ok(usize::try_from(value).unwrap_or_default())
}

/// The axes by their numbers, and the shape they make.
fn grid(reader: &Reader) -> Result<Grid, RecordError> {
    let datasets = reader.file.datasets().map_err(format_error(reader.path, "list", "/"))?;
    let mut found = Vec::new();
    for dataset in datasets.iter().filter(|dataset| dataset.attr(sweep_attribute::KEY).is_ok()) {
        let number: u64 = reader.attribute(dataset, sweep_attribute::AXIS)?;
        let leader = match dataset.attr(sweep_attribute::PAIRED_WITH) {
            Ok(_) => Some(reader.text_attribute(dataset, sweep_attribute::PAIRED_WITH)?),
            Err(_) => None,
        };
        found.push((number, leader, axis(reader, dataset)?));
    }
    found.sort_by_key(|(number, _, _)| *number);
    let leaders: Vec<String> = found
        .iter()
        .filter(|(_, leader, _)| leader.is_none())
        .map(|(_, _, axis)| axis.name.clone())
        .collect();
    let mut grid = Grid::default();
    for (_, leader, mut axis) in found {
        axis.leads = leader.is_none();
        let name = leader.as_ref().unwrap_or(&axis.name);
        let damaged = |what: String| RecordError::Damaged {
            path: reader.path.to_path_buf(),
            item: axis.name.clone(),
            what,
        };
        let dimension = leaders.iter().position(|leader| leader == name);
        axis.dimension =
            dimension.ok_or_else(|| damaged(format!("is paired with `{name}`, which is no axis")))?;
        if axis.leads {
            grid.shape.push(axis.values.len());
        }
        grid.axes.push(axis);
    }
    for axis in &grid.axes {
        let (found, expected) = (axis.values.len(), grid.shape[axis.dimension]);
        if found != expected {
            return Err(RecordError::damaged_shape(reader.path, &axis.name, &[found], &[expected]));
        }
    }
    Ok(grid)
}

fn axis(reader: &Reader, dataset: &Dataset) -> Result<Axis, RecordError> {
    let path = dataset.name();
    let name = path.trim_start_matches('/').to_owned();
    let failed = |error: hdf5::Error| format_error(reader.path, "read", &name)(error);
    let kind = dataset.dtype().and_then(|dtype| dtype.to_descriptor()).map_err(failed)?;
    let failed = |error: hdf5::Error| format_error(reader.path, "read", &name)(error);
    let values = match kind {
        TypeDescriptor::Float(FloatSize::U8) => AxisValues::Numbers(dataset.read_raw().map_err(failed)?),
        TypeDescriptor::Integer(IntSize::U8) => AxisValues::Integers(dataset.read_raw().map_err(failed)?),
        _ => AxisValues::Texts(strings(reader, &name)?),
    };
    Ok(Axis {
        key: reader.text_attribute(dataset, sweep_attribute::KEY)?,
        unit: reader.text_attribute(dataset, attribute::UNITS)?,
        long_name: reader.text_attribute(dataset, attribute::LONG_NAME)?,
        name,
        values,
        dimension: 0,
        leads: true,
    })
}
