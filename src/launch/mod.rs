//! Deciding on a launch: the plan as it was reviewed, judged again with what is read at the water.

mod bearing;
mod before;
mod decision;
mod gate;
mod instruments;
mod readings;
mod shortened;
pub(crate) mod wind;

pub(crate) use before::Earlier;
pub(crate) use decision::{Committed, Decision, Reason, Reviewed, Signature, Waived};
pub(crate) use instruments::{read_charge, read_digest, read_voltage};
pub use readings::{BatteryRead, Elsewhere, Readings, WindRead};
pub(crate) use readings::{counts_charge, tells_charge};

use jiff::Timestamp;

use crate::check::{
    CheckOptions, Loaded, LoadedMission, MissionResult, NoAnswer, Outcome, RuleResult, judged,
};
use crate::envelope::Moment;
use crate::envelope::planned_wind::asks_of_the_plan;
use crate::finding::{Finding, Severity};
use crate::plan::Plan;
use crate::plan::boats::boat_among;
use crate::plan::calendar::shown;
use crate::plan::out::UNTIL_SAID;
use crate::rules::{EffectivePolicy, Verdict};
use crate::source::Tree;
use crate::units::Dimension;

/// How it is told that something is so with the readings only.
const WITH_READINGS: &str = "with the readings";

/// How many rules nearest to their limits are reported.
const NEAREST: usize = 5;

/// Judges a mission, as [`asked`] finds it, with what is read at the water. It has to pass every rule
/// of severity error both as it was planned, at the time that the launch is at, and with the readings
/// in place of its wind and charge. `tree` is the one that the mission was found in.
///
/// # Errors
/// [`NoAnswer`] where it cannot be judged, or a reading cannot be.
pub fn launch(
    mut found: LoadedMission,
    tree: &dyn Tree,
    readings: &Readings,
) -> Result<Decision, NoAnswer> {
    let effective = found.policy.clone();
    let plan = found.plan.clone();
    let mission = plan.path.as_str();
    let (with_readings, mut told) = readings
        .with_readings(&plan)
        .map_err(NoAnswer::BadRequest)?;
    let zone = plan.site.time_zone.as_ref();
    told.extend(readings.of_the_clock(zone));
    let mut gate = gate::Gate::new(&plan, &effective, readings);
    gate.time();
    gate.clock();
    gate.person();
    gate.ticked();
    let before = before::Before::from_loaded(&mut found, tree, readings)?;
    let mut notes = found.notes.clone();
    notes.extend(before.notes(readings.clock, zone));
    if readings.elsewhere.shallow {
        notes.push(
            "this clone lacks the beginning of its history, and with it any earlier decision on \
             this launch"
                .to_owned(),
        );
    }
    let beside = beside(&found.loaded, &effective);
    let vessels = found.loaded.linked.vessels.clone();

    let relaunched = plan.launched_at(readings.at);
    if relaunched.is_none() {
        gate.add(
            "forecast-holds",
            "the forecast does not reach the time of this launch",
        );
    }
    let as_planned = outcome(
        &mut found.loaded,
        relaunched.unwrap_or_else(|| plan.clone()),
    );
    let replaced = readings::replaced(&with_readings);
    let mut with_readings = with_readings;
    with_readings.mission.launch.time.value = readings.at;
    let as_read = outcome(&mut found.loaded, with_readings);

    let checked = as_planned.checked.first().ok_or_else(|| {
        NoAnswer::Unreadable(format!(
            "`{mission}` could not be judged; `offing check` shows more"
        ))
    })?;
    let id = id_of(&plan.mission.id.value, readings.at, &before);
    let typed = readings.digest.as_deref();
    let whole = checked.digests.whole.as_str();
    let others = shortened::others_alike(typed, whole, (&mut found, tree), &before)?;
    gate.digest(&checked.digests, others);
    told.extend(shortened::note(typed));
    let standing = before.standing(&plan, &checked.digests);
    let unused = gate.before(&standing);
    let unused: Vec<(String, String)> = unused
        .into_iter()
        .map(|one| (one.path.clone(), one.sha256.clone()))
        .collect();
    let mut earlier = before.earlier(&plan, &checked.digests, readings.at);
    for one in &mut earlier {
        one.unused |= unused.iter().any(|(_, digest)| *digest == one.sha256);
    }
    let boat = |vessel: &str| boat_among(vessel, &vessels);
    let of_others = before.may_be_out(&plan, &standing, &boat);
    let of_others = of_others.map(|one| one.decided.mission.value.clone());
    let out_for = found.out_for(&of_others.collect(), tree)?;
    let out = before.out(&plan, &standing, readings.at, &boat, &|mission| {
        out_for.get(mission).copied().unwrap_or(UNTIL_SAID)
    });
    gate.boat_in(&out);
    gate.approvals(&checked.approvals);
    for doubt in &checked.in_doubt {
        gate.add("in-doubt", doubt);
    }
    let of_launch = gate.count();
    let mut warnings = Vec::new();
    let mut waived: Vec<Waived> = Vec::new();
    let same = |one: &Finding, other: &Finding| {
        one.rule == other.rule && one.message == other.message && one.stands() == other.stands()
    };
    for (outcome, other) in [(&as_planned, &as_read), (&as_read, &as_planned)] {
        let read = std::ptr::eq(outcome, &as_read);
        for finding in &outcome.findings {
            let both = other.findings.iter().any(|one| same(one, finding));
            if read && (both || of_a_plan(&effective, finding)) {
                continue;
            }
            let how = match (both, read) {
                (true, _) => "as planned and with the readings",
                (false, true) => WITH_READINGS,
                (false, false) => "as planned",
            };
            match &finding.accepted {
                Some(accepted) => {
                    let one = Waived {
                        rule: finding.rule.clone(),
                        by: accepted.by.clone(),
                        says: finding.message.clone(),
                        accepted: accepted.sentence(),
                    };
                    if !waived.contains(&one) {
                        waived.push(one);
                    }
                }
                None if finding.severity == Severity::Error => {
                    gate.push(Reason::from_finding(finding, how));
                }
                None => warnings.push(Reason::from_finding(finding, how)),
            }
        }
    }
    let reasons = gate.reasons(of_launch);
    let read = as_read.checked.first();
    Ok(Decision {
        id,
        commit: None,
        reviewed: None,
        mission: plan.mission.id.value.clone(),
        path: plan.path.clone(),
        policy: effective.policy.clone(),
        at: moment(&plan, readings.at),
        readings: readings.clone(),
        go: reasons.is_empty(),
        reasons,
        warnings,
        waived,
        tightest: read.map_or_else(Vec::new, |read| tightest(&read.judged, &effective)),
        digests: checked.digests.clone(),
        beside: beside
            .into_iter()
            .chain(checked.approvals.iter().filter(|one| one.good).map(|one| {
                let what = format!("the signature of `{}`", one.principal);
                (what, one.path.clone())
            }))
            .collect(),
        signed: checked
            .approvals
            .iter()
            .filter(|one| one.good)
            .map(|one| one.principal.clone())
            .collect(),
        signatures: signatures(checked, &effective),
        earlier,
        unused,
        told,
        notes,
        assumptions: read.map_or_else(Vec::new, |read| {
            let assumed = read.assumptions.iter();
            // What was read is told as that.
            assumed
                .filter(|text| !replaced.contains(*text))
                .cloned()
                .collect()
        }),
    })
}

/// The id of a decision: one that is recorded is never written over, so that a later one about the
/// same launch has a number.
fn id_of(mission: &str, at: Timestamp, before: &before::Before) -> String {
    let first = first_id(mission, at);
    let mut id = first.clone();
    let mut number = 2_u32;
    while before.holds(&id) {
        id = format!("{first}-{number}");
        number += 1;
    }
    id
}

/// What the ids of all decisions on a launch begin with.
fn first_id(mission: &str, at: Timestamp) -> String {
    let mission: String = mission.chars().take(40).collect();
    let at = jiff::tz::TimeZone::UTC.to_datetime(at);
    format!("{mission}-{}", at.strftime("%Y%m%dT%H%M%SZ"))
}

/// Every signature that a policy asks for, on the plan now, on the record and the commits later.
fn signatures(checked: &MissionResult, policy: &EffectivePolicy) -> Vec<Signature> {
    let on_plan = checked.signatures_needed().map(|(role, signed)| Signature {
        who: role.to_owned(),
        on: "plan",
        signed: Some(signed),
    });
    let approvals = policy.approvals.as_ref();
    let later = |asked: bool, who: &str, on: &'static str| {
        asked.then(|| Signature {
            who: who.to_owned(),
            on,
            signed: None,
        })
    };
    let records = approvals.is_some_and(|one| one.signed_records.is_some());
    let commits = approvals.is_some_and(|one| one.signed_commits.is_some());
    on_plan
        .chain(later(records, "whoever records the run", "record"))
        .chain(later(
            commits,
            "whoever commits the plan and the record",
            "commit",
        ))
        .collect()
}

/// The file of those whose signatures count, where the policy names one.
fn beside(loaded: &Loaded, policy: &EffectivePolicy) -> Option<(String, String)> {
    let approvals = policy.approvals.as_ref()?;
    let signers = loaded.accepting.signers.get(&approvals.policy)?;
    Some(("the signers".to_owned(), signers.path.clone()))
}

fn moment(plan: &Plan, time: Timestamp) -> Moment {
    Moment {
        time,
        text: shown(time, plan.site.time_zone.as_ref()),
    }
}

/// The one mission judged, nothing of it being accepted by a baseline: that is for plans under
/// review, and this one is about to be run.
fn outcome(loaded: &mut Loaded, plan: Plan) -> Outcome {
    loaded.accepting.baseline = None;
    loaded.accepting.no_examples = true;
    loaded.linked.plans = vec![plan];
    // A decision has reasons, and no time to change the plan.
    judged(loaded, None, CheckOptions::findings_alone())
}

/// Whether a finding asks for more wind to be planned for, which is no matter of a reading.
fn of_a_plan(policy: &EffectivePolicy, finding: &Finding) -> bool {
    policy.get(&finding.rule).is_some_and(asks_of_the_plan)
}

/// The judgements of severity error with the least room left, as a share of their limits.
fn tightest(judged: &[RuleResult], policy: &EffectivePolicy) -> Vec<(String, String)> {
    let room = |one: &RuleResult| -> Option<(f64, String, String)> {
        let rule = policy.get(&one.rule)?;
        if rule.severity.value != Severity::Error || one.verdict == Verdict::NotApplicable {
            return None;
        }
        let (measured, limit, side) = (one.measured?, one.limit?, one.side?);
        let left = side.margin(measured.value, limit.value);
        let scale = limit
            .value
            .abs()
            .max(if limit.dimension == Dimension::RATIO {
                0.05
            } else {
                1e-9
            });
        let (shown, bound) = measured.beside(limit);
        let words = format!("{shown}, {} {bound}", side.label());
        Some((left / scale, one.rule.to_string(), words))
    };
    let mut all: Vec<_> = judged.iter().filter_map(room).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    all.truncate(NEAREST);
    all.into_iter()
        .map(|(_, rule, words)| (rule, words))
        .collect()
}
