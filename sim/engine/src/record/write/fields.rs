//! A file of named arrays: the kinds `mount` and `march`.

use std::path::Path;

use super::Writer;
use crate::base::field::{Field, FieldValues};
use crate::record::error::format_error;
use crate::record::schema::{self, Variable, attribute, group};
use crate::record::{FieldRecord, RecordError, image, scales};

/// The bytes of the file; `path` only names it in errors.
pub(in crate::record) fn fields_image(path: &Path, record: &FieldRecord) -> Result<Vec<u8>, RecordError> {
    let file = image::create().map_err(format_error(path, "create", "/"))?;
    let writer = Writer { path, file: &file };
    writer.text_attribute(&file, attribute::SCHEMA, schema::SCHEMA)?;
    writer.number_attribute(&file, attribute::SCHEMA_VERSION, schema::SCHEMA_VERSION)?;
    writer.text_attribute(&file, attribute::KIND, &record.kind)?;
    writer.text_attribute(&file, attribute::PROGRAM_VERSION, &record.program_version)?;
    writer.text_attribute(&file, attribute::CREATED_UTC, &record.created_utc)?;
    writer.group(group::INPUTS)?;
    writer.text(&schema::case(), &record.case_toml)?;
    writer.inputs(&record.inputs)?;
    for field in record.fields.iter().filter(|field| field.is_scale()) {
        writer.field(record, field)?;
    }
    for field in record.fields.iter().filter(|field| !field.is_scale()) {
        writer.field(record, field)?;
    }
    image::bytes(&file).map_err(format_error(path, "finish", "/"))
}

impl Writer<'_> {
    /// Writes one array with the scales of its dimensions attached.
    fn field(&self, record: &FieldRecord, field: &Field) -> Result<(), RecordError> {
        let variable = schema::field(field);
        self.parent_groups(&field.path)?;
        let shape: Vec<usize> =
            field.dimensions.iter().map(|path| record.field(path).map_or(0, Field::len)).collect();
        let dataset = match &field.values {
            FieldValues::Numbers(values) => self.dataset(&variable, &shape, values)?,
            FieldValues::Texts(texts) => {
                let values = texts
                    .iter()
                    .map(|text| self.unicode(&variable.path, text))
                    .collect::<Result<Vec<_>, _>>()?;
                self.dataset(&variable, &shape, &values)?
            }
        };
        if field.is_scale() {
            return self.made_scale(&dataset, &variable);
        }
        for (axis, path) in (0_u32..).zip(&field.dimensions) {
            let scale = self.file.dataset(path).map_err(format_error(self.path, "open", path))?;
            scales::attach_scale(&dataset, &scale, axis).map_err(format_error(
                self.path,
                "attach a scale to",
                &variable.path,
            ))?;
        }
        Ok(())
    }

    fn made_scale(&self, dataset: &hdf5::Dataset, variable: &Variable) -> Result<(), RecordError> {
        scales::make_scale(dataset, variable.name()).map_err(format_error(
            self.path,
            "make a scale of",
            &variable.path,
        ))
    }
}
