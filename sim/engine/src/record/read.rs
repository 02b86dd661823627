//! A run from HDF5.

mod fields;

use std::collections::BTreeSet;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use hdf5::types::VarLenUnicode;
use hdf5::{Dataset, File, Group, H5Type, IndexType, IterationOrder, Location};
use ndarray::{Array2, ArrayD};

use super::error::{format_error, system_reason};
use super::schema::{self, Dimension, Variable, attribute, group};
use super::target::io_error;
use super::{CaseRecord, RecordError, RunRecord, inputs};
use crate::point::airframe::{AIRFRAME_LOADS, AirframeResult, AirframeSums, FurtherResult};
use crate::point::result::{
    BladeLoad, BladeLoads, DiskField, Harmonics, HubLoad, LoadHistory, PointResult, Scalar, Share, Warning,
};

pub(super) use fields::fields;

/// Whether the root carries our schema name.
pub(super) fn is_ours(path: &Path) -> bool {
    File::open(path).is_ok_and(|file| {
        let reader = Reader { path, file: &file };
        reader.text_attribute(&file, attribute::SCHEMA).is_ok_and(|name| name == schema::SCHEMA)
    })
}

/// Reads the file of one operating point.
pub(super) fn run(path: &Path) -> Result<RunRecord, RecordError> {
    let file = open(path)?;
    let reader = Reader { path, file: &file };
    reader.check_root(schema::KIND_RUN)?;
    Ok(RunRecord {
        case_toml: reader.text(&schema::case())?,
        inputs: reader.inputs()?,
        result: reader.result()?,
        program_version: reader.text_attribute(&file, attribute::PROGRAM_VERSION)?,
        created_utc: reader.text_attribute(&file, attribute::CREATED_UTC)?,
    })
}

/// Reads what every result file holds.
pub(super) fn case(path: &Path) -> Result<CaseRecord, RecordError> {
    let file = open(path)?;
    let reader = Reader { path, file: &file };
    reader.check_version()?;
    Ok(CaseRecord {
        kind: reader.text_attribute(&file, attribute::KIND)?,
        case_toml: reader.text(&schema::case())?,
        inputs: reader.inputs()?,
    })
}

/// Opens a file that should be ours.
pub(super) fn open(path: &Path) -> Result<File, RecordError> {
    // The system's own words for a missing or unreadable file; HDF5 words them at length.
    let bytes = std::fs::File::open(path).map_err(io_error(path, "open"))?;
    if path.to_str().is_none() {
        return Err(RecordError::NotUtf8 { path: path.to_path_buf() });
    }
    File::open(path).map_err(|error| unreadable(path, bytes, &error))
}

/// Why HDF5 does not open a file that the system does.
fn unreadable(path: &Path, bytes: std::fs::File, error: &hdf5::Error) -> RecordError {
    let path = path.to_path_buf();
    let mut start = Vec::new();
    // What cannot be read, such as a folder, is no result file either.
    let _ = bytes.take(SIGNATURE.len() as u64).read_to_end(&mut start);
    if start != SIGNATURE {
        return RecordError::NotOurs { path };
    }
    let locked = system_reason(&error.to_string()).is_some_and(|why| why.kind() == ErrorKind::WouldBlock);
    if locked { RecordError::InUse { path } } else { RecordError::CutShort { path } }
}

/// The bytes that every file of HDF5 begins with.
const SIGNATURE: &[u8; 8] = b"\x89HDF\r\n\x1a\n";

pub(super) struct Reader<'a> {
    pub path: &'a Path,
    pub file: &'a File,
}

impl Reader<'_> {
    /// Refuses what is not ours, of another schema, or of another kind.
    pub(super) fn check_root(&self, expected: &'static str) -> Result<(), RecordError> {
        self.check_version()?;
        let found = self.text_attribute(self.file, attribute::KIND)?;
        if found != expected {
            return Err(RecordError::Kind { path: self.path.to_path_buf(), found, expected });
        }
        Ok(())
    }

    fn check_version(&self) -> Result<(), RecordError> {
        let path = self.path.to_path_buf();
        match self.text_attribute(self.file, attribute::SCHEMA) {
            Ok(name) if name == schema::SCHEMA => {}
            _ => return Err(RecordError::NotOurs { path }),
        }
        let found: u32 = self.attribute(self.file, attribute::SCHEMA_VERSION)?;
        if found != schema::SCHEMA_VERSION {
            return Err(RecordError::Version { path, found, supported: schema::SCHEMA_VERSION });
        }
        Ok(())
    }

    fn result(&self) -> Result<PointResult, RecordError> {
        let radius_m = self.row(&Dimension::Radius.scale(""))?;
        let mut result = self.propeller("", radius_m)?;
        result.warnings = self.warnings()?;
        result.airframe = self.airframe()?;
        Ok(result)
    }

    /// What the groups under `root` hold of one propeller.
    fn propeller(&self, root: &str, radius_m: Vec<f64>) -> Result<PointResult, RecordError> {
        let count: u64 = self.scalar(&schema::blade_count().under(root))?;
        let fields = DiskField::ALL.into_iter().map(|field| self.array2(&schema::disk(field).under(root)));
        Ok(PointResult {
            attribution: self.attribution(root)?,
            airframe: None,
            blade_count: usize::try_from(count).unwrap_or(usize::MAX),
            azimuth_rad: self.row(&Dimension::Azimuth.scale(""))?,
            radius_m,
            hub: HubLoad::ALL.into_iter().map(|load| self.hub(root, load)).collect::<Result<_, _>>()?,
            blades: self.blades(root)?,
            disk: fields.collect::<Result<_, _>>()?,
            summary: self.summary(root)?,
            warnings: Vec::new(),
        })
    }

    fn hub(&self, root: &str, load: HubLoad) -> Result<LoadHistory, RecordError> {
        Ok(LoadHistory {
            history: self.row(&schema::hub(load).under(root))?,
            harmonics: Harmonics {
                amplitude: self.row(&schema::hub_amplitude(load).under(root))?,
                phase_rad: self.row(&schema::hub_phase(load).under(root))?,
            },
        })
    }

    fn blades(&self, root: &str) -> Result<Vec<BladeLoads>, RecordError> {
        let loads = BladeLoad::ALL.map(|load| self.blade_load(root, load));
        let [thrust, torque, flap, lag] = loads;
        let rows = thrust?.into_iter().zip(torque?).zip(flap?).zip(lag?);
        Ok(rows.map(|(((thrust, torque), flap), lag)| [thrust, torque, flap, lag]).collect())
    }

    /// One entry, or one a blade where blades differ.
    fn blade_load(&self, root: &str, load: BladeLoad) -> Result<Vec<LoadHistory>, RecordError> {
        let histories = self.blade_rows(schema::blade(load).under(root))?;
        let amplitudes = self.blade_rows(schema::blade_amplitude(load).under(root))?;
        let phases = self.blade_rows(schema::blade_phase(load).under(root))?;
        let signals = histories.into_iter().zip(amplitudes).zip(phases);
        Ok(signals
            .map(|((history, amplitude), phase_rad)| LoadHistory {
                history,
                harmonics: Harmonics { amplitude, phase_rad },
            })
            .collect())
    }

    fn blade_rows(&self, variable: Variable) -> Result<Vec<Vec<f64>>, RecordError> {
        if !self.file.link_exists(&Dimension::Blade.scale(variable.group()).path) {
            return Ok(vec![self.row(&variable)?]);
        }
        let values = self.array2(&variable.for_each_blade())?;
        Ok(values.outer_iter().map(|row| row.to_vec()).collect())
    }

    /// The sources in the order of the sum; none where the file does not hold shares.
    fn attribution(&self, root: &str) -> Result<Vec<Share>, RecordError> {
        let path = schema::join(root, group::ATTRIBUTION);
        if !self.file.link_exists(&path) {
            return Ok(Vec::new());
        }
        let mut shares = Vec::new();
        for name in self.members(&self.group(&path)?)? {
            let source = self.group(&schema::join(root, &schema::source(&name)))?;
            let number: u64 = self.attribute(&source, attribute::NUMBER)?;
            let loads = HubLoad::ALL
                .into_iter()
                .map(|load| self.share(root, &name, load))
                .collect::<Result<_, _>>()?;
            shares.push((number, Share { name, loads }));
        }
        shares.sort_by_key(|(number, _)| *number);
        Ok(shares.into_iter().map(|(_, share)| share).collect())
    }

    fn share(&self, root: &str, name: &str, load: HubLoad) -> Result<Harmonics, RecordError> {
        Ok(Harmonics {
            amplitude: self.row(&schema::share_amplitude(name, load).under(root))?,
            phase_rad: self.row(&schema::share_phase(name, load).under(root))?,
        })
    }

    fn summary(&self, root: &str) -> Result<Vec<Scalar>, RecordError> {
        let summary = schema::join(root, group::SUMMARY);
        let group = self.group(&summary)?;
        self.members(&group)?
            .into_iter()
            .map(|name| {
                let path = format!("{summary}/{name}");
                let dataset = self.dataset(&path)?;
                Ok(Scalar {
                    unit: interned(&self.text_attribute(&dataset, attribute::UNITS)?),
                    long_name: self.text_attribute(&dataset, attribute::LONG_NAME)?,
                    value: dataset.read_scalar().map_err(format_error(self.path, "read", &path))?,
                    name,
                })
            })
            .collect()
    }

    /// Further propellers and sums; `None` where the file has neither.
    fn airframe(&self) -> Result<Option<AirframeResult>, RecordError> {
        let further = self.further()?;
        let sums = self.file.link_exists(group::AIRFRAME).then(|| self.sums(&further)).transpose()?;
        let some = sums.is_some() || !further.is_empty();
        Ok(some.then_some(AirframeResult { further, sums }))
    }

    fn further(&self) -> Result<Vec<FurtherResult>, RecordError> {
        if !self.file.link_exists(group::FURTHER) {
            return Ok(Vec::new());
        }
        let mut found = Vec::new();
        for name in self.members(&self.group(group::FURTHER)?)? {
            let root = schema::further(&name);
            let place = self.group(&root)?;
            let number: u64 = self.attribute(&place, attribute::NUMBER)?;
            let disk = schema::join(&root, group::DISK);
            let radius_m = self.row(&Dimension::FurtherRadius.scale(&disk))?;
            found.push((number, FurtherResult { result: self.propeller(&root, radius_m)?, name }));
        }
        found.sort_by_key(|(number, _)| *number);
        Ok(found.into_iter().map(|(_, one)| one).collect())
    }

    fn sums(&self, further: &[FurtherResult]) -> Result<AirframeSums, RecordError> {
        let load = |load: HubLoad| {
            Ok(LoadHistory {
                history: self.row(&schema::airframe(load))?,
                harmonics: Harmonics {
                    amplitude: self.row(&schema::airframe_amplitude(load))?,
                    phase_rad: self.row(&schema::airframe_phase(load))?,
                },
            })
        };
        let rows = |of: fn(HubLoad) -> Variable| -> Result<Vec<Vec<f64>>, RecordError> {
            AIRFRAME_LOADS.into_iter().map(|load| self.row(&of(load))).collect()
        };
        let tables = |name: &str| -> Result<Vec<Array2<f64>>, RecordError> {
            AIRFRAME_LOADS
                .into_iter()
                .map(|load| self.array2(&schema::airframe_by_phase(name, load)))
                .collect()
        };
        Ok(AirframeSums {
            loads: AIRFRAME_LOADS.into_iter().map(load).collect::<Result<_, RecordError>>()?,
            greatest: rows(schema::airframe_greatest)?,
            least: rows(schema::airframe_least)?,
            phase_rad: match further.first() {
                Some(first) => self.row(&Dimension::Phase.scale(&schema::turned(&first.name)))?,
                None => Vec::new(),
            },
            by_phase: further.iter().map(|one| tables(&one.name)).collect::<Result<_, _>>()?,
        })
    }

    fn warnings(&self) -> Result<Vec<Warning>, RecordError> {
        let names = self.texts(&schema::warning_name())?;
        let texts = self.texts(&schema::warning_text())?;
        Ok(names.into_iter().zip(texts).map(|(name, text)| Warning { name: interned(&name), text }).collect())
    }

    pub(super) fn inputs(&self) -> Result<Vec<(String, String)>, RecordError> {
        let mut found = Vec::new();
        self.collect_inputs(&self.group(group::INPUTS)?, &mut found)?;
        found.sort_by_key(|(number, _)| *number);
        Ok(found.into_iter().map(|(_, input)| input).collect())
    }

    fn collect_inputs(
        &self,
        group: &Group,
        found: &mut Vec<(u64, (String, String))>,
    ) -> Result<(), RecordError> {
        for inner in group.groups().map_err(format_error(self.path, "list", &group.name()))? {
            self.collect_inputs(&inner, found)?;
        }
        for dataset in group.datasets().map_err(format_error(self.path, "list", &group.name()))? {
            let path = self.text_attribute(&dataset, attribute::PATH)?;
            let text = self.dataset_text(&dataset)?;
            if inputs::sha256(&text) != self.text_attribute(&dataset, attribute::SHA256)? {
                return Err(RecordError::Hash { path: self.path.to_path_buf(), item: path });
            }
            found.push((self.attribute(&dataset, attribute::NUMBER)?, (path, text)));
        }
        Ok(())
    }

    /// Names in the order of writing.
    pub(super) fn members(&self, group: &Group) -> Result<Vec<String>, RecordError> {
        group.member_names_by(IndexType::CreationOrder, IterationOrder::Increasing).map_err(format_error(
            self.path,
            "list",
            &group.name(),
        ))
    }

    pub(super) fn group(&self, name: &str) -> Result<Group, RecordError> {
        self.file.group(name).map_err(format_error(self.path, "open", name))
    }

    pub(super) fn dataset(&self, path: &str) -> Result<Dataset, RecordError> {
        self.file.dataset(path).map_err(format_error(self.path, "open", path))
    }

    pub(super) fn row(&self, variable: &Variable) -> Result<Vec<f64>, RecordError> {
        Ok(self.array::<f64>(variable)?.into_iter().collect())
    }

    fn array2(&self, variable: &Variable) -> Result<Array2<f64>, RecordError> {
        let values = self.array::<f64>(variable)?;
        let found = values.shape().to_vec();
        values.into_dimensionality().map_err(|_| self.shape_error(variable, found, Vec::new()))
    }

    fn scalar<T: H5Type>(&self, variable: &Variable) -> Result<T, RecordError> {
        let dataset = self.dataset(&variable.path)?;
        dataset.read_scalar().map_err(format_error(self.path, "read", &variable.path))
    }

    /// The values, checked against the sizes of the scales.
    fn array<T: H5Type>(&self, variable: &Variable) -> Result<ArrayD<T>, RecordError> {
        let dataset = self.dataset(&variable.path)?;
        let expected = self.sizes(variable)?;
        if dataset.shape() != expected {
            return Err(self.shape_error(variable, dataset.shape(), expected));
        }
        dataset.read_dyn().map_err(format_error(self.path, "read", &variable.path))
    }

    fn sizes(&self, variable: &Variable) -> Result<Vec<usize>, RecordError> {
        variable.scales().map(|scale| Ok(self.dataset(&scale.path)?.size())).collect()
    }

    fn shape_error(&self, variable: &Variable, found: Vec<usize>, expected: Vec<usize>) -> RecordError {
        RecordError::Shape { path: self.path.to_path_buf(), item: variable.path.clone(), found, expected }
    }

    pub(super) fn text(&self, variable: &Variable) -> Result<String, RecordError> {
        self.dataset_text(&self.dataset(&variable.path)?)
    }

    pub(super) fn texts(&self, variable: &Variable) -> Result<Vec<String>, RecordError> {
        let values = self.array::<VarLenUnicode>(variable)?;
        Ok(values.iter().map(ToString::to_string).collect())
    }

    fn dataset_text(&self, dataset: &Dataset) -> Result<String, RecordError> {
        let name = dataset.name();
        let text: VarLenUnicode = dataset.read_scalar().map_err(format_error(self.path, "read", &name))?;
        Ok(text.to_string())
    }

    pub(super) fn text_attribute(&self, place: &Location, name: &str) -> Result<String, RecordError> {
        Ok(self.attribute::<VarLenUnicode>(place, name)?.to_string())
    }

    pub(super) fn attribute<T: H5Type>(&self, place: &Location, name: &str) -> Result<T, RecordError> {
        place.attr(name).and_then(|found| found.read_scalar()).map_err(format_error(self.path, "read", name))
    }
}

/// A text that lives as long as the program, kept once however often it is asked for.
///
/// Units and warning names are fixed words of the program, and so `&'static str`; those in a file are equal to
/// them or, from a later version, few.
fn interned(text: &str) -> &'static str {
    static KNOWN: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(found) = known.get(text) {
        return found;
    }
    let kept: &'static str = Box::leak(text.to_owned().into_boxed_str());
    known.insert(kept);
    kept
}
