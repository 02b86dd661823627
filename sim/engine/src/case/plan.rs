//! The plan of a sweep in progress: what must be the same for its parts to be continued.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::Case;
use super::document::{Content, Node, parse};

/// Version of the program, resolved case, hashes of the inputs, and which shard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// Version of the program.
    pub program_version: String,
    /// Shard `I/N`.
    pub shard: String,
    /// Path and SHA-256 of each input.
    pub inputs: BTreeMap<String, String>,
    /// The resolved case as TOML text.
    pub case_toml: String,
}

impl Plan {
    /// The plan of a case.
    #[must_use]
    pub fn new(case: &Case, program_version: &str, shard: &str) -> Self {
        let hash = |input: &super::InputFile| (input.path.clone(), input.sha256.clone());
        Self {
            program_version: program_version.to_owned(),
            shard: shard.to_owned(),
            inputs: case.inputs.iter().map(hash).collect(),
            case_toml: case.resolved_toml(),
        }
    }

    /// As TOML text.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let quoted = |text: &str| Content::Text(text.to_owned()).to_toml();
        let mut text =
            String::from("# Plan of a sweep in progress. `wakebeat sweep CASE --resume` continues it.\n");
        // Writing to a string cannot fail.
        let _ = writeln!(text, "program_version = {}", quoted(&self.program_version));
        let _ = writeln!(text, "shard = {}", quoted(&self.shard));
        let _ = writeln!(text, "case = {}", quoted(&self.case_toml));
        let _ = writeln!(text, "\n[inputs] # SHA-256");
        for (path, hash) in &self.inputs {
            let _ = writeln!(text, "{} = {}", quoted_key(path), quoted(hash));
        }
        text
    }

    /// From its text; `None` where it is not a plan.
    #[must_use]
    pub fn from_toml(text: &str) -> Option<Self> {
        let root = parse("plan", text).ok()?;
        let get = |key: &str| match &root.get(key)?.content {
            Content::Text(text) => Some(text.clone()),
            _ => None,
        };
        let Content::Table(inputs) = &root.get("inputs")?.content else { return None };
        let input = |(path, node): &(String, Node)| match &node.content {
            Content::Text(hash) => Some((path.clone(), hash.clone())),
            _ => None,
        };
        Some(Self {
            program_version: get("program_version")?,
            shard: get("shard")?,
            inputs: inputs.iter().map(input).collect::<Option<_>>()?,
            case_toml: get("case")?,
        })
    }

    /// What differs from another plan, in words: keys with both values, files, version, shard.
    #[must_use]
    pub fn differences(&self, now: &Self) -> Vec<String> {
        let mut found = Vec::new();
        let mut one = |what: &str, before: &str, after: &str| {
            if before != after {
                found.push(format!("{what} was {before}, is {after}"));
            }
        };
        one("version of the program", &self.program_version, &now.program_version);
        one("shard", &self.shard, &now.shard);
        let (before, after) = (flat(&self.case_toml), flat(&now.case_toml));
        let absent = || "absent".to_owned();
        for key in before.keys().chain(after.keys().filter(|key| !before.contains_key(*key))) {
            let value = |of: &BTreeMap<String, String>| of.get(key).cloned().unwrap_or_else(absent);
            one(key, &value(&before), &value(&after));
        }
        for (path, hash) in &now.inputs {
            if self.inputs.get(path).is_some_and(|other| other != hash) {
                found.push(format!("file {path} has changed"));
            }
        }
        found
    }
}

/// A path as a key of a table, quoted.
fn quoted_key(path: &str) -> String {
    let escaped = path.replace('\\', "\\\\").replace('"', "\\\"");
    format!("\"{escaped}\"")
}

/// Every value of a case by its key path.
fn flat(toml: &str) -> BTreeMap<String, String> {
    let mut values = BTreeMap::new();
    if let Ok(root) = parse("case", toml) {
        flatten("", &root, &mut values);
    }
    values
}

fn flatten(path: &str, node: &Node, values: &mut BTreeMap<String, String>) {
    let inner = |name: &str| super::keys::join(path, name);
    match &node.content {
        Content::Table(entries) => {
            entries.iter().for_each(|(name, node)| flatten(&inner(name), node, values))
        }
        Content::List(items) if items.iter().any(|item| matches!(item.content, Content::Table(_))) => {
            for (number, item) in (1..).zip(items) {
                let name = match item.get("name").map(|name| &name.content) {
                    Some(Content::Text(name)) => name.clone(),
                    _ => i32::to_string(&number),
                };
                flatten(&inner(&name), item, values);
            }
        }
        content => {
            values.insert(path.to_owned(), content.to_toml());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan(case: &str) -> Plan {
        Plan {
            program_version: "0.1.0".into(),
            shard: "1/1".into(),
            inputs: BTreeMap::from([("a \"b\"\\c.csv".into(), "00".into())]),
            case_toml: case.into(),
        }
    }

    #[test]
    fn a_plan_comes_back_from_its_text() {
        let plan = plan("title = \"two\\nlines '''\"\n[flight]\nairspeed_m_s = 1.0\n");
        assert_eq!(Plan::from_toml(&plan.to_toml()), Some(plan));
        assert_eq!(Plan::from_toml("x = 1"), None);
    }

    #[test]
    fn what_differs_is_named_with_both_values() {
        let before =
            plan("[flight]\na = 1.0\n[[surface]]\nname = \"wing\"\nb = 2\n[[sweep.axis]]\nkey = \"k\"\n");
        let mut now =
            plan("[flight]\na = 1.5\nc = 3\n[[surface]]\nname = \"wing\"\n[[sweep.axis]]\nkey = \"m\"\n");
        now.inputs.values_mut().for_each(|hash| *hash = "01".into());
        assert_eq!(
            before.differences(&now),
            [
                "flight.a was 1.0, is 1.5",
                "surface.wing.b was 2, is absent",
                "sweep.axis.1.key was \"k\", is \"m\"",
                "flight.c was absent, is 3",
                "file a \"b\"\\c.csv has changed",
            ]
        );
        assert!(before.differences(&before).is_empty());
    }
}
