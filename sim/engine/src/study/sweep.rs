//! A sweep from the case to the file.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::{Duration, Instant};

use super::folder::{Folder, Start};
use super::workers::compute;
use super::{AxisValues, Grid, PointRow, Shard, SweepError, blade_count_key};
use crate::case::{Case, Plan};
use crate::point::input::{FurtherPropeller, OperatingPoint, Propeller};
use crate::record::{Block, FurtherHeader, SweepHeader, assemble};

/// A part is written when its numbers reach this size, bytes.
const PART_BYTES: usize = 4 << 20;

/// A part is written when its oldest point has waited a tenth of the time since the sweep began, within these bounds: what a
/// kill costs at most.
const PART_AGE: (Duration, Duration) = (Duration::from_millis(50), Duration::from_secs(2));

/// How often progress is told.
const TELL: Duration = Duration::from_millis(200);

/// How a sweep is run.
#[derive(Debug, Clone)]
pub struct SweepOptions {
    /// Threads that compute points.
    pub threads: usize,
    /// Which part of the grid.
    pub shard: Shard,
    /// What to do with parts that are there.
    pub start: Start,
    /// Version of the program, for the file and the plan.
    pub program_version: String,
}

/// How far a sweep is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Points of the sweep, or of the shard.
    pub total: usize,
    /// Points that an earlier sweep had done.
    pub before: usize,
    /// Points done now, those included.
    pub done: usize,
    /// Points among those done now that have no answer.
    pub failed: usize,
    /// Since this sweep began.
    pub elapsed: Duration,
}

/// How a sweep ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SweepEnd {
    /// The file is written.
    Finished(Progress),
    /// It was asked to stop; its parts are in the folder.
    Stopped(Progress, PathBuf),
}

/// Computes the grid of a case into `target`. Ends early, points in hand finished and kept, when `stop` is set.
///
/// The numbers depend on the case alone: not on threads, on interruptions or on shards.
///
/// # Errors
/// [`SweepError`]; points that are done stay in the folder of parts, and an earlier file stays as it was.
pub fn sweep(
    case: &Case,
    target: &Path,
    options: &SweepOptions,
    stop: &AtomicBool,
    tell: &mut dyn FnMut(&Progress),
) -> Result<SweepEnd, SweepError> {
    let header = header(case, options);
    let points = header.grid.points();
    let range = options.shard.range(points);
    if range.is_empty() {
        return Err(SweepError::EmptyShard { shard: options.shard.to_string(), points });
    }
    let plan = Plan::new(case, &options.program_version, &options.shard.to_string());
    let mut folder = Folder::open(target, &plan, options.start, range.len())?;
    let mut is_done = vec![false; range.len()];
    for point in folder.done()? {
        if let Some(done) = point.checked_sub(range.start).and_then(|at| is_done.get_mut(at)) {
            *done = true;
        }
    }
    let pending: Vec<usize> = range.clone().filter(|point| !is_done[point - range.start]).collect();
    let before = range.len() - pending.len();
    let began = Instant::now();
    let progress = Progress { total: range.len(), before, done: before, failed: 0, elapsed: Duration::ZERO };
    let mut keeper = Keeper { folder: &mut folder, header: &header, rows: Vec::new(), progress, began };
    let ended = compute(case, &pending, options.threads, stop, |rows| keeper.keep(&rows, tell));
    let progress = keeper.progress;
    if progress.done == 0 {
        folder.remove()?;
    }
    ended.map_err(|source| SweepError::Record { source, kept: progress.done })?;
    if progress.done < progress.total {
        return Ok(SweepEnd::Stopped(progress, folder.path().to_path_buf()));
    }
    assemble(target, folder.path(), &header, &folder)
        .map_err(|source| SweepError::Record { source, kept: progress.done })?;
    folder.remove()?;
    Ok(SweepEnd::Finished(progress))
}

/// Writes finished points into parts.
struct Keeper<'a> {
    folder: &'a mut Folder,
    header: &'a SweepHeader,
    rows: Vec<PointRow>,
    progress: Progress,
    began: Instant,
}

impl Keeper<'_> {
    fn keep(
        &mut self,
        rows: &Receiver<PointRow>,
        tell: &mut dyn FnMut(&Progress),
    ) -> Result<(), crate::record::RecordError> {
        let (mut oldest, mut bytes, mut told) = (Instant::now(), 0, Instant::now());
        tell(&self.progress);
        loop {
            match rows.recv_timeout(TELL) {
                Ok(row) => {
                    if self.rows.is_empty() {
                        (oldest, bytes) = (Instant::now(), 0);
                    }
                    let sources = row.answer.as_ref().map_or(0, |answer| answer.shares.len());
                    bytes += Block::row_bytes(self.header, sources);
                    self.progress.failed += usize::from(row.answer.is_err());
                    self.rows.push(row);
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => break,
            }
            let age = (self.began.elapsed() / 10).clamp(PART_AGE.0, PART_AGE.1);
            if !self.rows.is_empty() && (bytes >= PART_BYTES || oldest.elapsed() >= age) {
                self.write()?;
            }
            if told.elapsed() >= TELL {
                told = Instant::now();
                self.tell(tell);
            }
        }
        self.write()?;
        self.tell(tell);
        Ok(())
    }

    fn write(&mut self) -> Result<(), crate::record::RecordError> {
        let rows = std::mem::take(&mut self.rows);
        if rows.is_empty() {
            return Ok(());
        }
        let count = rows.len();
        self.folder.add(&Block::new(rows, self.header))?;
        self.progress.done += count;
        Ok(())
    }

    fn tell(&mut self, tell: &mut dyn FnMut(&Progress)) {
        self.progress.elapsed = self.began.elapsed();
        let waiting = self.rows.len();
        tell(&Progress { done: self.progress.done + waiting, ..self.progress });
    }
}

fn header(case: &Case, options: &SweepOptions) -> SweepHeader {
    let grid = case.sweep.as_ref().map(|sweep| sweep.grid.clone()).unwrap_or_default();
    let propeller = &case.point.propeller;
    SweepHeader {
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        program_version: options.program_version.clone(),
        shard: options.shard,
        orders: most_orders(&grid, &case.point),
        airframe: !case.point.further.is_empty() && case.point.airframe.centre_of_gravity_m.is_some(),
        further: further(&grid, &case.point),
        blade_rows: blade_rows(propeller),
        blade_count: propeller.blade_count,
        grid,
    }
}

/// Further propellers, with their blade counts where no axis sets them.
fn further(grid: &Grid, point: &OperatingPoint) -> Vec<FurtherHeader> {
    let one = |one: &FurtherPropeller| {
        let own = one.changes.blade_count;
        let as_first =
            || (grid.axis("propeller.blade_count").is_none()).then_some(point.propeller.blade_count);
        let count = own.or_else(as_first).filter(|_| grid.axis(&blade_count_key(&one.name)).is_none());
        FurtherHeader { name: one.name.clone(), blade_count: count }
    };
    point.further.iter().map(one).collect()
}

/// Harmonic orders, 0 included, of the point that has most; the largest blade count sets them for all propellers.
fn most_orders(grid: &Grid, point: &OperatingPoint) -> usize {
    let harmonics = Counts::of(grid, "solver.harmonics", point.solver.harmonics);
    let mut blades = vec![Counts::of(grid, "propeller.blade_count", point.propeller.blade_count)];
    blades.extend(point.further.iter().map(|one| {
        Counts::of(grid, &blade_count_key(&one.name), one.changes.blade_count.unwrap_or_default())
    }));
    let at = |places: &[usize]| {
        harmonics.at(places) * blades.iter().map(|counts| counts.at(places)).max().unwrap_or_default()
    };
    // Every place along the axes that count, the first place along the others.
    let dimensions: BTreeSet<usize> =
        blades.iter().chain([&harmonics]).filter_map(|counts| counts.dimension).collect();
    let mut all = vec![vec![0; grid.shape.len()]];
    for dimension in dimensions {
        let moved = |places: &Vec<usize>, i: usize| {
            let mut places = places.clone();
            places[dimension] = i;
            places
        };
        all = all.iter().flat_map(|p| (0..grid.shape[dimension]).map(move |i| moved(p, i))).collect();
    }
    all.iter().map(|places| at(places)).max().unwrap_or_default() + 1
}

/// A whole number of a case, along an axis where one sets it.
struct Counts {
    values: Vec<usize>,
    dimension: Option<usize>,
}

impl Counts {
    fn of(grid: &Grid, key: &str, own: usize) -> Self {
        match grid.axis(key).map(|axis| (&axis.values, axis.dimension)) {
            Some((AxisValues::Integers(values), dimension)) => Self {
                values: values.iter().map(|v| usize::try_from(*v).unwrap_or_default()).collect(),
                dimension: Some(dimension),
            },
            _ => Self { values: vec![own], dimension: None },
        }
    }

    /// At places along the dimensions of the grid.
    fn at(&self, places: &[usize]) -> usize {
        self.values.get(self.dimension.map_or(0, |d| places[d])).copied().unwrap_or_default()
    }
}

/// Blades that are told apart; neither lists of errors nor the count can differ between points that have an answer.
fn blade_rows(propeller: &Propeller) -> usize {
    let errors = &propeller.pitch_error_rad;
    if errors.iter().all(|error| *error == errors[0]) { 1 } else { errors.len() }
}

/// Threads to use unless told otherwise: all the machine offers.
#[must_use]
pub fn all_threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}
