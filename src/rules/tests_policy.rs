//! Policies: tightening, loosening, opening, choosing.

use super::testing::{CATALOGUE, add, rule_text, shown};
use super::*;
use crate::document::Document;
use crate::finding::Severity;
use crate::schema::{Kind, Problem, Stated};
use crate::source::{SourceId, Sources, Span};

/// Three invented rules and the policies of the given texts (from `id:` on).
fn world(policies: &[&str]) -> (Sources, Policies, Vec<Problem>) {
    let mut sources = Sources::new();
    let rules: Vec<(SourceId, Document)> = [
        ("reserve", "measure: mission.reserve\nat_least: 30 %"),
        (
            "reach",
            "measure: mission.reach\nat_least: 1 m\nat_most: 900 m",
        ),
        ("returns", "measure: mission.returns\nequals: true"),
    ]
    .into_iter()
    .map(|(id, lines)| {
        let path = format!("rules/{id}.yaml");
        add(&mut sources, &path, Kind::Rule, &rule_text(id, lines))
    })
    .collect();
    let files: Vec<(SourceId, &Document)> = rules.iter().map(|(id, d)| (*id, d)).collect();
    let (set, problems) = RuleSet::default().with_team(&files, &["unsound"], CATALOGUE, &sources);
    assert_eq!(problems, []);
    let documents: Vec<(SourceId, Document)> = policies
        .iter()
        .enumerate()
        .map(|(number, text)| {
            let text = format!("kind: policy\nformat: 1\n{text}\n");
            add(
                &mut sources,
                &format!("p{number}.yaml"),
                Kind::Policy,
                &text,
            )
        })
        .collect();
    let files: Vec<(SourceId, &Document)> = documents.iter().map(|(id, d)| (*id, d)).collect();
    let (policies, problems) = Policies::load(&files, &["unsound-policy"], &set);
    (sources, policies, problems)
}

fn words(policies: &Policies, policy: &str, rule: &str) -> String {
    let effective = policies.get(policy).expect(policy);
    effective.get(rule).expect(rule).bound.describe()
}

fn single(policies: &[&str]) -> (String, String, String) {
    let (sources, _, problems) = world(policies);
    let mut all = shown(&problems, &sources);
    assert_eq!(all.len(), 1, "{all:?}");
    all.remove(0)
}

#[test]
fn a_policy_tightens_without_ado() {
    let (sources, policies, problems) = world(&[
        "id: team\nrules:\n  reserve: {at_least: 35 %}\n  reach: {at_most: 800 m, at_least: 2 m}",
        "id: strict\nextends: team\nrules:\n  reserve: {at_least: 40 %}",
    ]);
    assert_eq!(shown(&problems, &sources), []);
    assert_eq!(words(&policies, "builtin", "reserve"), "at least 30 %");
    assert_eq!(words(&policies, "team", "reserve"), "at least 35 %");
    assert_eq!(words(&policies, "strict", "reserve"), "at least 40 %");
    assert_eq!(
        words(&policies, "strict", "reach"),
        "at least 2 m and at most 800 m"
    );
    let strict = policies.get("strict").expect("there");
    assert_eq!(strict.chain, ["strict", "team", "builtin"]);
    assert_eq!(
        strict.get("reserve").expect("there").set_by(&sources),
        "p1.yaml:6"
    );
    assert_eq!(
        strict.get("reach").expect("there").set_by(&sources),
        "p0.yaml:6"
    );
    assert_eq!(strict.notes(), Vec::<String>::new());
    let ids: Vec<&str> = strict.rules.iter().map(|r| &*r.rule.id.value).collect();
    assert_eq!(ids, ["reach", "reserve", "returns"]);
}

#[test]
fn a_first_policy_may_loosen_with_a_reason_and_it_is_noted() {
    let (sources, policies, problems) = world(&[
        "id: team\nrules:\n  reserve: {at_least: 25 %, severity: warning, reason: A new pack.}\n  \
         returns: {enabled: false, reason: One way.}",
    ]);
    assert_eq!(shown(&problems, &sources), []);
    let team = policies.get("team").expect("there");
    assert_eq!(
        team.notes(),
        [
            "policy `team` is less strict than rule `reserve` by itself: the severity is warning \
             in place of error; its reason: A new pack.",
            "policy `team` is less strict than rule `reserve` by itself: the limit is at least 25 \
             % in place of at least 30 %; its reason: A new pack.",
            "policy `team` is less strict than rule `returns` by itself: it is not judged; its \
             reason: One way.",
        ]
    );
    let reserve = team.get("reserve").expect("there");
    assert_eq!(reserve.severity.value, Severity::Warning);
    assert_eq!(sources.slice(reserve.severity.span()), "warning");
    assert!(!team.get("returns").expect("there").enabled.value);
}

#[test]
fn loosening_without_a_reason_is_refused_and_undone() {
    for (setting, span, message) in [
        (
            "reserve: {at_least: 25 %}",
            "25 %",
            "rule `reserve`: `at least 25 %` is looser than `at least 30 %`, without a reason",
        ),
        (
            "reserve: {at_least: 29 %, reason: ' '}",
            "29 %",
            "rule `reserve`: `at least 29 %` is looser than `at least 30 %`, without a reason",
        ),
        (
            "reach: {at_most: 1 km}",
            "1 km",
            "rule `reach`: `at most 1000 m` is looser than `at most 900 m`, without a reason",
        ),
        (
            "reserve: {severity: advice}",
            "advice",
            "rule `reserve`: `advice` is looser than `error`, without a reason",
        ),
        (
            "reserve: {enabled: false}",
            "false",
            "rule `reserve`: `off` is looser than `on`, without a reason",
        ),
    ] {
        let text = format!("id: team\nrules:\n  {setting}");
        let due = (
            message.to_owned(),
            span.to_owned(),
            "say why under `reason`".to_owned(),
        );
        assert_eq!(single(&[&text]), due);
        let (_, policies, problems) = world(&[&text]);
        assert_eq!(problems[0].code, "policy-reason");
        let team = policies.get("team").expect("there");
        assert_eq!(words(&policies, "team", "reserve"), "at least 30 %");
        assert_eq!(
            words(&policies, "team", "reach"),
            "at least 1 m and at most 900 m"
        );
        let reserve = team.get("reserve").expect("there");
        assert_eq!(reserve.severity.value, Severity::Error);
        assert!(reserve.enabled.value);
    }
}

#[test]
fn a_child_loosens_only_what_is_left_open() {
    let team = "id: team\nopen: [reach]\nrules:\n  reserve: {at_least: 35 %}\n  \
                reach: {at_most: 500 m}";
    for (setting, message) in [
        (
            "reserve: {at_least: 32 %, reason: R.}",
            "rule `reserve`: `at least 32 %` is looser than `at least 35 %`, which policy `team` \
             does not leave open",
        ),
        (
            "reserve: {severity: warning, reason: R.}",
            "rule `reserve`: `warning` is looser than `error`, which policy `team` does not leave \
             open",
        ),
        (
            "returns: {enabled: false, reason: R.}",
            "rule `returns`: `off` is looser than `on`, which policy `team` does not leave open",
        ),
    ] {
        let child = format!("id: child\nextends: team\nrules:\n  {setting}");
        let (sources, policies, problems) = world(&[team, &child]);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].message, message);
        assert_eq!(problems[0].code, "policy-loosens");
        assert_eq!(problems[0].related[0].1, "set here");
        assert_eq!(words(&policies, "child", "reserve"), "at least 35 %");
        if setting.contains("32") {
            let related = problems[0].related[0].0;
            assert_eq!(sources.slice(problems[0].span), "32 %");
            assert_eq!(sources.slice(related), "35 %");
            assert_eq!(sources.path(related.source), "p0.yaml");
        }
    }
    let child = "id: child\nextends: team\nrules:\n  reach: {at_most: 700 m, reason: R.}";
    let (sources, policies, problems) = world(&[team, child]);
    assert_eq!(shown(&problems, &sources), []);
    assert_eq!(
        words(&policies, "child", "reach"),
        "at least 1 m and at most 700 m"
    );
    // It is still within what the rule's own file asks for.
    assert_eq!(
        policies.get("child").expect("there").notes(),
        Vec::<String>::new()
    );
}

#[test]
fn a_policy_between_cannot_give_away_what_was_not_left_open_to_it() {
    let (sources, policies, problems) = world(&[
        "id: team\nrules:\n  reserve: {at_least: 35 %}",
        "id: middle\nextends: team\nopen: [reserve]\nrules:\n  reserve: {at_least: 45 %}",
        "id: good\nextends: middle\nrules:\n  reserve: {at_least: 36 %, reason: R.}",
        "id: bad\nextends: middle\nrules:\n  reserve: {at_least: 34 %, reason: R.}",
    ]);
    let all = shown(&problems, &sources);
    assert_eq!(all.len(), 1, "{all:?}");
    assert_eq!(
        all[0].0,
        "rule `reserve`: `at least 34 %` is looser than `at least 35 %`, which policy `team` does \
         not leave open"
    );
    assert_eq!(words(&policies, "good", "reserve"), "at least 36 %");
    assert_eq!(words(&policies, "bad", "reserve"), "at least 45 %");
}

#[test]
fn a_child_that_takes_back_a_loosening_is_not_noted() {
    let (_, policies, problems) = world(&[
        "id: team\nrules:\n  reserve: {at_least: 20 %, reason: R.}",
        "id: half\nextends: team\nrules:\n  reserve: {at_least: 25 %}",
        "id: whole\nextends: team\nrules:\n  reserve: {at_least: 30 %}",
    ]);
    assert_eq!(problems, []);
    let notes = |id: &str| policies.get(id).expect(id).notes();
    assert_eq!(
        notes("half"),
        [
            "policy `half` is less strict than rule `reserve` by itself: the limit is at least 25 \
             % in place of at least 30 %; its reason: R."
        ]
    );
    assert_eq!(notes("whole"), Vec::<String>::new());
}

#[test]
fn limits_of_the_wrong_kind_or_side_are_refused() {
    let setting = |setting: &str| single(&[&format!("id: team\nrules:\n  {setting}")]);
    assert_eq!(
        setting("reserve: {at_least: 40 m}"),
        (
            "`at_least`: `40 m` is a length where a share is due, such as `30 %`".to_owned(),
            "40 m".to_owned(),
            String::new()
        )
    );
    assert_eq!(
        setting("reserve: {at_most: 40 %}"),
        (
            "rule `reserve` passes what is at least 30 %; it has no `at_most`".to_owned(),
            "40 %".to_owned(),
            "write `at_least`".to_owned()
        )
    );
    assert_eq!(
        setting("returns: {at_most: 40 %}"),
        (
            "rule `returns` passes what is true; it has no limit to set".to_owned(),
            "40 %".to_owned(),
            String::new()
        )
    );
    assert_eq!(
        setting("reach: {at_least: 950 m}").0,
        "no value is at least 950 m and at most 900 m"
    );
}

#[test]
fn rules_and_policies_that_are_not_there_are_told_with_the_nearest() {
    assert_eq!(
        single(&["id: team\nrules:\n  reserv: {at_least: 40 %}"]),
        (
            "there is no rule `reserv`".to_owned(),
            "reserv".to_owned(),
            "did you mean `reserve`?".to_owned()
        )
    );
    assert_eq!(
        single(&["id: team\nopen: [tide]\nrules: {}"]),
        (
            "there is no rule `tide`".to_owned(),
            "tide".to_owned(),
            "the rules are `reach`, `reserve`, `returns`".to_owned()
        )
    );
    assert_eq!(
        single(&["id: team\nextends: buildin\nrules: {}"]),
        (
            "there is no policy `buildin`".to_owned(),
            "buildin".to_owned(),
            "did you mean `builtin`?".to_owned()
        )
    );
    // What cannot be read is a problem already, and is not also said to be missing.
    let (_, _, problems) =
        world(&["id: team\nextends: unsound-policy\nrules:\n  unsound: {severity: error}"]);
    assert_eq!(problems, []);
}

#[test]
fn policies_that_extend_one_another_in_a_ring_are_refused() {
    let (sources, policies, problems) = world(&[
        "id: a\nextends: b\nrules: {}",
        "id: b\nextends: c\nrules:\n  reserve: {at_least: 50 %}",
        "id: c\nextends: b\nrules: {}",
        "id: self\nextends: self\nrules: {}",
    ]);
    assert_eq!(
        shown(&problems, &sources),
        [
            (
                "the policies extend one another in a circle: `b`, `c`, `b`".to_owned(),
                "c".to_owned(),
                "one of them must extend `builtin`".to_owned()
            ),
            (
                "the policies extend one another in a circle: `self`, `self`".to_owned(),
                "self".to_owned(),
                "one of them must extend `builtin`".to_owned()
            ),
        ]
    );
    // What can be followed still holds.
    assert_eq!(words(&policies, "a", "reserve"), "at least 50 %");
    assert_eq!(words(&policies, "c", "reserve"), "at least 50 %");
}

#[test]
fn names_of_policies_are_taken_once() {
    assert_eq!(
        single(&["id: builtin\nrules: {}"]),
        (
            "`builtin` is offing's own policy, which no other may replace".to_owned(),
            "builtin".to_owned(),
            "give this policy another id".to_owned()
        )
    );
    assert_eq!(
        single(&["id: team\nrules: {}", "id: team\nrules: {}"]).0,
        "there is another policy `team`"
    );
}

#[test]
fn the_policy_of_a_mission_is_chosen() {
    let near = Span::new(SourceId(0), 0, 4);
    let named = |id: &str| Stated::written(id.to_owned(), Span::new(SourceId(0), 0, 6));

    let set = RuleSet::default();
    let (none, _) = Policies::load(&[], &[], &set);
    let (effective, note) = none.choose(None, near).expect("the built-in one");
    assert_eq!(effective.policy, "builtin");
    assert_eq!(
        note.as_deref(),
        Some("no policy file was found: offing's built-in policy applies")
    );

    let (broken, _) = Policies::load(&[], &["only"], &set);
    let (effective, note) = broken.choose(None, near).expect("the only one");
    assert_eq!(effective.policy, "only");
    assert_eq!(
        note.as_deref(),
        Some("judged by the built-in limits in place of policy `only`, whose file has errors")
    );

    let (_, several, problems) = world(&["id: one\nrules: {}", "id: two\nrules: {}"]);
    assert_eq!(problems, []);
    let (effective, note) = several.choose(Some(&named("two")), near).expect("there");
    assert_eq!((effective.policy.as_str(), note), ("two", None));
    let (effective, _) = several
        .choose(Some(&named("builtin")), near)
        .expect("there");
    assert_eq!(effective.policy, "builtin");
    let problem = several
        .choose(Some(&named("tow")), near)
        .expect_err("not there");
    assert_eq!(problem.message, "there is no policy `tow`");
    assert_eq!(problem.help.as_deref(), Some("did you mean `two`?"));
    let problem = several.choose(None, near).expect_err("several");
    assert_eq!(
        problem.message,
        "the mission names no policy, and there are 3: `one`, `two`, `unsound-policy`"
    );
    assert_eq!(problem.span, near);
}

#[test]
fn an_item_of_the_checklist_has_the_words_of_the_policy_nearest_to_the_mission() {
    let (_, policies, problems) = world(&[
        "id: team\nchecklist: [stop-tried, logging-on]\nchecklist_words:\n  stop-tried: Stop it\n  \
         logging-on: Look at the log\nrules: {}",
        "id: strict\nextends: team\nchecklist_words: { stop-tried: Stop it twice }\nrules: {}",
    ]);
    assert_eq!(problems, []);
    let words = |policy: &str| -> Vec<String> {
        let effective = policies.get(policy).expect(policy);
        let all = effective.checklist_words.iter();
        all.map(|one| format!("{}: {}", one.item.value, one.words))
            .collect()
    };
    assert_eq!(
        words("team"),
        ["stop-tried: Stop it", "logging-on: Look at the log"]
    );
    assert_eq!(
        words("strict"),
        ["stop-tried: Stop it twice", "logging-on: Look at the log"]
    );
}

#[test]
fn words_of_what_is_on_no_checklist_are_a_problem() {
    let (_, _, problems) = world(&[
        "id: team\nchecklist: [stop-tried]\nchecklist_words: { stop-tired: Stop it }\nrules: {}",
    ]);
    let [problem] = problems.as_slice() else {
        panic!("{problems:?}");
    };
    assert_eq!(
        problem.message,
        "there is no item `stop-tired` on the checklist"
    );
    assert_eq!(problem.help.as_deref(), Some("did you mean `stop-tried`?"));
}

#[test]
fn a_policy_adds_to_the_checklist_and_takes_nothing_away() {
    let (sources, policies, problems) = world(&[
        "id: team\nchecklist: [stop-tried, logging-on]\nrules: {}",
        "id: strict\nextends: team\nchecklist: [logging-on, gauge-set]\nrules: {}",
        "id: silent\nextends: strict\nrules: {}",
    ]);
    assert_eq!(problems, []);
    let items = |policy: &str| -> Vec<(String, String)> {
        let effective = policies.get(policy).expect(policy);
        let items = effective.checklist.iter();
        items
            .map(|item| {
                let path = sources.path(item.span().source).to_owned();
                (item.value.clone(), path)
            })
            .collect()
    };
    let own = |item: &str, path: &str| (item.to_owned(), path.to_owned());
    let strict = vec![
        own("stop-tried", "p0.yaml"),
        own("logging-on", "p0.yaml"),
        own("gauge-set", "p1.yaml"),
    ];
    assert_eq!(items("team"), strict[..2]);
    assert_eq!(items("strict"), strict);
    assert_eq!(items("silent"), strict);
    assert!(policies.builtin().checklist.is_empty());
}
