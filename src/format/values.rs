//! How the values of a file are spelled, as its schema says what each of them is.

use std::collections::BTreeMap;

use super::is_alias;
use crate::document::{Node, Value};
use crate::schema::{Form, Kind};
use crate::source::Span;
use crate::units;

/// What is written in place of a value.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Respelled {
    /// As it stands in the file, with its quotes.
    raw: String,
    /// The text that it is; of a number or a truth, nothing.
    text: Option<String>,
}

/// The values of a file that are spelled otherwise than they stand, by their place.
#[derive(Default, Debug)]
pub(super) struct Spelled(BTreeMap<(u32, u32), Respelled>);

impl Spelled {
    /// What is written at a place.
    pub(super) fn raw(&self, span: Span) -> Option<&str> {
        let one = self.0.get(&(span.start, span.end))?;
        Some(&one.raw)
    }

    /// The text that is then read there.
    pub(super) fn value(&self, span: Span) -> Option<&str> {
        self.0.get(&(span.start, span.end))?.text.as_deref()
    }

    fn text(&mut self, node: &Node, source: &str, spelled: Option<String>) {
        let raw = source.get(node.span.range()).unwrap_or_default();
        let (Some(spelled), Some(before)) = (spelled, node.as_text()) else {
            return;
        };
        // A block of text has neither quotes nor one line.
        let quote = raw.chars().next().filter(|c| matches!(c, '"' | '\''));
        let safe = !spelled.contains(['"', '\'', '\\']);
        if spelled == before || !safe || (quote.is_none() && !node.plain) {
            return;
        }
        let quote = quote.filter(|_| !node.plain);
        let quote = quote.map_or_else(String::new, |quote| quote.to_string());
        let raw = format!("{quote}{spelled}{quote}");
        self.put(node.span, raw, Some(spelled));
    }

    fn put(&mut self, span: Span, raw: String, text: Option<String>) {
        self.0
            .insert((span.start, span.end), Respelled { raw, text });
    }
}

/// How each value of a file of a kind is spelled.
pub(super) fn spelled(kind: Kind, root: &Node, source: &str) -> Spelled {
    let mut all = Spelled::default();
    let mut open: Vec<(&Node, Option<Form<'_>>)> = vec![(root, Some(Form::for_kind(kind)))];
    while let Some((node, form)) = open.pop() {
        if is_alias(node, source) {
            continue;
        }
        match &node.value {
            Value::Map(entries) => open.extend(entries.iter().map(|entry| {
                let form = form.and_then(|form| form.field(&entry.key));
                (&entry.value, form)
            })),
            Value::List(items) if is_position(form) => {
                let axes = [units::Axis::Latitude, units::Axis::Longitude];
                for (item, axis) in items.iter().zip(axes) {
                    let text = item.as_text();
                    let read = text.and_then(|text| units::ordinate_of(text, axis).ok());
                    all.text(item, source, read.map(|one| one.spelled));
                    bare(&mut all, item, source);
                }
            }
            Value::List(items) => {
                let form = form.and_then(Form::items);
                open.extend(items.iter().map(|item| (item, form)));
            }
            Value::Text(text) => {
                let spelled = form.and_then(|form| of_text(form, text));
                all.text(node, source, spelled);
            }
            _ => bare(&mut all, node, source),
        }
    }
    all
}

fn is_position(form: Option<Form<'_>>) -> bool {
    form.is_some_and(|form| form.json().get("prefixItems").is_some())
}

/// A text as its schema says what it is; a title, a reason or an id stays as it is.
fn of_text(form: Form<'_>, text: &str) -> Option<String> {
    let says = |key: &str| form.json().get(key).is_some();
    if is_position(Some(form)) {
        return units::position(text).ok().map(|at| at.spelled);
    }
    if says("x-direction") {
        return units::direction(text).ok().map(|one| one.spelled);
    }
    if says("x-declination") {
        return units::declination(text).ok().map(|(_, spelled)| spelled);
    }
    let quantity = [
        "x-quantity",
        "x-limit",
        "x-at-least",
        "x-more-than",
        "x-at-most",
    ];
    let is_quantity = quantity.into_iter().any(says);
    is_quantity.then(|| units::spell_any(text)).flatten()
}

/// A number or a truth, which stand without quotes.
fn bare(all: &mut Spelled, node: &Node, source: &str) {
    let raw = source.get(node.span.range()).unwrap_or_default();
    let spelled = match &node.value {
        Value::Bool(truth) => truth.to_string(),
        Value::Int(number) => {
            let spelled = units::spell_number(raw);
            match spelled.parse::<i64>() {
                Ok(read) if read == *number => spelled,
                _ => return,
            }
        }
        Value::Float(number) => {
            let spelled = units::spell_number(raw);
            match spelled.parse::<f64>() {
                // A point with nothing behind it stays as it is.
                Ok(read) if read.to_bits() == number.to_bits() => spelled,
                _ => return,
            }
        }
        _ => return,
    };
    if spelled != raw {
        all.put(node.span, spelled, None);
    }
}
