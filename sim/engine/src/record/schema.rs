//! What a result file holds: the one place that both the writer and the reader work from.
//!
//! Sizes: A azimuths, S stations, K orders, N blades, W warnings.

use crate::base::field::Field;
use crate::point::result::{BladeLoad, DiskField, HubLoad, Scalar};

/// Root attribute `schema`.
pub(super) const SCHEMA: &str = "wakebeat";
/// Root attribute `schema_version`; grows when an old reader would misread a new file.
pub(super) const SCHEMA_VERSION: u32 = 1;
/// Root attribute `kind` of the file of one operating point.
pub(super) const KIND_RUN: &str = "run";
/// Root attribute `kind` of the file of a grid of points.
pub(super) const KIND_SWEEP: &str = "sweep";

/// Root attribute `kind` of the file of a mount.
pub(super) const KIND_MOUNT: &str = "mount";

/// Root attribute `kind` of the file of a march.
pub(super) const KIND_MARCH: &str = "march";

/// Root attribute names.
pub(super) mod attribute {
    pub const SCHEMA: &str = "schema";
    pub const SCHEMA_VERSION: &str = "schema_version";
    pub const KIND: &str = "kind";
    pub const PROGRAM_VERSION: &str = "program_version";
    pub const CREATED_UTC: &str = "created_utc";
    pub const UNITS: &str = "units";
    pub const LONG_NAME: &str = "long_name";
    /// Of an input: its path as the case names it.
    pub const PATH: &str = "path";
    /// Of an input: its place in the order of reading; of a source of shares: its place in the sum; from 1.
    pub const NUMBER: &str = "number";
    /// Of an input: SHA-256 of its text, hexadecimal.
    pub const SHA256: &str = "sha256";
}

/// Groups, in the order of the file.
pub(super) mod group {
    pub const HUB: &str = "hub";
    pub const HUB_HARMONICS: &str = "hub_harmonics";
    pub const BLADE: &str = "blade";
    pub const BLADE_HARMONICS: &str = "blade_harmonics";
    pub const DISK: &str = "disk";
    pub const ATTRIBUTION: &str = "attribution";
    pub const SUMMARY: &str = "summary";
    pub const WARNINGS: &str = "warnings";
    pub const INPUTS: &str = "inputs";
    /// Groups that only a file with further propellers or a centre of gravity has.
    pub const FURTHER: &str = "further";
    pub const AIRFRAME: &str = "airframe";
    pub const AIRFRAME_HARMONICS: &str = "airframe_harmonics";
    pub const AIRFRAME_ENVELOPE: &str = "airframe_envelope";
    pub const AIRFRAME_PHASE: &str = "airframe_phase";
    /// Groups of one propeller, in the root for the first and in `/further/{name}` for others.
    pub const OF_PROPELLER: [&str; 7] =
        [HUB, HUB_HARMONICS, BLADE, BLADE_HARMONICS, DISK, ATTRIBUTION, SUMMARY];
    /// Those of them that a sweep keeps in `/further/{name}`.
    pub const OF_FURTHER_IN_SWEEP: [&str; 2] = [HUB_HARMONICS, SUMMARY];
    /// Groups that every file has beside those.
    pub const OF_RUN: [&str; 2] = [WARNINGS, INPUTS];
}

/// A dimension with an attached scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Dimension {
    /// Azimuth of the first blade (A).
    Azimuth,
    /// Blade stations (S).
    Radius,
    /// Harmonic orders from 0 (K).
    Order,
    /// Blades where they differ (N).
    Blade,
    /// Warnings (W).
    Warning,
    /// Blade stations of a further propeller.
    FurtherRadius,
    /// Phases of a further propeller (P).
    Phase,
}

impl Dimension {
    /// The coordinate values of the dimension, for the variables of a group.
    ///
    /// Azimuth, radius and order stand in the root and serve all groups. The others stand in the groups that use
    /// them: a dataset `/blade` would take the name of the group `/blade`, and the stations of a further propeller are its own.
    pub fn scale(self, group: &str) -> Variable {
        let (name, unit, words) = match self {
            Self::Azimuth => (
                "azimuth_rad",
                "rad",
                "azimuth of the first blade, 0 where it points along z, growing with rotation",
            ),
            Self::Radius => ("radius_m", "m", "distance of the blade station from the shaft"),
            Self::Order => ("order", "1", "harmonic order, cycles per shaft revolution; 0 is the mean"),
            Self::Blade => ("blade", "1", "blade number, from 1"),
            Self::Warning => ("warning", "1", "warning number, from 1"),
            Self::FurtherRadius => (
                "station_radius_m",
                "m",
                "distance of the blade station of a further propeller from its shaft",
            ),
            Self::Phase => (
                "phase_rad",
                "rad",
                "azimuth of the further propeller's first blade, in its own sense of rotation, while the first \
                 propeller's stands at 0",
            ),
        };
        let group = if matches!(self, Self::Azimuth | Self::Radius | Self::Order) { "" } else { group };
        Variable::new(group, name, unit, words, &[self])
    }
}

/// A dataset: where it stands, its unit, what it means, its dimensions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Variable {
    /// Path from the root, without leading slash.
    pub path: String,
    /// Attribute `units`; "1" when dimensionless or text.
    pub unit: String,
    /// Attribute `long_name`.
    pub long_name: String,
    /// Dimensions, slowest first; empty for a scalar.
    pub dimensions: Vec<Dimension>,
}

impl Variable {
    fn new(group: &str, name: &str, unit: &str, words: &str, dimensions: &[Dimension]) -> Self {
        let path = if group.is_empty() { name.to_owned() } else { format!("{group}/{name}") };
        Self { path, unit: unit.to_owned(), long_name: words.to_owned(), dimensions: dimensions.to_vec() }
    }

    /// Group that holds it; empty in the root.
    pub fn group(&self) -> &str {
        self.path.rsplit_once('/').map_or("", |(group, _)| group)
    }

    /// The same variable of a further propeller, whose groups stand under `root`; of the first where `root` is empty.
    pub fn under(mut self, root: &str) -> Self {
        if !root.is_empty() {
            self.path = format!("{root}/{}", self.path);
            for dimension in &mut self.dimensions {
                if *dimension == Dimension::Radius {
                    *dimension = Dimension::FurtherRadius;
                }
            }
        }
        self
    }

    /// Last component of the path.
    pub fn name(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or_default()
    }

    /// The scales of its dimensions, slowest first.
    pub fn scales(&self) -> impl Iterator<Item = Variable> {
        self.dimensions.iter().map(|dimension| dimension.scale(self.group()))
    }

    /// The same variable with one value, or row of values, a blade.
    pub fn for_each_blade(mut self) -> Self {
        self.dimensions.insert(0, Dimension::Blade);
        self
    }
}

/// The resolved case.
pub(super) fn case() -> Variable {
    Variable::new("", "case", "1", "the resolved case as TOML text", &[])
}

/// A variable whose scales are attached by path.
pub(super) fn plain(path: &str, unit: &str, words: &str) -> Variable {
    Variable::new("", path, unit, words, &[])
}

/// A named array; its dimensions are attached by path.
pub(super) fn field(field: &Field) -> Variable {
    Variable::new("", &field.path, &field.unit, &field.long_name, &[])
}

/// Blade count N.
pub(super) fn blade_count() -> Variable {
    Variable::new("", "blade_count", "1", "number of blades", &[])
}

/// An input file; `link` is its escaped path.
pub(super) fn input(link: &str) -> Variable {
    Variable::new(group::INPUTS, link, "1", "text of a file the case reads", &[])
}

/// History of a hub load (A).
pub(super) fn hub(load: HubLoad) -> Variable {
    Variable::new(group::HUB, load.key(), load.unit(), load.long_name(), &[Dimension::Azimuth])
}

/// Amplitudes of a hub load (K).
pub(super) fn hub_amplitude(load: HubLoad) -> Variable {
    amplitude(group::HUB_HARMONICS, load.key(), load.unit(), load.long_name())
}

/// Phases of a hub load (K).
pub(super) fn hub_phase(load: HubLoad) -> Variable {
    phase(group::HUB_HARMONICS, load.name(), load.long_name())
}

/// History of a blade load (A).
pub(super) fn blade(load: BladeLoad) -> Variable {
    Variable::new(group::BLADE, load.key(), load.unit(), load.long_name(), &[Dimension::Azimuth])
}

/// Amplitudes of a blade load (K).
pub(super) fn blade_amplitude(load: BladeLoad) -> Variable {
    amplitude(group::BLADE_HARMONICS, load.key(), load.unit(), load.long_name())
}

/// Phases of a blade load (K).
pub(super) fn blade_phase(load: BladeLoad) -> Variable {
    phase(group::BLADE_HARMONICS, load.name(), load.long_name())
}

/// A field over the disk (S, A), as the first blade meets it.
pub(super) fn disk(field: DiskField) -> Variable {
    let dimensions = [Dimension::Radius, Dimension::Azimuth];
    Variable::new(group::DISK, field.key(), field.unit(), field.long_name(), &dimensions)
}

/// Group of one source's shares.
pub(super) fn source(name: &str) -> String {
    format!("{}/{name}", group::ATTRIBUTION)
}

/// Amplitudes of a source's share in a hub load (K).
pub(super) fn share_amplitude(name: &str, load: HubLoad) -> Variable {
    amplitude(&source(name), load.key(), load.unit(), &share_words(name, load))
}

/// Phases of a source's share in a hub load (K).
pub(super) fn share_phase(name: &str, load: HubLoad) -> Variable {
    phase(&source(name), load.name(), &share_words(name, load))
}

fn share_words(name: &str, load: HubLoad) -> String {
    format!("share of {name} in {}", load.long_name())
}

/// Joins the root of a propeller's groups, empty for the first, and a path under it.
pub(super) fn join(root: &str, path: &str) -> String {
    if root.is_empty() { path.to_owned() } else { format!("{root}/{path}") }
}

/// Root of the groups of a further propeller.
pub(super) fn further(name: &str) -> String {
    format!("{}/{name}", group::FURTHER)
}

/// Sum of a load over all propellers, over a revolution of the first (A).
pub(super) fn airframe(load: HubLoad) -> Variable {
    Variable::new(group::AIRFRAME, load.key(), load.unit(), &sum_words(load), &[Dimension::Azimuth])
}

/// Amplitudes of that sum (K).
pub(super) fn airframe_amplitude(load: HubLoad) -> Variable {
    amplitude(group::AIRFRAME_HARMONICS, load.key(), load.unit(), &sum_words(load))
}

/// Phases of that sum (K).
pub(super) fn airframe_phase(load: HubLoad) -> Variable {
    phase(group::AIRFRAME_HARMONICS, load.name(), &sum_words(load))
}

/// Greatest amplitudes over all phases between the propellers (K).
pub(super) fn airframe_greatest(load: HubLoad) -> Variable {
    envelope("greatest", load)
}

/// Least amplitudes over all phases between the propellers (K).
pub(super) fn airframe_least(load: HubLoad) -> Variable {
    envelope("least", load)
}

fn envelope(which: &str, load: HubLoad) -> Variable {
    let suffix = load.key().strip_prefix(load.name()).unwrap_or_default();
    let words = format!("{which} over all phases between the propellers, {}", sum_words(load));
    amplitude(group::AIRFRAME_ENVELOPE, &format!("{}_{which}{suffix}", load.name()), load.unit(), &words)
}

/// Group of the sums while one further propeller takes every phase.
pub(super) fn turned(name: &str) -> String {
    format!("{}/{name}", group::AIRFRAME_PHASE)
}

/// Amplitudes of a sum while one further propeller takes every phase (P, K).
pub(super) fn airframe_by_phase(name: &str, load: HubLoad) -> Variable {
    let words = format!("phase of {name} as its scale, others as given, {}", sum_words(load));
    let mut variable = amplitude(&turned(name), load.key(), load.unit(), &words);
    variable.dimensions.insert(0, Dimension::Phase);
    variable
}

fn sum_words(load: HubLoad) -> String {
    format!("sum of all propellers at the centre of gravity: {}", load.long_name())
}

/// A scalar of the summary.
pub(super) fn summary(scalar: &Scalar) -> Variable {
    Variable::new(group::SUMMARY, &scalar.name, scalar.unit, &scalar.long_name, &[])
}

/// Short names of the warnings (W).
pub(super) fn warning_name() -> Variable {
    Variable::new(group::WARNINGS, "name", "1", "short name of the warning", &[Dimension::Warning])
}

/// Sentences of the warnings (W).
pub(super) fn warning_text() -> Variable {
    Variable::new(group::WARNINGS, "text", "1", "the warning in words", &[Dimension::Warning])
}

fn amplitude(group: &str, key: &str, unit: &str, words: &str) -> Variable {
    let words = format!("amplitude, order 0 the signed mean, others single-sided peaks: {words}");
    Variable::new(group, key, unit, &words, &[Dimension::Order])
}

/// x(ψ) = a₀ + Σ aₙ cos(nψ − φₙ).
fn phase(group: &str, name: &str, words: &str) -> Variable {
    let words = format!("phase lag of each order in cos(n psi - phase): {words}");
    Variable::new(group, &format!("{name}_phase_rad"), "rad", &words, &[Dimension::Order])
}
