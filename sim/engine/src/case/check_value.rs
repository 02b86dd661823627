//! One value against the specification of its key.

use super::document::Content;
use super::keys::{Availability, Choice, KeySpec, Kind, Range};
use super::nearest::nearest;
use super::values::Checked;
use super::walk::is_name;

/// What is wrong with a value.
#[derive(Debug)]
pub(super) struct Fault {
    pub what: String,
    pub hint: Option<String>,
}

fn fault(what: impl Into<String>) -> Fault {
    Fault { what: what.into(), hint: None }
}

/// The value in the type of its key, or what is wrong with it.
pub(super) fn check(spec: &KeySpec, content: &Content) -> Result<Checked, Fault> {
    checked(spec, content).map_err(|fault| {
        let remedy = || (!spec.remedy.is_empty() && is_below(spec, content)).then(|| spec.remedy.to_owned());
        Fault { hint: fault.hint.or_else(remedy), what: fault.what }
    })
}

/// Whether a number lies below the range of its key, which is what remedies are for.
fn is_below(spec: &KeySpec, content: &Content) -> bool {
    let Some(range) = spec.range() else { return false };
    match content {
        Content::Number(value) => value.is_finite() && *value <= range.min,
        // Exact below 2^53, far above every range.
        #[expect(clippy::cast_precision_loss, reason = "ranges end far below 2^53")]
        Content::Integer(value) => *value as f64 <= range.min,
        _ => false,
    }
}

fn checked(spec: &KeySpec, content: &Content) -> Result<Checked, Fault> {
    match spec.kind {
        Kind::Text => text(content).map(|text| Checked::Text(text.to_owned())),
        Kind::Name => name(content),
        Kind::File => file(content),
        Kind::Boolean => match content {
            Content::Boolean(flag) => Ok(Checked::Boolean(*flag)),
            other => Err(wrong_type(other)),
        },
        Kind::Integer(range) => integer(range, content),
        Kind::Number(range) => number(range, content).map(Checked::Number),
        Kind::Point(range) => point(range, content),
        Kind::Numbers(range) => numbers(range, content).map(Checked::Numbers),
        Kind::Choice(choices) => choice(choices, content),
        Kind::KeyPath => key_path(content),
        Kind::Values => values(content),
    }
}

fn wrong_type(content: &Content) -> Fault {
    fault(format!("has the wrong type: {}", content.type_name()))
}

fn text(content: &Content) -> Result<&str, Fault> {
    match content {
        Content::Text(text) => Ok(text),
        other => Err(wrong_type(other)),
    }
}

fn name(content: &Content) -> Result<Checked, Fault> {
    let text = text(content)?;
    if is_name(text) { Ok(Checked::Text(text.to_owned())) } else { Err(fault("is not a valid name")) }
}

fn file(content: &Content) -> Result<Checked, Fault> {
    let text = text(content)?;
    if text.is_empty() { Err(fault("names no file")) } else { Ok(Checked::Text(text.to_owned())) }
}

fn key_path(content: &Content) -> Result<Checked, Fault> {
    let text = text(content)?;
    let whole = !text.is_empty() && text.split('.').all(|part| !part.trim().is_empty());
    if whole { Ok(Checked::Text(text.to_owned())) } else { Err(fault("is not a key path")) }
}

fn values(content: &Content) -> Result<Checked, Fault> {
    let Content::List(items) = content else { return Err(wrong_type(content)) };
    if items.is_empty() {
        return Err(fault("has no value"));
    }
    Ok(Checked::Values(items.iter().map(|item| item.content.clone()).collect()))
}

fn integer(range: Range, content: &Content) -> Result<Checked, Fault> {
    let &Content::Integer(value) = content else { return Err(wrong_type(content)) };
    match u32::try_from(value) {
        Ok(small) if range.contains(f64::from(small)) => Ok(Checked::Integer(small)),
        _ => Err(fault("is out of range")),
    }
}

fn number(range: Range, content: &Content) -> Result<f64, Fault> {
    let value = match content {
        Content::Number(value) => *value,
        // Exact below 2^53, far above every range.
        #[expect(clippy::cast_precision_loss, reason = "ranges end far below 2^53")]
        Content::Integer(value) => *value as f64,
        other => return Err(wrong_type(other)),
    };
    if !value.is_finite() {
        Err(fault("is not a finite number"))
    } else if range.contains(value) {
        Ok(value)
    } else {
        Err(fault("is out of range"))
    }
}

fn numbers(range: Range, content: &Content) -> Result<Vec<f64>, Fault> {
    let Content::List(items) = content else { return Err(wrong_type(content)) };
    let place = |(i, node): (usize, &super::document::Node)| {
        number(range, &node.content).map_err(|f| fault(format!("entry {} {}", i + 1, f.what)))
    };
    items.iter().enumerate().map(place).collect()
}

fn point(range: Range, content: &Content) -> Result<Checked, Fault> {
    let numbers = numbers(range, content)?;
    if numbers.len() == 3 {
        Ok(Checked::Numbers(numbers))
    } else {
        Err(fault(format!("has {} numbers instead of 3", numbers.len())))
    }
}

fn choice(choices: &[Choice], content: &Content) -> Result<Checked, Fault> {
    let text = text(content)?;
    match choices.iter().find(|c| c.text == text) {
        Some(found) if found.availability == Availability::Available => Ok(Checked::Text(text.to_owned())),
        Some(_) => Err(fault("is not available in this version")),
        None => {
            let hint = nearest(text, choices.iter().map(|c| c.text));
            Err(Fault {
                what: "is not a known choice".into(),
                hint: hint.map(|best| format!("did you mean {best:?}?")),
            })
        }
    }
}
