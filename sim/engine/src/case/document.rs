//! A TOML document as a plain tree that remembers the line of every value, with overrides applied.

use super::problem::Problem;
use toml_edit::{Array, Document, Item, TableLike, TomlError, Value};

/// Comment behind a value of a resolved case that was not given.
pub(super) const DEFAULT_MARK: &str = "# default";

/// Where a value was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// A line of the case file, counted from 1.
    Line(usize),
    /// A line of a resolved case, marked as a default.
    MarkedLine(usize),
    /// An override on the command line.
    Override,
}

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub content: Content,
    pub place: Place,
}

/// A value of the document.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Content {
    Table(Vec<(String, Node)>),
    List(Vec<Node>),
    Text(String),
    Integer(i64),
    Number(f64),
    Boolean(bool),
    /// A date or time, which no key takes.
    Time(String),
}

impl Content {
    /// The type in the words of a message.
    pub(super) fn type_name(&self) -> &'static str {
        match self {
            Self::Table(_) => "a table",
            Self::List(_) => "a list",
            Self::Text(_) => "a text",
            Self::Integer(_) => "a whole number",
            Self::Number(_) => "a number",
            Self::Boolean(_) => "true or false",
            Self::Time(_) => "a date or time",
        }
    }

    /// The value as TOML text, shortened for messages where it is a table.
    pub(super) fn to_toml(&self) -> String {
        match self {
            Self::Table(_) => "{…}".into(),
            Self::List(items) => {
                let texts: Vec<String> = items.iter().map(|n| n.content.to_toml()).collect();
                format!("[{}]", texts.join(", "))
            }
            Self::Text(text) => Value::from(text.as_str()).to_string().trim().to_owned(),
            Self::Integer(value) => value.to_string(),
            Self::Number(value) => number_to_toml(*value),
            Self::Boolean(value) => value.to_string(),
            Self::Time(text) => text.clone(),
        }
    }
}

/// Shortest TOML text that reads back to the same bits.
pub(super) fn number_to_toml(value: f64) -> String {
    if value.is_nan() { "nan".into() } else { format!("{value:?}") }
}

impl Node {
    /// A member of a table.
    pub(super) fn get(&self, key: &str) -> Option<&Node> {
        match &self.content {
            Content::Table(entries) => entries.iter().find(|(name, _)| name == key).map(|(_, node)| node),
            _ => None,
        }
    }

    fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        match &mut self.content {
            Content::Table(entries) => entries.iter_mut().find(|(name, _)| name == key).map(|(_, n)| n),
            _ => None,
        }
    }
}

/// Reads TOML text into a tree.
///
/// # Errors
/// One problem with line and column where the text is not TOML.
pub(super) fn parse(label: &str, text: &str) -> Result<Node, Box<Problem>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let document = Document::parse(text).map_err(|error| Box::new(syntax_problem(label, text, &error)))?;
    let lines = Lines { text };
    Ok(Node { content: lines.table(document.as_table(), 1), place: Place::Line(1) })
}

fn syntax_problem(label: &str, text: &str, error: &TomlError) -> Problem {
    let offset = error.span().map_or(0, |span| span.start);
    let before = text.get(..offset).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    let message = error.message().trim().replace('\n', ", ");
    Problem::of_file(label, format!("is not valid TOML at column {column}: {message}"))
        .at_line(Some(line))
        .value(text.lines().nth(line - 1).unwrap_or_default().trim())
        .hint(if message.contains("duplicate") {
            "each key stands once in its table, and each table once in the file"
        } else {
            "a line is `key = value`: texts in quotes, lists in [ ], remarks behind #"
        })
}

/// Finds lines of byte offsets and converts items.
struct Lines<'a> {
    text: &'a str,
}

impl Lines<'_> {
    fn line(&self, offset: Option<usize>, outer: usize) -> usize {
        let before = offset.and_then(|end| self.text.get(..end));
        before.map_or(outer, |before| before.matches('\n').count() + 1)
    }

    fn table(&self, table: &dyn TableLike, outer: usize) -> Content {
        let entries = table.iter().map(|(name, item)| {
            let key_span = table.key(name).and_then(toml_edit::Key::span);
            let offset = key_span.or_else(|| item.span()).map(|span| span.start);
            (name.to_owned(), self.item(item, self.line(offset, outer)))
        });
        Content::Table(entries.collect())
    }

    fn item(&self, item: &Item, line: usize) -> Node {
        let content = match item {
            Item::Value(value) if self.is_marked(value) => {
                return Node { place: Place::MarkedLine(line), ..self.value(value, line) };
            }
            Item::Value(value) => return self.value(value, line),
            Item::Table(table) => self.table(table, line),
            Item::ArrayOfTables(tables) => {
                let member = |table: &toml_edit::Table| {
                    let line = self.line(table.span().map(|span| span.start), line);
                    Node { content: self.table(table, line), place: Place::Line(line) }
                };
                Content::List(tables.iter().map(member).collect())
            }
            Item::None => Content::Table(Vec::new()),
        };
        Node { content, place: Place::Line(line) }
    }

    /// Whether the comment behind a value says that it is a default.
    fn is_marked(&self, value: &Value) -> bool {
        let span = value.decor().suffix().and_then(toml_edit::RawString::span);
        span.and_then(|span| self.text.get(span)).is_some_and(|comment| comment.trim() == DEFAULT_MARK)
    }

    fn value(&self, value: &Value, line: usize) -> Node {
        let content = match value {
            Value::String(text) => Content::Text(text.value().clone()),
            Value::Integer(number) => Content::Integer(*number.value()),
            Value::Float(number) => Content::Number(*number.value()),
            Value::Boolean(flag) => Content::Boolean(*flag.value()),
            Value::Datetime(time) => Content::Time(time.value().to_string()),
            Value::Array(array) => self.array(array, line),
            Value::InlineTable(table) => self.table(table, line),
        };
        Node { content, place: Place::Line(line) }
    }

    fn array(&self, array: &Array, outer: usize) -> Content {
        let member = |value: &Value| {
            let line = self.line(value.span().map(|span| span.start), outer);
            self.value(value, line)
        };
        Content::List(array.iter().map(member).collect())
    }
}

/// Applies overrides `KEY=VALUE` in order; a later one wins.
pub(super) fn apply_overrides(root: &mut Node, sets: &[String], problems: &mut Vec<Problem>) {
    for set in sets {
        if let Err(problem) = apply_override(root, set) {
            problems.push(*problem);
        }
    }
}

fn apply_override(root: &mut Node, set: &str) -> Result<(), Box<Problem>> {
    let bad = |what: &str| Box::new(Problem::of_file("--set", what).value(set).allowed("KEY=VALUE"));
    let (path, value) = set.split_once('=').ok_or_else(|| bad("has no `=`"))?;
    let segments: Vec<&str> = path.trim().split('.').map(str::trim).collect();
    if segments.iter().any(|segment| segment.is_empty()) {
        return Err(bad("has an empty part in its key"));
    }
    let node = override_value(value.trim());
    insert(root, &segments, node).map_err(|fault| {
        let problem = Problem::of_file("--set", fault.what).key(path.trim()).value(value.trim());
        Box::new(problem.allowed(fault.allowed))
    })
}

/// Why a key path leads nowhere.
pub(super) struct PathFault {
    pub what: String,
    pub allowed: String,
}

/// The value as TOML if it is TOML, else the text itself.
fn override_value(text: &str) -> Node {
    let content = text
        .parse::<Value>()
        .map_or_else(|_| Content::Text(text.to_owned()), |value| Lines { text: "" }.value(&value, 1).content);
    mark_override(Node { content, place: Place::Override })
}

fn mark_override(mut node: Node) -> Node {
    node.place = Place::Override;
    if let Content::List(items) = node.content {
        node.content = Content::List(items.into_iter().map(mark_override).collect());
    } else if let Content::Table(entries) = node.content {
        node.content =
            Content::Table(entries.into_iter().map(|(name, node)| (name, mark_override(node))).collect());
    }
    node
}

/// Puts a value at a key path; members of arrays of tables are addressed by their `name`.
pub(super) fn insert(node: &mut Node, segments: &[&str], value: Node) -> Result<(), PathFault> {
    let Some((first, rest)) = segments.split_first() else {
        *node = value;
        return Ok(());
    };
    match &mut node.content {
        Content::List(members) => {
            let names: Vec<String> = members.iter().filter_map(member_name).collect();
            let at = members.iter().position(|member| member_name(member).as_deref() == Some(*first));
            // Members without names are addressed by their number from 1.
            let number = first.parse::<usize>().ok().filter(|_| names.is_empty());
            let Some(member) = at.or(number.map(|n| n.wrapping_sub(1))).and_then(|i| members.get_mut(i))
            else {
                let what = format!("leads nowhere: nothing in this array has the name `{first}`");
                let allowed =
                    if names.is_empty() { format!("1 to {}", members.len()) } else { names.join(", ") };
                return Err(PathFault { what, allowed });
            };
            insert(member, rest, value)
        }
        Content::Table(entries) => {
            if !entries.iter().any(|(name, _)| name == first) {
                let empty = Node { content: Content::Table(Vec::new()), place: Place::Override };
                entries.push(((*first).to_owned(), empty));
            }
            node.get_mut(first).map_or(Ok(()), |member| insert(member, rest, value))
        }
        _ => Err(PathFault {
            what: format!("leads nowhere: what stands before `{first}` is a plain value"),
            allowed: "a key path that ends at a value".into(),
        }),
    }
}

fn member_name(member: &Node) -> Option<String> {
    match &member.get("name")?.content {
        Content::Text(name) => Some(name.clone()),
        _ => None,
    }
}
