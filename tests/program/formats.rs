//! Several reports of one check, into files and to the standard output.

use std::path::Path;
use std::process::{Command, Output};

fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(crate::shared::copied::unchanged())
        .output()
        .unwrap()
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap()
}

#[test]
#[ignore = "slow"]
fn one_check_writes_every_report() {
    let folder = crate::shared::scratch::folder().unwrap();
    let forms = ["json", "sarif", "junit", "markdown", "github", "gitlab"];
    let wanted: Vec<String> = forms
        .iter()
        .map(|form| format!("--format={form}={}", folder.path().join(form).display()))
        .collect();
    let mut arguments = vec!["check", "plans", "--format", "terminal"];
    arguments.extend(wanted.iter().map(String::as_str));
    let output = offing(&arguments);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(output.stdout, offing(&["check", "plans"]).stdout);
    for form in forms {
        // What goes into a file is what goes to the standard output.
        let alone = offing(&["check", "plans", "--format", form]);
        assert_eq!(alone.status.code(), Some(1));
        let written = text(&folder.path().join(form));
        assert_eq!(String::from_utf8(alone.stdout).unwrap(), written, "{form}");
        assert!(written.len() > 500, "{form}");
    }
    // Nothing but the reports is left: no half-written file.
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        forms.len()
    );
    // Every report tells of every finding.
    let json: serde_json::Value = serde_json::from_str(&text(&folder.path().join("json"))).unwrap();
    for finding in json["findings"].as_array().unwrap() {
        let rule = finding["rule"].as_str().unwrap();
        for form in forms {
            let report = text(&folder.path().join(form));
            assert!(report.contains(rule), "{rule} in {form}");
        }
    }
}

#[test]
fn a_list_without_a_place_for_cautions_has_them_beside_it() {
    let plan = "plans/missions/north-bay-lines.yaml";
    let list = offing(&["check", plan, "--format", "gitlab"]);
    assert_eq!(String::from_utf8(list.stdout).unwrap().trim(), "[]");
    let beside = String::from_utf8(list.stderr).unwrap();
    for words in [
        "no permission to launch",
        "flotation at the water",
        "never follow a boat towards a weir",
        "Local rules",
    ] {
        assert!(beside.contains(words), "no `{words}`: {beside}");
    }
    // The other forms have them inside.
    for form in ["json", "sarif", "junit", "markdown", "github", "terminal"] {
        assert!(offing(&["check", plan, "--format", form]).stderr.is_empty());
    }
}

#[test]
fn two_reports_do_not_go_to_one_place() {
    for arguments in [
        ["--format=json", "--format=sarif"],
        ["--format=json=a", "--format=sarif=a"],
    ] {
        let output = offing(&["check", "plans", arguments[0], arguments[1]]);
        assert_eq!(output.status.code(), Some(64));
        assert!(output.stdout.is_empty());
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(
            said.starts_with("offing: two reports would go to "),
            "{said}"
        );
    }
}

#[test]
fn a_form_that_is_none_and_a_file_that_cannot_be() {
    let output = offing(&["check", "plans", "--format=pdf"]);
    assert_eq!(output.status.code(), Some(64));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains(
            "there is no format `pdf`; the formats are terminal, json, sarif, junit, markdown, \
             github, gitlab"
        ),
        "{said}"
    );
    let output = offing(&["check", "plans", "--format=json=no/such/folder/report.json"]);
    assert_eq!(output.status.code(), Some(74));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("no/such/folder/report.json"), "{said}");
}

/// A SARIF text, held against the schema that OASIS publishes.
fn sarif_of(text: &str) -> serde_json::Value {
    let value: serde_json::Value = serde_json::from_str(text).unwrap();
    let schema = include_str!("../data/sarif/sarif-schema-2.1.0.json");
    let mut schema: serde_json::Value = serde_json::from_str(schema).unwrap();
    // The one pattern of it that is no regular expression.
    for definition in ["run", "toolComponent"] {
        let language = &mut schema["definitions"][definition]["properties"]["language"];
        language.as_object_mut().unwrap().remove("pattern").unwrap();
    }
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator
        .iter_errors(&value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    value
}

/// The byte of a place in a text: lines and columns count from 1, columns in characters.
fn byte_of(text: &str, region: &serde_json::Value, ends: &str) -> usize {
    let number = |key: String| usize::try_from(region[key].as_u64().unwrap()).unwrap();
    let (line, column) = (
        number(format!("{ends}Line")),
        number(format!("{ends}Column")),
    );
    let begins: usize = text
        .split_inclusive('\n')
        .take(line - 1)
        .map(str::len)
        .sum();
    let before: usize = text[begins..]
        .chars()
        .take(column - 1)
        .map(char::len_utf8)
        .sum();
    begins + before
}

/// Makes a fix in the files of a folder, from the last replacement of each file to the first.
fn make(fix: &serde_json::Value, folder: &Path) {
    for change in fix["artifactChanges"].as_array().unwrap() {
        let path = folder.join(change["artifactLocation"]["uri"].as_str().unwrap());
        let mut bytes = text(&path);
        for one in change["replacements"].as_array().unwrap().iter().rev() {
            let region = &one["deletedRegion"];
            let (start, end) = (
                byte_of(&bytes, region, "start"),
                byte_of(&bytes, region, "end"),
            );
            bytes.replace_range(start..end, one["insertedContent"]["text"].as_str().unwrap());
        }
        std::fs::write(&path, bytes).unwrap();
    }
}

/// The fixes of SARIF 2.1.0 (OASIS, sections 3.55 to 3.57) are changes of bytes that anybody can make.
#[test]
#[ignore = "slow"]
fn a_fix_in_sarif_made_as_it_stands_makes_its_finding_go_away() {
    use crate::shared::demo_tree::Files;
    let mut made = 0;
    for mission in [
        "long-run-downwind",
        "slow-approach",
        "careless-end",
        "antenna-off-bearing",
    ] {
        let check = |folder: &Path| {
            let output = offing(&["check", &folder.display().to_string(), "--format", "sarif"]);
            sarif_of(&String::from_utf8(output.stdout).unwrap())
        };
        let files = Files::demo(&[mission]);
        let report = check(files.lay_out().path());
        for result in report["runs"][0]["results"].as_array().unwrap() {
            let fixes = result["fixes"].as_array();
            for fix in fixes.into_iter().flatten() {
                assert!(fix["description"]["text"].as_str().unwrap().len() > 5);
                let folder = files.lay_out();
                make(fix, folder.path());
                let after = check(folder.path());
                let rules = after["runs"][0]["results"].as_array().unwrap().iter();
                let rules: Vec<&str> = rules.map(|one| one["ruleId"].as_str().unwrap()).collect();
                let rule = result["ruleId"].as_str().unwrap();
                assert!(!rules.contains(&rule), "{mission}: {rule} after {fix:#}");
                assert!(
                    rules.iter().all(|rule| !rule.starts_with("input")),
                    "{fix:#}"
                );
                let done = &after["runs"][0]["invocations"][0]["executionSuccessful"];
                assert_eq!(done, true, "{mission}: {fix:#}");
                made += 1;
            }
        }
    }
    assert!(made >= 4, "only {made} fixes");
}
