//! What the keys of one table ask of each other, as rules of a JSON schema.

use super::keys::{Condition, Fallback, KeySpec};
use super::values::Checked;
use super::walk::default_value;
use serde_json::{Value, json};

/// The rules of one table: which keys mean nothing without, or beside, another, and which are then required.
pub(super) fn rules(keys: &[&KeySpec]) -> Vec<Value> {
    keys.iter().flat_map(|key| rules_of(key, keys)).collect()
}

fn rules_of(key: &KeySpec, keys: &[&KeySpec]) -> Vec<Value> {
    let name = key.name;
    let required = key.default == Fallback::Required;
    match key.condition {
        Condition::Always => Vec::new(),
        Condition::With(other) => {
            let mut rules = vec![json!({ "dependentRequired": { name: [other] } })];
            if required {
                rules.push(json!({ "dependentRequired": { other: [name] } }));
            }
            rules
        }
        Condition::Without(other) => {
            let mut rules = vec![json!({ "not": { "required": [name, other] } })];
            if required {
                rules.push(json!({ "anyOf": [{ "required": [name] }, { "required": [other] }] }));
            }
            rules
        }
        Condition::Is(other, text) => of_text(key, keys, other, &[text], required),
        Condition::OneOf(other, texts) => of_text(key, keys, other, texts, required),
    }
}

/// The rules of a key that goes with one of some texts of another key.
fn of_text(key: &KeySpec, keys: &[&KeySpec], other: &str, texts: &[&str], required: bool) -> Vec<Value> {
    let mut holds = json!({ "properties": { other: { "enum": texts } } });
    let default = keys.iter().find(|spec| spec.name == other).and_then(|spec| default_value(spec));
    if !matches!(default, Some(Checked::Text(text)) if texts.contains(&text.as_str())) {
        holds["required"] = json!([other]);
    }
    let mut rules = vec![json!({ "if": { "required": [key.name] }, "then": holds })];
    if required {
        let mut case = holds;
        if key.group == "section" {
            // A table with nothing but `compressibility` makes no default section.
            case["not"] = json!({ "propertyNames": { "const": "compressibility" } });
        }
        rules.push(json!({ "if": case, "then": { "required": [key.name] } }));
    }
    rules
}
