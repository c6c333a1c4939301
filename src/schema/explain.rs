//! Putting schema errors into words a planner understands.

use jsonschema::error::ValidationErrorKind as Kind;
use serde_json::Value as Json;

use super::problem::Problem;
use crate::document::{Node, Value};
use crate::source::Span;

/// The schema object that holds the keyword at a schema path, following references.
pub(super) fn schema_around<'a>(schema: &'a Json, path: &str) -> Option<&'a Json> {
    let mut at = schema;
    let steps: Vec<&str> = path.split('/').skip(1).collect();
    let (_, parents) = steps.split_last()?;
    for step in parents {
        let step = step.replace("~1", "/").replace("~0", "~");
        at = match at {
            Json::Object(map) => map.get(&step)?,
            Json::Array(items) => items.get(step.parse::<usize>().ok()?)?,
            Json::String(reference) => schema.pointer(reference.strip_prefix('#')?)?.get(&step)?,
            _ => return None,
        };
        if let Json::String(reference) = at
            && let Some(pointer) = reference.strip_prefix('#')
        {
            at = schema.pointer(pointer)?;
        }
    }
    Some(at)
}

/// Where in the file, in words: ` in \`hull\``.
pub(super) fn place(pointer: &str) -> String {
    let names: Vec<String> = pointer
        .split('/')
        .skip(1)
        .map(|step| match step.parse::<usize>() {
            Ok(index) => format!("item {}", index + 1),
            Err(_) => format!("`{}`", step.replace("~1", "/").replace("~0", "~")),
        })
        .collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" in {}", names.join(", "))
    }
}

/// The message for a field that is not known, with the nearest one that is.
pub(super) fn unknown_field(
    name: &str,
    span: Span,
    pointer: &str,
    schema: Option<&Json>,
) -> Problem {
    let known: Vec<&str> = schema
        .and_then(|s| s.get("properties"))
        .and_then(Json::as_object)
        .map(|map| map.keys().map(String::as_str).collect())
        .unwrap_or_default();
    let text = format!("`{name}` is not a field that is known{}", place(pointer));
    let problem = Problem::new("input-schema", span, text);
    match nearest(name, &known) {
        Some(near) => problem
            .labelled("not known")
            .help(format!("did you mean `{near}`?")),
        None => problem
            .labelled("not known")
            .help(format!("known here: {}", quoted(&known))),
    }
}

/// The name that is meant, where one is near enough to be meant.
#[must_use]
pub fn nearest<'a>(name: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .map(|candidate| (strsim::damerau_levenshtein(name, candidate), *candidate))
        .filter(|(distance, candidate)| *distance <= (candidate.len() / 3).max(1))
        .min()
        .map(|(_, candidate)| candidate)
}

fn quoted(names: &[&str]) -> String {
    names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(", ")
}

/// The alternatives of a `oneOf` made of required fields.
fn alternatives(schema: Option<&Json>) -> Vec<String> {
    let Some(options) = schema.and_then(|s| s.get("oneOf")).and_then(Json::as_array) else {
        return Vec::new();
    };
    options
        .iter()
        .filter_map(|option| option.get("required")?.get(0)?.as_str())
        .map(|name| format!("`{name}`"))
        .collect()
}

fn either(names: &[String]) -> String {
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => "one of its forms".to_owned(),
    }
}

/// The message for every other kind of error.
pub(super) fn message(kind: &Kind, node: &Node, pointer: &str, schema: Option<&Json>) -> String {
    let place = place(pointer);
    let field = pointer
        .rsplit('/')
        .next()
        .filter(|s| !s.is_empty())
        .unwrap_or("the file");
    let written = match node.as_text() {
        Some(text) => format!("`{text}`"),
        None => node.kind_name().to_owned(),
    };
    match kind {
        Kind::Type { kind } => wrong_type(kind, node, field, schema),
        Kind::Enum { options } => {
            let names: Vec<&str> = options
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(Json::as_str)
                .collect();
            let all = quoted(&names);
            match node.as_text().and_then(|text| nearest(text, &names)) {
                Some(near) => {
                    format!("`{field}` is {written}; did you mean `{near}`? It may be {all}")
                }
                None => format!("`{field}` is {written}; it may be {all}"),
            }
        }
        Kind::Constant { expected_value } => {
            format!("`{field}` is {}; it must be {expected_value}", shown(node))
        }
        Kind::OneOfNotValid { .. } => {
            format!("one of {} is needed{place}", either(&alternatives(schema)))
        }
        Kind::OneOfMultipleValid { .. } => {
            format!(
                "only one of {} may be given{place}",
                either(&alternatives(schema))
            )
        }
        Kind::MinProperties { .. } => format!("`{field}` says nothing; {}", known_fields(schema)),
        Kind::MaxProperties { .. } => format!("`{field}` says too much; {}", known_fields(schema)),
        Kind::MinItems { limit } => format!("`{field}` is too short: at least {limit} are needed"),
        Kind::MaxItems { limit } => format!("`{field}` is too long: at most {limit} are read"),
        Kind::MinLength { .. } => format!("`{field}` is empty"),
        Kind::MaxLength { limit } => {
            format!("`{field}` is too long: at most {limit} characters are read")
        }
        Kind::Minimum { limit } => {
            format!("`{field}` is {}; it must be {limit} or more", shown(node))
        }
        Kind::Maximum { limit } => {
            format!("`{field}` is {}; it must be {limit} or less", shown(node))
        }
        Kind::ExclusiveMinimum { limit } => {
            format!("`{field}` is {}; it must be more than {limit}", shown(node))
        }
        Kind::ExclusiveMaximum { limit } => {
            format!("`{field}` is {}; it must be less than {limit}", shown(node))
        }
        Kind::Pattern { .. } => format!(
            "`{field}` is {written}; a name holds letters, digits, `.`, `_` and `-`, begins with a \
             letter or digit, and has at most 64 of them"
        ),
        Kind::FalseSchema => format!("a position has two numbers, latitude and longitude{place}"),
        other => format!("`{field}` does not fit its format ({})", other.keyword()),
    }
}

fn shown(node: &Node) -> String {
    match &node.value {
        Value::Text(text) => format!("`{text}`"),
        Value::Int(number) => number.to_string(),
        Value::Float(number) => number.to_string(),
        Value::Bool(yes) => yes.to_string(),
        _ => node.kind_name().to_owned(),
    }
}

fn known_fields(schema: Option<&Json>) -> String {
    let names: Vec<&str> = schema
        .and_then(|s| s.get("properties"))
        .and_then(Json::as_object)
        .map(|map| map.keys().map(String::as_str).collect())
        .unwrap_or_default();
    format!("it takes one of {}", quoted(&names))
}

fn wrong_type(
    kind: &jsonschema::error::TypeKind,
    node: &Node,
    field: &str,
    schema: Option<&Json>,
) -> String {
    let quantity = schema
        .and_then(|s| s.get("x-quantity"))
        .and_then(Json::as_str);
    let example = schema
        .and_then(|s| s.get("examples"))
        .and_then(|e| e.get(0))
        .and_then(Json::as_str);
    if let (Some(quantity), Some(example)) = (quantity, example) {
        let article = if quantity.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        let bare = matches!(node.value, Value::Int(_) | Value::Float(_));
        let what = if bare {
            format!("the bare number {}", shown(node))
        } else {
            node.kind_name().to_owned()
        };
        return format!(
            "`{field}` is {what} where {article} {quantity} with its unit is due, such as `{example}`"
        );
    }
    let expected = match kind {
        jsonschema::error::TypeKind::Single(one) => words(&one.to_string()).to_owned(),
        jsonschema::error::TypeKind::Multiple(_) => "another form".to_owned(),
    };
    let hint = match (&node.value, expected.as_str()) {
        (Value::Null, _) => "; nothing is written after the colon".to_owned(),
        (Value::Text(_), _) => String::new(),
        (Value::List(_) | Value::Map(_), _) => String::new(),
        (_, "a text") => format!("; write it in quotes, \"{}\"", shown(node)),
        _ => String::new(),
    };
    format!(
        "`{field}` is {} where {expected} is due{hint}",
        node.kind_name()
    )
}

fn words(json_type: &str) -> &'static str {
    match json_type.trim_matches('"') {
        "string" => "a text",
        "number" => "a number",
        "integer" => "a whole number",
        "boolean" => "`true` or `false`",
        "array" => "a list",
        "object" => "a mapping",
        "null" => "nothing",
        _ => "another form",
    }
}
