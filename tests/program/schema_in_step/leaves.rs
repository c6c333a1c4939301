//! A file beside its schema: every field, and every value that is no mapping or list of its own.

use offing::door::document::{Entry, Node, Value};
use offing::door::schema::Kind;
use offing::door::source::Span;
use serde_json::Value as Json;

/// One value of a file.
#[derive(Clone, Debug)]
pub struct Leaf {
    /// Its path in the schema: `route[].survey.area[]`, `rules.*.at_least`.
    pub path: String,
    pub span: Span,
    /// What the schema says of it.
    pub schema: Json,
    /// Whether it is a position, which is one value.
    pub position: bool,
}

/// The schema of a kind.
pub fn schema(kind: Kind) -> Json {
    serde_json::from_str(kind.schema_text()).unwrap()
}

/// The schema that a reference stands for, with what is written beside the reference.
fn resolved<'a>(root: &'a Json, schema: &'a Json) -> Json {
    let Some(reference) = schema.get("$ref").and_then(Json::as_str) else {
        return schema.clone();
    };
    let mut there = resolved(root, root.pointer(&reference[1..]).unwrap());
    for (key, value) in schema.as_object().unwrap() {
        if key != "$ref" {
            there[key] = value.clone();
        }
    }
    there
}

fn is_position(schema: &Json) -> bool {
    schema.get("prefixItems").is_some()
}

fn joined(path: &str, name: &str) -> String {
    if path.is_empty() {
        name.to_owned()
    } else {
        format!("{path}.{name}")
    }
}

/// Every field that a schema knows, mappings and lists too.
pub fn known_paths(root: &Json, schema: &Json, path: &str, into: &mut Vec<String>) {
    let schema = resolved(root, schema);
    if !path.is_empty() {
        into.push(path.to_owned());
    }
    if let Some(properties) = schema.get("properties").and_then(Json::as_object) {
        for (name, inner) in properties {
            known_paths(root, inner, &joined(path, name), into);
        }
    }
    if let Some(inner) = schema.get("additionalProperties")
        && inner.is_object()
    {
        known_paths(root, inner, &joined(path, "*"), into);
    }
    if let Some(inner) = schema.get("items")
        && inner.is_object()
        && !is_position(&schema)
    {
        known_paths(root, inner, &format!("{path}[]"), into);
    }
}

/// Walks a file along its schema: every path that is there, and every leaf.
pub fn walk(
    root: &Json,
    schema: &Json,
    node: &Node,
    path: &str,
    paths: &mut Vec<String>,
    leaves: &mut Vec<Leaf>,
) {
    let schema = resolved(root, schema);
    if !path.is_empty() {
        paths.push(path.to_owned());
    }
    let position = is_position(&schema);
    match &node.value {
        Value::Map(entries) => {
            for Entry { key, value, .. } in entries {
                let known = schema.get("properties").and_then(|all| all.get(key));
                let (name, inner) = match known {
                    Some(inner) => (key.as_str(), inner),
                    None => ("*", &schema["additionalProperties"]),
                };
                walk(root, inner, value, &joined(path, name), paths, leaves);
            }
        }
        Value::List(items) if !position => {
            for item in items {
                walk(
                    root,
                    &schema["items"],
                    item,
                    &format!("{path}[]"),
                    paths,
                    leaves,
                );
            }
        }
        _ => leaves.push(Leaf {
            path: path.to_owned(),
            span: node.span,
            schema,
            position,
        }),
    }
}
