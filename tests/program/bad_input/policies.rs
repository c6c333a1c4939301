//! What a policy can have wrong.

use super::cases::{Case, case, run};
use super::tree::{Files, POLICY, check_folder};
use offing::door::check::Outcome;
use offing::door::finding::{Nature, Severity};
use offing::door::report::{Settings, exit_status, json, junit, terminal};

fn told(cases: Vec<Case>) -> String {
    run(&Files::demo(&[]), &cases)
}

#[test]
fn policy_files() {
    let limit = "    at_least: 35 %\n";
    let rule = "  reserve-at-turnaround:\n";
    let settings = "rules:\n";
    let told = told(vec![
        case(
            "an unknown rule",
            POLICY,
            rule,
            "  §reserve-at-turnarund:\n",
        ),
        case(
            "an unknown rule that nothing resembles",
            POLICY,
            rule,
            "  §colour:\n",
        ),
        case(
            "a rule set to nothing",
            POLICY,
            settings,
            "rules:\n  §overrun: {}\n",
        ),
        case("an unknown setting", POLICY, limit, "    §at_lest: 35 %\n"),
        case("another dimension", POLICY, limit, "    at_least: §35 m\n"),
        case("a bare number", POLICY, limit, "    at_least: §35\n"),
        case("the other side", POLICY, limit, "    at_most: §35 %\n"),
        case(
            "a limit on a truth",
            POLICY,
            settings,
            "rules:\n  operator-in-sight: { at_least: §35 % }\n",
        ),
        case(
            "a bare no for false",
            POLICY,
            settings,
            "rules:\n  overrun: { enabled: §no }\n",
        ),
        case(
            "looser than the built-in policy, without a reason",
            POLICY,
            limit,
            "    at_least: §10 %\n",
        )
        .and(
            POLICY,
            "    reason: The pack is in its third season and its capacity is tested only twice a year.\n",
            "",
        ),
        case(
            "switched off",
            POLICY,
            settings,
            "rules:\n  overrun: { enabled: §false }\n",
        ),
        case(
            "a weaker severity",
            POLICY,
            settings,
            "rules:\n  overrun: { severity: §advice }\n",
        ),
        case(
            "extends what is not there",
            POLICY,
            "extends: builtin",
            "extends: §bultin",
        ),
        case(
            "extends itself",
            POLICY,
            "extends: builtin",
            "extends: §team",
        ),
        case(
            "takes the built-in policy's name",
            POLICY,
            "id: team",
            "id: §builtin",
        ),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn several_policies() {
    let second = |text: &str| format!("kind: policy\nformat: 1\nid: summer\n{text}\nrules: {{}}\n");
    let mut base = Files::demo(&[]);
    base.write("policy/summer.yaml", second("extends: team"));
    let file = "policy/summer.yaml";
    let told = run(
        &base,
        &[
            case("two of one name", file, "id: summer", "id: team")
                .and(file, "extends: team\n", "")
                .and(POLICY, "id: team", "id: §team"),
            // A ring is told of once, on the first file of it.
            case("a ring", POLICY, "extends: builtin", "extends: summer")
                .and(file, "extends: team", "extends: §team")
                // What the demo's policy lets be waived is not left open by the one it is put below.
                .and(POLICY, "  upwind-run-length:", "  §upwind-run-length:")
                .and(POLICY, "  full-coverage:", "  §full-coverage:"),
            case(
                "looser than its parent, which opens nothing",
                file,
                "rules: {}",
                "rules: { reserve-at-turnaround: { at_least: §32 %, reason: calm } }",
            ),
            case(
                "looser than its parent, which opens it, without a reason",
                file,
                "rules: {}",
                "rules: { reserve-at-turnaround: { at_least: §32 % } }",
            )
            .and(
                POLICY,
                "extends: builtin",
                "extends: builtin\nopen: [reserve-at-turnaround]",
            ),
            case(
                "opens a rule that is not there",
                file,
                "extends: team",
                "extends: team\nopen: [§reserves]",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

/// A mission that names no policy where there are several is not checked; one that is the only
/// one is taken.
#[test]
fn none_named_among_several() {
    let id = "north-bay-lines";
    let mut base = Files::demo(&[id]);
    base.write(
        "policy/summer.yaml",
        "kind: policy\nformat: 1\nid: summer\nrules: {}\n",
    );
    let file = super::tree::mission(id);
    let told = run(
        &base,
        &[case("none named", &file, "policy: team\n", "").and(
            &file,
            "id: north-bay-lines",
            "id: §north-bay-lines",
        )],
    );
    insta::assert_snapshot!(told);
}

/// A mission is not judged by the built-in limits in place of a policy that cannot be used.
#[test]
fn named_and_broken() {
    let id = "long-run-downwind";
    let base = Files::demo(&[id]);
    let told = run(
        &base,
        &[
            case(
                "a policy that does not fit its schema",
                POLICY,
                "    at_least: 35 %",
                "    §at_lest: 35 %",
            ),
            case(
                "a policy that cannot be parsed",
                POLICY,
                "extends: builtin",
                "extends: §]builtin",
            )
            .and(&super::tree::mission(id), "policy: team", "policy: §team"),
            case(
                "a policy that cannot be parsed, not named",
                POLICY,
                "extends: builtin",
                "extends: §]builtin",
            )
            .and(&super::tree::mission(id), "policy: team\n", ""),
        ],
    );
    insta::assert_snapshot!(told);
}

/// A mission beside a policy with errors does not count as clean, and the policy asked for by name
/// shows its own errors and nothing else.
#[test]
fn judged_by_something_else() {
    let wrong = [
        (
            "    at_least: 35 %",
            "    at_lest: 35 %",
            "in place of policy `team`",
        ),
        (
            "  reserve-at-turnaround:",
            "  reserve-at-turnarund:",
            "judged by policy `team` without",
        ),
    ];
    for (from, to, told) in wrong {
        let mut files = Files::demo(&["north-bay-lines"]);
        assert_eq!(clean(&files.check()), [true]);
        files.edit(POLICY, from, to);
        let outcome = files.check();
        assert_eq!(clean(&outcome), [false], "{to}");
        assert_eq!(exit_status(&outcome, Severity::Error), 2);
        assert_eq!(outcome.findings[0].nature, Nature::Input);
        assert!(outcome.checked[0].in_doubt[0].contains(told));
        let shown = terminal(&outcome, &Settings::default());
        assert!(
            shown.contains("(0 clean); the check is incomplete: 1 file has errors"),
            "{shown}"
        );
        let cases = junit(&outcome).expect("written");
        assert!(cases.contains("testcase name=\"limits\""), "{cases}");

        let folder = files.lay_out();
        let alone = check_folder(folder.path(), Some(POLICY)).expect("readable");
        assert!(alone.checked.is_empty());
        assert_eq!(exit_status(&alone, Severity::Error), 2);
        assert_eq!(alone.not_checked.len(), 1);
        for finding in &alone.findings {
            assert_eq!(alone.sources.path(finding.primary.span.source), POLICY);
        }
    }
}

/// What judges a mission is in doubt, too, where its policy extends one with errors.
#[test]
fn judged_below_a_policy_with_errors() {
    let mut files = Files::demo(&["north-bay-lines"]);
    let below = "kind: policy\nformat: 1\nid: summer\nextends: team\nrules: {}\n";
    files.write("policy/summer.yaml", below);
    let mission = super::tree::mission("north-bay-lines");
    files.edit(&mission, "policy: team", "policy: summer");
    assert!(files.check().checked[0].in_doubt.is_empty());
    files.edit(POLICY, "    at_least: 35 %", "    at_lest: 35 %");
    let outcome = files.check();
    let mut checked = outcome.checked.iter();
    assert!(checked.all(|one| !one.in_doubt.is_empty()));
    assert!(!clean(&outcome).contains(&true));
    assert_eq!(exit_status(&outcome, Severity::Error), 2);
}

/// Which missions the JSON output calls clean.
fn clean(outcome: &Outcome) -> Vec<bool> {
    let text = json(outcome).expect("written");
    let report: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let missions = report["missions"].as_array().expect("a list");
    missions.iter().map(|one| one["clean"] == true).collect()
}
