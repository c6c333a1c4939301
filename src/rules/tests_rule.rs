//! Rules: bounds, scopes, names.

use super::testing::{add, builtin_catalogue, load, refused, rule_text, shown};
use super::*;
use crate::finding::{Severity, Side};
use crate::measures::Scope;
use crate::schema::Kind;
use crate::source::Sources;

#[test]
fn a_rule_keeps_what_it_states_and_where() {
    let (sources, rule) = load(
        "measure: mission.reach\nat_least: 5 m\nat_most: 1 km\napplies_when: mission.returns\n\
         sources: [One source]\nexamples: {fail: [a], pass: [b, c]}",
    );
    let rule = rule.expect("sound");
    assert_eq!(&*rule.id.value, "r");
    assert_eq!(sources.slice(rule.id.span()), "r");
    assert_eq!(sources.slice(rule.measure.span()), "mission.reach");
    assert_eq!(rule.bound.describe(), "at least 5 m and at most 1000 m");
    let most = rule.bound.limit(Side::AtMost).expect("a limit");
    assert_eq!(sources.slice(most.span()), "1 km");
    assert_eq!(rule.severity.value, Severity::Error);
    assert_eq!(sources.slice(rule.severity.span()), "error");
    assert_eq!(rule.scope, Scope::Mission);
    assert_eq!(rule.sources, ["One source"]);
    assert_eq!(rule.examples.fail[0].value, "a");
    assert_eq!(sources.slice(rule.examples.pass[1].span()), "c");
}

fn single(lines: &str) -> (String, String, String) {
    let mut all = refused(lines);
    assert_eq!(all.len(), 1, "{all:?}");
    all.remove(0)
}

#[test]
fn a_bound_of_another_kind_than_the_measure_is_refused() {
    assert_eq!(
        single("measure: mission.reserve\nat_least: 30 s"),
        (
            "`at_least`: `30 s` is a duration where a share is due, such as `30 %`".to_owned(),
            "30 s".to_owned(),
            String::new()
        )
    );
    assert_eq!(
        single("measure: mission.reach / mission.delay\nat_most: 4 m"),
        (
            "`at_most`: `4 m` is a length where a speed is due, such as `1.2 m/s`".to_owned(),
            "4 m".to_owned(),
            String::new()
        )
    );
    assert_eq!(
        single("measure: mission.returns\nat_most: 4 m"),
        (
            "`mission.returns` is true or false, so `at_most` does not apply to it".to_owned(),
            "4 m".to_owned(),
            "write `equals: true` or `equals: false`".to_owned()
        )
    );
    assert_eq!(
        single("measure: mission.reach\nequals: true"),
        (
            "`mission.reach` is a length, which no measurement equals exactly".to_owned(),
            "true".to_owned(),
            "limit it with `at_least` or `at_most`".to_owned()
        )
    );
    assert_eq!(
        single("measure: mission.reach * mission.delay\nat_least: 4 m"),
        (
            "`mission.reach * mission.delay` is a quantity in m·s, for which no limit can be \
             written"
                .to_owned(),
            "mission.reach * mission.delay".to_owned(),
            "divide by a quantity of its kind, to get a share".to_owned()
        )
    );
    assert_eq!(
        single("measure: mission.reach\nat_least: 6 m\nat_most: 5 m").0,
        "no value is at least 6 m and at most 5 m"
    );
}

#[test]
fn a_condition_must_be_true_or_false() {
    assert_eq!(
        single("measure: mission.reach\nat_least: 6 m\napplies_when: mission.delay"),
        (
            "`applies_when` is a duration where true or false is due".to_owned(),
            "mission.delay".to_owned(),
            "compare it with something, such as `> q(\"30 m\")`".to_owned()
        )
    );
    assert_eq!(
        single("measure: mission.reach\nat_least: 6 m\napplies_when: mission.dely > q(\"1 s\")"),
        (
            "`applies_when`: unknown measure `mission.dely`".to_owned(),
            "mission.dely".to_owned(),
            "did you mean `mission.delay`?".to_owned()
        )
    );
}

#[test]
fn measures_of_two_scopes_cannot_be_paired() {
    let due = |span: &str| {
        (
            "`link.margin` and `end.depth` are about different things, `link` and `end`, which \
             cannot be paired"
                .to_owned(),
            span.to_owned(),
            "a rule may use `mission` and one other subject".to_owned(),
        )
    };
    let both = "link.margin > q(\"3 dB\") && end.depth > q(\"1 m\")";
    assert_eq!(single(&format!("measure: {both}\nequals: true")), due(both));
    let when = "end.depth > q(\"1 m\")";
    assert_eq!(
        single(&format!(
            "measure: link.margin\nat_least: 3 dB\napplies_when: {when}"
        )),
        due(when)
    );
    let (_, rule) = load("measure: link.margin\nat_least: 3 dB\napplies_when: mission.returns");
    assert_eq!(rule.expect("sound").scope, Scope::Link);
}

#[test]
fn every_problem_of_a_rule_is_told() {
    let all = refused(
        "measure: mission.reach\nat_least: 6 s\nat_most: 7 kn\napplies_when: mission.delay",
    );
    assert_eq!(all.len(), 3, "{all:?}");
}

#[test]
fn a_team_rule_cannot_take_the_name_of_another() {
    let mut sources = Sources::new();
    let catalogue = builtin_catalogue();
    let set = RuleSet::builtin(&mut sources, &catalogue).expect("sound");
    let count = set.rules().len();
    let lines = "measure: link.margin\nat_least: 3 dB";
    let (a, first) = add(
        &mut sources,
        "a.yaml",
        Kind::Rule,
        &rule_text("link-margin", lines),
    );
    let (b, second) = add(
        &mut sources,
        "b.yaml",
        Kind::Rule,
        &rule_text("ours", lines),
    );
    let (c, third) = add(
        &mut sources,
        "c.yaml",
        Kind::Rule,
        &rule_text("ours", lines),
    );
    let (d, fourth) = add(
        &mut sources,
        "d.yaml",
        Kind::Rule,
        &rule_text("broken", "measure: link.margn\nat_least: 3 dB"),
    );
    let files = [(a, &first), (b, &second), (c, &third), (d, &fourth)];
    let (set, problems) = set.with_team(&files, &[], &catalogue, &sources);
    assert_eq!(
        shown(&problems, &sources),
        [
            (
                "`link-margin` is a built-in rule, which no other may replace".to_owned(),
                "link-margin".to_owned(),
                "give this rule another id; a policy may tighten the built-in one".to_owned()
            ),
            (
                "there is another rule `ours`".to_owned(),
                "ours".to_owned(),
                "give one of them another id".to_owned()
            ),
            (
                "`measure`: unknown measure `link.margn`".to_owned(),
                "link.margn".to_owned(),
                "did you mean `link.margin`?".to_owned()
            ),
        ]
    );
    let builtin = "builtin:rules/link/link-margin.yaml";
    assert_eq!(sources.path(problems[0].related[0].0.source), builtin);
    assert_eq!(set.rules().len(), count + 1);
    assert_eq!(
        sources.path(set.get("ours").expect("there").source),
        "b.yaml"
    );
    assert!(set.is_builtin("link-margin") && !set.is_builtin("ours"));
}

#[test]
fn examples_that_do_not_come_out_are_told() {
    let (sources, rule) = load(
        "measure: mission.reach\nat_least: 6 m\nexamples: {fail: [a, b, c], pass: [d, e, f, g]}",
    );
    let rule = rule.expect("sound");
    let verdicts = [
        ("a", Verdict::Fails),
        ("b", Verdict::Unknown),
        ("c", Verdict::Holds),
        ("d", Verdict::Holds),
        ("e", Verdict::NotApplicable),
        ("f", Verdict::Fails),
    ]
    .map(|(id, verdict)| (id.to_owned(), verdict));
    let found = examples(&rule, &verdicts.into_iter().collect());
    let lines: Vec<(String, &str)> = found
        .iter()
        .map(|m| (m.message(), sources.slice(m.span)))
        .collect();
    assert_eq!(
        lines,
        [
            (
                "rule `r` must fail for mission `b`, for which it could not be \
              evaluated"
                    .to_owned(),
                "b"
            ),
            (
                "rule `r` must fail for mission `c`, which passes it".to_owned(),
                "c"
            ),
            (
                "rule `r` must pass for mission `e`, to which it does not apply".to_owned(),
                "e"
            ),
            (
                "rule `r` must pass for mission `f`, which fails it".to_owned(),
                "f"
            ),
            (
                "rule `r` must pass for mission `g`, which was not checked: there is no valid \
                 mission of this id"
                    .to_owned(),
                "g"
            ),
        ]
    );
}
