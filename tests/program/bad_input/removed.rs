//! What plans stated before and state no more: each is refused on its line with what is done in its place.

use offing::door::schema::removed::{FIELDS, MEASURES, RULES};

use super::tree::{Files, POLICY, mission, places, told};

const MISSION: &str = "north-bay-lines";
const TICK: &str = "is of the day of the launch, and no plan states it in advance";

#[test]
fn a_tick_in_a_plan_is_refused_on_its_line() {
    let mut names: Vec<&str> = FIELDS.iter().map(|(_, _, name, _)| *name).collect();
    names.sort_unstable();
    assert_eq!(names, ["by", "done"]);
    let mut files = Files::demo(&[MISSION]);
    let path = mission(MISSION);
    let text = files.text(&path).to_owned();
    let list = "checklist:\n  - { item: gauge-set }\n  - { item: stop-tried, §done: 2027-06-15, §by: operator }\n";
    files.write(&path, format!("{text}{list}"));
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    for finding in &outcome.findings {
        assert!(finding.message.ends_with(TICK), "{}", told(&outcome));
        assert!(
            finding.remedies_told()[0].contains("--ticked"),
            "{}",
            told(&outcome)
        );
    }
}

#[test]
fn a_rule_over_ticks_is_none_any_more() {
    assert_eq!(RULES.len(), 1);
    for (rule, help) in RULES {
        let mut files = Files::demo(&[MISSION]);
        let text = files.text(POLICY).to_owned();
        let set = format!("rules:\n  §{rule}: {{ severity: error, reason: ours }}\n");
        files.write(POLICY, text.replacen("rules:\n", &set, 1));
        let outcome = files.check();
        assert_eq!(places(&outcome), files.marks());
        assert!(
            outcome.findings[0].message.contains(TICK),
            "{}",
            told(&outcome)
        );
        assert_eq!(outcome.findings[0].remedies_told(), [*help]);
    }
}

/// Whoever asks what such a name means learns that it is gone, and what to do.
#[test]
fn explain_says_that_a_removed_name_is_gone() {
    let folder = Files::demo(&[]).lay_out();
    for (name, help) in RULES.iter().chain(MEASURES) {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["explain", name])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(64), "{name}");
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(
            said.contains(&format!("`{name}` was removed: it {TICK}; {help}")),
            "{said}"
        );
    }
}

#[test]
fn a_measure_over_ticks_is_none_any_more() {
    assert_eq!(MEASURES.len(), 1);
    for (measure, _) in MEASURES {
        let mut files = Files::demo(&[MISSION]);
        let rule = format!(
            "kind: rule\nformat: 1\nid: ours\ntitle: Ours\nmeasure: §{measure}\nequals: true\n\
             severity: error\nwhy: A reason of some length.\nremedy: Do something.\n\
             sources: [our own]\n"
        );
        files.write("rules/ours.yaml", rule);
        let outcome = files.check();
        assert_eq!(places(&outcome), files.marks());
        assert!(
            outcome.findings[0].message.contains(TICK),
            "{}",
            told(&outcome)
        );
    }
}
