//! The reference page of all keys, as Markdown.

use wakebeat_engine::case::{GroupSpec, KeySpec, Shape, groups};

use crate::explain::{heading, keys_of};

const INTRODUCTION: &str = "\
# Keys of the case file

<!-- Printed by `wakebeat explain --all --markdown`, from the table that help, defaults and checks are made of. -->

A case is a TOML file. The unit stands in each key's name. `wakebeat explain KEY` prints one entry, `wakebeat check CASE`
every value of a case and where it came from, `wakebeat schema` this page for editors (below). Paths in a case are relative
to its folder. `NAME` in a path stands for the name of a member: `surface.NAME.span_m` is `--set surface.wing.span_m=1.4`
on the command line, and `span_m = 1.4` below `[[surface]]` and `name = \"wing\"` in the file.

## Completion and checks in an editor

Editors with a TOML language server (Taplo, Tombi and what is built on them) take the schema named in the first line of a file:

```
#:schema ./case.schema.json
```

`wakebeat new DIR --schema` writes the starter case with that line and the schema beside it; for a case that exists, add the
line and run `wakebeat schema > case.schema.json` in its folder. The editor then completes keys and choices, shows unit, range and
default, and marks what the schema refuses: unknown keys, wrong types, values out of range, keys that do not go together. What
follows from several values, such as a disk that cuts the wing, and the files a case names, only `wakebeat check` looks at.
";

/// The page.
pub fn page() -> String {
    let mut page = INTRODUCTION.to_owned();
    page.push_str("\n## Groups\n\n");
    for group in groups() {
        let link = anchor(group);
        page.push_str(&format!("- [{}](#{link}): {}\n", title(group), group.doc));
    }
    for group in groups() {
        page.push_str(&format!(
            "\n<a id=\"{}\"></a>\n\n## {}\n\n{}\n",
            anchor(group),
            title(group),
            cell(group.doc)
        ));
        if keys_of(group).next().is_none() {
            continue; // a table that only holds other groups
        }
        page.push_str("\n| Key | Unit | Allowed | Default | Meaning | Model |\n|---|---|---|---|---|---|\n");
        for key in keys_of(group) {
            page.push_str(&row(key));
        }
    }
    page
}

fn title(group: &GroupSpec) -> String {
    if group.shape == Shape::Root { heading(group) } else { format!("`{}`", heading(group)) }
}

fn anchor(group: &GroupSpec) -> String {
    if group.path.is_empty() { "top".to_owned() } else { group.path.replace(".NAME", "").replace('.', "-") }
}

fn row(key: &KeySpec) -> String {
    let unit = if key.unit == "1" { "" } else { key.unit };
    let mut meaning = key.doc.to_owned();
    for choice in key.choices() {
        meaning.push_str(&format!("<br>`\"{}\"`: {}", choice.text, choice.doc));
    }
    if let Some(condition) = key.only_if() {
        meaning.push_str(&format!("<br>Only if {condition}."));
    }
    let default = match key.default_toml() {
        Some(value) => format!("`{value}`"),
        None => key.default_in_words(),
    };
    format!(
        "| `{}` | {unit} | {} | {} | {} | {} |\n",
        key.path(),
        cell(&allowed(key)),
        cell(&default),
        cell(&meaning),
        key.model()
    )
}

/// The range, or the type where that says it all; the unit has a column of its own.
fn allowed(key: &KeySpec) -> String {
    match key.range() {
        Some(range) => format!("{}, {}", key.type_in_words(), range.describe("1")),
        None => key.type_in_words().to_owned(),
    }
}

/// Text that does not end a cell.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}
