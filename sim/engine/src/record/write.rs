//! A run as HDF5.

mod fields;
mod march;

use std::path::Path;
use std::str::FromStr;

use hdf5::plist::dataset_create::{AllocTime, FillTime, Layout};
use hdf5::plist::group_create::LinkCreationOrder;
use hdf5::types::VarLenUnicode;
use hdf5::{Dataset, File, Group, H5Type, Location};
use ndarray::{Array2, ArrayView, IxDyn};

use super::error::format_error;
use super::schema::{self, Dimension, Variable, attribute, group};
use super::{RecordError, RunRecord, image, inputs, scales};
use crate::point::airframe::{AIRFRAME_LOADS, AirframeSums, FurtherResult};
use crate::point::result::{BladeLoad, DiskField, HubLoad, LoadHistory, PointResult, Share, Warning};

pub(super) use fields::fields_image;
pub use march::{MarchFile, MarchHead};

/// The bytes of the file; `path` only names it in errors.
pub(super) fn run_image(path: &Path, record: &RunRecord) -> Result<Vec<u8>, RecordError> {
    let file = image::create().map_err(format_error(path, "create", "/"))?;
    let writer = Writer { path, file: &file };
    writer.root(record)?;
    writer.dimensions(&record.result)?;
    writer.propeller("", &record.result)?;
    writer.warnings(&record.result.warnings)?;
    writer.inputs(&record.inputs)?;
    if let Some(airframe) = &record.result.airframe {
        writer.further(&airframe.further)?;
        if let Some(sums) = &airframe.sums {
            writer.sums(sums, &airframe.further)?;
        }
    }
    image::bytes(&file).map_err(format_error(path, "finish", "/"))
}

pub(super) struct Writer<'a> {
    pub path: &'a Path,
    pub file: &'a File,
}

impl Writer<'_> {
    fn root(&self, record: &RunRecord) -> Result<(), RecordError> {
        self.head(schema::KIND_RUN, &record.program_version, &record.created_utc)?;
        for name in group::OF_PROPELLER.into_iter().chain(group::OF_RUN) {
            self.group(name)?;
        }
        self.text(&schema::case(), &record.case_toml)?;
        self.array(&schema::blade_count(), &[], &[record.result.blade_count as u64])?;
        Ok(())
    }

    /// The attributes that every result file has in its root.
    pub(super) fn head(
        &self,
        kind: &str,
        program_version: &str,
        created_utc: &str,
    ) -> Result<(), RecordError> {
        self.text_attribute(self.file, attribute::SCHEMA, schema::SCHEMA)?;
        self.number_attribute(self.file, attribute::SCHEMA_VERSION, schema::SCHEMA_VERSION)?;
        self.text_attribute(self.file, attribute::KIND, kind)?;
        self.text_attribute(self.file, attribute::PROGRAM_VERSION, program_version)?;
        self.text_attribute(self.file, attribute::CREATED_UTC, created_utc)
    }

    fn dimensions(&self, result: &PointResult) -> Result<(), RecordError> {
        let orders = result.hub.first().map_or(0, |load| load.harmonics.amplitude.len());
        self.scale(&Dimension::Azimuth.scale(""), &result.azimuth_rad)?;
        self.scale(&Dimension::Radius.scale(""), &result.radius_m)?;
        self.scale(&Dimension::Order.scale(""), &(0..orders as u64).collect::<Vec<_>>())
    }

    /// Loads, disk, shares and summary of one propeller, whose groups stand under `root`.
    fn propeller(&self, root: &str, result: &PointResult) -> Result<(), RecordError> {
        if result.blades.len() > 1 {
            for group in [group::BLADE, group::BLADE_HARMONICS] {
                let scale = Dimension::Blade.scale(&schema::join(root, group));
                self.scale(&scale, &numbers(result.blades.len()))?;
            }
        }
        self.hub(root, result)?;
        self.blades(root, result)?;
        self.disk(root, result)?;
        self.attribution(root, &result.attribution)?;
        for scalar in &result.summary {
            self.array(&schema::summary(scalar).under(root), &[], &[scalar.value])?;
        }
        Ok(())
    }

    fn hub(&self, root: &str, result: &PointResult) -> Result<(), RecordError> {
        for load in HubLoad::ALL {
            let signal = result.hub(load);
            self.row(&schema::hub(load).under(root), &signal.history)?;
            self.row(&schema::hub_amplitude(load).under(root), &signal.harmonics.amplitude)?;
            self.row(&schema::hub_phase(load).under(root), &signal.harmonics.phase_rad)?;
        }
        Ok(())
    }

    fn blades(&self, root: &str, result: &PointResult) -> Result<(), RecordError> {
        for (index, load) in BladeLoad::ALL.into_iter().enumerate() {
            let signals: Vec<_> = result.blades.iter().map(|blade| &blade[index]).collect();
            self.blade_rows(schema::blade(load).under(root), &signals, |signal| &signal.history)?;
            let amplitude = schema::blade_amplitude(load).under(root);
            self.blade_rows(amplitude, &signals, |signal| &signal.harmonics.amplitude)?;
            let phase = schema::blade_phase(load).under(root);
            self.blade_rows(phase, &signals, |signal| &signal.harmonics.phase_rad)?;
        }
        Ok(())
    }

    /// One row, or one a blade where blades differ.
    fn blade_rows(
        &self,
        variable: Variable,
        signals: &[&LoadHistory],
        part: impl Fn(&LoadHistory) -> &Vec<f64>,
    ) -> Result<(), RecordError> {
        if let [only] = signals {
            return self.row(&variable, part(only));
        }
        let columns = signals.first().map_or(0, |signal| part(signal).len());
        let variable = variable.for_each_blade();
        for signal in signals {
            self.check_shape(&variable, &[part(signal).len()], &[columns])?;
        }
        let values: Vec<f64> = signals.iter().flat_map(|signal| part(signal).iter().copied()).collect();
        self.array(&variable, &[signals.len(), columns], &values).map(drop)
    }

    fn disk(&self, root: &str, result: &PointResult) -> Result<(), RecordError> {
        for field in DiskField::ALL {
            self.array2(&schema::disk(field).under(root), result.disk(field))?;
        }
        Ok(())
    }

    fn attribution(&self, root: &str, shares: &[Share]) -> Result<(), RecordError> {
        for (number, share) in (1_u64..).zip(shares) {
            let source = self.group(&schema::join(root, &schema::source(&share.name)))?;
            self.number_attribute(&source, attribute::NUMBER, number)?;
            for (load, harmonics) in HubLoad::ALL.into_iter().zip(&share.loads) {
                let amplitude = schema::share_amplitude(&share.name, load).under(root);
                self.row(&amplitude, &harmonics.amplitude)?;
                self.row(&schema::share_phase(&share.name, load).under(root), &harmonics.phase_rad)?;
            }
        }
        Ok(())
    }

    /// Every further propeller with the groups of the first.
    fn further(&self, further: &[FurtherResult]) -> Result<(), RecordError> {
        if !further.is_empty() {
            self.group(group::FURTHER)?;
        }
        for (number, one) in (1_u64..).zip(further) {
            let root = schema::further(&one.name);
            let place = self.group(&root)?;
            self.number_attribute(&place, attribute::NUMBER, number)?;
            for name in group::OF_PROPELLER {
                self.group(&schema::join(&root, name))?;
            }
            self.array(&schema::blade_count().under(&root), &[], &[one.result.blade_count as u64])?;
            let disk = schema::join(&root, group::DISK);
            self.scale(&Dimension::FurtherRadius.scale(&disk), &one.result.radius_m)?;
            self.propeller(&root, &one.result)?;
        }
        Ok(())
    }

    /// Sums at the centre of gravity.
    fn sums(&self, sums: &AirframeSums, further: &[FurtherResult]) -> Result<(), RecordError> {
        let groups =
            [group::AIRFRAME, group::AIRFRAME_HARMONICS, group::AIRFRAME_ENVELOPE, group::AIRFRAME_PHASE];
        for name in groups {
            self.group(name)?;
        }
        for (place, load) in AIRFRAME_LOADS.into_iter().enumerate() {
            let signal = &sums.loads[place];
            self.row(&schema::airframe(load), &signal.history)?;
            self.row(&schema::airframe_amplitude(load), &signal.harmonics.amplitude)?;
            self.row(&schema::airframe_phase(load), &signal.harmonics.phase_rad)?;
            self.row(&schema::airframe_greatest(load), &sums.greatest[place])?;
            self.row(&schema::airframe_least(load), &sums.least[place])?;
        }
        for (one, loads) in further.iter().zip(&sums.by_phase) {
            let name = schema::turned(&one.name);
            self.group(&name)?;
            self.scale(&Dimension::Phase.scale(&name), &sums.phase_rad)?;
            for (load, table) in AIRFRAME_LOADS.into_iter().zip(loads) {
                self.array2(&schema::airframe_by_phase(&one.name, load), table)?;
            }
        }
        Ok(())
    }

    fn array2(&self, variable: &Variable, values: &Array2<f64>) -> Result<(), RecordError> {
        let flat: Vec<f64> = values.iter().copied().collect();
        self.array(variable, values.shape(), &flat).map(drop)
    }

    pub(super) fn warnings(&self, warnings: &[Warning]) -> Result<(), RecordError> {
        self.scale(&Dimension::Warning.scale(group::WARNINGS), &numbers(warnings.len()))?;
        let names: Vec<_> = warnings.iter().map(|warning| warning.name).collect();
        let texts: Vec<_> = warnings.iter().map(|warning| warning.text.as_str()).collect();
        self.texts(&schema::warning_name(), &names)?;
        self.texts(&schema::warning_text(), &texts)
    }

    pub(super) fn inputs(&self, files: &[(String, String)]) -> Result<(), RecordError> {
        for (number, (path, text)) in (1_u64..).zip(files) {
            let variable = schema::input(&inputs::link(path));
            self.parent_groups(&variable.path)?;
            let dataset = self.text(&variable, text)?;
            self.text_attribute(&dataset, attribute::PATH, path)?;
            self.text_attribute(&dataset, attribute::SHA256, &inputs::sha256(text))?;
            self.number_attribute(&dataset, attribute::NUMBER, number)?;
        }
        Ok(())
    }

    fn parent_groups(&self, path: &str) -> Result<(), RecordError> {
        for (end, _) in path.match_indices('/') {
            if !self.file.link_exists(&path[..end]) {
                self.group(&path[..end])?;
            }
        }
        Ok(())
    }

    /// A group that keeps the order in which its members are written.
    pub(super) fn group(&self, name: &str) -> Result<Group, RecordError> {
        self.file
            .create_group_builder()
            .with_gcpl(|creation| creation.link_creation_order(LinkCreationOrder::Indexed))
            .obj_track_times(false)
            .create(name)
            .map_err(format_error(self.path, "create", name))
    }

    pub(super) fn scale<T: H5Type>(&self, variable: &Variable, values: &[T]) -> Result<(), RecordError> {
        let dataset = self.dataset(variable, &[values.len()], values)?;
        self.make_scale(&dataset, variable)
    }

    pub(super) fn make_scale(&self, dataset: &Dataset, variable: &Variable) -> Result<(), RecordError> {
        scales::make_scale(dataset, variable.name()).map_err(format_error(
            self.path,
            "make a scale of",
            &variable.path,
        ))
    }

    /// Attaches the scales of the given names to the first dimensions of a dataset.
    pub(super) fn attach(
        &self,
        dataset: &Dataset,
        variable: &Variable,
        names: &[String],
    ) -> Result<(), RecordError> {
        for ((axis, name), size) in (0_u32..).zip(names).zip(dataset.shape()) {
            let scale = self.file.dataset(name).map_err(format_error(self.path, "open", name))?;
            self.check_shape(variable, &[size], &scale.shape())?;
            scales::attach_scale(dataset, &scale, axis).map_err(format_error(
                self.path,
                "attach a scale to",
                &variable.path,
            ))?;
        }
        Ok(())
    }

    /// A dataset of numbers in one piece, over the dimensions `lead` and then its own, whose values are written later.
    pub(super) fn room(&self, lead: &[(String, usize)], variable: &Variable) -> Result<Dataset, RecordError> {
        let mut shape: Vec<usize> = lead.iter().map(|(_, size)| *size).collect();
        let mut names: Vec<String> = lead.iter().map(|(name, _)| name.clone()).collect();
        for scale in variable.scales() {
            let own = self.file.dataset(&scale.path).map_err(format_error(self.path, "open", &scale.path))?;
            shape.push(own.size());
            names.push(scale.path);
        }
        let dataset = self
            .file
            .new_dataset::<f64>()
            .with_dcpl(|creation| {
                creation
                    .obj_track_times(false)
                    .alloc_time(Some(AllocTime::Early))
                    .fill_time(FillTime::Never)
                    .layout(Layout::Contiguous)
            })
            .shape(shape)
            .create(variable.path.as_str())
            .map_err(format_error(self.path, "make room for", &variable.path))?;
        self.text_attribute(&dataset, attribute::UNITS, &variable.unit)?;
        self.text_attribute(&dataset, attribute::LONG_NAME, &variable.long_name)?;
        self.attach(&dataset, variable, &names)?;
        Ok(dataset)
    }

    fn row(&self, variable: &Variable, values: &[f64]) -> Result<(), RecordError> {
        self.array(variable, &[values.len()], values).map(drop)
    }

    pub(super) fn text(&self, variable: &Variable, text: &str) -> Result<Dataset, RecordError> {
        self.array(variable, &[], &[self.unicode(&variable.path, text)?])
    }

    fn texts(&self, variable: &Variable, texts: &[&str]) -> Result<(), RecordError> {
        let values = self.unicodes(variable, texts)?;
        self.array(variable, &[values.len()], &values).map(drop)
    }

    /// Texts of any shape, no scale attached.
    pub(super) fn text_array(
        &self,
        variable: &Variable,
        shape: &[usize],
        texts: &[&str],
    ) -> Result<Dataset, RecordError> {
        self.dataset(variable, shape, &self.unicodes(variable, texts)?)
    }

    fn unicodes(&self, variable: &Variable, texts: &[&str]) -> Result<Vec<VarLenUnicode>, RecordError> {
        texts.iter().map(|text| self.unicode(&variable.path, text)).collect()
    }

    /// A dataset with the scales of its dimensions attached.
    pub(super) fn array<T: H5Type>(
        &self,
        variable: &Variable,
        shape: &[usize],
        values: &[T],
    ) -> Result<Dataset, RecordError> {
        let dataset = self.dataset(variable, shape, values)?;
        let names: Vec<String> = variable.scales().map(|scale| scale.path).collect();
        self.attach(&dataset, variable, &names)?;
        Ok(dataset)
    }

    pub(super) fn dataset<T: H5Type>(
        &self,
        variable: &Variable,
        shape: &[usize],
        values: &[T],
    ) -> Result<Dataset, RecordError> {
        let view = ArrayView::from_shape(IxDyn(shape), values)
            .map_err(|_| self.shape_error(variable, &[values.len()], shape))?;
        let dataset = self
            .file
            .new_dataset_builder()
            .with_dcpl(|creation| creation.obj_track_times(false))
            .with_data(view)
            .create(variable.path.as_str())
            .map_err(format_error(self.path, "write", &variable.path))?;
        self.text_attribute(&dataset, attribute::UNITS, &variable.unit)?;
        self.text_attribute(&dataset, attribute::LONG_NAME, &variable.long_name)?;
        Ok(dataset)
    }

    pub(super) fn text_attribute(&self, place: &Location, name: &str, text: &str) -> Result<(), RecordError> {
        self.attribute(place, name, self.unicode(name, text)?)
    }

    pub(super) fn number_attribute<T: H5Type>(
        &self,
        place: &Location,
        name: &str,
        value: T,
    ) -> Result<(), RecordError> {
        self.attribute(place, name, value)
    }

    pub(super) fn numbers_attribute<T: H5Type>(
        &self,
        place: &Location,
        name: &str,
        values: &[T],
    ) -> Result<(), RecordError> {
        place
            .new_attr_builder()
            .with_data(values)
            .create(name)
            .map(drop)
            .map_err(format_error(self.path, "write", name))
    }

    fn attribute<T: H5Type>(&self, place: &Location, name: &str, value: T) -> Result<(), RecordError> {
        place
            .new_attr::<T>()
            .create(name)
            .and_then(|created| created.write_scalar(&value))
            .map_err(format_error(self.path, "write", name))
    }

    fn unicode(&self, item: &str, text: &str) -> Result<VarLenUnicode, RecordError> {
        VarLenUnicode::from_str(text)
            .map_err(|_| RecordError::Nul { path: self.path.to_path_buf(), item: item.to_owned() })
    }

    fn check_shape(
        &self,
        variable: &Variable,
        found: &[usize],
        expected: &[usize],
    ) -> Result<(), RecordError> {
        if found == expected { Ok(()) } else { Err(self.shape_error(variable, found, expected)) }
    }

    fn shape_error(&self, variable: &Variable, found: &[usize], expected: &[usize]) -> RecordError {
        RecordError::Shape {
            path: self.path.to_path_buf(),
            item: variable.path.clone(),
            found: found.to_vec(),
            expected: expected.to_vec(),
        }
    }
}

/// 1, 2, … up to and with `count`.
fn numbers(count: usize) -> Vec<u64> {
    (1..=count as u64).collect()
}
