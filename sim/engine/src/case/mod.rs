//! The case file: TOML text and input tables in, a typed operating point out.
//!
//! Only this module knows TOML. One table, [`key_reference`], defines every key; parsing, defaults, the
//! [`schema()`] and the reference all come from it. A case is walked against the table, its input files are read,
//! the operating point is built and its geometry checked; whatever is wrong is gathered and reported at once.
//!
//! ```
//! use wakebeat_engine::case::{from_text, scenarios};
//! let scenario = &scenarios()[0];
//! let sets = ["propeller.blade_count=3".to_owned()];
//! let case = from_text("case.toml", scenario.case_text(), scenario, &sets).unwrap();
//! assert_eq!(case.point.propeller.blade_count, 3);
//! ```

mod blade_file;
mod body_cut;
mod build;
mod check_value;
mod choose;
mod consistency;
mod csv;
mod derived;
mod disk_cut;
mod disks_apart;
mod document;
mod duty;
mod explain;
mod further;
mod inputs;
mod keys;
mod limit;
mod mount;
mod nearest;
mod plan;
mod problem;
mod resolved;
mod scenario;
mod schedule;
mod schema;
mod schema_rules;
mod section_file;
mod shape_file;
mod source;
mod survey_cover;
mod survey_file;
mod sweep_axes;
mod sweep_points;
mod trim_consistency;
mod values;
mod walk;

pub use explain::{Explained, explain};
pub use keys::{
    Availability, Choice, Condition, Fallback, GroupSpec, KeySpec, Kind, Range, Shape, groups, key_reference,
};
pub use limit::LimitSpec;
pub use plan::Plan;
pub use problem::{Problem, Problems};
pub use scenario::{Scenario, scenarios};
pub use schema::{default_json, schema};
pub use source::{Folder, InputSource, SourceError};
pub use sweep_points::{Sweep, SweepPoints};

use crate::duty::input::DutyCycle;
use crate::march::schedule::Schedule;
use crate::mount::input::Mount;
use crate::point::input::OperatingPoint;
use crate::study::Choose;
use crate::trim::Trim;
use inputs::Inputs;
use std::collections::BTreeMap;
use std::path::Path;
use values::Values;

/// Where a value came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Written in the case.
    Given,
    /// The documented default.
    Default,
    /// Worked out from other values by a stated rule: the generic blade, figures of a section's outline.
    Estimated,
    /// `--set` on the command line.
    Override,
}

impl Origin {
    /// In one word, as `check` prints it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Default => "default",
            Self::Estimated => "estimated",
            Self::Override => "override",
        }
    }
}

/// One value of a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ResolvedValue {
    /// Key path, arrays addressed by name: `surface.wing.span_m`.
    pub path: String,
    /// The value as TOML text.
    pub value: String,
    /// Unit; `1` for a pure number, empty for texts.
    pub unit: &'static str,
    /// Where it came from.
    pub origin: Origin,
}

/// A file a case reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputFile {
    /// Path as written in the case.
    pub path: String,
    /// Its text.
    pub text: String,
    /// SHA-256 of the text, hexadecimal.
    pub sha256: String,
}

/// A case without problems.
#[derive(Debug, Clone)]
pub struct Case {
    /// One line that names it; may be empty.
    pub title: String,
    /// Remarks; may be empty.
    pub notes: String,
    /// What the physics needs.
    pub point: OperatingPoint,
    /// The mount, where the case has one.
    pub mount: Option<Mount>,
    /// The schedule of a march, where the case has one.
    pub schedule: Option<Schedule>,
    /// What is adjusted before the point is computed.
    pub trim: Option<Trim>,
    /// What a sweep of the case is judged by.
    pub choose: Option<Choose>,
    /// The duty cycle.
    pub duty: Option<DutyCycle>,
    /// The limit-load cases that are asked for.
    pub limit: Option<LimitSpec>,
    /// Every value in the order of the key reference, then what follows from them, which is no key.
    pub values: Vec<ResolvedValue>,
    /// The files it reads, each once; those that values of an axis name too.
    pub inputs: Vec<InputFile>,
    /// The grid of `[[sweep.axis]]`, where the case has one.
    pub sweep: Option<Sweep>,
    /// The case file as named in messages.
    pub file: String,
    resolved: String,
    resolved_point: String,
}

impl Case {
    /// The case with every value written out, given or default, overrides applied.
    ///
    /// Loaded again with the same [`Case::inputs`] it gives the same operating point bit for bit.
    #[must_use]
    pub fn resolved_toml(&self) -> String {
        self.resolved.clone()
    }

    /// The same for one point: without the grid and what it is judged by.
    #[must_use]
    pub fn point_toml(&self) -> String {
        self.resolved_point.clone()
    }

    /// The grid of `[[sweep.axis]]`.
    ///
    /// # Errors
    /// Where the case has none.
    pub fn grid(&self) -> Result<&crate::study::Grid, Problems> {
        let missing = || {
            let problem = Problem::of_file(&self.file, "is missing: the case has no grid to sweep over");
            let hint =
                "add [[sweep.axis]] with key = \"placement.shaft_offset_m\" and values = [0.0, 0.02, 0.04]";
            Problems(vec![problem.key("sweep.axis").allowed("one or more tables [[sweep.axis]]").hint(hint)])
        };
        self.sweep.as_ref().map(|sweep| &sweep.grid).ok_or_else(missing)
    }

    /// Path and text of every input.
    #[must_use]
    pub fn input_texts(&self) -> BTreeMap<String, String> {
        self.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect()
    }
}

/// What is computed for one point: the case itself, or a point of its grid.
#[derive(Debug, Clone)]
pub struct PointCase {
    /// What the physics needs.
    pub point: OperatingPoint,
    /// What is adjusted before the point is computed.
    pub trim: Option<Trim>,
}

/// Loads a case file; paths in it are relative to its folder. `sets` are overrides `KEY=VALUE`.
///
/// # Errors
/// All problems of the case, the overrides and the input files at once.
pub fn load(file: &Path, sets: &[String]) -> Result<Case, Problems> {
    let label = file.display().to_string();
    let one = |problem| Problems(vec![problem]);
    let bytes = source::read_file(file).map_err(|error| {
        let hint = matches!(error, SourceError::Folder).then(|| file.join("case.toml"));
        let problem = Problem::of_file(&label, error.to_string()).allowed("a case file in TOML");
        one(match hint.filter(|inside| inside.is_file()) {
            Some(inside) => problem.hint(format!("did you mean {}?", inside.display())),
            None => problem,
        })
    })?;
    let text = inputs::utf8(&label, bytes).map_err(|problem| one(*problem))?;
    let folder = Folder(file.parent().unwrap_or(Path::new("")).to_path_buf());
    from_text(&label, &text, &folder, sets)
}

/// Loads a case from text. `label` names it in messages, `inputs` fetches the files it names, `sets` are
/// overrides `KEY=VALUE`.
///
/// # Errors
/// All problems of the case, the overrides and the input files at once.
pub fn from_text(
    label: &str,
    text: &str,
    inputs: &dyn InputSource,
    sets: &[String],
) -> Result<Case, Problems> {
    let mut root = document::parse(label, text).map_err(|problem| Problems(vec![*problem]))?;
    let mut problems = Vec::new();
    document::apply_overrides(&mut root, sets, &mut problems);
    let (values, found) = walk::walk(label, &root);
    problems.extend(found);
    problems.extend(consistency::of_values(label, &values));
    problems.extend(trim_consistency::of_values(label, &values));
    let mut inputs = Inputs::new(label, inputs);
    let point = point_case(label, &values, &mut inputs, &mut problems);
    let mount = point.as_ref().and_then(|case| {
        mount::mount(label, &values, &case.point.propeller, &case.point.placement, &mut problems)
    });
    let schedule = schedule::schedule(label, &values, &mut problems);
    let axes = sweep_axes::axes(label, &root, &values, &mut problems);
    if let Some(axes) = &axes {
        sweep_points::read_files(&root, axes, &mut inputs, &mut problems);
    }
    let base = point.as_ref().map(|case| &case.point);
    let duty = duty::duty(label, &values, base, &mut inputs, &mut problems);
    let limit = limit::limit(label, &values, &mut problems);
    problems.extend(choose::of_grid(label, &values, axes.as_ref().map(|axes| &axes.grid)));
    match (point, mount, schedule) {
        (Some(point), Some(mount), Some(schedule)) if problems.is_empty() => {
            let sweep = axes.map(|axes| Sweep { grid: axes.grid.clone(), axes, root });
            let mut case = finish(label, &values, point, (mount, schedule), inputs.read, sweep);
            (case.duty, case.limit) = (duty, limit);
            Ok(case)
        }
        _ => Err(Problems(problems).sorted()),
    }
}

/// Builds everything one point needs, and checks it.
fn point_case(
    label: &str,
    v: &Values,
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<PointCase> {
    Some(PointCase { point: operating_point(label, v, inputs, problems)?, trim: build::trim(v) })
}

/// Builds what can be built, so that one problem does not hide another.
fn operating_point(
    label: &str,
    v: &Values,
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<OperatingPoint> {
    let blade = build::blade(v, "propeller", None, inputs, problems);
    let sections = build::sections(v, inputs, problems);
    let propeller = build::propeller(v, blade, sections);
    let surfaces = build::surfaces(v);
    let bodies = build::bodies(v);
    let survey = build::survey(v, inputs, problems);
    let behind = |what: &str| consistency::at_key(label, v, "placement.behind", what);
    let placement = match build::placement(v, "placement", &surfaces, behind) {
        Some(Ok(placement)) => Some(placement),
        Some(Err(problem)) => {
            problems.push(problem);
            None
        }
        None => None,
    };
    let further = further::further_propellers(v, &surfaces, inputs, problems);
    if let Some(propeller) = &propeller {
        let first = (propeller, placement.as_ref());
        problems.extend(further::of_disks(label, v, (&surfaces, &bodies), first, &further));
    }
    if let (Some(propeller), Some(placement)) = (&propeller, &placement) {
        let obstacles = (surfaces.as_slice(), bodies.as_slice());
        problems.extend(consistency::of_geometry(label, v, "placement", obstacles, propeller, placement));
        if let Some(Some(survey)) = &survey {
            problems.extend(consistency::of_survey(label, v, survey, propeller, placement));
        }
    }
    Some(OperatingPoint {
        flight: build::flight(v)?,
        propeller: propeller?,
        placement: placement?,
        further: further.into_iter().collect::<Option<Vec<_>>>()?,
        surfaces: surfaces.into_iter().collect::<Option<Vec<_>>>()?,
        bodies: bodies.into_iter().collect::<Option<Vec<_>>>()?,
        survey: survey?,
        airframe: build::airframe(v),
        solver: build::solver(v)?,
    })
}

fn finish(
    label: &str,
    v: &Values,
    PointCase { point, trim }: PointCase,
    (mount, schedule): (Option<mount::BuiltMount>, Option<Schedule>),
    inputs: Vec<InputFile>,
    sweep: Option<Sweep>,
) -> Case {
    let (mount, estimates) = mount.map_or((None, Vec::new()), |built| (Some(built.mount), built.estimates));
    let resolved_value = |entry: &values::Entry| ResolvedValue {
        path: keys::join(&entry.group, entry.spec.name),
        value: entry.checked.to_toml(),
        unit: entry.spec.unit,
        origin: entry.origin,
    };
    let keys = v.entries().iter().map(resolved_value);
    Case {
        title: v.text("title").unwrap_or_default().to_owned(),
        notes: v.text("notes").unwrap_or_default().to_owned(),
        values: keys.chain(derived::derived(v, &point.propeller)).chain(estimates).collect(),
        trim,
        choose: choose::choose(v),
        duty: None,
        limit: None,
        point,
        mount,
        schedule,
        inputs,
        sweep,
        file: label.to_owned(),
        resolved: resolved::to_toml(v, |_| true),
        resolved_point: resolved::to_toml(v, |group| !group.starts_with("sweep") && group != "choose"),
    }
}
