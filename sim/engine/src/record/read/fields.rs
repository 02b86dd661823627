//! Named arrays from a file of the kinds `mount` and `march`.

use std::path::Path;

use hdf5::Group;
use hdf5::types::{TypeDescriptor, VarLenUnicode};

use super::{Reader, open};
use crate::base::field::{Field, FieldValues};
use crate::record::error::format_error;
use crate::record::schema::{self, attribute, group};
use crate::record::{FieldRecord, RecordError};

/// Reads a file of a kind that holds named arrays; dimensions are not told.
pub(in crate::record) fn fields(path: &Path, kind: &'static str) -> Result<FieldRecord, RecordError> {
    let file = open(path)?;
    let reader = Reader { path, file: &file };
    reader.check_root(kind)?;
    let mut all = Vec::new();
    let root = file.group("/").map_err(format_error(path, "open", "/"))?;
    reader.collect(&root, "", &mut all)?;
    Ok(FieldRecord {
        kind: kind.to_owned(),
        case_toml: reader.text(&schema::case())?,
        inputs: reader.inputs()?,
        fields: all,
        program_version: reader.text_attribute(&file, attribute::PROGRAM_VERSION)?,
        created_utc: reader.text_attribute(&file, attribute::CREATED_UTC)?,
    })
}

impl Reader<'_> {
    fn collect(&self, place: &Group, prefix: &str, all: &mut Vec<Field>) -> Result<(), RecordError> {
        for name in self.members(place)? {
            let path = if prefix.is_empty() { name.clone() } else { format!("{prefix}/{name}") };
            if path == group::INPUTS || path == schema::case().path {
                continue;
            }
            if let Ok(inner) = place.group(&name) {
                self.collect(&inner, &path, all)?;
                continue;
            }
            let dataset = self.dataset(&path)?;
            let text = matches!(
                dataset.dtype().and_then(|kind| kind.to_descriptor()),
                Ok(TypeDescriptor::VarLenUnicode)
            );
            let fail = |error| format_error(self.path, "read", &path)(error);
            let values = if text {
                let texts = dataset.read_dyn::<VarLenUnicode>().map_err(fail)?;
                FieldValues::Texts(texts.iter().map(ToString::to_string).collect())
            } else {
                FieldValues::Numbers(dataset.read_dyn::<f64>().map_err(fail)?.into_iter().collect())
            };
            all.push(Field {
                unit: self.text_attribute(&dataset, attribute::UNITS)?,
                long_name: self.text_attribute(&dataset, attribute::LONG_NAME)?,
                dimensions: Vec::new(),
                values,
                path,
            });
        }
        Ok(())
    }
}
