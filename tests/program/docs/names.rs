//! Names that documents speak of: measures, rules, fields of the JSON report, tests.

use std::collections::BTreeSet;

use offing::door::measures::CATALOGUE;
use serde_json::Value as Json;

use super::markdown::{code, parts, rows};
use super::{root, text_of, written_by_hand};

fn prose_of(path: &str) -> String {
    parts(path, &text_of(path)).1
}

/// Every word in a file that could be an id: lower case with hyphens.
fn ids_in(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'))
        .filter(|word| is_hyphenated(word))
}

fn is_hyphenated(word: &str) -> bool {
    let parts: Vec<&str> = word.split('-').collect();
    let plain = |part: &&str| {
        !part.is_empty()
            && part
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    };
    parts.len() > 1 && parts.iter().all(plain)
}

fn files_under(folders: &[&str], extensions: &[&str]) -> Vec<String> {
    let mut all = Vec::new();
    for folder in folders {
        for entry in walkdir::WalkDir::new(root().join(folder)) {
            let path = entry.unwrap().into_path();
            let known = path
                .extension()
                .is_some_and(|e| extensions.iter().any(|known| e == *known));
            if known {
                all.push(std::fs::read_to_string(path).unwrap());
            }
        }
    }
    all
}

#[test]
fn every_measure_that_is_named_exists() {
    let mut named = 0;
    for path in written_by_hand() {
        let code = code(&prose_of(&path)).join(" ");
        // Measures stand in expressions too.
        for word in code.split(|c: char| !(c.is_ascii_lowercase() || "._".contains(c))) {
            let is_measure = ["mission.", "link.", "end."]
                .iter()
                .any(|scope| word.starts_with(scope));
            if is_measure {
                let known = CATALOGUE.iter().any(|entry| entry.measure.name == word);
                assert!(known, "{path}: there is no measure `{word}`");
                named += 1;
            }
        }
    }
    assert!(named >= 8, "only {named} measures are named");
}

/// Rules, missions and other ids of the demo, kinds of input error, dependencies: whatever is
/// spelt as an id in a document must be one of these.
#[test]
fn every_rule_or_id_that_is_named_exists() {
    let mut known: BTreeSet<String> = BTreeSet::new();
    for text in files_under(&["rules", "plans", "docs/start"], &["yaml"]) {
        known.extend(ids_in(&text).map(str::to_owned));
    }
    let old: BTreeSet<&str> = offing::door::schema::renamed::RULES
        .iter()
        .map(|(old, _)| *old)
        .collect();
    for text in files_under(&["src"], &["rs"]) {
        let kinds = text
            .split('"')
            .skip(1)
            .step_by(2)
            .filter(|word| is_hyphenated(word) && !old.contains(word));
        known.extend(kinds.map(str::to_owned));
    }
    known.extend(ids_in(&text_of("Cargo.toml")).map(str::to_owned));
    let schemas = files_under(&["schemas"], &["json"]);
    known.extend(
        schemas
            .iter()
            .flat_map(|text| ids_in(text))
            .map(str::to_owned),
    );
    // Named to say that they are not used.
    known.extend(["serde-saphyr", "cap-tempfile", "same-file"].map(str::to_owned));
    let mut named = 0;
    for path in written_by_hand() {
        let prose = prose_of(&path);
        let renamed = renamed(&prose);
        for word in code(&prose)
            .iter()
            .filter(|word| is_hyphenated(word))
            .filter(|word| path != "CHANGELOG.md" || !renamed.contains(*word))
        {
            assert!(known.contains(word), "{path}: nothing is called `{word}`");
            named += 1;
        }
    }
    assert!(named >= 12, "only {named} ids are named");
}

/// What a text gives another name, as `old` → `new`: the word in front of each arrow.
fn renamed(prose: &str) -> BTreeSet<String> {
    let before = prose.split('→').map(str::trim_end);
    let words = before.filter_map(|text| text.strip_suffix('`')?.rsplit_once('`'));
    words.map(|(_, word)| word.to_owned()).collect()
}

fn collect_fields(schema: &Json, into: &mut BTreeSet<String>) {
    match schema {
        Json::Object(map) => {
            for (key, value) in map {
                if key == "properties" {
                    into.extend(value.as_object().unwrap().keys().cloned());
                }
                collect_fields(value, into);
            }
        }
        Json::Array(items) => items.iter().for_each(|item| collect_fields(item, into)),
        _ => {}
    }
}

#[test]
fn the_chapter_on_json_names_every_field() {
    let schema: Json = serde_json::from_str(&text_of("schemas/check-output.schema.json")).unwrap();
    let mut fields = BTreeSet::new();
    collect_fields(&schema, &mut fields);
    assert!(fields.len() > 40, "{}", fields.len());
    let words: BTreeSet<String> = code(&prose_of("docs/reference/json.md"))
        .into_iter()
        .collect();
    for field in fields {
        assert!(
            words.contains(&field),
            "docs/reference/json.md does not tell of `{field}`"
        );
    }
}

/// A page of the models is a table of tests: what they hold, their file, their names.
#[test]
fn every_test_that_the_models_name_exists() {
    let prose = prose_of("docs/reference/models/tests.md");
    let (_, table) = prose.split_once("Tests that hold them").unwrap();
    let mut named = 0;
    for row in rows(table)
        .into_iter()
        .filter(|row| row[1].starts_with('`'))
    {
        let file = text_of(row[1].trim_matches('`'));
        for name in code(&row[2]) {
            assert!(
                file.contains(&format!("fn {name}(")),
                "there is no test `{name}` in {}",
                row[1]
            );
            named += 1;
        }
    }
    assert!(named >= 30, "only {named} tests are named");
}
