//! `wakebeat explain`: what a key of the case file means.

use serde_json::{Value, json};
use wakebeat_engine::case::{self, Explained, GroupSpec, KeySpec, Kind, Shape, groups};

use crate::args::ExplainArgs;
use crate::failure::Failure;
use crate::output::{Output, WIDTH, wrapped};
use crate::{reference, table};

/// Prints one key, the keys of a group, all keys, or the list of groups.
///
/// # Errors
/// When nothing has that name; the nearest names are told.
pub fn explain(args: &ExplainArgs, output: Output) -> Result<(), Failure> {
    let found = match &args.key {
        Some(key) => case::explain(key)?,
        None if args.all => Explained::all(),
        None => return output.answer(group_list, || json!({ "groups": groups_json() })),
    };
    if args.markdown {
        return output.data(reference::page().trim_end());
    }
    let text = || match found.keys.as_slice() {
        [key] => one(key),
        _ => many(&found),
    };
    output.answer(text, || json!({ "keys": found.keys.iter().map(|key| key_json(key)).collect::<Vec<_>>() }))
}

/// Every group with what it holds.
fn group_list() -> String {
    let rows = groups().iter().map(|group| {
        let count = keys_of(group).count().to_string();
        vec![heading(group), count, group.doc.to_owned()]
    });
    let heading = ["group", "keys", "what it holds"].map(str::to_owned).to_vec();
    format!(
        "{}\n\n`wakebeat explain propeller` explains the keys of a group, `wakebeat explain propeller.speed_rpm` one key.",
        table::plain(heading, rows.collect(), 1..2)
    )
}

/// The keys that stand in a group itself.
pub fn keys_of(group: &GroupSpec) -> impl Iterator<Item = &'static KeySpec> + use<> {
    let path = group.path;
    case::key_reference().iter().filter(move |key| key.group == path)
}

/// How a group is headed in the file.
pub fn heading(group: &GroupSpec) -> String {
    if group.shape == Shape::Root { "top of the file".to_owned() } else { group.header() }
}

/// Everything about one key.
fn one(key: &KeySpec) -> String {
    let mut lines = vec![key.path(), String::new(), wrapped("", key.doc), String::new()];
    let mut fact = |name: &str, what: &str| lines.push(wrapped(&format!("{name:<10} "), what));
    fact("type", key.type_in_words());
    match key.unit {
        "" => {}
        "1" => fact("unit", "none, a pure number"),
        unit => fact("unit", unit),
    }
    if let Some(range) = key.range() {
        let each = if matches!(key.kind, Kind::Point(_) | Kind::Numbers(_)) { "each " } else { "" };
        fact("range", &format!("{each}{}", range.describe(key.unit)));
    }
    fact("default", &key.default_in_words());
    if let Some(condition) = key.only_if() {
        fact("only if", &condition);
    }
    fact("model", key.model());
    for (number, choice) in key.choices().enumerate() {
        fact(if number == 0 { "values" } else { "" }, &format!("{:?}: {}", choice.text, choice.doc));
    }
    let group = groups().iter().find(|group| group.path == key.group);
    let head = group.map(|group| format!("{}: ", heading(group))).unwrap_or_default();
    let value = key.default_toml().unwrap_or_else(|| "VALUE".to_owned());
    fact("in a case", &format!("{head}{} = {value}", key.name));
    if can_be_set(key) {
        let whose = if key.path().contains("NAME") { ", with its name in place of NAME" } else { "" };
        fact("or", &format!("--set '{}={value}'{whose}", key.path()));
    }
    lines.join("\n")
}

/// Whether `--set` reaches it: names address members of arrays and stay as they are.
fn can_be_set(key: &KeySpec) -> bool {
    !(key.name == "name" && key.kind == Kind::Name)
}

/// Several keys, by group.
fn many(found: &Explained) -> String {
    let mut parts = Vec::new();
    for group in found.groups() {
        parts.push(wrapped("", &format!("{}  {}", heading(group), group.doc)));
        for key in found.keys.iter().filter(|key| key.group == group.path) {
            parts.push(format!("{}\n{}", wrapped("  ", &in_short(key)), set_in(key.doc)));
        }
    }
    let first = found.keys.first().map(|key| key.path()).unwrap_or_default();
    parts.push(format!("`wakebeat explain {first}` says more about one key."));
    parts.join("\n\n")
}

/// Path, range, default and condition in one line.
fn in_short(key: &KeySpec) -> String {
    let mut facts = vec![key.allowed(), format!("default {}", key.default_in_words())];
    facts.extend(key.only_if().map(|condition| format!("only if {condition}")));
    format!("{}  ({})", key.path(), facts.join("; "))
}

fn set_in(text: &str) -> String {
    textwrap::fill(text, textwrap::Options::new(WIDTH).initial_indent("    ").subsequent_indent("    "))
}

/// A key for scripts; bounds and default are in its unit.
fn key_json(key: &KeySpec) -> Value {
    let choices: Vec<Value> =
        key.choices().map(|choice| json!({ "value": choice.text, "description": choice.doc })).collect();
    let range = key.range();
    json!({
        "key": key.path(),
        "group": key.group,
        "description": key.doc,
        "type": key.type_in_words(),
        "unit": key.unit,
        "default": case::default_json(key),
        "default_in_words": key.default_in_words(),
        "minimum": range.map(|range| range.min),
        "minimum_is_excluded": range.map(|range| range.above_min),
        "maximum": range.map(|range| range.max),
        "allowed": key.allowed(),
        "choices": choices,
        "only_if": key.only_if(),
        "model": key.model(),
    })
}

fn groups_json() -> Vec<Value> {
    let one = |group: &GroupSpec| {
        let keys: Vec<String> = keys_of(group).map(KeySpec::path).collect();
        json!({ "group": group.path, "header": group.header(), "description": group.doc, "keys": keys })
    };
    groups().iter().map(one).collect()
}
