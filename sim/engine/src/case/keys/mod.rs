//! The one definition of every key: parsing, defaults, the schema and the reference all read this table.
//!
//! To make a key available that is listed as not yet there, set its `availability` to
//! [`Availability::Available`] and read it in [`super::build`].

mod aircraft;
mod airframe;
mod body;
mod choose;
mod duty;
mod further_propeller;
mod groups;
mod limit;
mod model;
mod mount;
mod propeller;
mod schedule;
mod section;
mod solver;
mod survey;
mod sweep;
mod trim;

pub use solver::LEAST_TOLERANCE;

use std::sync::LazyLock;

/// How a group of keys stands in the file. `NAME` in a path stands for the name of a member.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Keys at the top of the file.
    Root,
    /// One table, `[group]`.
    Table,
    /// One table, `[group]`, whose keys mean anything only where it stands.
    Optional,
    /// Tables by name, `[group.NAME]`.
    Named,
    /// An array of tables, `[[group]]`, each with a key `name`.
    Array,
    /// An array of tables without names, `[[group]]`, addressed by their number from 1.
    List,
}

/// Whether this version has the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Availability {
    /// Usable.
    Available,
    /// Part of the case format, refused by this version.
    NotYet,
}

/// A group of keys.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupSpec {
    /// Path, such as `flight`, `sections.NAME`, `surface.NAME`; empty for the top of the file.
    pub path: &'static str,
    /// How it stands in the file.
    pub shape: Shape,
    /// One sentence.
    pub doc: &'static str,
    /// Whether this version has it.
    pub availability: Availability,
}

impl GroupSpec {
    /// How its table is headed in the file: `[flight]`, `[[surface.flap]]`; empty for the top of the file.
    #[must_use]
    pub fn header(&self) -> String {
        match self.shape {
            Shape::Root => String::new(),
            Shape::Table | Shape::Optional | Shape::Named => format!("[{}]", self.path),
            Shape::Array | Shape::List => format!("[[{}]]", self.path.replace(".NAME", "")),
        }
    }
}

/// Allowed interval of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Lower bound.
    pub min: f64,
    /// Whether the lower bound itself is left out.
    pub above_min: bool,
    /// Upper bound, always included.
    pub max: f64,
}

impl Range {
    pub(in crate::case) const fn closed(min: f64, max: f64) -> Self {
        Self { min, above_min: false, max }
    }

    pub(in crate::case) const fn above(min: f64, max: f64) -> Self {
        Self { min, above_min: true, max }
    }

    /// Whether a finite value lies in the range; NaN and infinities never do.
    #[must_use]
    pub fn contains(self, value: f64) -> bool {
        let low = if self.above_min { value > self.min } else { value >= self.min };
        value.is_finite() && low && value <= self.max
    }

    /// In words, with the unit.
    #[must_use]
    pub fn describe(self, unit: &str) -> String {
        let unit = if unit == "1" { String::new() } else { format!(" {unit}") };
        let [min, max] = [self.min, self.max].map(readable);
        if self.above_min {
            format!("more than {min} and at most {max}{unit}")
        } else {
            format!("{min} to {max}{unit}")
        }
    }
}

/// A bound as people read it: powers of ten where zeros would have to be counted.
fn readable(bound: f64) -> String {
    let size = bound.abs();
    if size >= 1e7 || (size > 0.0 && size < 1e-4) { format!("{bound:e}") } else { bound.to_string() }
}

/// One text a key may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// As written in the case.
    pub text: &'static str,
    /// What it does.
    pub doc: &'static str,
    /// Whether this version has it.
    pub availability: Availability,
}

impl Choice {
    const fn new(text: &'static str, doc: &'static str) -> Self {
        Self { text, doc, availability: Availability::Available }
    }
}

/// Type of a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Any text.
    Text,
    /// A name: `[a-z][a-z0-9_]*`.
    Name,
    /// Path of an input file, relative to the case.
    File,
    /// `true` or `false`.
    Boolean,
    /// A whole number.
    Integer(Range),
    /// A number.
    Number(Range),
    /// Three numbers: x, y, z.
    Point(Range),
    /// A list of numbers, one a blade, or empty.
    Numbers(Range),
    /// One of some texts.
    Choice(&'static [Choice]),
    /// A key path: `placement.shaft_offset_m`, `surface.wing.incidence_deg`.
    KeyPath,
    /// One or more numbers, texts, or true and false; what they have to be depends on another key.
    Values,
}

/// What holds when a key is not given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fallback {
    /// The case is refused.
    Required,
    /// This value, as TOML text.
    Value(&'static str),
    /// The value of another key of the same table.
    SameAs(&'static str),
    /// Nothing: the doc says what that means.
    Absent,
}

/// When a key of a table means anything; given otherwise it is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    /// Always.
    Always,
    /// When another key of the same table has this text.
    Is(&'static str, &'static str),
    /// When another key of the same table has one of these texts.
    OneOf(&'static str, &'static [&'static str]),
    /// When another key of the same table is given.
    With(&'static str),
    /// When another key of the same table is not given.
    Without(&'static str),
}

/// One key of the case file.
#[derive(Debug, Clone, PartialEq)]
pub struct KeySpec {
    /// Path of its group; see [`GroupSpec::path`].
    pub group: &'static str,
    /// Last segment of the path.
    pub name: &'static str,
    /// Type and allowed values.
    pub kind: Kind,
    /// Unit; `1` for a pure number, empty for texts.
    pub unit: &'static str,
    /// What holds when it is not given.
    pub default: Fallback,
    /// When it means anything.
    pub condition: Condition,
    /// What it is and what a larger value does.
    pub doc: &'static str,
    /// What to try where a value is below the range; may be empty.
    pub remedy: &'static str,
    /// Whether this version has it.
    pub availability: Availability,
}

impl KeySpec {
    const fn new(group: &'static str, name: &'static str, kind: Kind, unit: &'static str) -> Self {
        Self {
            group,
            name,
            kind,
            unit,
            default: Fallback::Required,
            condition: Condition::Always,
            doc: "",
            remedy: "",
            availability: Availability::Available,
        }
    }

    const fn text(group: &'static str, name: &'static str, kind: Kind) -> Self {
        Self::new(group, name, kind, "")
    }

    const fn or(mut self, default: &'static str) -> Self {
        self.default = Fallback::Value(default);
        self
    }

    const fn or_absent(mut self) -> Self {
        self.default = Fallback::Absent;
        self
    }

    const fn or_same_as(mut self, key: &'static str) -> Self {
        self.default = Fallback::SameAs(key);
        self
    }

    const fn when(mut self, condition: Condition) -> Self {
        self.condition = condition;
        self
    }

    const fn doc(mut self, doc: &'static str) -> Self {
        self.doc = doc;
        self
    }

    const fn remedy(mut self, remedy: &'static str) -> Self {
        self.remedy = remedy;
        self
    }

    /// Full path with `NAME` for named members: `surface.NAME.span_m`.
    #[must_use]
    pub fn path(&self) -> String {
        join(self.group, self.name)
    }

    /// Its default as the loader of cases fills it in, TOML text; `None` where there is none of its own.
    #[must_use]
    pub fn default_toml(&self) -> Option<String> {
        super::walk::default_value(self).map(|value| value.to_toml())
    }

    /// What holds when it is not given, in words.
    #[must_use]
    pub fn default_in_words(&self) -> String {
        match self.default {
            Fallback::Required => "none, it has to be given".to_owned(),
            Fallback::Absent => "none".to_owned(),
            Fallback::SameAs(other) => format!("that of {other}"),
            Fallback::Value(text) => self.default_toml().unwrap_or_else(|| text.to_owned()),
        }
    }

    /// The part of the model it belongs to, in the words of the README.
    #[must_use]
    pub fn model(&self) -> &'static str {
        model::of(self)
    }

    /// Type of the value in words, without its range.
    #[must_use]
    pub fn type_in_words(&self) -> &'static str {
        match self.kind {
            Kind::Text => "text",
            Kind::Name => "name",
            Kind::File => "path of a file",
            Kind::Boolean => "true or false",
            Kind::Integer(_) => "whole number",
            Kind::Number(_) => "number",
            Kind::Point(_) => "three numbers [x, y, z]",
            Kind::Numbers(_) => "list of numbers, one a blade, or empty",
            Kind::Choice(_) => "one of some texts",
            Kind::KeyPath => "path of a key",
            Kind::Values => "list of numbers or of texts",
        }
    }

    /// Allowed interval, of each entry where there are several; `None` for what is no number.
    #[must_use]
    pub fn range(&self) -> Option<Range> {
        match self.kind {
            Kind::Integer(range) | Kind::Number(range) | Kind::Point(range) | Kind::Numbers(range) => {
                Some(range)
            }
            _ => None,
        }
    }

    /// The texts it may take in this version; empty where it takes others.
    pub fn choices(&self) -> impl Iterator<Item = &'static Choice> {
        let all: &'static [Choice] = if let Kind::Choice(all) = self.kind { all } else { &[] };
        all.iter().filter(|choice| choice.availability == Availability::Available)
    }

    /// When it means anything, in words; `None` for always.
    #[must_use]
    pub fn only_if(&self) -> Option<String> {
        match self.condition {
            Condition::Always => None,
            Condition::Is(key, text) => Some(format!("{key} = {text:?}")),
            Condition::OneOf(key, texts) => Some(format!("{key} = {}", quoted(texts))),
            Condition::With(key) => Some(format!("{key} is given")),
            Condition::Without(key) => Some(format!("{key} is not given")),
        }
    }

    /// Allowed values in words.
    #[must_use]
    pub fn allowed(&self) -> String {
        match self.kind {
            Kind::Text => "a text in quotes".into(),
            Kind::Name => "a name of lower-case letters, digits and _, starting with a letter".into(),
            Kind::File => "the path of a file in quotes, relative to the case".into(),
            Kind::Boolean => "true or false".into(),
            Kind::Integer(range) => format!("a whole number, {}", range.describe(self.unit)),
            Kind::Number(range) => format!("a number, {}", range.describe(self.unit)),
            Kind::Point(range) => format!("three numbers [x, y, z], each {}", range.describe(self.unit)),
            Kind::Numbers(range) => {
                format!("a list of one number a blade or none, each {}", range.describe(self.unit))
            }
            Kind::Choice(choices) => list_available(choices),
            Kind::KeyPath => "the path of a key in quotes, such as \"placement.shaft_offset_m\"".into(),
            Kind::Values => "a list of numbers or of texts, such as [0.0, 0.02, 0.04]".into(),
        }
    }
}

/// `"a" or "b"`.
pub(super) fn quoted(texts: &[&str]) -> String {
    texts.iter().map(|text| format!("{text:?}")).collect::<Vec<_>>().join(" or ")
}

/// `"a", "b" or "c"` of the choices this version has.
fn list_available(choices: &[Choice]) -> String {
    let texts: Vec<String> = choices
        .iter()
        .filter(|c| c.availability == Availability::Available)
        .map(|c| format!("{:?}", c.text))
        .collect();
    match texts.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => texts.concat(),
    }
}

/// Joins two parts of a key path; the first may be empty.
pub(super) fn join(group: &str, name: &str) -> String {
    if group.is_empty() { name.to_owned() } else { format!("{group}.{name}") }
}

static KEYS: LazyLock<Vec<KeySpec>> = LazyLock::new(|| {
    let mut keys = aircraft::title_keys();
    keys.extend(aircraft::flight_keys());
    keys.extend(propeller::keys());
    keys.extend(section::keys("section"));
    keys.extend(section::compressibility());
    keys.extend(section::keys("sections.NAME"));
    keys.extend(propeller::placement_keys("placement"));
    keys.extend(further_propeller::keys());
    keys.extend(aircraft::surface_keys());
    keys.extend(aircraft::flap_keys());
    keys.extend(body::keys());
    keys.extend(survey::keys());
    keys.extend(solver::keys());
    keys.extend(mount::mount_keys());
    keys.extend(mount::isolator_keys());
    keys.extend(mount::sensor_keys());
    keys.extend(mount::airframe_mode_keys());
    keys.extend(mount::airframe_mode_at_keys());
    keys.extend(schedule::keys());
    keys.extend(airframe::keys());
    keys.extend(trim::keys());
    keys.extend(limit::keys());
    keys.extend(duty::keys());
    keys.extend(sweep::keys());
    keys.extend(choose::keys());
    keys
});

/// Every key, in the order of the reference and of a resolved case.
#[must_use]
pub fn key_reference() -> &'static [KeySpec] {
    &KEYS
}

/// Every group of keys, parents before their parts.
#[must_use]
pub fn groups() -> &'static [GroupSpec] {
    groups::GROUPS
}

/// The keys of a group.
pub(super) fn keys_of(group: &str) -> impl Iterator<Item = &'static KeySpec> {
    key_reference().iter().filter(move |spec| spec.group == group)
}
