//! Deciding on a launch: the plan as it was reviewed, judged again with what is read at the water.

mod before;
mod gate;
mod instruments;
mod readings;
mod shortened;
pub(crate) mod wind;

pub(crate) use before::Earlier;
pub(crate) use instruments::{read_charge, read_digest, read_voltage};
pub use readings::{BatteryRead, Elsewhere, Readings, WindRead};
pub(crate) use readings::{counts_charge, tells_charge};

use jiff::Timestamp;

use crate::check::{
    Digests, Loaded, LoadedMission, MissionResult, NoAnswer, Outcome, RuleResult, judged,
};
use crate::envelope::Moment;
use crate::envelope::planned_wind::asks_of_the_plan;
use crate::finding::{Finding, Nature, Severity};
use crate::plan::Plan;
use crate::plan::boats::{UNTIL_SAID, boat_among};
use crate::plan::calendar::shown;
use crate::rules::{EffectivePolicy, Verdict};
use crate::units::Dimension;

/// Something that makes a launch a no-go, or is to be known.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Reason {
    /// Id of the rule, or what of the launch itself is amiss.
    pub rule: String,
    /// In a sentence.
    pub says: String,
    /// What was lacking, where a rule could not be judged: several may lack the same.
    pub lacking: Option<String>,
}

impl Reason {
    /// One that lacks nothing.
    pub(super) fn new(rule: &str, says: String) -> Self {
        Self {
            rule: rule.to_owned(),
            says,
            lacking: None,
        }
    }

    /// What a finding comes to, told `how`.
    fn from_finding(finding: &Finding, how: &str, message: &str) -> Self {
        let unknown = finding.nature == Nature::NotEvaluated && !finding.reason.is_empty();
        Self {
            lacking: unknown.then(|| format!("{how}: {}", finding.reason)),
            ..Self::new(&finding.rule, format!("{how}: {message}"))
        }
    }
}

/// A finding that was waived.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Waived {
    /// Id of the rule.
    pub rule: String,
    /// By which role.
    pub by: String,
    /// What it says.
    pub says: String,
    /// By whom, until when and why.
    pub accepted: String,
}

/// Where the files that a decision is about stand in git.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Committed {
    /// All of them stand in this commit as they were judged.
    In(String),
    /// They do not, or it cannot be told; in sentences.
    Not(Vec<String>),
    /// There is no repository in which they could.
    NoRepository,
}

/// Whether a commit is in the branch that reviewed ones lead to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Reviewed {
    /// It is in this branch, by its full name, as this clone has it.
    In(String),
    /// It is not, or that branch is not here; in a sentence.
    Not(String),
    /// The policy names no such branch.
    Unknown,
}

/// A signature that the policy asks for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Signature {
    /// Whose: a role, or who does what is signed.
    pub who: String,
    /// On what, one of [`ON`](Self::ON).
    pub on: &'static str,
    /// Whether it is there; `None` where what is signed is still to come.
    pub signed: Option<bool>,
}

impl Signature {
    /// What can be signed.
    pub const ON: [&'static str; 3] = ["plan", "record", "commit"];
}

/// A decision.
#[derive(Clone, PartialEq, Debug)]
pub struct Decision {
    /// Its id: the mission and the time of the launch, with a number where one of that name is there.
    pub id: String,
    /// The commit in which everything stands that was judged; `None` where that is not known of any.
    pub commit: Option<String>,
    /// Whether that one is known to have been reviewed; `None` where there is none.
    pub reviewed: Option<Reviewed>,
    /// Id of the mission.
    pub mission: String,
    /// Path of its file.
    pub path: String,
    /// Id of the policy that judges.
    pub policy: String,
    /// When the boat is to be launched.
    pub at: Moment,
    /// What was read and said.
    pub readings: Readings,
    /// Whether nothing makes it a no-go.
    pub go: bool,
    /// What does, the gravest first.
    pub reasons: Vec<Reason>,
    /// What is not met and weighs less.
    pub warnings: Vec<Reason>,
    /// What is accepted.
    pub waived: Vec<Waived>,
    /// The rules of severity error that are nearest to their limits, as the readings make them: id
    /// and words.
    pub tightest: Vec<(String, String)>,
    /// Digests of everything.
    pub digests: Digests,
    /// Files beside these that it rests on, what they are and their paths: the signers, signatures.
    pub beside: Vec<(String, String)>,
    /// The principals whose signatures are good.
    pub signed: Vec<String>,
    /// Every signature that the policy asks for.
    pub signatures: Vec<Signature>,
    /// Decisions on this launch, and on others of the mission about that time, that were recorded before.
    pub earlier: Vec<Earlier>,
    /// Goes that were not used, as is said with this decision: path and SHA-256.
    pub unused: Vec<(String, String)>,
    /// How the readings were taken.
    pub told: Vec<String>,
    /// Things to know of the policy.
    pub notes: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
}

impl Decision {
    /// Holds the decision against git. What stands in no commit can be held to nothing later, and
    /// is a no-go, and so is it that there is no repository, unless somebody means to decide
    /// without one; that is noted then.
    pub fn hold_against(&mut self, committed: Committed, without_git: bool) {
        match committed {
            Committed::In(commit) => self.commit = Some(commit),
            Committed::Not(why) => {
                for says in why {
                    self.stop("not-committed", says);
                }
            }
            Committed::NoRepository if without_git => self.notes.push(
                "the plan is in no git repository, so nobody can verify its history against this \
                 decision"
                    .to_owned(),
            ),
            Committed::NoRepository => {
                let says = "the plan is in no git repository, so nobody can verify this decision \
                            later; put it into one, or decide with `--without-git`";
                self.stop("not-committed", says.to_owned());
            }
        }
    }
}

impl Decision {
    /// Holds the decision against the branch that reviewed commits lead to.
    pub fn hold_to_review(&mut self, reviewed: Reviewed) {
        if let Reviewed::Not(why) = &reviewed {
            self.stop("not-reviewed", why.clone());
        }
        self.reviewed = Some(reviewed);
    }

    /// A no-go for one reason more.
    pub fn stop(&mut self, rule: &str, says: String) {
        self.go = false;
        self.reasons.push(Reason::new(rule, says));
    }
}

/// How it is told that something is so with the readings only.
const WITH_READINGS: &str = "with the readings";

/// What is said of the plan's gust, said of the one that was read.
fn of_a_reading(message: &str) -> String {
    message.replace("gust planned for", "gust read")
}

/// How many rules nearest to their limits are told.
const NEAREST: usize = 5;

/// Judges a mission, as [`asked`] finds it, with what is read at the water. It has to keep every rule
/// of severity error both as it was planned, at the time that the launch is at, and with the readings
/// in place of its wind and charge.
///
/// # Errors
/// [`NoAnswer`] where it cannot be judged, or a reading cannot be.
pub fn launch(found: LoadedMission, readings: &Readings) -> Result<Decision, NoAnswer> {
    let LoadedMission {
        mut loaded,
        others,
        plan,
        policy: effective,
        notes,
        out_for,
    } = found;
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
    let before = before::Before::from_loaded(&loaded, &readings.elsewhere)?;
    let mut notes = notes;
    notes.extend(before.notes(readings.clock, zone));
    if readings.elsewhere.shallow {
        notes.push(
            "this clone lacks the beginning of its history, and with it any earlier decision on \
             this launch"
                .to_owned(),
        );
    }
    let beside = beside(&loaded, &effective);
    let vessels = loaded.linked.vessels.clone();

    let relaunched = plan.launched_at(readings.at);
    if relaunched.is_none() {
        gate.add(
            "forecast-holds",
            "the forecast does not reach the time of this launch",
        );
    }
    let as_planned = outcome(&mut loaded, relaunched.unwrap_or_else(|| plan.clone()));
    let mut with_readings = with_readings;
    with_readings.mission.launch.time.value = readings.at;
    let as_read = outcome(&mut loaded, with_readings);

    let checked = as_planned.checked.first().ok_or_else(|| {
        NoAnswer::Unreadable(format!(
            "`{mission}` could not be judged; `offing check` shows more"
        ))
    })?;
    let id = id_of(&plan.mission.id.value, readings.at, &before);
    let typed = readings.digest.as_deref();
    let whole = checked.digests.whole.as_str();
    let others = shortened::others_alike(typed, whole, (&loaded, &others), &before);
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
    let out = before.out(
        &plan,
        &standing,
        readings.at,
        &|vessel| boat_among(vessel, &vessels),
        &|mission| out_for.get(mission).copied().unwrap_or(UNTIL_SAID),
    );
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
            let message = match how {
                WITH_READINGS => of_a_reading(&finding.message),
                _ => finding.message.clone(),
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
                    gate.push(Reason::from_finding(finding, how, &message));
                }
                None => warnings.push(Reason::from_finding(finding, how, &message)),
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
                .filter(|text| !text.starts_with(readings::READ))
                .cloned()
                .collect()
        }),
    })
}

/// The id of a decision: one that is recorded is never written over, so that a later one about the
/// same launch has a number.
fn id_of(mission: &str, at: Timestamp, before: &before::Before) -> String {
    let mission: String = mission.chars().take(40).collect();
    let at = jiff::tz::TimeZone::UTC.to_datetime(at);
    let first = format!("{mission}-{}", at.strftime("%Y%m%dT%H%M%SZ"));
    let mut id = first.clone();
    let mut number = 2_u32;
    while before.holds(&id) {
        id = format!("{first}-{number}");
        number += 1;
    }
    id
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
    judged(loaded, None, None)
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
        Some((left / scale, one.rule.clone(), words))
    };
    let mut all: Vec<_> = judged.iter().filter_map(room).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    all.truncate(NEAREST);
    all.into_iter()
        .map(|(_, rule, words)| (rule, words))
        .collect()
}
