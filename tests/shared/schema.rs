//! What the commands write as JSON, held against the schemas of the repository.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use jsonschema::Validator;
use serde_json::Value as Json;

/// The outputs, as `offing schema` calls them.
pub const OUTPUTS: [&str; 8] = [
    "check-output",
    "window-output",
    "limits-output",
    "calibrate-output",
    "launch-output",
    "debrief-output",
    "history-output",
    "review-output",
];

/// The file that holds the schema of an output.
pub fn file_of(output: &str) -> String {
    format!(
        "{}/schemas/{output}.schema.json",
        env!("CARGO_MANIFEST_DIR")
    )
}

static VALIDATORS: LazyLock<BTreeMap<String, Validator>> = LazyLock::new(|| {
    let read = |output: &&str| {
        let text = std::fs::read_to_string(file_of(output)).unwrap();
        let schema: Json = serde_json::from_str(&text).unwrap();
        let format = schema["properties"]["format"]["const"].as_str().unwrap();
        let validator = jsonschema::validator_for(&schema).unwrap();
        (format.to_owned(), validator)
    };
    OUTPUTS.iter().map(read).collect()
});

/// What an output has that its schema does not allow. It names its schema itself, by its `format`.
pub fn faults(output: &Json) -> Vec<String> {
    let format = output["format"].as_str().unwrap_or_default();
    let Some(validator) = VALIDATORS.get(format) else {
        return vec![format!("no schema is of `{format}`")];
    };
    let errors = validator.iter_errors(output);
    errors
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

/// Makes sure that an output is as its schema says.
pub fn hold(output: &Json) {
    let faults = faults(output);
    assert!(faults.is_empty(), "{faults:#?}\n{output:#}");
}
