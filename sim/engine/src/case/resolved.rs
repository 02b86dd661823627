//! The resolved case: every value, given or not, as a case file again. A documented default is marked as one, so that a
//! result file still tells what its user chose.

use super::Origin;
use super::document::DEFAULT_MARK;
use super::keys::{GroupSpec, Shape, groups, join};
use super::values::Values;
use super::walk::parent;
use std::fmt::Write;

/// The case as TOML text with every value of the groups wanted written out, groups in the order of the reference.
pub(super) fn to_toml(v: &Values, wanted: impl Fn(&str) -> bool) -> String {
    let mut text = String::new();
    for group in
        groups().iter().filter(|group| matches!(parent(group), None | Some("")) && wanted(group.path))
    {
        write_members(&mut text, v, group, group.path);
    }
    text
}

/// All members of a group, each followed by its parts; `path` is the group's with the names of outer members.
fn write_members(text: &mut String, v: &Values, group: &GroupSpec, path: &str) {
    let instances: Vec<String> = match group.shape {
        Shape::Root | Shape::Table | Shape::Optional => vec![path.to_owned()],
        Shape::List => v.names(path).iter().map(|number| join(path, number)).collect(),
        Shape::Named | Shape::Array => v.names(path).iter().map(|name| path.replace("NAME", name)).collect(),
    };
    for instance in instances {
        write_group(text, v, group, &instance);
        for part in groups().iter().filter(|part| parent(part) == Some(group.path) && !group.path.is_empty())
        {
            let rest = part.path.strip_prefix(group.path).unwrap_or_default();
            write_members(text, v, part, &format!("{instance}{rest}"));
        }
    }
}

fn write_group(text: &mut String, v: &Values, group: &GroupSpec, instance: &str) {
    let mut entries = v.entries().iter().filter(|entry| entry.group == instance).peekable();
    if entries.peek().is_none() {
        return;
    }
    // Writing to a string cannot fail.
    let _ = match group.shape {
        Shape::Root => Ok(()),
        Shape::Table | Shape::Optional | Shape::Named => writeln!(text, "\n[{instance}]"),
        Shape::Array | Shape::List => writeln!(text, "\n[[{}]]", group.path.replace(".NAME", "")),
    };
    for entry in entries {
        let mark = if entry.origin == Origin::Default { format!("  {DEFAULT_MARK}") } else { String::new() };
        let _ = writeln!(text, "{} = {}{mark}", entry.spec.name, entry.checked.to_toml());
    }
}
