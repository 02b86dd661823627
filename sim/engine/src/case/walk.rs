//! Walks a document against the table of keys and keeps what is right.

use super::Origin;
use super::check_value::check;
use super::document::{Content, Node, Place};
use super::keys::{
    Availability, Condition, Fallback, GroupSpec, KeySpec, Shape, groups, join, key_reference, keys_of,
    quoted,
};
use super::nearest::{nearest, share_a_word};
use super::problem::Problem;
use super::values::{Checked, Entry, Values};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Arrays that share one set of names.
const NAME_SHARERS: [&str; 2] = ["surface.NAME", "body.NAME"];

const NOT_YET: &str = "is not available in this version";

/// Checks every key of the document, fills in defaults, and gathers all problems.
pub(super) fn walk(label: &str, root: &Node) -> (Values, Vec<Problem>) {
    let mut walker = Walker { label, values: Values::default(), problems: Vec::new() };
    walker.refuse_unknown(root, "", "");
    for group in groups() {
        walker.group(root, group);
    }
    (walker.values, walker.problems)
}

struct Walker<'a> {
    label: &'a str,
    values: Values,
    problems: Vec<Problem>,
}

impl Walker<'_> {
    /// A problem where `node` stands.
    fn problem(&self, node: &Node, what: impl Into<String>) -> Problem {
        problem_at(self.label, node.place, what)
    }

    fn group(&mut self, root: &Node, group: &GroupSpec) {
        if !matches!(parent(group), None | Some("")) {
            return; // parts are met while walking the group they belong to
        }
        let top = group.path.split('.').next().unwrap_or_default();
        let node = if top.is_empty() { Some(root) } else { root.get(top) };
        match (group.availability, node) {
            (Availability::NotYet, Some(node)) => {
                self.problems.push(self.problem(node, NOT_YET).key(top));
            }
            (Availability::NotYet, None) => {}
            (Availability::Available, node) => match group.shape {
                Shape::Root => self.keys(group.path, "", root),
                Shape::Table => self.table(group.path, node, root),
                Shape::Optional if node.is_none() => {}
                Shape::Optional => self.table(group.path, node, root),
                Shape::Named => self.named(group.path, top, node),
                Shape::Array => self.array(group.path, top, node),
                Shape::List => self.list(group.path, node),
            },
        }
    }

    fn table(&mut self, group: &'static str, node: Option<&Node>, root: &Node) {
        match node {
            Some(node) if is_table(node) => {
                self.refuse_unknown(node, group, group);
                self.keys(group, group, node);
                self.arrays_within(group, node);
                let lists = groups().iter().filter(|part| part.shape == Shape::List);
                for part in lists.filter(|part| parent(part) == Some(group)) {
                    self.list(part.path, node.get(part_name(part.path, group)));
                }
            }
            Some(node) => self.wrong_shape(node, group, "a table", &format!("[{group}]")),
            None => {
                let empty = Node { content: Content::Table(Vec::new()), place: root.place };
                self.keys(group, group, &empty);
            }
        }
    }

    /// Walks the arrays that belong to a table: `duty.segment` of `duty`.
    fn arrays_within(&mut self, group: &'static str, table: &Node) {
        for part in groups().iter().filter(|part| part.shape == Shape::Array && parent(part) == Some(group)) {
            let name = part_name(part.path, group);
            self.array(part.path, &join(group, name), table.get(name));
        }
    }

    fn named(&mut self, group: &'static str, top: &str, node: Option<&Node>) {
        let Some(node) = node else { return };
        let Content::Table(members) = &node.content else {
            return self.wrong_shape(node, top, "a table of tables", &format!("[{group}]"));
        };
        for (name, member) in members {
            let path = join(top, name);
            if !is_table(member) {
                self.wrong_shape(member, &path, "a table", &format!("[{group}]"));
            } else if !is_name(name) {
                self.bad_name(member, &path, name);
            } else {
                self.values.members.entry(group.to_owned()).or_default().push(name.clone());
                self.refuse_unknown(member, group, &path);
                self.keys(group, &path, member);
            }
        }
    }

    /// Walks an array of tables that stands at `path`, `surface` or `surface.wing.flap`.
    fn array(&mut self, group: &'static str, path: &str, node: Option<&Node>) {
        let Some(node) = node else { return };
        let header = format!("[[{}]]", group.replace(".NAME", ""));
        let Content::List(members) = &node.content else {
            return self.wrong_shape(node, path, "an array of tables", &header);
        };
        for (index, member) in members.iter().enumerate() {
            if !is_table(member) {
                self.wrong_shape(member, path, "an array of tables", &header);
                continue;
            }
            let name = self.member_name(path, member);
            let member_path = join(path, &name.clone().unwrap_or_else(|| format!("#{}", index + 1)));
            match name {
                Some(name) => self.values.members.entry(join(path, "NAME")).or_default().push(name),
                None => self.values.some_unnamed = true,
            }
            self.refuse_unknown(member, group, &member_path);
            self.keys(group, &member_path, member);
            for part in groups().iter().filter(|part| parent(part) == Some(group)) {
                let name = part_name(part.path, group);
                if part.availability == Availability::Available {
                    self.array(part.path, &join(&member_path, name), member.get(name));
                }
            }
        }
    }

    /// Walks an array of tables without names; its members are `1`, `2`, … in [`Values::members`].
    fn list(&mut self, group: &'static str, node: Option<&Node>) {
        let Some(node) = node else { return };
        let header = format!("[[{group}]]");
        let Content::List(members) = &node.content else {
            return self.wrong_shape(node, group, "an array of tables", &header);
        };
        for (number, member) in (1..).zip(members) {
            let path = format!("{group}.{number}");
            if !is_table(member) {
                self.wrong_shape(member, &path, "an array of tables", &header);
                continue;
            }
            self.values.members.entry(group.to_owned()).or_default().push(number.to_string());
            self.refuse_unknown(member, group, &path);
            self.keys(group, &path, member);
        }
    }

    /// The name of an array's member, unless it is missing, malformed (met with its key) or taken.
    fn member_name(&mut self, path: &str, member: &Node) -> Option<String> {
        let node = member.get("name")?;
        let Content::Text(name) = &node.content else { return None };
        if !is_name(name) {
            return None;
        }
        let array = join(path, "NAME");
        let others = NAME_SHARERS.iter().filter(|_| NAME_SHARERS.contains(&array.as_str()));
        let mut sharers = [array.as_str()].into_iter().chain(others.copied());
        if let Some(other) = sharers.find(|other| self.values.names(other).contains(name)) {
            let key = join(&join(path, name), "name");
            let what = if other == array {
                "is taken by an earlier member of this array".to_owned()
            } else {
                let kind = other.strip_suffix(".NAME").unwrap_or(other);
                format!("is taken by a {kind}: names are unique over surfaces and bodies")
            };
            let problem = self.problem(node, what);
            self.problems.push(problem.key(key).value(node.content.to_toml()).allowed("a name of its own"));
            return None;
        }
        Some(name.clone())
    }

    fn bad_name(&mut self, node: &Node, path: &str, name: &str) {
        let problem = self.problem(node, "is not a valid name").key(path).value(format!("{name:?}"));
        self.problems.push(problem.allowed("lower-case letters, digits and _, starting with a letter"));
    }

    fn wrong_shape(&mut self, node: &Node, path: &str, wanted: &str, header: &str) {
        let found = node.content.type_name();
        let problem = self.problem(node, format!("has the wrong type: {found} where {wanted} belongs"));
        self.problems.push(problem.key(path).allowed(format!("{wanted}, headed {header}")));
    }

    /// Refuses entries of a table that are neither keys nor groups.
    fn refuse_unknown(&mut self, table: &Node, group: &str, path: &str) {
        let Content::Table(entries) = &table.content else { return };
        let parts: Vec<&GroupSpec> = groups().iter().filter(|g| parent(g) == Some(group)).collect();
        for (name, node) in entries {
            if keys_of(group).any(|spec| spec.name == name) {
                continue;
            }
            match parts.iter().find(|part| part_name(part.path, group) == name.as_str()) {
                Some(part) if part.availability == Availability::NotYet && !group.is_empty() => {
                    self.problems.push(self.problem(node, NOT_YET).key(join(path, name)));
                }
                Some(_) => {} // groups at the top are met one by one
                None => {
                    let problem = self.problem(node, "is not a known key").key(join(path, name));
                    self.problems.push(with_nearest(problem, (name, node), group, path, &parts));
                }
            }
        }
    }

    /// Checks or fills in every key of one table.
    fn keys(&mut self, group: &str, path: &str, table: &Node) {
        let unused_section = group == "section" && !section_in_use(table);
        if group == "section" && !unused_section {
            self.values.members.entry("section".to_owned()).or_default().push(String::new());
        }
        for spec in keys_of(group) {
            if !unused_section || spec.name == "compressibility" {
                self.key(spec, path, table);
            }
        }
    }

    fn key(&mut self, spec: &'static KeySpec, path: &str, table: &Node) {
        let full = join(path, spec.name);
        let holds = condition_holds(spec, table);
        match table.get(spec.name) {
            Some(node) if spec.availability == Availability::NotYet => {
                let problem = self.problem(node, NOT_YET).key(full).value(node.content.to_toml());
                self.problems.push(problem);
            }
            Some(node) if !holds => {
                let what = format!("means nothing here: {}", condition_in_words(spec.condition));
                let problem = self.problem(node, what).key(full).value(node.content.to_toml());
                self.problems
                    .push(problem.hint(format!("remove `{}`, or change the key it depends on", spec.name)));
            }
            Some(node) => self.given(spec, path, &full, node),
            None if holds && spec.availability == Availability::Available => {
                self.not_given(spec, path, &full, table);
            }
            None => {}
        }
    }

    fn given(&mut self, spec: &'static KeySpec, path: &str, full: &str, node: &Node) {
        match check(spec, &node.content) {
            Ok(checked) => {
                let origin = match node.place {
                    Place::Override => Origin::Override,
                    // A mark is believed only where the value still is the default.
                    Place::MarkedLine(_) if self.is_default(spec, path, &checked) => Origin::Default,
                    Place::Line(_) | Place::MarkedLine(_) => Origin::Given,
                };
                let (place, written) = (Some(node.place), node.content.to_toml());
                self.values.push(Entry { checked, origin, place, written, spec, group: path.to_owned() });
            }
            Err(fault) => {
                let mut problem = self.problem(node, fault.what).key(full).value(node.content.to_toml());
                problem.allowed = spec.allowed();
                problem.hint = fault.hint;
                self.problems.push(problem);
            }
        }
    }

    /// The documented default of a key, if it has one.
    fn fallback(&self, spec: &'static KeySpec, path: &str) -> Option<Checked> {
        match spec.default {
            Fallback::Absent | Fallback::Required => None,
            Fallback::Value(_) => default_value(spec),
            Fallback::SameAs(other) => self.values.entry(&join(path, other)).map(|e| e.checked.clone()),
        }
    }

    fn is_default(&self, spec: &'static KeySpec, path: &str, checked: &Checked) -> bool {
        self.fallback(spec, path).is_some_and(|default| default == *checked)
    }

    fn not_given(&mut self, spec: &'static KeySpec, path: &str, full: &str, table: &Node) {
        let checked = match spec.default {
            Fallback::Absent => return,
            Fallback::Value(_) | Fallback::SameAs(_) => self.fallback(spec, path),
            Fallback::Required => {
                let problem = self.problem(table, "is missing").key(full).allowed(spec.allowed());
                self.problems.push(problem.hint(spec.doc));
                return;
            }
        };
        if let Some(checked) = checked {
            let (written, group) = (checked.to_toml(), path.to_owned());
            self.values.push(Entry { checked, origin: Origin::Default, place: None, written, spec, group });
        }
    }
}

/// A problem at a place of the case or of the command line.
pub(super) fn problem_at(label: &str, place: Place, what: impl Into<String>) -> Problem {
    match place {
        Place::Line(line) | Place::MarkedLine(line) => Problem::of_file(label, what).at_line(Some(line)),
        Place::Override => Problem::of_file("--set", what),
    }
}

/// The default of a key, read like a given value.
pub(super) fn default_value(spec: &KeySpec) -> Option<Checked> {
    DEFAULTS.get(&(spec.group, spec.name)).cloned()
}

/// Every default once: a sweep walks its case for each point.
static DEFAULTS: LazyLock<BTreeMap<(&str, &str), Checked>> = LazyLock::new(|| {
    let default = |spec: &'static KeySpec| {
        let Fallback::Value(text) = spec.default else { return None };
        let table = super::document::parse("default", &format!("v = {text}")).ok()?;
        Some(((spec.group, spec.name), check(spec, &table.get("v")?.content).ok()?))
    };
    key_reference().iter().filter_map(default).collect()
});

/// Whether a text is a valid name: `[a-z][a-z0-9_]*`.
pub(super) fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

fn is_table(node: &Node) -> bool {
    matches!(node.content, Content::Table(_))
}

/// `compressibility` holds for all sections, so alone it does not make a default section.
fn section_in_use(table: &Node) -> bool {
    matches!(&table.content, Content::Table(entries) if entries.iter().any(|(k, _)| k != "compressibility"))
}

/// Group a group belongs to: `surface.NAME` for `surface.NAME.flap.NAME`, the top for the others.
pub(super) fn parent(group: &GroupSpec) -> Option<&'static str> {
    let own = group.path.strip_suffix(".NAME").unwrap_or(group.path);
    match own.rsplit_once('.') {
        Some((parent, _)) => Some(parent),
        None if own.is_empty() => None,
        None => Some(""),
    }
}

/// Name of a part within its parent group: `flap` of `surface.NAME.flap.NAME`.
pub(super) fn part_name<'a>(part: &'a str, group: &str) -> &'a str {
    let rest = part.strip_prefix(group).unwrap_or(part).trim_start_matches('.');
    rest.split('.').next().unwrap_or_default()
}

fn condition_holds(spec: &KeySpec, table: &Node) -> bool {
    match spec.condition {
        Condition::Always => true,
        Condition::With(key) => table.get(key).is_some(),
        Condition::Without(key) => table.get(key).is_none(),
        Condition::Is(key, wanted) => has_text(spec, table, key, &[wanted]),
        Condition::OneOf(key, wanted) => has_text(spec, table, key, wanted),
    }
}

/// Whether another key of the table has, by itself or by default, one of these texts.
fn has_text(spec: &KeySpec, table: &Node, key: &str, wanted: &[&str]) -> bool {
    match table.get(key).map(|node| &node.content) {
        Some(Content::Text(text)) => wanted.contains(&text.as_str()),
        Some(_) => true, // its own problem is reported; do not add to it
        None => keys_of(spec.group).find(|other| other.name == key).is_some_and(|other| {
            matches!(default_value(other), Some(Checked::Text(text)) if wanted.contains(&text.as_str()))
        }),
    }
}

fn condition_in_words(condition: Condition) -> String {
    match condition {
        Condition::Always => String::new(),
        Condition::With(key) => format!("it needs `{key}`, which is not given"),
        Condition::Without(key) => format!("it does not go with `{key}`"),
        Condition::Is(key, text) => format!("it needs `{key} = {text:?}`"),
        Condition::OneOf(key, texts) => format!("it needs `{key} = {}`", quoted(texts)),
    }
}

/// Most keys that a hint names.
const MOST_NAMED: usize = 3;

/// Adds the nearest known key: of the same table first; of another only where it has that very name, or nearly, and then beside what
/// the table knows.
fn with_nearest(
    problem: Problem,
    (name, node): (&str, &Node),
    group: &str,
    path: &str,
    parts: &[&GroupSpec],
) -> Problem {
    let own = || keys_of(group).map(|spec| spec.name);
    let local = own().chain(parts.iter().map(|part| part_name(part.path, group)));
    if let Some(best) = nearest(name, local) {
        return problem.hint(format!("did you mean `{}`?", join(path, best)));
    }
    let akin: Vec<String> =
        own().filter(|other| share_a_word(name, other)).map(|own| join(path, own)).collect();
    if (1..=MOST_NAMED).contains(&akin.len()) {
        return problem.hint(did_you_mean(&akin));
    }
    let inside = keys_inside(name, node);
    if group.is_empty() && !inside.is_empty() {
        return problem.hint(did_you_mean(&inside));
    }
    let elsewhere = nearest(name, key_reference().iter().map(|spec| spec.name));
    match elsewhere.and_then(|best| key_reference().iter().find(|spec| spec.name == best)) {
        Some(spec) if group.is_empty() || spec.name == name => {
            problem.hint(format!("did you mean `{}`?", spec.path()))
        }
        other => {
            let parts = parts.iter().map(|part| part_name(part.path, group));
            let problem = problem.allowed(own().chain(parts).collect::<Vec<_>>().join(", "));
            match other {
                Some(spec) => problem.hint(format!("another table has `{}`", spec.path())),
                None => problem,
            }
        }
    }
}

/// For a table that no group has: the keys that its first entry could be where it is a member's name, `surface.wing.span_m` of `wing`.
fn keys_inside(name: &str, node: &Node) -> Vec<String> {
    let Content::Table(entries) = &node.content else { return Vec::new() };
    let Some((first, _)) = entries.first() else { return Vec::new() };
    let named = key_reference().iter().filter(|spec| spec.name == first && spec.group.ends_with(".NAME"));
    let top = named.filter(|spec| spec.group.matches("NAME").count() == 1);
    let all: Vec<String> = top.map(|spec| join(&spec.group.replace("NAME", name), first)).collect();
    if all.len() > MOST_NAMED { Vec::new() } else { all }
}

fn did_you_mean(keys: &[String]) -> String {
    let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
    match keys.split_last() {
        Some((last, others)) if !others.is_empty() => {
            format!("did you mean {} or {last}?", others.join(", "))
        }
        _ => format!("did you mean {}?", keys.concat()),
    }
}
