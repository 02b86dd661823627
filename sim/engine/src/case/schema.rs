//! A JSON schema of the case file, from the table of keys.

use super::keys::{
    Availability, Condition, Fallback, GroupSpec, KeySpec, Kind, Range, Shape, groups, keys_of,
};
use super::schema_rules;
use super::values::Checked;
use super::walk::{default_value, parent, part_name};
use serde_json::{Map, Value, json};

/// JSON schema (draft 2020-12) of the keys this version takes, with descriptions, units, defaults and ranges.
#[must_use]
pub fn schema() -> Value {
    let mut root = object("", "A wakebeat case file.");
    add_parts(&mut root, "");
    root["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    root["title"] = json!("wakebeat case");
    root["required"] = json!(["flight", "propeller"]);
    root
}

/// Adds the groups within a group to the object of its member.
fn add_parts(member: &mut Value, outer: &str) {
    let available = |g: &&GroupSpec| g.availability == Availability::Available && parent(g) == Some(outer);
    for group in groups().iter().filter(available) {
        member["properties"][part_name(group.path, outer)] = group_schema(group);
    }
}

fn group_schema(group: &GroupSpec) -> Value {
    let mut member = object(group.path, group.doc);
    add_parts(&mut member, group.path);
    match group.shape {
        Shape::Root | Shape::Table | Shape::Optional => member,
        Shape::Named => json!({
            "type": "object",
            "description": group.doc,
            "propertyNames": { "pattern": NAME_PATTERN },
            "additionalProperties": member,
        }),
        Shape::Array | Shape::List => json!({ "type": "array", "description": group.doc, "items": member }),
    }
}

const NAME_PATTERN: &str = "^[a-z][a-z0-9_]*$";

/// The object of one group; nothing beyond its keys is allowed.
fn object(group: &str, doc: &str) -> Value {
    let keys: Vec<&KeySpec> = keys_of(group).filter(|k| k.availability == Availability::Available).collect();
    let properties: Map<String, Value> = keys.iter().map(|k| (k.name.to_owned(), key_schema(k))).collect();
    let always = |k: &&&KeySpec| k.default == Fallback::Required && k.condition == Condition::Always;
    let required: Vec<&str> = keys.iter().filter(always).map(|k| k.name).collect();
    let mut object = json!({
        "type": "object",
        "description": doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    });
    let rules = schema_rules::rules(&keys);
    if !rules.is_empty() {
        object["allOf"] = json!(rules);
    }
    object
}

fn key_schema(spec: &KeySpec) -> Value {
    let mut schema = kind_schema(spec.kind);
    schema["description"] = json!(description(spec));
    if !spec.unit.is_empty() {
        schema["x-unit"] = json!(spec.unit);
    }
    if let Some(default) = default_json(spec) {
        schema["default"] = default;
    }
    if let Some(condition) = spec.only_if() {
        schema["x-only-if"] = json!(condition);
    }
    schema
}

/// Editors show the description alone, so it tells unit, range and default too.
fn description(spec: &KeySpec) -> String {
    let mut facts = Vec::new();
    if !spec.unit.is_empty() && spec.unit != "1" {
        facts.push(format!("unit {}", spec.unit));
    }
    if let Some(range) = spec.range() {
        facts.push(format!("range {}", range.describe(spec.unit)));
    }
    facts.push(format!("default {}", spec.default_in_words()));
    if let Some(condition) = spec.only_if() {
        facts.push(format!("only if {condition}"));
    }
    format!("{}\n\n{}", spec.doc, facts.join("; "))
}

/// The default of a key as JSON; `None` where it has none of its own.
#[must_use]
pub fn default_json(spec: &KeySpec) -> Option<Value> {
    default_value(spec).map(|checked| to_json(&checked))
}

fn kind_schema(kind: Kind) -> Value {
    match kind {
        Kind::Text => json!({ "type": "string" }),
        Kind::Name => json!({ "type": "string", "pattern": NAME_PATTERN }),
        Kind::File => json!({ "type": "string", "minLength": 1 }),
        Kind::Boolean => json!({ "type": "boolean" }),
        Kind::Integer(range) => ranged("integer", range),
        Kind::Number(range) => ranged("number", range),
        Kind::Point(range) => {
            json!({ "type": "array", "items": ranged("number", range), "minItems": 3, "maxItems": 3 })
        }
        Kind::Numbers(range) => json!({ "type": "array", "items": ranged("number", range) }),
        Kind::Choice(choices) => {
            let usable = choices.iter().filter(|c| c.availability == Availability::Available);
            let options: Vec<Value> =
                usable.map(|c| json!({ "const": c.text, "description": c.doc })).collect();
            json!({ "type": "string", "oneOf": options })
        }
        Kind::KeyPath => json!({ "type": "string", "minLength": 1 }),
        Kind::Values => {
            json!({ "type": "array", "items": { "type": ["number", "string", "boolean"] }, "minItems": 1 })
        }
    }
}

fn ranged(kind: &str, range: Range) -> Value {
    let low = if range.above_min { "exclusiveMinimum" } else { "minimum" };
    let bound = |value: f64| {
        // Whole bounds of whole numbers read better without a decimal point.
        #[expect(clippy::cast_possible_truncation, reason = "bounds of whole numbers are small")]
        if kind == "integer" { json!(value as i64) } else { json!(value) }
    };
    json!({ "type": kind, low: bound(range.min), "maximum": bound(range.max) })
}

fn to_json(checked: &Checked) -> Value {
    match checked {
        Checked::Text(text) => json!(text),
        Checked::Boolean(flag) => json!(flag),
        Checked::Integer(number) => json!(number),
        Checked::Number(number) => json!(number),
        Checked::Numbers(numbers) => json!(numbers),
        Checked::Values(items) => {
            json!(items.iter().map(super::document::Content::to_toml).collect::<Vec<_>>())
        }
    }
}
