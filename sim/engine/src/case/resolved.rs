//! The resolved case: every value, given or not, as a case file again.

use super::keys::{Shape, groups};
use super::values::Values;
use std::fmt::Write;

/// The case as TOML text with every value written out, groups in the order of the reference.
pub(super) fn to_toml(v: &Values) -> String {
    let mut text = String::new();
    for group in groups() {
        let instances: Vec<String> = match group.shape {
            Shape::Root | Shape::Table | Shape::Optional => vec![group.path.to_owned()],
            Shape::Named | Shape::Array => {
                v.names(group.path).iter().map(|name| group.path.replace("NAME", name)).collect()
            }
        };
        for instance in instances {
            write_group(&mut text, v, group.shape, &instance);
        }
    }
    text
}

fn write_group(text: &mut String, v: &Values, shape: Shape, instance: &str) {
    let mut entries = v.entries().iter().filter(|entry| entry.group == instance).peekable();
    if entries.peek().is_none() {
        return;
    }
    // Writing to a string cannot fail.
    let _ = match shape {
        Shape::Root => Ok(()),
        Shape::Table | Shape::Optional | Shape::Named => writeln!(text, "\n[{instance}]"),
        Shape::Array => writeln!(text, "\n[[{}]]", instance.split('.').next().unwrap_or_default()),
    };
    for entry in entries {
        let _ = writeln!(text, "{} = {}", entry.spec.name, entry.checked.to_toml());
    }
}
