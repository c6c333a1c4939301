//! The glossary: in order, and every field and measure that it names exists.

use std::collections::BTreeSet;

use offing::door::measures::CATALOGUE;
use serde_json::Value as Json;

use super::markdown::{code, parts};
use super::{root, text_of};

const GLOSSARY: &str = "docs/reference/glossary.md";

fn terms() -> Vec<String> {
    let text = text_of(GLOSSARY);
    let heads = text.lines().filter_map(|line| line.strip_prefix("### "));
    heads.map(str::to_lowercase).collect()
}

#[test]
fn it_is_sorted_and_each_term_stands_once() {
    let terms = terms();
    assert!(terms.len() >= 60, "{}", terms.len());
    let sorted: BTreeSet<&String> = terms.iter().collect();
    let sorted: Vec<&String> = sorted.into_iter().collect();
    assert_eq!(terms.iter().collect::<Vec<_>>(), sorted);
}

/// Every path of fields in a schema, as documents write it.
fn paths(schema: &Json, node: &Json, path: &str, into: &mut BTreeSet<String>) {
    let named = node["$ref"].as_str().and_then(|at| at.strip_prefix('#'));
    let node = named.map_or(node, |at| schema.pointer(at).unwrap());
    let fields = node["properties"].as_object();
    for (key, field) in fields.into_iter().flatten() {
        let path = if path.is_empty() {
            key.clone()
        } else {
            format!("{path}.{key}")
        };
        into.insert(path.clone());
        paths(schema, field, &path, into);
    }
    if node["items"].is_object() {
        paths(schema, &node["items"], &format!("{path}[]"), into);
    }
}

#[test]
fn every_field_that_it_names_is_in_a_schema() {
    let mut known = BTreeSet::new();
    let mut words = BTreeSet::new();
    for entry in std::fs::read_dir(root().join("schemas")).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let schema: Json = serde_json::from_str(&text).unwrap();
        paths(&schema, &schema, "", &mut known);
        words.extend(text.split('"').skip(1).step_by(2).map(str::to_owned));
    }
    known.extend(CATALOGUE.iter().map(|entry| entry.measure.name.to_owned()));
    let (_, prose) = parts(GLOSSARY, &text_of(GLOSSARY));
    let mut named = 0;
    for word in code(&prose) {
        let command = word.starts_with("offing ") || word == "this form";
        // A field by its path, or one of a schema's own words, such as `telemetry`.
        assert!(
            command || known.contains(&word) || words.contains(&word),
            "{GLOSSARY}: nothing is called `{word}`"
        );
        named += 1;
    }
    assert!(named >= 40, "{named}");
}

/// What a page on measuring measures is explained.
#[test]
fn every_page_on_measuring_has_its_term() {
    let text = text_of(GLOSSARY);
    for page in [
        "capacity",
        "internal-resistance",
        "leeway",
        "windage",
        "stopping-distance",
        "turning-radius",
        "gauge",
    ] {
        assert!(terms().contains(&page.replace('-', " ")), "{page}");
        assert!(
            text.contains(&format!("../how-to/measuring/{page}.md")),
            "{page}"
        );
    }
}
