//! Several reports of one check, into files and to the standard output.

use std::path::Path;
use std::process::{Command, Output};

fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn one_check_writes_every_report() {
    let folder = tempfile::tempdir().unwrap();
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
