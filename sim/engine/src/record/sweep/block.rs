//! Some points of a sweep, column by column as the result file holds them.

use super::SweepHeader;
use super::variables::source_of;
use crate::point::airframe::AIRFRAME_LOADS;
use crate::point::result::{BladeLoad, Harmonics, HubLoad, Scalar};
use crate::record::schema::{self, Dimension, Variable};
use crate::study::{PointAnswer, PointRow, PointStatus};

/// A column: one row of `width` numbers a point.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub(in crate::record) variable: Variable,
    /// First point of the block that has it.
    pub first: usize,
    /// Numbers a point.
    pub width: usize,
    pub values: Vec<f64>,
}

/// A warning of some points.
#[derive(Debug, Clone)]
pub(crate) struct Flag {
    pub name: String,
    /// First point of the block that has it.
    pub first: usize,
    /// Its text there.
    pub example: String,
    /// 1 where it applies, else 0.
    pub set: Vec<u8>,
}

/// Points with their columns.
#[derive(Debug, Clone, Default)]
pub(crate) struct Block {
    /// Numbers of the points, rising.
    pub points: Vec<usize>,
    pub status: Vec<u8>,
    pub message: Vec<String>,
    pub flags: Vec<Flag>,
    pub columns: Vec<Column>,
}

/// Columns that all points of a sweep have: harmonics of hub and blade, of the sums of several propellers, and of the hubs of the
/// further ones.
pub(super) fn fixed_variables(header: &SweepHeader) -> Vec<Variable> {
    let each = |variable: Variable| if header.blade_rows > 1 { variable.for_each_blade() } else { variable };
    let hub =
        HubLoad::ALL.into_iter().flat_map(|load| [schema::hub_amplitude(load), schema::hub_phase(load)]);
    let blade = BladeLoad::ALL
        .into_iter()
        .flat_map(|load| [schema::blade_amplitude(load), schema::blade_phase(load)].map(each));
    let sums = AIRFRAME_LOADS
        .into_iter()
        .filter(|_| header.airframe)
        .flat_map(|load| [schema::airframe_amplitude(load), schema::airframe_phase(load)]);
    let envelope = AIRFRAME_LOADS
        .into_iter()
        .filter(|_| header.airframe)
        .flat_map(|load| [schema::airframe_greatest(load), schema::airframe_least(load)]);
    let further = header.further.iter().flat_map(|one| {
        let root = schema::further(&one.name);
        let of_load = move |load| {
            [schema::hub_amplitude(load), schema::hub_phase(load)].map(|variable| variable.under(&root))
        };
        HubLoad::ALL.into_iter().flat_map(of_load)
    });
    hub.chain(blade).chain(sums).chain(envelope).chain(further).collect()
}

/// Numbers a point of a variable.
pub(super) fn width(variable: &Variable, header: &SweepHeader) -> usize {
    let size = |dimension: &Dimension| match dimension {
        Dimension::Blade => header.blade_rows,
        _ => header.orders,
    };
    variable.dimensions.iter().map(size).product()
}

impl Block {
    /// From finished points; where a point has no answer, or fewer orders, its numbers are NaN.
    pub(crate) fn new(mut rows: Vec<PointRow>, header: &SweepHeader) -> Self {
        rows.sort_by_key(|row| row.index);
        let mut builder = Builder { header, block: Self::default() };
        for variable in fixed_variables(header) {
            builder.add_column(variable, rows.first().map_or(0, |row| row.index), rows.len());
        }
        builder.block.points = rows.iter().map(|row| row.index).collect();
        for (at, row) in rows.iter().enumerate() {
            builder.row(at, row, rows.len());
        }
        builder.block.fill_absent_shares();
        builder.block
    }

    /// A source that a point does not have adds nothing to it: its share is 0, not unknown.
    fn fill_absent_shares(&mut self) {
        let known = self.known_orders();
        for column in self.columns.iter_mut().filter(|c| source_of(&c.variable.path).is_some()) {
            fill_zero(&mut column.values, &known, column.width);
        }
    }

    /// Which numbers of a row of harmonics the points have, all points one after the other.
    pub(super) fn known_orders(&self) -> Vec<bool> {
        let thrust = schema::hub_amplitude(HubLoad::Thrust).path;
        let column = self.columns.iter().find(|column| column.variable.path == thrust);
        column.map_or_else(Vec::new, |column| column.values.iter().map(|v| v.is_finite()).collect())
    }

    /// Rough size in memory, bytes.
    pub(crate) fn row_bytes(header: &SweepHeader, sources: usize) -> usize {
        let sums = if header.airframe { 4 * AIRFRAME_LOADS.len() } else { 0 };
        8 * header.orders * (14 * (1 + header.further.len() + sources) + 8 * header.blade_rows + sums)
    }
}

/// Rows of harmonics that hold nothing become 0 where the point has an answer.
pub(super) fn fill_zero(values: &mut [f64], known: &[bool], width: usize) {
    for (row, known) in values.chunks_mut(width).zip(known.chunks(width)) {
        if row.iter().all(|value| value.is_nan()) {
            for (value, _) in row.iter_mut().zip(known).filter(|(_, known)| **known) {
                *value = 0.0;
            }
        }
    }
}

struct Builder<'a> {
    header: &'a SweepHeader,
    block: Block,
}

impl Builder<'_> {
    fn add_column(&mut self, variable: Variable, first: usize, rows: usize) {
        let width = width(&variable, self.header);
        self.block.columns.push(Column { variable, first, width, values: vec![f64::NAN; rows * width] });
    }

    fn row(&mut self, at: usize, row: &PointRow, rows: usize) {
        match &row.answer {
            Ok(answer) => {
                self.block.status.push(PointStatus::Computed.number());
                self.block.message.push(String::new());
                self.harmonics(at, answer);
                self.shares(at, row.index, answer, rows);
                self.summary(at, row.index, "", &answer.summary, rows);
                self.further(at, row.index, answer, rows);
                self.flags(at, row.index, answer, rows);
            }
            Err((status, message)) => {
                self.block.status.push(status.number());
                self.block.message.push(message.clone());
            }
        }
    }

    /// The fixed columns, in their order.
    fn harmonics(&mut self, at: usize, answer: &PointAnswer) {
        let orders = self.header.orders;
        let mut columns = self.block.columns.iter_mut();
        for load in &answer.hub {
            for part in [&load.amplitude, &load.phase_rad] {
                if let Some(column) = columns.next() {
                    copy(&mut column.values[at * orders..(at + 1) * orders], part);
                }
            }
        }
        for load in 0..BladeLoad::ALL.len() {
            for amplitude in [true, false] {
                let Some(column) = columns.next() else { return };
                let own = &mut column.values[at * column.width..(at + 1) * column.width];
                for (row, blade) in own.chunks_mut(orders).zip(&answer.blades) {
                    copy(row, if amplitude { &blade[load].amplitude } else { &blade[load].phase_rad });
                }
            }
        }
        let Some(airframe) = &answer.airframe else { return };
        let sums = airframe.loads.iter().flat_map(|load| [&load.amplitude, &load.phase_rad]);
        let envelope = airframe.greatest.iter().zip(&airframe.least).flat_map(|(high, low)| [high, low]);
        for (column, part) in columns.zip(sums.chain(envelope)) {
            copy(&mut column.values[at * orders..(at + 1) * orders], part);
        }
    }

    fn shares(&mut self, at: usize, index: usize, answer: &PointAnswer, rows: usize) {
        for share in &answer.shares {
            let start = self.source(&share.name, index, rows);
            self.pairs(start, at, &share.loads);
        }
    }

    /// Amplitudes and phases of loads into the columns from `start` on.
    fn pairs(&mut self, start: usize, at: usize, loads: &[Harmonics]) {
        let parts = loads.iter().flat_map(|load| [&load.amplitude, &load.phase_rad]);
        for (column, part) in self.block.columns[start..].iter_mut().zip(parts) {
            copy(&mut column.values[at * column.width..(at + 1) * column.width], part);
        }
    }

    /// Hub harmonics and summary of every further propeller.
    fn further(&mut self, at: usize, index: usize, answer: &PointAnswer, rows: usize) {
        for one in &answer.further {
            let root = schema::further(&one.name);
            if let Some(start) = self.column(&schema::hub_amplitude(HubLoad::Thrust).under(&root).path) {
                self.pairs(start, at, &one.hub);
            }
            self.summary(at, index, &root, &one.summary, rows);
        }
    }

    fn column(&self, path: &str) -> Option<usize> {
        self.block.columns.iter().position(|column| column.variable.path == path)
    }

    /// Where the columns of a source start; made where they are not there yet.
    fn source(&mut self, name: &str, index: usize, rows: usize) -> usize {
        let first = schema::share_amplitude(name, HubLoad::Thrust).path;
        if let Some(at) = self.column(&first) {
            return at;
        }
        let start = self.block.columns.len();
        for load in HubLoad::ALL {
            self.add_column(schema::share_amplitude(name, load), index, rows);
            self.add_column(schema::share_phase(name, load), index, rows);
        }
        start
    }

    /// Scalars of one propeller, whose groups stand under `root`.
    fn summary(&mut self, at: usize, index: usize, root: &str, scalars: &[Scalar], rows: usize) {
        let group = format!("{}/", schema::join(root, schema::group::SUMMARY));
        // Scalars mostly come in the same order, so the next column is mostly the right one.
        let mut expected = self.block.columns.len();
        for scalar in scalars {
            // A scalar of the same name as an axis is that axis again.
            if self.header.grid.axes.iter().any(|axis| axis.name == scalar.name) {
                continue;
            }
            let is_it = |column: &Column| {
                column.variable.path.strip_prefix(group.as_str()) == Some(scalar.name.as_str())
            };
            let found = match self.block.columns.get(expected) {
                Some(column) if is_it(column) => Some(expected),
                _ => self.block.columns.iter().position(is_it),
            };
            let column = found.unwrap_or_else(|| {
                self.add_column(schema::summary(scalar).under(root), index, rows);
                self.block.columns.len() - 1
            });
            self.block.columns[column].values[at] = scalar.value;
            expected = column + 1;
        }
    }

    fn flags(&mut self, at: usize, index: usize, answer: &PointAnswer, rows: usize) {
        for warning in &answer.warnings {
            let found = self.block.flags.iter().position(|flag| flag.name == warning.name);
            let flag = found.unwrap_or_else(|| {
                let (name, example) = (warning.name.to_owned(), warning.text.clone());
                self.block.flags.push(Flag { name, first: index, example, set: vec![0; rows] });
                self.block.flags.len() - 1
            });
            self.block.flags[flag].set[at] = 1;
        }
    }
}

/// As many numbers as the point has; the rest stays NaN.
fn copy(to: &mut [f64], from: &[f64]) {
    for (to, from) in to.iter_mut().zip(from) {
        *to = *from;
    }
}
