//! Records held against one another and against the decisions on their launches.

use std::collections::BTreeMap;

use super::decisions::Decisions;
use super::records::{Record, Records, begin};
use crate::finding::{Finding, FindingBuilder};
use crate::source::{Sources, Span};

/// How far from the time that was decided on a boat may be launched, and how long before that time it may
/// be decided, s.
const MOST_APART: i64 = 3600;

/// `boats` are those of the records, in their order.
pub(super) fn findings(
    records: &Records,
    decisions: &Decisions<'_>,
    boats: &[String],
) -> Vec<Finding> {
    let by_digest: BTreeMap<&str, &Record> = records
        .records
        .iter()
        .map(|record| (record.sha256.as_str(), record))
        .collect();
    let mut found: Vec<FindingBuilder> = Vec::new();
    for record in &records.records {
        links(record, &by_digest, &mut found);
        times(record, &mut found);
        decision(record, &records.sources, decisions, &mut found);
    }
    twice(&records.records, &mut found);
    run_again(&records.records, boats, &mut found);
    beginnings(&records.records, &mut found);
    found
        .into_iter()
        .map(|builder| builder.build(&records.sources))
        .collect()
}

/// Every record before this one is there, and was recorded before it.
fn links(record: &Record, by_digest: &BTreeMap<&str, &Record>, found: &mut Vec<FindingBuilder>) {
    for previous in &record.run.previous {
        match by_digest.get(previous.value.as_str()) {
            None => found.push(
                begin("record-unlinked", record)
                    .message(format!(
                        "record `{}` follows one that was altered or removed",
                        record.run.id.value
                    ))
                    .primary(previous.span(), "no record has these bytes")
                    .remedy("bring back the record as it was recorded: git has it"),
            ),
            Some(before) if before.run.recorded.value > record.run.recorded.value => found.push(
                begin("record-back-dated", record)
                    .message(format!(
                        "record `{}` follows `{}` and says that it was recorded before it",
                        record.run.id.value, before.run.id.value
                    ))
                    .primary(record.run.recorded.span(), "recorded")
                    .related(before.run.recorded.span(), "the one before")
                    .remedy("find out which of the two was changed"),
            ),
            Some(_) => {}
        }
    }
}

fn times(record: &Record, found: &mut Vec<FindingBuilder>) {
    let run = &record.run;
    let mut off = |text: &str, at: Span, other: Span| {
        found.push(
            begin("record-back-dated", record)
                .message(format!("record `{}`: {text}", run.id.value))
                .primary(at, "here")
                .related(other, "and here")
                .remedy("record it again as it was"),
        );
    };
    if run.ended.value < run.launched.value {
        off(
            "the boat was back before it was launched",
            run.ended.span(),
            run.launched.span(),
        );
    }
    if run.recorded.value < run.ended.value {
        off(
            "it was recorded before the boat was back",
            run.recorded.span(),
            run.ended.span(),
        );
    }
}

/// The run was decided on, by a decision that is still as it was, about this very plan.
fn decision(
    record: &Record,
    sources: &Sources,
    decisions: &Decisions<'_>,
    found: &mut Vec<FindingBuilder>,
) {
    let run = &record.run;
    let Some(of_launch) = &run.decision else {
        found.push(
            begin("run-undecided", record)
                .message(format!(
                    "mission `{}` was run without a decision on its launch",
                    run.mission.value
                ))
                .primary(run.id.span(), "this record")
                .remedy("decide with `offing launch` before a boat is launched"),
        );
        return;
    };
    let Some(launch) = decisions.for_record(record) else {
        let there = sources.find(&of_launch.path.value);
        let mut builder = begin("decision-differs", record)
            .message(format!(
                "the decision on the launch of `{}` was altered or removed",
                run.id.value
            ))
            .primary(of_launch.sha256.span(), "no decision has these bytes")
            .remedy("bring back the decision as it was recorded: git has it");
        if let Some(source) = there {
            builder = builder.related(Span::new(source, 0, 0), "this file has others");
        }
        found.push(builder);
        return;
    };
    let decided = &launch.decided;
    if decided.digest.value != run.digest.value {
        found.push(
            begin("decision-differs", record)
                .message(format!(
                    "the decision on the launch of `{}` is about another plan",
                    run.id.value
                ))
                .primary(run.digest.span(), "what was run")
                .related(decided.digest.span(), "the plan that was decided on")
                .remedy("find out which plan was loaded into the boat"),
        );
    }
    let apart = run.launched.value.duration_since(decided.at.value);
    let other = decided.mission.value != run.mission.value
        || decided.policy.value != run.policy.value
        || apart.as_secs().abs() > MOST_APART;
    if other {
        found.push(
            begin("decision-differs", record)
                .message(format!(
                    "the decision on the launch of `{}` is about another launch: mission `{}` at {}, by \
                     policy `{}`",
                    run.id.value, decided.mission.value, decided.at.value, decided.policy.value
                ))
                .primary(run.launched.span(), "launched")
                .related(decided.at.span(), "decided on")
                .remedy("decide on every launch separately"),
        );
    }
    let late = decided.decided.value.duration_since(run.launched.value);
    if late.as_secs() > MOST_APART {
        found.push(
            begin("decided-afterwards", record)
                .message(format!(
                    "the launch of `{}` was decided after the boat was launched, at {}",
                    run.id.value, decided.decided.value
                ))
                .primary(run.launched.span(), "launched")
                .related(decided.decided.span(), "decided")
                .remedy(
                    "decide before the launch; mention a wrong clock in the record's \
                         conditions",
                ),
        );
    }
    let ahead = decided.at.value.duration_since(decided.decided.value);
    if ahead.as_secs() > MOST_APART {
        found.push(
            begin("decided-early", record)
                .message(format!(
                    "the launch of `{}` was decided at {}, more than an hour before the launch that it was for",
                    run.id.value, decided.decided.value
                ))
                .primary(decided.decided.span(), "decided")
                .related(decided.at.span(), "for this launch")
                .remedy("decide when the launch is near, with readings taken then"),
        );
    }
    if !decided.go || !of_launch.go.value {
        found.push(
            begin("run-against-decision", record)
                .message(format!(
                    "mission `{}` was run, although the decision on its launch was a no-go",
                    run.mission.value
                ))
                .primary(of_launch.go.span(), "this record")
                .related(decided.id.span(), "the decision")
                .remedy("find out who launched it, and why"),
        );
    }
    let waived = |pairs: &mut Vec<(String, String)>| pairs.sort();
    let mut then = decided.waived.clone();
    let mut now: Vec<(String, String)> = run
        .waived
        .iter()
        .map(|(rule, by)| (rule.value.clone(), by.value.clone()))
        .collect();
    waived(&mut then);
    waived(&mut now);
    if then != now {
        found.push(
            begin("decision-differs", record)
                .message(format!(
                    "record `{}` has other waivers than the decision on its launch",
                    run.id.value
                ))
                .primary(run.id.span(), "this record")
                .related(decided.id.span(), "the decision")
                .remedy("find out which of the two was changed"),
        );
    }
}

/// A run is recorded once, under a name of its own.
fn twice(records: &[Record], found: &mut Vec<FindingBuilder>) {
    let mut by_id: BTreeMap<&str, &Record> = BTreeMap::new();
    let mut by_run: BTreeMap<_, &Record> = BTreeMap::new();
    let mut by_decision: BTreeMap<&str, &Record> = BTreeMap::new();
    for record in records {
        let run = &record.run;
        let again = (run.digest.value.as_str(), run.launched.value);
        let decision = run.decision.as_ref().map(|one| one.sha256.value.as_str());
        let other = by_id
            .get(run.id.value.as_str())
            .or(by_run.get(&again))
            .or(decision.and_then(|decision| by_decision.get(decision)));
        if let Some(other) = other {
            found.push(
                begin("record-twice", record)
                    .message(format!(
                        "the run of mission `{}` at {} is recorded twice",
                        run.mission.value, run.launched.value
                    ))
                    .primary(run.id.span(), "this record")
                    .related(other.run.id.span(), "the other one")
                    .remedy("find out which of the two was recorded at the water"),
            );
        }
        by_id.entry(&run.id.value).or_insert(record);
        by_run.entry(again).or_insert(record);
        if let Some(decision) = decision {
            by_decision.entry(decision).or_insert(record);
        }
    }
}

/// What was approved once is run once, and one boat is out once at a time.
fn run_again(records: &[Record], boats: &[String], found: &mut Vec<FindingBuilder>) {
    let mut in_order: Vec<(&Record, &String)> = records.iter().zip(boats).collect();
    in_order.sort_by_key(|(record, _)| (record.run.launched.value, &record.path));
    let mut by_plan: BTreeMap<&str, &Record> = BTreeMap::new();
    let mut by_vessel: BTreeMap<&str, &Record> = BTreeMap::new();
    for (record, boat) in in_order {
        let run = &record.run;
        // One that is there twice is told as that: the same run of the same plan.
        let same = |other: &&Record| {
            let of = &other.run;
            of.launched.value == run.launched.value && of.digest.value == run.digest.value
        };
        let (plan, vessel) = (run.digest.value.as_str(), boat.as_str());
        let before = by_plan.insert(plan, record).filter(|one| !same(one));
        if let Some(before) = before {
            found.push(
                begin("run-twice", record)
                    .message(format!(
                        "record `{}` is of a plan that was run before, at {}; one approval covers \
                         one run",
                        run.id.value, before.run.launched.value
                    ))
                    .primary(run.digest.span(), "this plan")
                    .related(before.run.digest.span(), "run before")
                    .remedy("find out who launched it again; another run needs a plan of its own"),
            );
        }
        let out = by_vessel.get(vessel).copied().filter(|one| !same(one));
        let out = out.filter(|one| one.run.ended.value > run.launched.value);
        if let Some(out) = out {
            found.push(
                begin("runs-overlap", record)
                    .message(format!(
                        "record `{}` has `{}` launched at {}, but by another record it was still \
                         out, until {}",
                        run.id.value, boat, run.launched.value, out.run.ended.value
                    ))
                    .primary(run.launched.span(), "launched")
                    .related(out.run.ended.span(), "back")
                    .remedy("find out which of the two is right"),
            );
        }
        let later = by_vessel.get(vessel);
        if later.is_none_or(|one| one.run.ended.value < run.ended.value) {
            by_vessel.insert(vessel, record);
        }
    }
}

/// A chain has one beginning, unless two branches began one and a later record joins them.
fn beginnings(records: &[Record], found: &mut Vec<FindingBuilder>) {
    // Records that hang together, each under the number of the first of them.
    let index: BTreeMap<&str, usize> = records
        .iter()
        .enumerate()
        .map(|(at, record)| (record.sha256.as_str(), at))
        .collect();
    let mut part: Vec<usize> = (0..records.len()).collect();
    fn root(part: &mut [usize], mut at: usize) -> usize {
        while part[at] != at {
            part[at] = part[part[at]];
            at = part[at];
        }
        at
    }
    for (at, record) in records.iter().enumerate() {
        for previous in &record.run.previous {
            if let Some(before) = index.get(previous.value.as_str()) {
                let (a, b) = (root(&mut part, at), root(&mut part, *before));
                part[a.max(b)] = a.min(b);
            }
        }
    }
    let mut begun: Option<&Record> = None;
    let mut seen = std::collections::BTreeSet::new();
    for (at, record) in records.iter().enumerate() {
        if !record.run.previous.is_empty() {
            continue;
        }
        let first = seen.insert(root(&mut part, at));
        match begun {
            None => begun = Some(record),
            Some(begun) if first => found.push(
                begin("record-unlinked", record)
                    .message(format!(
                        "record `{}` follows no other, and is not part of the chain that `{}` \
                         begins",
                        record.run.id.value, begun.run.id.value
                    ))
                    .primary(record.run.id.span(), "a second beginning")
                    .related(begun.run.id.span(), "the first")
                    .remedy("the next record joins them, where two branches each began one"),
            ),
            Some(_) => {}
        }
    }
}
