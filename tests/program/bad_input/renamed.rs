//! Names that files had before: each is refused on its line with the name it has now, and each new
//! name is one that the schemas and the catalogue know.

use std::fmt::Write as _;
use std::path::Path;

use offing::door::document::{ParseLimits, parse};
use offing::door::measures::find;
use offing::door::rules::BUILTIN_RULES;
use offing::door::schema::renamed::{FIELDS, KINDS, MEASURES, RULES};
use offing::door::schema::{Kind, validate};
use offing::door::source::SourceId;

use super::tree::{Files, POLICY, mission};

const MISSION: &str = "north-bay-lines";

/// What is found in a file: line and message, in order.
fn found(files: &Files, path: &str) -> Vec<(u32, String)> {
    let outcome = files.check();
    let findings = outcome.findings.iter();
    let mut all: Vec<_> = findings
        .filter(|finding| outcome.sources.path(finding.primary.span.source) == path)
        .map(|finding| {
            let line = outcome.sources.position(finding.primary.span).line;
            (line, finding.message.clone())
        })
        .collect();
    all.sort();
    all
}

/// The line, from 1, on which a text stands.
fn line_of(text: &str, what: &str) -> u32 {
    let at = text.find(what).unwrap_or_else(|| panic!("no {what}"));
    u32::try_from(text[..at].matches('\n').count()).expect("few") + 1
}

/// The files that between them use every field.
fn full(kind: Kind) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/full");
    let mut texts: Vec<String> = std::fs::read_dir(folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.to_string_lossy().ends_with(".yaml.txt"))
        .map(|path| std::fs::read_to_string(path).expect("text"))
        .filter(|text| text.contains(&format!("kind: {kind}\n")))
        // What is left to orders, or to a mission that is repeated, is not there by itself.
        .filter(|text| !text.contains("\norders:") && !text.contains("\nrepeats:"))
        .collect();
    texts.sort();
    texts
}

#[test]
fn an_old_field_is_refused_on_its_line_with_the_new_one() {
    for (kind, path, old, new) in FIELDS {
        let pointer = match *path {
            "" => format!("/{new}"),
            path => format!("/{}/{new}", path.replace('.', "/")),
        };
        let mut seen = 0;
        for text in full(*kind) {
            let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("sound");
            assert_eq!(validate(*kind, &document), [], "{kind}");
            let Some(entry) = document.root.entry_at_pointer(&pointer) else {
                continue;
            };
            let (from, to) = (entry.key_span.start as usize, entry.key_span.end as usize);
            let edited = format!("{}{old}{}", &text[..from], &text[to..]);
            let document = parse(SourceId(0), &edited, &ParseLimits::YAML).expect("sound");
            let problems = validate(*kind, &document);
            let told: Vec<_> = problems
                .iter()
                .map(|one| (one.span.start as usize, one.message.as_str()))
                .collect();
            let says = format!("`{old}` is now `{new}`");
            assert_eq!(told, [(from, says.as_str())], "{kind} {path}");
            let help = problems[0].help.as_deref().unwrap_or_default();
            assert!(help.contains(&format!("`{new}`")), "{help}");
            seen += 1;
        }
        assert!(seen > 0, "{kind}: no file has {pointer}");
    }
}

#[test]
fn an_old_kind_is_refused_on_its_line_with_the_new_one() {
    for (old, new) in KINDS {
        let kind = Kind::named(new).expect("a kind");
        assert!(Kind::named(old).is_none(), "{old}");
        // With its format and without, as a record or as whatever lies there.
        for text in [full(kind)[0].as_str(), &format!("kind: {new}\nid: one\n")] {
            let mut files = Files::start();
            let text = text.replace(&format!("kind: {new}\n"), &format!("kind: {old}\n"));
            files.write("old.yaml", text.clone());
            let says = format!("`{old}` is now `{new}`");
            let line = line_of(&text, &format!("kind: {old}"));
            assert_eq!(found(&files, "old.yaml"), [(line, says)]);
        }
    }
}

#[test]
fn an_old_rule_is_refused_in_policy_waiver_and_baseline() {
    let known = |id: &str| {
        let mut all = BUILTIN_RULES.iter();
        all.any(|(path, _)| path.ends_with(&format!("/{id}.yaml")))
    };
    let mut files = Files::demo(&[MISSION]);
    let policy = files.text(POLICY).to_owned();
    let (mut rules, mut waived, mut opened) = (String::new(), String::new(), String::new());
    let mut waivers = "waivers:\n".to_owned();
    let mut baseline =
        "kind: baseline\nformat: 1\nid: known\nreview_by: 2027-12-01\nby: survey lead\n\
                        reason: found before\nfindings:\n"
            .to_owned();
    for (index, (old, new)) in RULES.iter().enumerate() {
        assert!(known(new), "{new} is no rule");
        assert!(!known(old), "{old} is a rule");
        let _ = writeln!(rules, "  {old}:\n    severity: error\n    reason: ours");
        let _ = writeln!(
            waived,
            "  {old}: {{ approved_by: [survey lead], longest: 14 d }}"
        );
        let _ = writeln!(opened, "  - {old}");
        let _ = writeln!(
            waivers,
            "  - rule: {old}\n    for: mission\n    reason: tried\n    approved_by: survey lead\n    \
             approved: 2027-06-10\n    expires: 2027-06-20"
        );
        let _ = writeln!(
            baseline,
            "  - fingerprint: a{index:063x}\n    rule: {old}\n    mission: {MISSION}\n    says: something"
        );
    }
    let says = |text: &str, before: &str, after: &str| -> Vec<(u32, String)> {
        let mut all: Vec<_> = RULES
            .iter()
            .map(|(old, new)| {
                // A line break before the name belongs to the line above it.
                let above = u32::from(before.starts_with('\n'));
                let line = line_of(text, &format!("{before}{old}{after}")) + above;
                (line, format!("`{old}` is now `{new}`"))
            })
            .collect();
        all.sort();
        all
    };

    let as_set = policy.replacen("rules:\n", &format!("rules:\n{rules}"), 1);
    files.write(POLICY, as_set.clone());
    assert_eq!(found(&files, POLICY), says(&as_set, "\n  ", ":\n"));
    let as_waived = policy.replacen("waivers:\n", &format!("waivers:\n{waived}"), 1);
    files.write(POLICY, as_waived.clone());
    assert_eq!(found(&files, POLICY), says(&as_waived, "\n  ", ": {"));
    let as_open = policy.replacen("rules:\n", &format!("open:\n{opened}rules:\n"), 1);
    files.write(POLICY, as_open.clone());
    assert_eq!(found(&files, POLICY), says(&as_open, "\n  - ", "\n"));
    files.write(POLICY, policy);

    let path = mission(MISSION);
    let plan = files.text(&path).to_owned();
    let waiving = format!("{plan}{waivers}");
    files.write(&path, waiving.clone());
    assert_eq!(found(&files, &path), says(&waiving, "rule: ", "\n"));
    files.write(&path, plan);

    files.write("baseline.yaml", baseline.clone());
    assert_eq!(
        found(&files, "baseline.yaml"),
        says(&baseline, "rule: ", "\n")
    );
}

#[test]
fn an_old_measure_is_refused_in_a_rule_of_the_teams_own() {
    let known = |name: &str| find(name).is_some();
    let mut files = Files::start();
    for (index, (old, new)) in MEASURES.iter().enumerate() {
        assert!(known(new), "{new} is no measure");
        assert!(!known(old), "{old} is a measure");
        let text = format!(
            "kind: rule\nformat: 1\nid: own-{index}\ntitle: Our own\nmeasure: {old}\nequals: true\n\
             severity: error\nwhy: We want it.\nremedy: Change it.\nsources: [Our own]\n"
        );
        files.write(&format!("rules/own-{index}.yaml"), text);
    }
    let outcome = files.check();
    for (index, (old, new)) in MEASURES.iter().enumerate() {
        let path = format!("rules/own-{index}.yaml");
        let here = |span: offing::door::source::Span| outcome.sources.path(span.source) == path;
        let findings = outcome.findings.iter();
        let told: Vec<_> = findings
            .filter(|finding| here(finding.primary.span))
            .map(|finding| {
                let line = outcome.sources.position(finding.primary.span).line;
                (line, finding.message.as_str())
            })
            .collect();
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(told[0].0, 5, "{told:?}");
        assert!(
            told[0].1.contains(&format!("`{old}` is now `{new}`")),
            "{told:?}"
        );
    }
}
