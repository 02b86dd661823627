//! A march, written as it goes: datasets that grow by revolution, under a temporary name until the end.

use std::path::{Path, PathBuf};

use hdf5::plist::file_create::LinkCreationOrder;
use hdf5::{Dataset, Extent, File, SimpleExtents};
use ndarray::{Array1, Array2, s};

use super::Writer;
use crate::march::run::{Channel, Told};
use crate::point::result::Warning;
use crate::record::error::stream_error;
use crate::record::schema::{self, Variable, attribute, group};
use crate::record::{RecordError, scales, target};

const HARMONICS: &str = "march/harmonics";
const WINDOW: &str = "march/window";
/// Revolutions written at a time.
const BLOCK: usize = 128;

/// What a march's file begins with.
#[derive(Debug, Clone)]
pub struct MarchHead {
    /// The resolved case as TOML text.
    pub case_toml: String,
    /// Path, as the case names it, and text of each file the case reads.
    pub inputs: Vec<(String, String)>,
    /// Version of the program.
    pub program_version: String,
    /// When it was computed.
    pub created_utc: String,
    /// The channels.
    pub channels: Vec<Channel>,
    /// Number of orders, 0 included.
    pub orders: usize,
    /// Limits of the model that are passed, in words.
    pub warnings: Vec<Warning>,
}

/// Writes a march revolution by revolution. Dropped before [`MarchFile::finish`] it removes itself.
pub struct MarchFile {
    path: PathBuf,
    file: Option<File>,
    temporary: tempfile::NamedTempFile,
    head: MarchHead,
    waiting: Vec<Told>,
    written: usize,
    sampled: usize,
}

impl MarchFile {
    /// Begins a file.
    ///
    /// # Errors
    /// [`RecordError`] when the target may not be written or HDF5 refuses.
    pub fn create(path: &Path, head: MarchHead, force: bool) -> Result<Self, RecordError> {
        target::check_target(path, force, &[])?;
        let temporary = target::temporary_beside(path)?;
        let file = File::with_options()
            .with_fcpl(|c| c.obj_track_times(false).link_creation_order(LinkCreationOrder::Indexed))
            .create(temporary.path())
            .map_err(stream_error(path, "create", "/"))?;
        let own = Self {
            path: path.to_path_buf(),
            file: Some(file),
            temporary,
            head,
            waiting: Vec::new(),
            written: 0,
            sampled: 0,
        };
        own.begin()?;
        Ok(own)
    }

    fn file(&self) -> Result<&File, RecordError> {
        self.file.as_ref().ok_or_else(|| RecordError::NotOurs { path: self.path.clone() })
    }

    fn begin(&self) -> Result<(), RecordError> {
        let file = self.file()?;
        let writer = Writer { path: &self.path, file };
        writer.text_attribute(file, attribute::SCHEMA, schema::SCHEMA)?;
        writer.number_attribute(file, attribute::SCHEMA_VERSION, schema::SCHEMA_VERSION)?;
        writer.text_attribute(file, attribute::KIND, schema::KIND_MARCH)?;
        writer.text_attribute(file, attribute::PROGRAM_VERSION, &self.head.program_version)?;
        writer.text_attribute(file, attribute::CREATED_UTC, &self.head.created_utc)?;
        writer.group(group::INPUTS)?;
        writer.text(&schema::case(), &self.head.case_toml)?;
        writer.inputs(&self.head.inputs)?;
        writer.group(group::WARNINGS)?;
        writer.warnings(&self.head.warnings)?;
        let orders: Vec<f64> = (0..self.head.orders).map(|n| n as f64).collect();
        let scale = schema::plain("order", "1", "harmonic order, cycles per shaft revolution; 0 is the mean");
        let dataset = writer.dataset(&scale, &[orders.len()], &orders)?;
        scales::make_scale(&dataset, "order").map_err(stream_error(
            &self.path,
            "make a scale of",
            "order",
        ))?;
        for variable in self.by_revolution() {
            self.grown(&writer, &variable, None)?;
        }
        for channel in &self.head.channels {
            for variable in self.by_order(channel) {
                self.grown(&writer, &variable, Some(self.head.orders))?;
            }
            self.grown(&writer, &peak(channel), None)?;
            self.grown(&writer, &sample(channel), None)?;
        }
        for variable in window_scales() {
            self.grown(&writer, &variable, None)?;
        }
        Ok(())
    }

    /// Scale first.
    fn by_revolution(&self) -> [Variable; 5] {
        let at =
            |name: &str, unit: &str, words: &str| schema::plain(&format!("{HARMONICS}/{name}"), unit, words);
        [
            at("revolution", "1", "number of the revolution, from 1"),
            at("time_s", "s", "time of the middle of the revolution"),
            at("shaft_speed_rad_s", "rad/s", "shaft speed in the middle of the revolution"),
            at("airspeed_m_s", "m/s", "airspeed in the middle of the revolution"),
            at("angle_of_attack_rad", "rad", "angle of attack in the middle of the revolution"),
        ]
    }

    fn by_order(&self, channel: &Channel) -> [Variable; 2] {
        let stem = channel.name.strip_suffix(&suffix(channel.unit)).unwrap_or(&channel.name);
        [
            schema::plain(
                &format!("{HARMONICS}/{}", channel.name),
                channel.unit,
                &format!(
                    "amplitude in each revolution, order 0 the signed mean, others single-sided peaks: {}",
                    channel.words
                ),
            ),
            schema::plain(
                &format!("{HARMONICS}/{stem}_phase_rad"),
                "rad",
                &format!("phase lag in cos(n psi - phase) in each revolution: {}", channel.words),
            ),
        ]
    }

    /// An empty dataset that grows along its first dimension.
    fn grown(&self, writer: &Writer, variable: &Variable, columns: Option<usize>) -> Result<(), RecordError> {
        writer.parent_groups(&variable.path)?;
        let mut extents = vec![Extent::resizable(0)];
        extents.extend(columns.map(Extent::fixed));
        let mut chunk = vec![BLOCK * if columns.is_some() { 1 } else { 8 }];
        chunk.extend(columns);
        let dataset = self
            .file()?
            .new_dataset::<f64>()
            .with_dcpl(|creation| creation.obj_track_times(false))
            .chunk(chunk)
            .shape(SimpleExtents::new(extents))
            .create(variable.path.as_str())
            .map_err(stream_error(&self.path, "create", &variable.path))?;
        writer.text_attribute(&dataset, attribute::UNITS, &variable.unit)?;
        writer.text_attribute(&dataset, attribute::LONG_NAME, &variable.long_name)
    }

    /// Takes one revolution.
    ///
    /// # Errors
    /// [`RecordError`] when HDF5 refuses, as on a full disk.
    pub fn take(&mut self, told: &Told) -> Result<(), RecordError> {
        self.waiting.push(told.clone());
        if self.waiting.len() >= BLOCK { self.write_waiting() } else { Ok(()) }
    }

    fn write_waiting(&mut self) -> Result<(), RecordError> {
        let told = std::mem::take(&mut self.waiting);
        let [number, time, speed, airspeed, angle] = self.by_revolution();
        let column = |value: &dyn Fn(&Told) -> f64| told.iter().map(value).collect::<Vec<f64>>();
        self.append(&number.path, self.written, column(&|t| t.number as f64))?;
        self.append(&time.path, self.written, column(&|t| t.time_s))?;
        self.append(&speed.path, self.written, column(&|t| t.row.speed_rad_s))?;
        self.append(&airspeed.path, self.written, column(&|t| t.row.airspeed_m_s))?;
        self.append(&angle.path, self.written, column(&|t| t.row.angle_of_attack_rad))?;
        let kept: Vec<&(Vec<f64>, Vec<Vec<f64>>)> = told.iter().filter_map(|t| t.samples.as_ref()).collect();
        for (c, channel) in self.head.channels.iter().enumerate() {
            let [amplitude, phase] = self.by_order(channel);
            self.append_rows(&amplitude.path, told.iter().map(|t| &t.amplitude[c]))?;
            self.append_rows(&phase.path, told.iter().map(|t| &t.phase_rad[c]))?;
            self.append(&peak(channel).path, self.written, column(&|t| t.peak[c]))?;
            self.append(
                &sample(channel).path,
                self.sampled,
                kept.iter().flat_map(|s| s.1[c].clone()).collect(),
            )?;
        }
        let times: Vec<f64> = kept.iter().flat_map(|s| s.0.clone()).collect();
        let [scale, time] = window_scales();
        let added = times.len();
        self.append(&scale.path, self.sampled, (1..=added).map(|i| (self.sampled + i) as f64).collect())?;
        self.append(&time.path, self.sampled, times)?;
        self.sampled += added;
        self.written += told.len();
        Ok(())
    }

    fn opened(&self, path: &str) -> Result<Dataset, RecordError> {
        self.file()?.dataset(path).map_err(stream_error(&self.path, "open", path))
    }

    fn append(&self, path: &str, from: usize, values: Vec<f64>) -> Result<(), RecordError> {
        let dataset = self.opened(path)?;
        let to = from + values.len();
        dataset.resize(to).map_err(stream_error(&self.path, "extend", path))?;
        dataset
            .write_slice(&Array1::from_vec(values), s![from..to])
            .map_err(stream_error(&self.path, "write", path))?;
        self.flush(path)
    }

    fn append_rows<'a>(
        &self,
        path: &str,
        rows: impl Iterator<Item = &'a Vec<f64>>,
    ) -> Result<(), RecordError> {
        let flat: Vec<f64> = rows.flatten().copied().collect();
        let columns = self.head.orders;
        let to = self.written + flat.len() / columns;
        let dataset = self.opened(path)?;
        dataset.resize((to, columns)).map_err(stream_error(&self.path, "extend", path))?;
        let found = flat.len();
        let block =
            Array2::from_shape_vec((found / columns, columns), flat).map_err(|_| RecordError::Shape {
                path: self.path.clone(),
                item: path.to_owned(),
                found: vec![found],
                expected: vec![columns],
            })?;
        dataset
            .write_slice(&block, s![self.written..to, ..])
            .map_err(stream_error(&self.path, "write", path))?;
        self.flush(path)
    }

    /// Hands what is written to the system while its dataset is open: when it is closed, nobody hears of an error.
    fn flush(&self, path: &str) -> Result<(), RecordError> {
        self.file()?.flush().map_err(stream_error(&self.path, "write", path))
    }

    /// Writes the rest, attaches the scales, and gives the file its name.
    ///
    /// # Errors
    /// [`RecordError`] when HDF5 or the file system refuses; then nothing is left behind.
    pub fn finish(mut self) -> Result<(), RecordError> {
        self.write_waiting()?;
        let [revolution, ..] = self.by_revolution();
        let [window, window_time] = window_scales();
        let scale = |path: &str| -> Result<Dataset, RecordError> {
            let dataset = self.opened(path)?;
            let name = path.rsplit('/').next().unwrap_or_default();
            scales::make_scale(&dataset, name).map_err(stream_error(&self.path, "make a scale of", path))?;
            Ok(dataset)
        };
        let (by_revolution, by_sample) = (scale(&revolution.path)?, scale(&window.path)?);
        let order = self.opened("order")?;
        let attach = |path: &str, scale: &Dataset, axis: u32| -> Result<(), RecordError> {
            scales::attach_scale(&self.opened(path)?, scale, axis).map_err(stream_error(
                &self.path,
                "attach a scale to",
                path,
            ))
        };
        for variable in &self.by_revolution()[1..] {
            attach(&variable.path, &by_revolution, 0)?;
        }
        attach(&window_time.path, &by_sample, 0)?;
        for channel in &self.head.channels {
            for variable in self.by_order(channel) {
                attach(&variable.path, &by_revolution, 0)?;
                attach(&variable.path, &order, 1)?;
            }
            attach(&peak(channel).path, &by_revolution, 0)?;
            attach(&sample(channel).path, &by_sample, 0)?;
        }
        drop((by_revolution, by_sample, order));
        if let Some(file) = self.file.take() {
            file.close().map_err(stream_error(&self.path, "finish", "/"))?;
        }
        target::persist(&self.path, self.temporary)
    }
}

fn suffix(unit: &str) -> String {
    let words = match unit {
        "m/s2" => "m_s2",
        "N m" => "n_m",
        "N" => "n",
        _ => "m",
    };
    format!("_{words}")
}

fn peak(channel: &Channel) -> Variable {
    let words = format!("largest departure from zero in each revolution: {}", channel.words);
    schema::plain(&format!("{HARMONICS}/peak_{}", channel.name), channel.unit, &words)
}

fn sample(channel: &Channel) -> Variable {
    let words = format!("history where it is kept: {}", channel.words);
    schema::plain(&format!("{WINDOW}/{}", channel.name), channel.unit, &words)
}

/// Scale first.
fn window_scales() -> [Variable; 2] {
    [
        schema::plain(&format!("{WINDOW}/sample"), "1", "number of the sample, from 1"),
        schema::plain(&format!("{WINDOW}/time_s"), "s", "time of the sample"),
    ]
}
