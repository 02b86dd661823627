//! The axes of `[[sweep.axis]]`: each key and each value checked against the key's own specification.

use super::check_value::check;
use super::consistency::at_key;
use super::document::{Content, Node, insert};
use super::keys::{KeySpec, Kind};
use super::problem::Problem;
use super::values::{Checked, Values};
use super::walk::{problem_at, walk};
use crate::study::{Axis, AxisValues, Grid, axis_names};

/// Most points of a grid; a slip in `count` should not fill the disk.
const MOST_POINTS: usize = 10_000_000;

/// Most dimensions; HDF5 takes 32 with those of the arrays themselves.
const MOST_DIMENSIONS: usize = 24;

/// Groups that no operating point depends on.
const NOT_OF_A_POINT: [&str; 8] =
    ["choose", "duty", "limit", "schedule", "mount", "isolator", "sensor", "airframe_mode"];

/// What the key of an axis may be.
const ONE_VALUE: &str = "the path of a key with a number, a text or true and false";

/// The grid, and the values as they go into the document.
#[derive(Debug, Clone)]
pub(super) struct Axes {
    pub grid: Grid,
    /// Values of each axis (in the order of the grid's axes), with the place of the value in the case.
    pub nodes: Vec<Vec<Node>>,
    /// Whether the axis changes which files are read.
    pub files: Vec<bool>,
}

/// An axis that is right by itself.
struct Own {
    number: String,
    key: String,
    spec: &'static KeySpec,
    nodes: Vec<Node>,
    pair_with: Option<String>,
}

/// All axes; `None` where the case has none or one of them has a problem.
pub(super) fn axes(label: &str, root: &Node, v: &Values, problems: &mut Vec<Problem>) -> Option<Axes> {
    let reader = Reader { label, root, v };
    let numbers = v.names("sweep.axis");
    let before = problems.len();
    let own: Vec<Option<Own>> = numbers.iter().map(|number| reader.axis(number, problems)).collect();
    let own: Vec<Own> = own.into_iter().collect::<Option<_>>()?;
    reader.repeated_keys(&own, problems);
    let leaders: Vec<Option<usize>> = own.iter().map(|axis| reader.leader(axis, &own, problems)).collect();
    if own.is_empty() || problems.len() > before {
        return None;
    }
    let grid = grid(&own, &leaders);
    let points = grid.shape.iter().try_fold(1_usize, |product, size| product.checked_mul(*size));
    if points.is_none_or(|points| points > MOST_POINTS) || grid.shape.len() > MOST_DIMENSIONS {
        let what = format!("makes a grid of {} points", shape_text(&grid.shape));
        let allowed = format!("up to {MOST_POINTS} points and {MOST_DIMENSIONS} axes that are not paired");
        problems.push(reader.at("1", "key", what).allowed(allowed));
        return None;
    }
    let files = own.iter().map(|axis| axis.spec.kind == Kind::File || axis.key.ends_with(".kind")).collect();
    Some(Axes { grid, nodes: own.into_iter().map(|axis| axis.nodes).collect(), files })
}

fn shape_text(shape: &[usize]) -> String {
    shape.iter().map(usize::to_string).collect::<Vec<_>>().join(" × ")
}

fn grid(own: &[Own], leaders: &[Option<usize>]) -> Grid {
    let names = axis_names(&own.iter().map(|axis| axis.key.as_str()).collect::<Vec<_>>());
    let leading: Vec<usize> = (0..own.len()).filter(|i| leaders[*i].is_none()).collect();
    let dimension = |i: usize| leading.iter().position(|l| *l == leaders[i].unwrap_or(i)).unwrap_or_default();
    let axis = |(i, (axis, name)): (usize, (&Own, String))| Axis {
        name,
        key: axis.key.clone(),
        unit: if axis.spec.unit.is_empty() { "1" } else { axis.spec.unit }.to_owned(),
        long_name: first_sentence(axis.spec.doc),
        values: values(axis),
        dimension: dimension(i),
        leads: leaders[i].is_none(),
    };
    Grid {
        axes: own.iter().zip(names).enumerate().map(axis).collect(),
        shape: leading.iter().map(|i| own[*i].nodes.len()).collect(),
    }
}

/// The doc of a key up to its first full stop or semicolon, as a label.
fn first_sentence(doc: &str) -> String {
    let end = [". ", ";", " ("].iter().filter_map(|mark| doc.find(mark)).min().unwrap_or(doc.len());
    doc[..end].trim_end_matches('.').to_owned()
}

fn values(axis: &Own) -> AxisValues {
    let contents = axis.nodes.iter().map(|node| &node.content);
    match axis.spec.kind {
        Kind::Integer(_) => AxisValues::Integers(
            contents.map(|c| if let Content::Integer(value) = c { *value } else { 0 }).collect(),
        ),
        Kind::Number(_) => AxisValues::Numbers(contents.map(|c| number(c).unwrap_or(f64::NAN)).collect()),
        _ => AxisValues::Texts(
            contents.map(|c| if let Content::Text(t) = c { t.clone() } else { c.to_toml() }).collect(),
        ),
    }
}

fn number(content: &Content) -> Option<f64> {
    match content {
        Content::Number(value) => Some(*value),
        #[expect(clippy::cast_precision_loss, reason = "ranges end far below 2^53")]
        Content::Integer(value) => Some(*value as f64),
        _ => None,
    }
}

struct Reader<'a> {
    label: &'a str,
    root: &'a Node,
    v: &'a Values,
}

impl Reader<'_> {
    /// A problem at a key of axis `number`.
    fn at(&self, number: &str, key: &str, what: impl Into<String>) -> Problem {
        at_key(self.label, self.v, &format!("sweep.axis.{number}.{key}"), what)
    }

    fn axis(&self, number: &str, problems: &mut Vec<Problem>) -> Option<Own> {
        let own = |key: &str| format!("sweep.axis.{number}.{key}");
        let key: String = self.v.text(&own("key"))?.split('.').map(str::trim).collect::<Vec<_>>().join(".");
        let nodes = self.nodes(number);
        let spec = match self.target(number, &key, nodes.first()) {
            Ok(spec) => spec,
            Err(problem) => {
                problems.push(*problem);
                return None;
            }
        };
        let nodes: Vec<Node> = nodes.into_iter().map(|node| whole(spec, node)).collect();
        let before = problems.len();
        let mut seen: Vec<&Content> = Vec::new();
        for node in &nodes {
            let problem = |what: &str| {
                problem_at(self.label, node.place, what).key(key.clone()).value(node.content.to_toml())
            };
            if let Err(fault) = check(spec, &node.content) {
                let mut problem = problem(&fault.what).allowed(spec.allowed());
                problem.hint = fault.hint;
                problems.push(problem);
            } else if seen.iter().any(|other| **other == node.content || same_number(other, &node.content)) {
                problems.push(problem("stands twice on its axis").allowed("each value once"));
            }
            seen.push(&node.content);
        }
        let pair_with = self.v.text(&own("pair_with")).map(str::to_owned);
        (problems.len() == before && !nodes.is_empty()).then(|| Own {
            number: number.to_owned(),
            key,
            spec,
            nodes,
            pair_with,
        })
    }

    /// The values as they stand in the case, or evenly spaced ones; none where they have a problem.
    fn nodes(&self, number: &str) -> Vec<Node> {
        let own = |key: &str| format!("sweep.axis.{number}.{key}");
        if let Some(Checked::Values(contents)) = self.v.entry(&own("values")).map(|entry| &entry.checked) {
            let at = number.parse::<usize>().unwrap_or(1) - 1;
            let member = self.root.get("sweep").and_then(|sweep| sweep.get("axis")).map(|axis| &axis.content);
            let Some(Content::List(members)) = member else { return Vec::new() };
            let listed = members.get(at).and_then(|member| member.get("values")).map(|node| &node.content);
            let Some(Content::List(items)) = listed else { return Vec::new() };
            debug_assert_eq!(items.len(), contents.len());
            return items.clone();
        }
        let (Some(from), Some(to)) = (self.v.number(&own("from")), self.v.number(&own("to"))) else {
            return Vec::new();
        };
        let (Some(count), Some(entry)) = (self.v.count(&own("count")), self.v.entry(&own("from"))) else {
            return Vec::new();
        };
        let place = entry.place.unwrap_or(super::document::Place::Line(1));
        let spaced = evenly_spaced(from, to, count).into_iter();
        spaced.map(|value| Node { content: Content::Number(value), place }).collect()
    }

    /// The specification of the key an axis names.
    fn target(
        &self,
        number: &str,
        key: &str,
        first: Option<&Node>,
    ) -> Result<&'static KeySpec, Box<Problem>> {
        let spec = match self.v.entry(key) {
            Some(entry) => entry.spec,
            None => self.not_in_case(number, key, first)?,
        };
        let refused = |why: &str| {
            Err(Box::new(self.at(number, "key", format!("cannot be an axis: {why}")).allowed(ONE_VALUE)))
        };
        match spec.kind {
            Kind::Point(_) | Kind::Numbers(_) | Kind::Values => refused("its value is a list"),
            _ if spec.group.starts_with("sweep") => refused("it belongs to the sweep itself"),
            _ if self.is_trimmed(key) => refused("the trim adjusts it"),
            _ if NOT_OF_A_POINT.contains(&spec.group.split('.').next().unwrap_or_default()) => {
                refused("no operating point depends on it")
            }
            _ if spec.name == "name" => refused("it names a part of the case"),
            _ => Ok(spec),
        }
    }

    /// A key without a value in the case: one that may be left out, or a problem, found by trying the axis' first value.
    fn not_in_case(
        &self,
        number: &str,
        key: &str,
        first: Option<&Node>,
    ) -> Result<&'static KeySpec, Box<Problem>> {
        let at = |what: String| self.at(number, "key", what);
        if let Some(list) = self.list_before(key) {
            let what = format!("cannot be an axis: it names a part of `{list}`, whose value is a list");
            return Err(Box::new(at(what).allowed(ONE_VALUE)));
        }
        let table = || at("names a table, not a value".into()).allowed("the path of a key that has a value");
        let there = key.split('.').try_fold(self.root, |node, name| node.get(name));
        if there.is_some_and(|node| matches!(node.content, Content::Table(_) | Content::List(_))) {
            return Err(Box::new(table()));
        }
        let mut trial = self.root.clone();
        let one = Node { content: Content::Integer(1), place: super::document::Place::Line(1) };
        let segments: Vec<&str> = key.split('.').collect();
        let value = first.cloned().unwrap_or(one);
        if let Err(fault) = insert(&mut trial, &segments, value) {
            return Err(Box::new(at(fault.what).allowed(fault.allowed)));
        }
        let (values, found) = walk(self.label, &trial);
        if let Some(entry) = values.entry(key) {
            return Ok(entry.spec);
        }
        let about = found.into_iter().find(|p| p.key == key || key.starts_with(&format!("{}.", p.key)));
        Err(Box::new(match about {
            Some(found) => {
                let mut problem = at(found.what);
                (problem.allowed, problem.hint) = (found.allowed, found.hint);
                problem
            }
            None => table(),
        }))
    }

    /// The key of a list that a longer path leads into; an override takes such a path, but an axis has no name, unit and range of
    /// its own there.
    fn list_before<'k>(&self, key: &'k str) -> Option<&'k str> {
        let ends = key.match_indices('.').map(|(end, _)| &key[..end]);
        let is_list = |path: &&str| {
            let kind = self.v.entry(path).map(|entry| entry.spec.kind);
            matches!(kind, Some(Kind::Point(_) | Kind::Numbers(_) | Kind::Values))
        };
        ends.into_iter().find(is_list)
    }

    /// Whether `[trim]` finds the value of a key.
    fn is_trimmed(&self, key: &str) -> bool {
        let is_true = |path: &str| self.v.boolean(path) == Some(true);
        let by = |word: &str| {
            let thrust = is_true("trim.drag") || self.v.number("trim.thrust_n").is_some();
            thrust && self.v.text("trim.by") == Some(word)
        };
        match key {
            "flight.angle_of_attack_deg" => is_true("trim.level"),
            "propeller.speed_rpm" => by("speed_rpm"),
            "propeller.pitch_offset_deg" => by("pitch_offset_deg"),
            _ => false,
        }
    }

    fn repeated_keys(&self, own: &[Own], problems: &mut Vec<Problem>) {
        for (i, axis) in own.iter().enumerate() {
            if let Some(earlier) = own[..i].iter().find(|other| other.key == axis.key) {
                let what = format!("is the key of axis {} already", earlier.number);
                problems.push(self.at(&axis.number, "key", what).allowed("each key on one axis only"));
            }
        }
    }

    /// The axis another one is paired with, by its place.
    fn leader(&self, axis: &Own, own: &[Own], problems: &mut Vec<Problem>) -> Option<usize> {
        let wanted = axis.pair_with.as_ref()?;
        let problem = |what: String| self.at(&axis.number, "pair_with", what);
        let found = own.iter().position(|other| other.key == *wanted && other.number != axis.number);
        let Some(leader) = found else {
            let others: Vec<&str> =
                own.iter().filter(|o| o.number != axis.number).map(|o| o.key.as_str()).collect();
            let allowed =
                if others.is_empty() { "no key: there is no other axis".into() } else { others.join(", ") };
            problems.push(problem("is not the key of another axis".into()).allowed(allowed));
            return None;
        };
        let other = &own[leader];
        if other.pair_with.is_some() {
            let what = "is itself paired with another axis".into();
            problems.push(problem(what).allowed("the key of an axis that is not paired"));
        } else if other.nodes.len() != axis.nodes.len() {
            let what = format!("has {} values for the {} of this axis", other.nodes.len(), axis.nodes.len());
            problems.push(problem(what).allowed("axes with as many values as each other"));
        }
        Some(leader)
    }
}

/// Both ends exact.
fn evenly_spaced(from: f64, to: f64, count: usize) -> Vec<f64> {
    let last = count.saturating_sub(1);
    #[expect(clippy::cast_precision_loss, reason = "counts are small")]
    let value = |i: usize| if i == last { to } else { from + (to - from) * i as f64 / last as f64 };
    (0..count).map(value).collect()
}

/// Spaced values of a key for whole numbers become whole where they are.
fn whole(spec: &KeySpec, node: Node) -> Node {
    let content = match (spec.kind, &node.content) {
        #[expect(clippy::cast_possible_truncation, reason = "whole and small")]
        (Kind::Integer(_), Content::Number(value)) if value.fract() == 0.0 && value.abs() < 1e9 => {
            Content::Integer(*value as i64)
        }
        _ => return node,
    };
    Node { content, place: node.place }
}

fn same_number(a: &Content, b: &Content) -> bool {
    matches!((number(a), number(b)), (Some(a), Some(b)) if a == b)
}

/// Puts the values of one point into the document.
pub(super) fn put(root: &mut Node, key: &str, value: &Node) {
    let segments: Vec<&str> = key.split('.').collect();
    // The key has been found to lead somewhere when the axes were read.
    let _ = insert(root, &segments, value.clone());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn evenly_spaced_values_have_exact_ends() {
        assert_eq!(evenly_spaced(0.0, 0.3, 4), [0.0, 0.3 * 1.0 / 3.0, 0.3 * 2.0 / 3.0, 0.3]);
        assert_eq!(evenly_spaced(4.0, 2.0, 3), [4.0, 3.0, 2.0]);
    }

    #[test]
    fn a_label_ends_before_the_explanation() {
        assert_eq!(first_sentence("True airspeed; 0 is static. More airspeed."), "True airspeed");
        assert_eq!(first_sentence("Shaft speed."), "Shaft speed");
    }
}
