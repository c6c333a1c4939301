//! The same plan on another day: what is taken from it, what the day states, and what a change of it bears on.

use std::collections::BTreeSet;

use offing::door::check::Outcome;

use crate::shared::demo_tree::{Files, MARK, mission, orders, places, told};
use crate::shared::repo::{Repo, standing};

/// A plan with a forecast, which names orders.
const PLAN: &str = "dam-to-bay-transects";
const AGAIN: &str = "again";
const HEAD: &str = "kind: mission
format: 1
id: again
repeats: dam-to-bay-transects
launch: { time: 2027-06-24T08:40, latest_return: 2027-06-24T10:30 }
charged: 2027-06-23
";
const FORECAST: &str = "conditions:
  forecast:
    source: the lake forecast that the team subscribes to
    issued: 2027-06-24T05:00
    valid_until: 2027-06-24T17:00
    height: 10 m
    spread: 15°
    hours:
      - { time: 2027-06-24T08:00, from: 250°, mean: 2.5 m/s, gust: 5.5 m/s }
      - { time: 2027-06-24T09:00, from: 255°, mean: 2.8 m/s, gust: 6.5 m/s }
      - { time: 2027-06-24T10:00, from: 255°, mean: 2.8 m/s, gust: 6.5 m/s }
      - { time: 2027-06-24T11:00, from: 255°, mean: 2.8 m/s, gust: 6.5 m/s }
";

fn day() -> String {
    format!("{HEAD}{FORECAST}")
}

fn with(day: &str) -> Files {
    let mut files = Files::demo(&[PLAN]);
    files.write(&mission(AGAIN), day);
    files
}

/// What is found of a mission, and what its passage comes to.
fn of(outcome: &Outcome, id: &str) -> (BTreeSet<String>, String) {
    let all = outcome.findings.iter();
    let found = all.filter(|one| one.mission.as_deref() == Some(id));
    let found = found.map(|one| one.message.clone()).collect();
    let checked = outcome.checked.iter().find(|one| one.mission == id);
    let figures = checked.map(|one| format!("{:?}", one.figures));
    (found, figures.unwrap_or_default())
}

#[test]
fn a_mission_is_judged_as_if_it_stated_the_plan_itself() {
    let files = with(&day());
    let repeated = files.check();
    // The plan's own text, with the day put in its place by hand.
    let plan = files.text(&mission(PLAN)).to_owned();
    let begin = plan.find("conditions:\n").unwrap();
    let end = plan.find("\nroute:\n").unwrap();
    let kept = "  water_temperature: 20 °C\n  visibility: 5 km\n";
    assert!(plan[begin..end].ends_with(kept), "{plan}");
    let whole = format!("{}{FORECAST}{kept}{}", &plan[..begin], &plan[end..]);
    let whole = whole
        .replace(&format!("id: {PLAN}"), "id: again")
        .replace("2027-06-22T08:40", "2027-06-24T08:40")
        .replace("2027-06-22T10:30", "2027-06-24T10:30")
        .replace("2027-06-21", "2027-06-23");
    let stated = with(&whole).check();
    assert_eq!(repeated.checked.len(), 2, "{}", told(&repeated));
    assert_eq!(of(&repeated, AGAIN), of(&stated, AGAIN));
    assert_eq!(of(&repeated, PLAN), of(&stated, PLAN));
    let checked = repeated.checked.iter().find(|one| one.mission == AGAIN);
    let laid = checked.unwrap().repeats.as_ref().unwrap();
    assert_eq!((laid.id.as_str(), laid.differs.len()), (PLAN, 0));
}

#[test]
fn each_day_has_its_own_light() {
    // Six in the evening is light at this place in June, and dark in October. The wind planned for
    // is the plan's.
    let day = |day: &str| {
        let mut files = Files::demo(&["careless-end"]);
        let launch = format!("time: {day}T16:40, latest_return: {day}T18:10");
        let text = format!(
            "kind: mission\nformat: 1\nid: again\nrepeats: careless-end\nlaunch: {{ {launch} }}\ncharged: {day}\n"
        );
        files.write(&mission(AGAIN), text);
        files.check()
    };
    let dark = |outcome: &Outcome| {
        assert_eq!(outcome.checked.len(), 2, "{}", told(outcome));
        let mut all = outcome.findings.iter();
        all.any(|one| one.mission.as_deref() == Some(AGAIN) && one.rule.contains("daylight"))
    };
    let (summer, autumn) = (day("2027-06-24"), day("2027-10-24"));
    assert!(!dark(&summer), "{}", told(&summer));
    assert!(dark(&autumn), "{}", told(&autumn));
}

#[test]
fn the_other_days_facts_are_not_taken() {
    let text = "kind: mission\nformat: 1\nid: again\nrepeats: careless-end\nlaunch: { time: 2027-06-24T08:40 }\n";
    let mut files = Files::demo(&["careless-end"]);
    files.write(&mission(AGAIN), text);
    let outcome = files.check();
    for rule in ["recently-charged", "return-on-time"] {
        let mut found = outcome.findings.iter();
        let there = found.any(|one| one.rule == rule && one.mission.as_deref() == Some(AGAIN));
        assert!(there, "{rule}: {}", told(&outcome));
    }
    let outcome = with(HEAD).check();
    assert!(
        told(&outcome).contains("in `conditions`") && outcome.checked.len() == 1,
        "{}",
        told(&outcome)
    );
}

#[test]
fn what_belongs_to_the_plan_is_refused_on_its_key() {
    let day = format!(
        "{}{MARK}route: [{{ id: a, to: [52.4, -24.29] }}]\n{MARK}orders: from-the-dam\n",
        day()
    );
    let files = with(&day.replace("launch: {", &format!("launch: {{ {MARK}place: dam-quay,")));
    let outcome = files.check();
    let told = told(&outcome);
    assert_eq!(places(&outcome), files.marks(), "{told}");
    let says = "`launch.place` belongs to the plan that this mission repeats";
    assert!(told.contains(says), "{told}");
}

#[test]
fn a_plan_that_cannot_be_had_is_told_on_the_line() {
    let line = format!("repeats: {PLAN}");
    let named = |to: &str| with(&day().replace(&line, &format!("repeats: {MARK}{to}")));
    let says = |files: &Files, says: &str| {
        let outcome = files.check();
        let told = told(&outcome);
        assert_eq!(places(&outcome), files.marks(), "{told}");
        assert!(told.contains(says), "{told}");
    };
    let files = named("dam-to-bay-transect");
    says(&files, "No mission file has the id `dam-to-bay-transect`");
    // One that repeats another, or itself.
    let mut files = named("other-day");
    let other = day().replace("id: again", "id: other-day");
    files.write(&mission("other-day"), other);
    says(
        &files,
        &format!("Mission `other-day` repeats `{PLAN}` itself"),
    );
    says(&named(AGAIN), "Mission `again` repeats itself");
}

#[test]
fn a_plan_with_errors_is_told_once_and_its_day_is_not_judged() {
    let mut files = with(&day().replace("repeats: ", &format!("repeats: {MARK}")));
    files.edit(&mission(PLAN), "delay: 15 min", &format!("delay: {MARK}15"));
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks(), "{}", told(&outcome));
    assert!(outcome.checked.is_empty());
    let mut why = outcome.not_checked.iter().map(|one| one.why.as_str());
    assert!(
        why.any(|why| why == "mission `dam-to-bay-transects`, which it repeats, cannot be used")
    );
}

#[test]
fn what_the_plan_and_its_orders_lack_is_missing_once() {
    let mut files = with(&day());
    files.edit(&orders("from-the-dam"), "  control: needed\n", "");
    let outcome = files.check();
    let all = outcome.findings.iter();
    let said = all.filter(|one| one.message == "`control` is missing in `links`");
    assert_eq!(said.count(), 1, "{}", told(&outcome));
    assert!(outcome.checked.is_empty());
}

#[test]
fn the_digest_covers_the_plan() {
    let digest = |files: &Files| {
        let outcome = files.check();
        let one = outcome.checked.iter().find(|one| one.mission == AGAIN);
        one.unwrap().digests.clone()
    };
    let mut files = with(&day());
    let was = digest(&files);
    let repeated = was.files.iter().find(|file| file.role == "repeated");
    assert_eq!(repeated.unwrap().name, PLAN);
    files.edit(&mission(PLAN), "pause: 3 min", "pause: 4 min");
    assert_ne!(digest(&files).whole, was.whole);
}

fn laid(files: &Files) -> Repo {
    let repo = Repo::empty();
    for (path, text) in &files.0 {
        repo.write(path, std::str::from_utf8(text).unwrap());
    }
    repo.commit();
    repo
}

#[test]
fn a_change_of_the_plan_is_one_of_every_day() {
    let mut files = Files::demo(&[PLAN, "careless-end"]);
    files.write(&mission(AGAIN), day());
    let repo = laid(&files);
    let checked = || -> BTreeSet<String> {
        let (_, report) = repo.json(&["check", ".", "--changed-since", "HEAD"]);
        let all = report["missions"].as_array().unwrap().iter();
        all.map(|one| one["mission"].as_str().unwrap().to_owned())
            .collect()
    };
    let both = BTreeSet::from([AGAIN, PLAN].map(str::to_owned));
    assert!(checked().is_empty());
    repo.edit(&mission(PLAN), "pause: 3 min", "pause: 4 min");
    assert_eq!(checked(), both);
    repo.git(&["checkout", "--", "."]);
    repo.edit(
        &mission(AGAIN),
        "charged: 2027-06-23",
        "charged: 2027-06-22",
    );
    assert_eq!(checked(), both);
    let (_, report) = repo.json(&["check", "."]);
    let all = report["missions"].as_array().unwrap().iter();
    // A day is judged by the policy that its plan names.
    let policies: BTreeSet<&str> = all.map(|one| one["policy"].as_str().unwrap()).collect();
    assert_eq!(policies, BTreeSet::from(["team"]));
}

#[test]
fn days_are_begun_by_a_command_and_filled_in() {
    let repo = laid(&Files::demo(&[PLAN]));
    let repeat = |plan: &str, times: &[&str]| {
        let mut all = vec!["repeat", plan];
        all.extend(times.iter().flat_map(|time| ["--time", *time]));
        let output = repo.offing(&all);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        (output.status.code().unwrap(), said)
    };
    let (status, said) = repeat(PLAN, &["2027-06-24T08:40", "2027-06-25T09:10"]);
    assert_eq!(status, 0, "{said}");
    let path = "missions/dam-to-bay-transects-2027-06-24.yaml";
    let day = repo.read(path);
    assert!(day.contains("latest_return: 2027-06-24T10:30\n"), "{day}");
    let other = repo.read("missions/dam-to-bay-transects-2027-06-25.yaml");
    assert!(
        other.contains("latest_return: 2027-06-25T11:00\n"),
        "{other}"
    );
    // Each gap is an error on its line, and nothing else of the file is.
    let (_, report) = repo.json(&["check", path]);
    let findings = report["findings"].as_array().unwrap().iter();
    let lines = findings.map(|one| {
        one["primary"]["location"]["start"]["line"]
            .as_u64()
            .unwrap()
    });
    let gaps = (1..).zip(day.lines());
    let gaps = gaps.filter(|(_, line)| line.contains("to be filled"));
    let gaps: BTreeSet<u64> = gaps.map(|(number, _)| number).collect();
    assert_eq!(lines.collect::<BTreeSet<u64>>(), gaps, "{report}");
    // Nothing is written over, and a day is no plan.
    let (status, said) = repeat(PLAN, &["2027-06-24T08:40"]);
    assert_eq!(status, 64, "{said}");
    assert!(said.contains("exists already"), "{said}");
    let twice = ["2027-06-28T08:40", "2027-06-28T08:40"];
    assert_eq!(repeat(PLAN, &twice).0, 64);
    // Filled in as the gaps say, the day stands as the plan does.
    let charged = day.replace(
        "charged: # to be filled: Day on which the battery was last charged.",
        "charged: 2027-06-23",
    );
    let begin = charged.find("conditions:\n").unwrap();
    repo.write(path, &format!("{}{FORECAST}", &charged[..begin]));
    let (status, report) = repo.json(&["check", path]);
    assert_eq!(status, 0, "{:?}", standing(&report));
    let (status, said) = repeat("dam-to-bay-transects-2027-06-24", &["2027-06-27T08:40"]);
    assert_eq!(status, 64, "{said}");
    assert!(said.contains("repeat that one"), "{said}");
}
