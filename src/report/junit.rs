//! The report as JUnit XML, which CI services show as tests: a suite for each mission, a case for
//! each rule.

use std::collections::BTreeSet;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

use super::CAUTION;
use crate::check::{MissionResult, Outcome, RuleResult, Verdict};
use crate::finding::{Finding, Nature, PHYSICAL};
use crate::source::{printable, printable_line};

type Written = std::io::Result<()>;

/// The report of a check as JUnit XML.
///
/// # Errors
/// Those of the writer; no outcome is known to cause one.
pub fn junit(outcome: &Outcome) -> std::io::Result<String> {
    let mut out = Writer::new_with_indent(Vec::new(), b' ', 1);
    out.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    let inputs: Vec<&Finding> = outcome
        .findings
        .iter()
        .filter(|finding| finding.nature == Nature::Input)
        .collect();
    out.write_event(Event::Start(start("testsuites", &[("name", "offing")])))?;
    for mission in &outcome.checked {
        suite(&mut out, outcome, mission)?;
    }
    let beside = beside_the_rules(outcome);
    if !beside.is_empty() {
        others(&mut out, outcome, &beside)?;
    }
    if !outcome.looser.is_empty() {
        looser(&mut out, outcome)?;
    }
    if !(inputs.is_empty() && outcome.not_checked.is_empty()) {
        files(&mut out, outcome, &inputs)?;
    }
    out.write_event(Event::End(BytesEnd::new("testsuites")))?;
    let mut text = String::from_utf8(out.into_inner()).map_err(std::io::Error::other)?;
    text.push('\n');
    Ok(text)
}

fn start<'a>(name: &'a str, attributes: &[(&'a str, &'a str)]) -> BytesStart<'a> {
    BytesStart::new(name).with_attributes(attributes.iter().copied())
}

fn suite(out: &mut Writer<Vec<u8>>, outcome: &Outcome, mission: &MissionResult) -> Written {
    let judged = || {
        let all = mission.judged.iter();
        all.filter(|one| one.verdict != Verdict::NotApplicable)
    };
    let count = |verdict: Verdict| judged().filter(|one| one.verdict == verdict).count();
    let skipped: Vec<&Finding> = outcome.findings.iter().filter(|f| !f.stands()).collect();
    let accepted = |verdict: Verdict| {
        let with = judged().filter(|one| one.verdict == verdict);
        with.filter(|one| skipped.iter().any(|finding| is_of(finding, mission, one)))
            .count()
    };
    let (fails, unknown) = (accepted(Verdict::Fails), accepted(Verdict::Unknown));
    let (tests, failures, errors) = (
        judged().count(),
        count(Verdict::Fails) - fails,
        count(Verdict::Unknown) - unknown,
    );
    let skipped = (fails + unknown).to_string();
    let (tests, errors) = (
        (tests + mission.in_doubt.len()).to_string(),
        (errors + mission.in_doubt.len()).to_string(),
    );
    let failures = failures.to_string();
    let name = printable_line(&mission.mission);
    out.write_event(Event::Start(start(
        "testsuite",
        &[
            ("name", &name),
            ("tests", &tests),
            ("failures", &failures),
            ("errors", &errors),
            ("skipped", &skipped),
        ],
    )))?;
    for doubt in &mission.in_doubt {
        let (file, doubt) = (printable_line(&mission.path), printable_line(doubt));
        let class = name.as_ref();
        let attributes = [
            ("name", "limits"),
            ("classname", class),
            ("file", file.as_ref()),
        ];
        out.write_event(Event::Start(start("testcase", &attributes)))?;
        out.write_event(Event::Empty(start("error", &[("message", &doubt)])))?;
        out.write_event(Event::End(BytesEnd::new("testcase")))?;
    }
    for one in judged() {
        case(out, outcome, mission, one)?;
    }
    let cautions = format!("{CAUTION}\n{}", PHYSICAL.join("\n"));
    out.write_event(Event::Start(BytesStart::new("system-out")))?;
    out.write_event(Event::Text(BytesText::new(&cautions)))?;
    out.write_event(Event::End(BytesEnd::new("system-out")))?;
    out.write_event(Event::End(BytesEnd::new("testsuite")))
}

fn case(
    out: &mut Writer<Vec<u8>>,
    outcome: &Outcome,
    mission: &MissionResult,
    one: &RuleResult,
) -> Written {
    let name = if one.subject.is_empty() {
        one.rule.to_string()
    } else {
        format!("{} ({})", one.rule, printable_line(&one.subject))
    };
    let (file, class) = (
        printable_line(&mission.path),
        printable_line(&mission.mission),
    );
    let case = start(
        "testcase",
        &[("name", &name), ("classname", &class), ("file", &file)],
    );
    let kind = match one.verdict {
        Verdict::Holds | Verdict::NotApplicable => {
            return out.write_event(Event::Empty(case));
        }
        Verdict::Fails => "failure",
        Verdict::Unknown => "error",
    };
    out.write_event(Event::Start(case))?;
    let finding = outcome
        .findings
        .iter()
        .find(|finding| is_of(finding, mission, one));
    match finding {
        Some(Finding {
            accepted: Some(accepted),
            ..
        }) => {
            let message = printable_line(&accepted.sentence()).into_owned();
            out.write_event(Event::Empty(start("skipped", &[("message", &message)])))?;
        }
        Some(finding) => write_finding(out, kind, outcome, finding)?,
        None => out.write_event(Event::Empty(start(kind, &[("message", &name)])))?,
    }
    out.write_event(Event::End(BytesEnd::new("testcase")))
}

fn is_of(finding: &Finding, mission: &MissionResult, one: &RuleResult) -> bool {
    finding.rule == *one.rule
        && finding.mission.as_deref() == Some(&mission.mission)
        && finding.subject == *one.subject
}

/// Findings that are no rule's: of what judges plans, and of what was accepted.
fn beside_the_rules(outcome: &Outcome) -> Vec<&Finding> {
    let of_rules: BTreeSet<(&str, &str, &str)> = outcome
        .checked
        .iter()
        .flat_map(|mission| {
            let name = mission.mission.as_str();
            let judged = mission.judged.iter();
            judged.map(move |one| (name, &*one.rule, &*one.subject))
        })
        .collect();
    let of_a_rule = |finding: &Finding| {
        let mission = finding.mission.as_deref().unwrap_or("");
        of_rules.contains(&(mission, &finding.rule, &finding.subject))
    };
    let all = outcome.findings.iter();
    all.filter(|finding| finding.nature != Nature::Input && !of_a_rule(finding))
        .collect()
}

/// What policies ask for less than the built-in one: cases that are skipped, so that they are seen and
/// fail nothing.
fn looser(out: &mut Writer<Vec<u8>>, outcome: &Outcome) -> Written {
    let tests = outcome.looser.len().to_string();
    out.write_event(Event::Start(start(
        "testsuite",
        &[
            ("name", "less strict than the built-in policy"),
            ("tests", &tests),
            ("failures", "0"),
            ("errors", "0"),
            ("skipped", &tests),
        ],
    )))?;
    for looser in &outcome.looser {
        let path = outcome.sources.path(looser.span.source);
        let line = outcome.sources.position(looser.span).line;
        let (file, name) = (printable_line(path), format!("line {line}"));
        let attributes = [
            ("name", name.as_str()),
            ("classname", "policy"),
            ("file", file.as_ref()),
        ];
        let message = printable_line(&looser.says);
        out.write_event(Event::Start(start("testcase", &attributes)))?;
        out.write_event(Event::Empty(start("skipped", &[("message", &message)])))?;
        out.write_event(Event::End(BytesEnd::new("testcase")))?;
    }
    out.write_event(Event::End(BytesEnd::new("testsuite")))
}

fn others(out: &mut Writer<Vec<u8>>, outcome: &Outcome, findings: &[&Finding]) -> Written {
    let tests = findings.len().to_string();
    out.write_event(Event::Start(start(
        "testsuite",
        &[
            ("name", "beside the rules"),
            ("tests", &tests),
            ("failures", &tests),
            ("errors", "0"),
        ],
    )))?;
    for finding in findings {
        let path = outcome.sources.path(finding.primary.span.source);
        let (file, name) = (printable_line(path), printable_line(&finding.rule));
        let class = printable_line(finding.mission.as_deref().unwrap_or("policy"));
        let attributes = [
            ("name", name.as_ref()),
            ("classname", class.as_ref()),
            ("file", file.as_ref()),
        ];
        out.write_event(Event::Start(start("testcase", &attributes)))?;
        write_finding(out, "failure", outcome, finding)?;
        out.write_event(Event::End(BytesEnd::new("testcase")))?;
    }
    out.write_event(Event::End(BytesEnd::new("testsuite")))
}

/// The element that says what is wrong, with its lines, steps and remedies.
fn write_finding(
    out: &mut Writer<Vec<u8>>,
    kind: &str,
    outcome: &Outcome,
    finding: &Finding,
) -> Written {
    let message = printable_line(&finding.message);
    let severity = finding.severity.to_string();
    out.write_event(Event::Start(start(
        kind,
        &[("type", &severity), ("message", &message)],
    )))?;
    let mut text = String::new();
    for label in std::iter::once(&finding.primary).chain(&finding.related) {
        let path = outcome.sources.path(label.span.source);
        let line = outcome.sources.position(label.span).line;
        text.push_str(&format!("{path}:{line}: {}\n", label.text));
    }
    for item in finding.steps.iter().chain(&finding.remedies_told()) {
        text.push_str(item);
        text.push('\n');
    }
    out.write_event(Event::Text(BytesText::new(&printable(&text))))?;
    out.write_event(Event::End(BytesEnd::new(kind)))
}

/// Files that cannot be read or were not checked.
fn files(out: &mut Writer<Vec<u8>>, outcome: &Outcome, inputs: &[&Finding]) -> Written {
    let tests = (inputs.len() + outcome.not_checked.len()).to_string();
    out.write_event(Event::Start(start(
        "testsuite",
        &[
            ("name", "files"),
            ("tests", &tests),
            ("failures", "0"),
            ("errors", &tests),
        ],
    )))?;
    for finding in inputs {
        let path = outcome.sources.path(finding.primary.span.source);
        let file = printable_line(path);
        let case = start(
            "testcase",
            &[
                ("name", &finding.rule),
                ("classname", "files"),
                ("file", &file),
            ],
        );
        out.write_event(Event::Start(case))?;
        write_finding(out, "error", outcome, finding)?;
        out.write_event(Event::End(BytesEnd::new("testcase")))?;
    }
    for missed in &outcome.not_checked {
        let file = printable_line(&missed.path);
        let case = start(
            "testcase",
            &[
                ("name", "not checked"),
                ("classname", "files"),
                ("file", &file),
            ],
        );
        out.write_event(Event::Start(case))?;
        let why = printable_line(&missed.why);
        out.write_event(Event::Empty(start("error", &[("message", &why)])))?;
        out.write_event(Event::End(BytesEnd::new("testcase")))?;
    }
    out.write_event(Event::End(BytesEnd::new("testsuite")))
}
