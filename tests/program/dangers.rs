//! Dangers that a plan can hold, each made by one edit of a mission of the demo that passes: the
//! rule that is there for it, and no silence.

use crate::shared::demo_tree as tree;

use offing::door::check::Outcome;
use offing::door::finding::Nature;
use tree::{Files, mission};

const ID: &str = "north-bay-lines";
const SITE: &str = "site/quenderby.yaml";

fn edited(edits: &[(&str, &str, &str)]) -> Outcome {
    let mut files = Files::demo(&[ID]);
    for (path, from, to) in edits {
        let path = if *path == "mission" {
            mission(ID)
        } else {
            (*path).to_owned()
        };
        files.edit(&path, from, to);
    }
    files.check()
}

/// Rules with a finding, in order, each with whether it could be judged.
fn rules(outcome: &Outcome) -> Vec<(String, Nature)> {
    let mut rules: Vec<_> = outcome
        .findings
        .iter()
        .map(|f| (f.rule.clone(), f.nature))
        .collect();
    rules.sort();
    rules
}

fn holds(outcome: &Outcome, rule: &str, nature: Nature) {
    let found = rules(outcome);
    assert!(
        found.contains(&(rule.to_owned(), nature)),
        "{rule}: {found:?}"
    );
}

#[test]
fn the_mission_itself_passes() {
    assert_eq!(rules(&edited(&[])), []);
}

#[test]
fn a_run_that_outlasts_the_latest_return() {
    let late = "latest_return: 2027-06-15T11:30";
    let outcome = edited(&[("mission", late, "latest_return: 2027-06-15T09:45")]);
    holds(&outcome, "return-on-time", Nature::Violation);
    let outcome = edited(&[("mission", late, "")]);
    holds(&outcome, "return-on-time", Nature::NotEvaluated);
}

#[test]
fn responses_that_are_none() {
    let lost_link = "on_lost_link: { action: return, after: 10 s }";
    let lost_position = "on_lost_position: { action: stop, after: 5 s }";
    let low = "on_low_battery: { action: return,";
    let cases = [
        (
            lost_link,
            "on_lost_link: { action: carry on, after: 10 s }",
            "lost-link-action",
        ),
        (
            lost_link,
            "on_lost_link: { action: return, after: 10 h }",
            "lost-link-delay",
        ),
        (
            lost_position,
            "on_lost_position: { action: carry on, after: 5 s }",
            "lost-position-action",
        ),
        (
            lost_position,
            "on_lost_position: { action: return, after: 5 s }",
            "lost-position-action",
        ),
        (low, "on_low_battery: { action: hold,", "low-battery-action"),
    ];
    for (from, to, rule) in cases {
        let outcome = edited(&[("mission", from, to)]);
        assert_eq!(
            rules(&outcome),
            [(rule.to_owned(), Nature::Violation)],
            "{to}"
        );
    }
    for (from, rule) in [
        (lost_link, "lost-link-action"),
        (lost_position, "lost-position-action"),
    ] {
        let outcome = edited(&[("mission", from, "")]);
        holds(&outcome, rule, Nature::NotEvaluated);
    }
}

#[test]
fn a_landing_zone_that_takes_in_the_lake() {
    let outcome = edited(&[(
        SITE,
        "    zone: 50 m\n    depth: 1.1 m",
        "    zone: 5 km\n    depth: 1.1 m",
    )]);
    holds(&outcome, "input-value", Nature::Input);
    assert!(outcome.checked.is_empty());
}

/// A wind that holds a disabled boat against the current must not be counted on.
#[test]
fn a_current_that_a_wind_happens_to_hold_off() {
    let swift = "currents:\n  - { id: swift, area: [[52.390, -24.330], [52.390, -24.290], [52.410, \
                 -24.290], [52.410, -24.330]], set: 250°, drift: 0.4 m/s }\n\n";
    let demo = Files::demo(&[ID]);
    let site = demo.text(SITE);
    let (begin, end) = (site.find("currents:\n"), site.find("launch_sites:\n"));
    let own = site[begin.expect("currents")..end.expect("launch sites after them")].to_owned();
    let drift_time = |mean: &str, gust: &str, from: &str| {
        let mut files = Files::demo(&[ID]);
        files.edit(SITE, &own, swift);
        let name = mission(ID);
        let conditions = files.text(&name).to_owned();
        let begin = conditions
            .find("conditions:\n")
            .expect("the mission states conditions");
        let end = begin
            + conditions[begin..]
                .find("\n\n")
                .unwrap_or(conditions.len() - begin);
        let old = conditions[begin..end].to_owned();
        let new = format!(
            "conditions:\n  wind: {{ from: {from}, spread: 0°, mean: {mean}, gust: {gust}, height: 10 m }}\n  \
             water_temperature: 20 °C"
        );
        files.edit(&name, &old, &new);
        let outcome = files.check();
        let judged = outcome.checked[0]
            .judged
            .iter()
            .find(|j| &*j.rule == "drift-ashore");
        judged
            .and_then(|j| j.measured)
            .map(|q| q.value)
            .expect("a drift time")
    };
    // Towards 250° runs the current; from 250° the wind holds against it.
    let calm = drift_time("0 m/s", "0 m/s", "250°");
    let against = drift_time("4 m/s", "5.7 m/s", "250°");
    assert!(
        against <= calm + 1e-6,
        "{against} s in the wind, {calm} s without"
    );
}

#[test]
fn currents_that_overlap() {
    let mut files = Files::demo(&[ID]);
    let twin = "currents:\n  - { id: twin, area: [[52.390, -24.330], [52.390, -24.270], [52.410, -24.270], \
                [52.410, -24.330]], set: 90°, drift: 0 m/s }\n";
    files.edit(SITE, "currents:\n", twin);
    let outcome = files.check();
    holds(&outcome, "input-value", Nature::Input);
    assert!(
        outcome
            .findings
            .iter()
            .any(|f| f.message.contains("overlap")),
        "{:?}",
        rules(&outcome)
    );
}

/// A battery that runs flat is not a wind that is too strong.
#[test]
fn a_battery_that_runs_flat_on_the_way_home() {
    let outcome = edited(&[("mission", "below_charge: 45 %", "below_charge: 1 %")]);
    let finding = outcome
        .findings
        .iter()
        .find(|f| f.rule == "low-battery-trigger-late")
        .expect("a finding");
    assert!(
        finding.nature == Nature::Violation || finding.message.contains("runs flat"),
        "{}",
        finding.message
    );
}

/// What is left unsaid of people and of failures is no pass.
#[test]
fn what_is_left_unsaid_is_told() {
    let cases: &[(&str, &str, &str, &str)] = &[
        (
            "mission",
            "  lookout: second helper\n",
            "",
            "roles-assigned",
        ),
        (
            "mission",
            "  lookout: second helper\n",
            "",
            "dedicated-lookout",
        ),
        ("mission", "  at_water: 3\n", "", "minimum-crew"),
        ("mission", "  overdue: 30 min\n", "", "overdue-alarm"),
        (
            "mission",
            "  shore_contact: desk officer at the office\n",
            "",
            "shore-contact",
        ),
        (
            "mission",
            "  means: telephones of two networks, coverage tried at both launch sites\n",
            "",
            "means-of-alarm",
        ),
        (
            "mission",
            "on_lost_propulsion: { action: drift, then: the recovery crew fetches it with the inflatable }\n",
            "",
            "lost-propulsion-action",
        ),
        (
            "mission",
            "manual_override: { over: control, within: 2 s }\n",
            "",
            "override-overrun",
        ),
        (
            "mission",
            "manual_override: { over: control, within: 2 s }\n",
            "",
            "contingencies-consistent",
        ),
        (
            "mission",
            "{ action: stop, after: 5 s }",
            "{ action: stop }",
            "lost-position-overrun",
        ),
        ("mission", "      clear_of_land: 25 m\n", "", "shoreline"),
        (
            SITE,
            "emergency_contact: The reservoir keeper on duty; the number is on the launch card.",
            "",
            "emergency-contact",
        ),
    ];
    for (path, from, to, rule) in cases {
        holds(&edited(&[(path, from, to)]), rule, Nature::NotEvaluated);
    }
}

/// Water that nobody else uses asks for nobody to be told; water of which nothing is said does not.
#[test]
fn other_users_of_the_water() {
    let told = "other_users_notified:\n  - { users: anglers, how: a notice at the slip and a call to their club a week before }\n";
    let users = "other_users:\n  - { id: anglers, title: Anglers in rowing boats, when: at weekends and in the evening }\n";
    let alone = edited(&[("mission", told, ""), (SITE, users, "other_users: []\n")]);
    assert_eq!(rules(&alone), []);
    let unsaid = edited(&[("mission", told, ""), (SITE, users, "")]);
    holds(&unsaid, "other-users-notified", Nature::NotEvaluated);
    let untold = edited(&[("mission", told, "")]);
    holds(&untold, "other-users-notified", Nature::NotEvaluated);
}

/// A boat that waits for its link comes home by nothing where the low battery does not bring it.
#[test]
fn a_boat_that_waits_for_ever() {
    let outcome = edited(&[
        (
            "mission",
            "on_lost_link: { action: return",
            "on_lost_link: { action: stop",
        ),
        (
            "mission",
            "on_low_battery: { action: return",
            "on_low_battery: { action: hold",
        ),
    ]);
    holds(&outcome, "contingencies-consistent", Nature::Violation);
}

/// Without a word on it, the boat does at home what it does at the end of the route.
#[test]
fn an_end_of_the_way_home_that_is_not_stated() {
    let unsaid = ("mission", "  at_end: hold\n", "");
    assert_eq!(rules(&edited(&[unsaid])), []);
    let outcome = edited(&[
        unsaid,
        (
            "mission",
            "at_end: { action: hold }",
            "at_end: { action: carry on }",
        ),
    ]);
    holds(&outcome, "stop-after-return", Nature::Violation);
}

/// Nobody acts in no time, no boat stops on the spot, no receiver is without error.
#[test]
fn zeros_that_cannot_be() {
    let boat = "vessels/goosander.yaml";
    let cases = [
        ("mission", "reaction_time: 10 s", "reaction_time: 0 s"),
        ("mission", "within: 2 s }", "within: 0 s }"),
        ("mission", "ready_within: 2 min", "ready_within: 0 s"),
        (
            "mission",
            "{ action: stop, after: 5 s }",
            "{ action: stop, after: 0 s }",
        ),
        (boat, "stopping_distance: 3 m", "stopping_distance: 0 m"),
        (
            boat,
            "internal_resistance: 60 mohm",
            "internal_resistance: 0 mohm",
        ),
        (boat, "position_error: 2.0 m", "position_error: 0 m"),
        (boat, "cross_track_error: 2.0 m", "cross_track_error: 0 m"),
        (boat, "leeway: 4 %", "leeway: 0.9 %"),
        ("mission", "wind_limit: 12 m/s", "wind_limit: 16 m/s"),
        ("mission", "overdue: 30 min", "overdue: 0 min"),
    ];
    for edit in cases {
        let outcome = edited(&[edit]);
        holds(&outcome, "input-value", Nature::Input);
        assert!(outcome.checked.is_empty(), "{edit:?}");
    }
}

/// The measured figure of a rule of the mission.
fn measured(outcome: &Outcome, rule: &str) -> f64 {
    let mut judged = outcome.checked[0].judged.iter();
    judged
        .find(|judged| &*judged.rule == rule)
        .and_then(|judged| judged.measured)
        .map(|quantity| quantity.value)
        .expect("a figure")
}

/// A word that says nothing of a hazard makes it no less than leaving the word out.
#[test]
fn a_hazard_of_some_other_kind() {
    let weir = "    kind: weir\n";
    let other = edited(&[(SITE, weir, "    kind: other\n")]);
    let unsaid = edited(&[(SITE, weir, "")]);
    let rule = "drift-onto-weir";
    let (other, unsaid) = (measured(&other, rule), measured(&unsaid, rule));
    assert!((other - unsaid).abs() < 1e-9, "{other} s, {unsaid} s");
    let rock = edited(&[(SITE, weir, "    kind: rock\n")]);
    assert!(other <= measured(&rock, rule) + 1e-9);
}

/// A site that says nothing of its hazards may have a weir; one that says `[]` has none.
#[test]
fn hazards_that_are_left_out() {
    let demo = Files::demo(&[ID]);
    let site = demo.text(SITE);
    let (begin, end) = (site.find("hazards:\n"), site.find("keep_out:\n"));
    let own = site[begin.expect("hazards")..end.expect("keep-outs after them")].to_owned();
    let outcome = edited(&[(SITE, &own, "")]);
    holds(&outcome, "drift-onto-weir", Nature::NotEvaluated);
    assert_eq!(rules(&edited(&[(SITE, &own, "hazards: []\n\n")])), []);
}

/// Depths at the launch sites are stated for the datum: water below it takes from them.
#[test]
fn a_landing_place_at_low_water() {
    let level = "above_datum: -0.20 m";
    let under = |level_stated: &str| {
        let outcome = edited(&[(SITE, level, level_stated)]);
        measured(&outcome, "under-keel-clearance")
    };
    let (high, low) = (under("above_datum: 1 m"), under("above_datum: -0.6 m"));
    assert!(low < high - 0.5, "{low} m, {high} m");
    let outcome = edited(&[(SITE, level, "above_datum: -0.6 m")]);
    holds(&outcome, "under-keel-clearance", Nature::Violation);
}

/// A faster craft than any that is counted on fetches no sooner.
#[test]
fn a_recovery_craft_that_flies() {
    let in_hand = |speed: &str| {
        let outcome = edited(&[("mission", "speed: 2.5 m/s", speed)]);
        measured(&outcome, "drift-onto-weir")
    };
    let (fast, flying) = (in_hand("speed: 6 m/s"), in_hand("speed: 90 m/s"));
    assert!((fast - flying).abs() < 1e-9, "{fast} s, {flying} s");
}

/// A limit of the waves that would capsize the hull is not one to go by. The highest of 1000 waves
/// is exceeded by one run in ten at 2.14 times the significant height (Longuet-Higgins, 1952, by Rayleigh's
/// distribution: (1 − exp(−2 · 2.14²))^1000 = 0.9).
#[test]
fn a_wave_limit_past_the_hull() {
    let share = |limit: &str| {
        let edit = ("vessels/goosander.yaml", "wave_height: 0.15 m", limit);
        measured(&edited(&[edit]), "wave-height")
    };
    let (stated, absurd) = (share("wave_height: 0.15 m"), share("wave_height: 3 m"));
    let most = 0.3 * 1.2 / (-0.5 * (1.0 - 0.9_f64.powf(1e-3)).ln()).sqrt();
    let expected = stated * 0.15 / most;
    assert!(
        (absurd / expected - 1.0).abs() < 0.01,
        "{absurd}, {expected}"
    );
}

/// Texts that begin with a gap name nobody, and an addition makes no other person.
#[test]
fn roles_that_are_gaps_or_the_same() {
    let watch = "lookout: second helper";
    for (role, rule) in [
        ("lookout: not yet", "roles-assigned"),
        ("lookout: nobody this time", "roles-assigned"),
        ("lookout: the operator on shore", "dedicated-lookout"),
        ("lookout: operator too", "dedicated-lookout"),
    ] {
        holds(
            &edited(&[("mission", watch, role)]),
            rule,
            Nature::Violation,
        );
    }
    let outcome = edited(&[(
        SITE,
        "evidence: letter of the water board, in the team's folder",
        "evidence: to be confirmed",
    )]);
    holds(&outcome, "permission-in-force", Nature::NotEvaluated);
}

/// The trigger that a finding tells to write passes, and one step less does not.
#[test]
fn a_remedy_that_is_followed_passes() {
    let of = |id: &str, edits: &[(&str, &str)]| {
        let mut files = Files::demo(&[id]);
        for (from, to) in edits {
            files.edit(&mission(id), from, to);
        }
        files.check()
    };
    let found = |outcome: &Outcome, rule: &str| {
        let mut findings = outcome.findings.iter();
        findings.find(|finding| finding.rule == rule).cloned()
    };
    let shown = "below_charge: 44 %";
    let low = "low-battery-trigger-late";
    let at = |share: &str| {
        let to = format!("below_charge: {share}");
        found(&of("long-run-downwind", &[(shown, &to)]), low)
    };
    let remedies = at("44 %").unwrap().remedies_told();
    let told = remedies
        .iter()
        .find_map(|remedy| remedy.strip_prefix("Set `on_low_battery: below_charge` to "))
        .unwrap_or_else(|| panic!("{remedies:?}"));
    let share = told.trim_end_matches('.');
    assert!(at(share).is_none(), "{share}");
    let percent: u32 = share.trim_end_matches(" %").parse().unwrap();
    assert!(at(&format!("{} %", percent - 1)).is_some(), "{share}");
}
