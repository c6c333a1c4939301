//! Validating a file against its schema, each error on the span of what it is about.

use std::sync::OnceLock;

use jsonschema::error::ValidationErrorKind;
use jsonschema::{Registry, Validator};
use serde_json::{Map, Value as Json};

use super::comma;
use super::explain;
use super::former::Former;
use super::kinds::Kind;
use super::pattern;
use super::problem::Problem;
use super::renamed;
use crate::document::{Document, Node, Value};
use crate::finding::INPUT_GAP;
use crate::source::Span;

/// The most that is told of one file.
const MOST: usize = 100;
/// The draft of JSON Schema whose own schema is the shortest.
const OLDEST_DRAFT: &str = "http://json-schema.org/draft-04/schema#";

/// One of something for each kind, made when it is first asked for.
type ForEachKind<T> = [OnceLock<Result<T, String>>; Kind::ALL.len()];

fn of_kind<T>(
    all: &'static ForEachKind<T>,
    kind: Kind,
    make: impl FnOnce() -> Result<T, String>,
) -> Result<&'static T, String> {
    let index = Kind::ALL.iter().position(|k| *k == kind);
    let index = index.expect("every kind is among all of them");
    all[index].get_or_init(make).as_ref().map_err(Clone::clone)
}

/// The schema of a kind.
fn parsed(kind: Kind) -> Result<&'static Json, String> {
    static ALL: ForEachKind<Json> = [const { OnceLock::new() }; Kind::ALL.len()];
    of_kind(&ALL, kind, || {
        serde_json::from_str(kind.schema_text()).map_err(|e| e.to_string())
    })
}

/// The compiled schema of a kind.
///
/// The library compares whatever schema it compiles with the schema of schemas, which takes longer than the
/// rest. A schema that only refers to another one, in the oldest draft, has the least to compare; that ours
/// are sound a test holds.
fn compiled(kind: Kind) -> Result<&'static Validator, String> {
    static ALL: ForEachKind<Validator> = [const { OnceLock::new() }; Kind::ALL.len()];
    of_kind(&ALL, kind, || {
        let name = format!("schema:{kind}");
        let registry = Registry::new()
            .add(&name, bare(parsed(kind)?))
            .and_then(|registry| registry.prepare())
            .map_err(|e| e.to_string())?;
        let refers = [("$schema", OLDEST_DRAFT), ("$ref", name.as_str())];
        let refers = refers.map(|(key, text)| (key.to_owned(), Json::from(text)));
        let refers = Json::Object(Map::from_iter(refers));
        jsonschema::options()
            .with_registry(&registry)
            .with_keyword(pattern::NAME, pattern::keyword)
            .build(&refers)
            .map_err(|e| e.to_string())
    })
}

/// A schema without what only people and our own reader look at, which the library would keep copies of.
fn bare(schema: &Json) -> Json {
    /// Keywords of annotations (JSON Schema 2020-12, Validation, 9), beside our own.
    const ANNOTATIONS: [&str; 5] = ["title", "description", "default", "examples", "$comment"];
    /// Keywords whose names within are those of fields or schemas.
    const NAMED: [&str; 2] = ["properties", "$defs"];
    let Json::Object(entries) = schema else {
        return schema.clone();
    };
    let kept = entries
        .iter()
        .filter(|(key, _)| !key.starts_with("x-") && !ANNOTATIONS.contains(&key.as_str()));
    let bared = kept.map(|(key, value)| {
        let value = match value {
            Json::Object(named) if NAMED.contains(&key.as_str()) => {
                let named = named.iter().map(|(name, one)| (name.clone(), bare(one)));
                Json::Object(named.collect())
            }
            Json::Object(_) => bare(value),
            Json::Array(items) => Json::Array(items.iter().map(bare).collect()),
            plain => plain.clone(),
        };
        (key.clone(), value)
    });
    Json::Object(bared.collect())
}

/// The schema of a kind; one that says nothing where it cannot be used, which [`validate`] tells.
pub(super) fn schema_of(kind: Kind) -> &'static Json {
    parsed(kind).unwrap_or(&Json::Null)
}

/// The fields that a file of a kind must have.
#[must_use]
pub(crate) fn needed_fields(kind: Kind) -> Vec<&'static str> {
    let required = schema_of(kind).get("required").and_then(Json::as_array);
    required
        .into_iter()
        .flatten()
        .filter_map(Json::as_str)
        .collect()
}

/// Every way in which a file departs from its kind's schema, in the order of the file.
#[must_use]
pub fn validate(kind: Kind, document: &Document) -> Vec<Problem> {
    validate_but(kind, document, |_, _| false)
}

/// The same of a file that may leave fields to another one: `left` tells of a mapping, by JSON pointer, and
/// the name of a field that it has to have, or of which it has to have one, whether it may be left out here.
#[must_use]
pub(crate) fn validate_but(
    kind: Kind,
    document: &Document,
    left: impl Fn(&str, Option<&str>) -> bool,
) -> Vec<Problem> {
    let root = &document.root;
    let compiled = match compiled(kind) {
        Ok(compiled) => compiled,
        Err(error) => {
            let text = format!("the built-in schema of {kind} cannot be used: {error}");
            return vec![Problem::new("input-schema", root.span, text)];
        }
    };
    let json = root.to_json();
    let commas = comma::in_numbers(root);
    let mut problems: Vec<Problem> = commas.iter().map(|one| one.problem.clone()).collect();
    let errors: Vec<_> = compiled.iter_errors(&json).collect();
    let split: Vec<comma::Split> = errors
        .iter()
        .filter(|error| matches!(error.kind(), ValidationErrorKind::FalseSchema))
        .filter_map(|error| comma::in_position(root, error.instance_path().as_str()))
        .collect();
    for one in &split {
        // Each number past the second is one error of the same position.
        if !problems.contains(&one.problem) {
            problems.push(one.problem.clone());
        }
    }
    for error in &errors {
        let pointer = error.instance_path().as_str();
        if commas.iter().chain(&split).any(|one| one.explains(pointer)) {
            continue;
        }
        // Whatever is wrong is reported, if need be of the whole file.
        let node = root.at_pointer(pointer).unwrap_or(root);
        let near = key_span(root, pointer).unwrap_or(node.span);
        let schema = explain::schema_around(schema_of(kind), error.schema_path().as_str());
        match error.kind() {
            ValidationErrorKind::AdditionalProperties { unexpected } => {
                let meant = |name: &&String| !commas.iter().any(|one| one.made(pointer, name));
                for name in unexpected.iter().filter(meant) {
                    let span = node.entry(name).map_or(near, |entry| entry.key_span);
                    problems.push(match Former::field(kind, pointer, name) {
                        Some(former) => former.problem("input-schema", span, name),
                        None => explain::unknown_field(name, span, pointer, schema),
                    });
                }
            }
            ValidationErrorKind::Required { property } => {
                let name = property.as_str().unwrap_or_default();
                if left(pointer, Some(name)) {
                    continue;
                }
                // It is there under its old name, and is reported there.
                let mut old = renamed::fields(kind, pointer).filter(|(_, new)| *new == name);
                if old.any(|(old, _)| node.entry(old).is_some()) {
                    continue;
                }
                let text = format!("`{name}` is missing{}", explain::place(pointer));
                problems.push(
                    Problem::new("input-schema", near, text)
                        .labelled(format!("`{name}` belongs in here")),
                );
            }
            ValidationErrorKind::MaxProperties { .. }
                if commas.iter().any(|one| one.adds_to(pointer)) => {}
            ValidationErrorKind::OneOfNotValid { .. } if left(pointer, None) => {}
            // What the words may be says more.
            ValidationErrorKind::Type { .. } if words_due(&errors, pointer) => {}
            wrong => {
                let text = explain::message(wrong, node, pointer, schema);
                // A mapping as a whole is best shown by the key that leads to it.
                let span = if matches!(node.value, Value::Map(_)) {
                    near
                } else {
                    node.span
                };
                let code = match node.value {
                    Value::Null if !pointer.is_empty() => INPUT_GAP,
                    _ => "input-schema",
                };
                problems.push(Problem::new(code, span, text));
            }
        }
    }
    problems.sort_by(|a, b| (a.span, &a.message).cmp(&(b.span, &b.message)));
    let more = problems.len().saturating_sub(MOST);
    if more > 0 {
        problems.truncate(MOST);
        let text = format!(
            "the file departs from its schema in {more} more places, not shown \
                            here"
        );
        problems.push(Problem::new("input-schema", root.span, text));
    }
    problems
}

/// Whether one of some words is due at a place, and another error says so.
fn words_due(errors: &[jsonschema::ValidationError<'_>], pointer: &str) -> bool {
    let mut here = errors
        .iter()
        .filter(|error| error.instance_path().as_str() == pointer);
    here.any(|error| matches!(error.kind(), ValidationErrorKind::Enum { .. }))
}

/// The key that leads to what a pointer names; the first key of the file for the file itself.
fn key_span(root: &Node, pointer: &str) -> Option<Span> {
    let Some((parent, last)) = pointer.rsplit_once('/') else {
        return match &root.value {
            Value::Map(entries) => entries.first().map(|entry| entry.key_span),
            _ => None,
        };
    };
    let node = root.at_pointer(parent)?;
    match &node.value {
        Value::Map(_) => node
            .entry(&last.replace("~1", "/").replace("~0", "~"))
            .map(|e| e.key_span),
        // An item of a list: its first key says more than the whole item.
        Value::List(_) => match &root.at_pointer(pointer)?.value {
            Value::Map(entries) => entries.first().map(|entry| entry.key_span),
            _ => None,
        },
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_schema_is_a_schema_and_compiles() {
        for kind in Kind::ALL {
            let schema = parsed(kind).expect("JSON");
            assert!(jsonschema::meta::is_valid(schema), "{kind}");
            assert_eq!(compiled(kind).err(), None, "{kind}");
        }
    }
}
