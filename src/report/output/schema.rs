//! The JSON Schema of an output, made from its types.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

/// The schema of an output: draft 2020-12, every field required, no other allowed.
pub(crate) fn schema<O: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(RecursiveTransform(plain))
        .into_generator()
        .into_root_schema_for::<O>()
        .to_value()
}

/// A schema as the text of its file.
///
/// # Errors
/// Those of the serializer; no schema is known to cause one.
pub(crate) fn schema_text(schema: &Value) -> Result<String, serde_json::Error> {
    super::text(schema)
}

/// Closes objects, sets descriptions on one line and ahead of what they describe, and takes off the formats of
/// numbers, which no standard has.
fn plain(schema: &mut Schema) {
    if schema.get("properties").is_some() {
        schema.insert("additionalProperties".into(), false.into());
    }
    let description = schema.get("description").and_then(Value::as_str);
    if let Some(lines) = description.map(|text| text.replace('\n', " ")) {
        schema.insert("description".into(), lines.into());
    }
    let numeric = |format: &str| {
        let number = ["uint", "int", "double", "float"];
        number.iter().any(|of| format.starts_with(of))
    };
    if schema
        .get("format")
        .and_then(Value::as_str)
        .is_some_and(numeric)
    {
        schema.remove("format");
    }
    let Some(fields) = schema.as_object_mut() else {
        return;
    };
    let mut rest = std::mem::take(fields);
    for first in ["$schema", "title", "description"] {
        if let Some(value) = rest.shift_remove(first) {
            fields.insert(first.to_owned(), value);
        }
    }
    fields.extend(rest);
}
