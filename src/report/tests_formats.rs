//! SARIF, JUnit, Markdown and annotations: that each is in its form, and that what stands in a
//! file stays text in it.

use quick_xml::events::Event;
use serde_json::Value;

use super::tests_support::{checked, empty, full};
use super::*;
use crate::check::Outcome;
use crate::finding::{Finding, Nature, PHYSICAL, Severity};
use crate::plan::NotChecked;
use crate::source::{Sources, Span, printable};

/// SARIF text as a value, after it was held against the schema that OASIS publishes.
fn valid(outcome: &Outcome) -> Value {
    let text = sarif(outcome).expect("serializes");
    let value: Value = serde_json::from_str(&text).expect("is JSON");
    let schema = include_str!("../../tests/data/sarif/sarif-schema-2.1.0.json");
    let mut schema: Value = serde_json::from_str(schema).expect("the schema is JSON");
    // The one pattern of the published schema that is no regular expression, in two places: it
    // has `]` without `[`.
    for definition in ["run", "toolComponent"] {
        let language = &mut schema["definitions"][definition]["properties"]["language"];
        let pattern = language
            .as_object_mut()
            .and_then(|fields| fields.remove("pattern"));
        assert_eq!(
            pattern,
            Some("^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$".into())
        );
    }
    let validator = jsonschema::validator_for(&schema).expect("the schema is a schema");
    let errors: Vec<String> = validator
        .iter_errors(&value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    // The checks above can fail.
    let mut broken = value.clone();
    broken["runs"][0]["results"] = Value::from(1);
    assert!(!validator.is_valid(&broken));
    value
}

/// Everything that a file could hold to be more than text in some report.
const MEANT: &str = "<script>x</script> **b** [l](http://e) `c` @team #12 | a\n::error::forged %0A \
                     \u{1b}[31m \u{202e} ![i](x) <!-- --> ]]> &amp; :smile: www.example.com\u{0}";

fn hostile() -> Outcome {
    let mut sources = Sources::new();
    let id = sources.add("plans/a,b:c\nd%.yaml", "kind: mission\nid: x\n");
    let finding = Finding::builder("some-rule", Severity::Error, Nature::Violation)
        .message(MEANT)
        .mission(MEANT)
        .subject(MEANT)
        .primary(Span::new(id, 0, 4), MEANT)
        .related(Span::new(id, 14, 16), MEANT)
        .scenario(Some(MEANT.to_owned()))
        .steps(vec![MEANT.into()])
        .remedies(vec![MEANT.into()])
        .assumptions(vec![MEANT.into()])
        .why(MEANT)
        .build(&sources);
    let mut outcome = empty(sources);
    outcome.findings.push(finding);
    outcome.checked = vec![checked(MEANT, Vec::new())];
    outcome.notes = vec![MEANT.into()];
    outcome.not_checked = vec![NotChecked {
        path: MEANT.to_owned(),
        why: MEANT.to_owned(),
    }];
    outcome
}

#[test]
fn sarif_is_as_the_standard_says() {
    let outcome = full();
    let value = valid(&outcome);
    let run = &value["runs"][0];
    let results = run["results"].as_array().expect("results");
    assert_eq!(results.len(), outcome.findings.len());
    for (result, finding) in results.iter().zip(&outcome.findings) {
        let index =
            usize::try_from(result["ruleIndex"].as_u64().expect("an index")).expect("short");
        let rule = &run["tool"]["driver"]["rules"][index];
        assert_eq!(rule["id"], result["ruleId"]);
        assert_eq!(result["ruleId"], finding.rule.as_str());
        let at = outcome.sources.position(finding.primary.span);
        let region = &result["locations"][0]["physicalLocation"]["region"];
        assert_eq!(region["startLine"], at.line);
        assert_eq!(region["startColumn"], at.column);
        assert_eq!(
            result["partialFingerprints"]["offing/v2"],
            finding.fingerprint.as_str()
        );
    }
    let own = format!("ersion\": \"{}\"", env!("CARGO_PKG_VERSION"));
    let text = sarif(&outcome).expect("serializes");
    insta::assert_snapshot!("sarif", text.replace(&own, "ersion\": \"(its version)\""));
    valid(&empty(Sources::new()));
    // What was not checked is no success.
    assert_eq!(run["invocations"][0]["executionSuccessful"], false);
    let nothing_missed = valid(&empty(Sources::new()));
    assert_eq!(
        nothing_missed["runs"][0]["invocations"][0]["executionSuccessful"],
        true
    );
}

#[test]
fn sarif_of_text_that_means_harm() {
    let value = valid(&hostile());
    let physical = &value["runs"][0]["results"][0]["locations"][0]["physicalLocation"];
    assert_eq!(
        physical["artifactLocation"]["uri"],
        "plans/a%2Cb%3Ac%0Ad%25.yaml"
    );
    let text = sarif(&hostile()).expect("serializes");
    assert_eq!(printable(&text), text);
}

/// Names and attributes of the elements of an XML text, in order.
fn elements(text: &str) -> Vec<(String, Vec<(String, String)>)> {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut all = Vec::new();
    loop {
        match reader.read_event().expect("well-formed") {
            Event::Start(element) | Event::Empty(element) => {
                let name = element.name().as_ref().to_owned();
                let attributes = element
                    .attributes()
                    .map(|attribute| {
                        let attribute = attribute.expect("an attribute");
                        let key = attribute.key.as_ref().to_owned();
                        let value = attribute
                            .normalized_value(quick_xml::XmlVersion::Implicit1_0)
                            .expect("a value");
                        (key, value.into_owned())
                    })
                    .collect();
                all.push((name, attributes));
            }
            Event::Eof => return all,
            _ => {}
        }
    }
}

#[test]
fn junit_counts_what_it_holds() {
    let outcome = full();
    let text = junit(&outcome).expect("written");
    insta::assert_snapshot!("junit", text);
    let all = elements(&text);
    let of = |name: &str| all.iter().filter(|(element, _)| element == name).count();
    let sum = |key: &str| -> usize {
        all.iter()
            .filter(|(name, _)| name == "testsuite")
            .flat_map(|(_, attributes)| attributes)
            .filter(|(name, _)| name == key)
            .map(|(_, value)| value.parse::<usize>().expect("a number"))
            .sum()
    };
    assert_eq!(of("testcase"), sum("tests"));
    assert_eq!(of("failure"), sum("failures"));
    assert_eq!(of("error"), sum("errors"));
    assert!(of("failure") > 0 && of("error") > 0);
    assert_eq!(of("system-out"), outcome.checked.len());
    assert!(PHYSICAL.iter().all(|line| text.contains(line)), "{text}");
}

#[test]
fn junit_of_text_that_means_harm() {
    let text = junit(&hostile()).expect("written");
    let names: Vec<String> = elements(&text).into_iter().map(|(name, _)| name).collect();
    let known = [
        "testsuites",
        "testsuite",
        "testcase",
        "failure",
        "error",
        "system-out",
    ];
    assert!(
        names.iter().all(|name| known.contains(&name.as_str())),
        "{names:?}"
    );
    assert_eq!(printable(&text), text);
}

#[test]
fn markdown_is_short_and_folded() {
    let text = markdown(&full());
    insta::assert_snapshot!("markdown", text);
    assert_eq!(text.matches("<details>").count(), full().findings.len());
    assert!(text.contains(CAUTION));
    let mut many = full();
    let one = many.findings[0].clone();
    many.findings = vec![one; 200];
    let text = markdown(&many);
    assert_eq!(text.matches("<details>").count(), 50);
    assert!(text.contains("150 findings more"));
}

#[test]
fn markdown_of_text_that_means_harm() {
    let text = markdown(&hostile());
    for part in [
        "<script", "<!--", "**b**", "](", "`", "@team", "#12 ", ":smile:", "www.e", "http:/",
        "::error",
    ] {
        assert!(!text.contains(part), "{part}: {text}");
    }
    assert_eq!(printable(&text), text);
    // A table's row stays one of four cells.
    let row = text
        .lines()
        .find(|line| line.starts_with("| &#60;script"))
        .expect("a row");
    assert_eq!(row.matches('|').count(), 5);
}

#[test]
fn annotations_are_one_line_each() {
    let text = github(&full());
    insta::assert_snapshot!("github", text);
    let count = full().findings.len() + full().not_checked.len();
    assert_eq!(text.lines().count(), count + 1);
    let last = text.lines().last().expect("a summary");
    assert!(last.starts_with("::notice title=") && PHYSICAL.iter().all(|line| last.contains(line)));
    let text = github(&hostile());
    assert_eq!(text.lines().count(), 3);
    for line in text.lines().take(2) {
        assert!(line.starts_with("::error file="));
        // Nothing of a file's ends the properties, or begins a command of its own.
        let (properties, _) = line[2..].split_once("::").expect("data");
        assert!(properties.contains(",title="), "{properties}");
    }
    assert!(
        text.starts_with("::error file=plans/a%2Cb%3Ac\\u{a}d%25.yaml,line=1,endLine=1,col=1,")
    );
    assert!(text.contains("%250A"));
    // But for the report's own commands there is none.
    let rest = text.replace("::", " ");
    assert_eq!(printable(&rest), rest);
}

#[test]
fn a_code_quality_report_has_what_the_service_asks_for() {
    for outcome in [full(), hostile()] {
        let text = gitlab(&outcome).expect("serializes");
        let value: Value = serde_json::from_str(&text).expect("is JSON");
        let all = value.as_array().expect("a list");
        assert_eq!(
            all.len(),
            outcome.findings.len() + outcome.not_checked.len()
        );
        let mut fingerprints = std::collections::BTreeSet::new();
        for one in all {
            for key in ["description", "check_name", "fingerprint", "severity"] {
                assert!(one[key].is_string(), "{key}: {one}");
            }
            let known = ["info", "minor", "major", "critical", "blocker"];
            assert!(known.contains(&one["severity"].as_str().expect("a text")));
            assert!(one["location"]["path"].is_string());
            assert!(one["location"]["lines"]["begin"].as_u64() >= Some(1));
            fingerprints.insert(one["fingerprint"].to_string());
        }
        assert_eq!(fingerprints.len(), all.len());
    }
}
