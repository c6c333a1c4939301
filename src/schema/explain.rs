//! Putting schema errors into words a planner understands.

use jsonschema::error::ValidationErrorKind as Kind;
use serde_json::Value as Json;

use super::nearest::another_word;
pub(crate) use super::nearest::{first_of, nearest, part_of};
use super::problem::Problem;
use crate::document::{Node, Value};
use crate::source::Span;
use crate::units::{Axis, ordinate_of, position, typographic_minus};

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
    let text = format!("unknown field `{name}`{}", place(pointer));
    let problem = Problem::new("input-schema", span, text);
    match another_word(name, &known).or_else(|| nearest(name, &known)) {
        Some(near) => problem
            .labelled("not known")
            .help(format!("did you mean `{near}`?")),
        None => problem
            .labelled("not known")
            .help(format!("known here: {}", quoted(&known))),
    }
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
    let field = field_name(pointer);
    let written = match node.as_text() {
        Some(text) => format!("`{text}`"),
        None => node.kind_name().to_owned(),
    };
    if let Some(name) = ordinate(pointer, schema) {
        let swapped = match node.as_number() {
            Some(number) if name == "latitude" && number.abs() <= 180.0 => {
                "; latitude comes first, and goes from -90 to 90"
            }
            Some(_) if name == "latitude" => "; it goes from -90 to 90",
            Some(_) => "; it goes from -180 to 180",
            None => {
                let text = node.as_text();
                return match (text.and_then(degrees_meant), text) {
                    (Some(meant), _) => {
                        format!("the {name} in `{field}` is {}; {meant}", shown(node))
                    }
                    (None, Some(text)) if text.contains('°') => {
                        let wrong = ordinate_of(text, axis_of(name)).err();
                        format!("the {name} in `{field}`: {}", wrong.unwrap_or_default())
                    }
                    _ => format!(
                        "the {name} in `{field}` is {}; decimal degrees are due, such as 52.4",
                        shown(node)
                    ),
                };
            }
        };
        return format!("the {name} in `{field}` is {}{swapped}", shown(node));
    }
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
        Kind::MinItems { .. } if is_position(schema) => {
            format!("`{field}` is one number; a position is two, [latitude, longitude]")
        }
        Kind::MinItems { limit } => format!(
            "`{field}` is too short: at least {limit} {} needed",
            if *limit == 1 { "is" } else { "are" }
        ),
        Kind::MaxItems { limit } => format!("`{field}` is too long: at most {limit} count"),
        Kind::MinLength { .. } => format!("`{field}` is empty"),
        Kind::MaxLength { limit } => {
            format!("`{field}` is too long: at most {limit} characters")
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
        Kind::Custom { .. } if is_position(schema) => {
            let wrong = node.as_text().and_then(|text| position(text).err());
            format!("`{field}`: {}", wrong.unwrap_or_default())
        }
        Kind::Custom { .. } => format!(
            "`{field}` is {written}; a name holds letters, digits, `.`, `_` and `-`, begins with a \
             letter or digit, and has at most 64 of them"
        ),
        Kind::FalseSchema => {
            "a position is two numbers, [latitude, longitude]; this one is too many".to_owned()
        }
        other => format!("`{field}` does not fit its format ({})", other.keyword()),
    }
}

/// The last name of a pointer. A bare index is that of a position's two numbers, or of an item of
/// the list that is named before it.
fn field_name(pointer: &str) -> &str {
    let mut steps = pointer.rsplit('/').filter(|step| !step.is_empty());
    let Some(last) = steps.next() else {
        return "the file";
    };
    let is_index = |step: &str| step.bytes().all(|byte| byte.is_ascii_digit());
    if !is_index(last) {
        return last;
    }
    steps.find(|step| !is_index(step)).unwrap_or(last)
}

fn is_position(schema: Option<&Json>) -> bool {
    schema.is_some_and(|schema| schema.get("prefixItems").is_some())
}

/// What the number at a pointer is, where it is one of the two of a position.
fn ordinate(pointer: &str, schema: Option<&Json>) -> Option<&'static str> {
    let limit = schema?.get("maximum")?.as_f64()?;
    let names = [("/0", 90.0, "latitude"), ("/1", 180.0, "longitude")];
    names
        .into_iter()
        .find(|(end, most, _)| pointer.ends_with(end) && (limit - most).abs() < 0.5)
        .map(|(_, _, name)| name)
}

fn axis_of(name: &str) -> Axis {
    match name {
        "latitude" => Axis::Latitude,
        _ => Axis::Longitude,
    }
}

/// What to write for a text that is a number of degrees but for its form.
fn degrees_meant(text: &str) -> Option<String> {
    if let Some((dash, plain)) = typographic_minus(text)
        && plain.parse::<f64>().is_ok()
    {
        return Some(format!(
            "it starts with {dash}: write `{plain}`, with the plain hyphen of the keyboard"
        ));
    }
    if text.matches(',').count() == 1 && text.replace(',', ".").parse::<f64>().is_ok() {
        return Some(format!("write {}, with a point", text.replace(',', ".")));
    }
    let (at, letter) = text.trim().char_indices().next_back()?;
    let number = text.trim()[..at].trim_end_matches([' ', '°']);
    number
        .parse::<f64>()
        .ok()
        .filter(|degrees| *degrees >= 0.0 || letter == '°')?;
    match letter {
        'N' | 'E' => Some(format!("write {number}: north and east are positive")),
        'S' | 'W' => Some(format!("write -{number}: south and west are negative")),
        '°' => Some(format!("write {number}, without the degree sign")),
        _ => None,
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
    if is_position(schema) {
        let found = node.kind_name();
        return format!("`{field}` is {found} where a position is due, [latitude, longitude]");
    }
    let words_of = |key: &str| schema.and_then(|s| s.get(key)).and_then(Json::as_str);
    let example = schema
        .and_then(|s| s.get("examples"))
        .and_then(|e| e.get(0))
        .and_then(Json::as_str);
    if let (Some(time), Some(example)) = (words_of("x-time"), example) {
        let due = match time {
            "date" => "a day",
            "hour" => "an hour of the day",
            _ => "a point in time",
        };
        let found = node.kind_name();
        return format!("`{field}` is {found} where {due} is due, such as `{example}`");
    }
    // A limit is a quantity of whatever its rule's measure is.
    let quantity = words_of("x-quantity");
    let (quantity, example) = match field {
        "at_least" | "at_most" | "no_worse_than" => (Some("quantity"), Some("30 m")),
        _ => (quantity, example),
    };
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
        jsonschema::error::TypeKind::Single(one) => type_label(&one.to_string()).to_owned(),
        jsonschema::error::TypeKind::Multiple(_) => "another form".to_owned(),
    };
    let hint = match (&node.value, expected.as_str()) {
        (Value::Null, _) => "; there is nothing after the colon".to_owned(),
        (_, "a mapping") => schema
            .and_then(|s| s.get("x-form"))
            .and_then(Json::as_str)
            .map_or_else(String::new, |form| format!("; write `{field}: {form}`")),
        (Value::Text(text), "a number" | "a whole number") => {
            number_meant(text).map_or_else(String::new, |meant| format!("; {meant}"))
        }
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

/// What to write for a text that is a number but for one character.
fn number_meant(text: &str) -> Option<String> {
    if let Some((dash, plain)) = typographic_minus(text) {
        return Some(format!(
            "it starts with {dash}: write `{plain}`, with the plain hyphen of the keyboard"
        ));
    }
    let pointed = text.replacen(',', ".", 1);
    let is_number = pointed != text && pointed.parse::<f64>().is_ok();
    is_number.then(|| format!("write {pointed}, with a point"))
}

fn type_label(json_type: &str) -> &'static str {
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
