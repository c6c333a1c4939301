//! Which plans may go out, and what is said of them.

use super::course::{Course, PROGRAM, points};
use crate::check::{CheckOptions, LoadedMission, MissionResult, NoAnswer, Outcome, asked, judged};
use crate::finding::{Finding, Severity};
use crate::plan::Plan;
use crate::plan::calendar::shown;
use crate::report::CAUTION;
use crate::source::{Tree, printable_line};

/// A finding that stands.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) struct NotKept {
    /// Id of the rule.
    pub rule: String,
    /// How much it weighs.
    pub severity: Severity,
    /// What it says.
    pub says: String,
}

/// Why a route does not go out.
#[derive(Debug)]
pub(crate) enum NoExport {
    /// There is no such plan, or it cannot be judged.
    NoAnswer(NoAnswer),
    /// Findings of severity error or warning stand.
    NotKept(Vec<NotKept>),
}

impl From<NoAnswer> for NoExport {
    fn from(error: NoAnswer) -> Self {
        Self::NoAnswer(error)
    }
}

/// What a file of a route does not hold. It goes into every file.
const BEYOND: &str = "This file says where the boat is to go. It does not say what the boat does \
                      at the end or when something fails, nor how fast it goes: speeds are here in \
                      words, for people. Read the route back from the boat and compare every point \
                      with the plan before the launch.";

/// The route of a mission, named by its id or its path, where nothing stands against it, or
/// `despite` what stands. The baseline accepts nothing here: it is for plans under review, and this
/// one goes aboard.
///
/// # Errors
/// [`NoExport`].
pub(crate) fn export(tree: &dyn Tree, mission: &str, despite: bool) -> Result<Course, NoExport> {
    let LoadedMission {
        mut loaded, plan, ..
    } = asked(tree, mission, None)?;
    loaded.accepting.baseline = None;
    loaded.accepting.no_examples = true;
    loaded.linked.plans = vec![plan.clone()];
    let outcome = judged(&loaded, None, CheckOptions::findings_alone());
    let Some(checked) = outcome.checked.first() else {
        return Err(NoAnswer::Unreadable(format!(
            "`{mission}` could not be judged; `offing check` shows more"
        ))
        .into());
    };
    let standing = standing(&outcome, checked);
    if !standing.is_empty() && !despite {
        return Err(NoExport::NotKept(standing));
    }
    let course = course(&plan, checked, &outcome, &standing);
    let crosses = course.points.windows(2).any(|pair| {
        let [from, to] = pair else { return false };
        let (from, to) = (from.position.longitude, to.position.longitude);
        (from - to).to_degrees().abs() > 180.0
    });
    if crosses {
        // RFC 7946, section 3.1.9, has such lines cut in two, which other programs join as they like.
        let text = format!("`{mission}` crosses the 180° meridian, so no file was written");
        return Err(NoAnswer::Unreadable(text).into());
    }
    Ok(course)
}

fn standing(outcome: &Outcome, checked: &MissionResult) -> Vec<NotKept> {
    let counts = |finding: &&Finding| finding.stands() && finding.severity >= Severity::Warning;
    let mut all: Vec<NotKept> = outcome
        .findings
        .iter()
        .filter(counts)
        .map(|finding| NotKept {
            rule: finding.rule.clone(),
            severity: finding.severity,
            says: finding.message.clone(),
        })
        .collect();
    all.extend(checked.in_doubt.iter().map(|doubt| NotKept {
        rule: "in-doubt".to_owned(),
        severity: Severity::Error,
        says: doubt.clone(),
    }));
    all
}

fn course(plan: &Plan, checked: &MissionResult, outcome: &Outcome, standing: &[NotKept]) -> Course {
    let mission = &plan.mission;
    let mut not_kept: Vec<String> = Vec::new();
    for one in standing {
        let text = format!("{} ({})", one.rule, one.severity);
        if !not_kept.contains(&text) {
            not_kept.push(text);
        }
    }
    let mut waived: Vec<String> = Vec::new();
    for finding in &outcome.findings {
        if let Some(accepted) = &finding.accepted {
            let text = format!(
                "{}: {} ({})",
                finding.rule,
                finding.message,
                accepted.sentence()
            );
            waived.push(printable_line(&text).into_owned());
        }
    }
    let id = &mission.id.value;
    let mut remarks = vec![format!(
        "Route of mission {id}, vessel {}, site {}; launch planned for {}.",
        plan.vessel.id.value,
        plan.site.id.value,
        shown(mission.launch.time.value, plan.site.time_zone.as_ref())
    )];
    let policy = &checked.policy;
    remarks.push(if not_kept.is_empty() {
        format!(
            "Checked by {PROGRAM} under policy {policy}: no finding of severity error or warning stands."
        )
    } else {
        format!(
            "RULES NOT MET: {}. Written by {PROGRAM} despite that, at the user's request; policy \
             {policy}.",
            not_kept.join(", ")
        )
    });
    remarks.extend(waived.iter().map(|text| format!("Waived: {text}")));
    remarks.push(format!("Digest of the plan: {}", checked.digests.whole));
    remarks.push(BEYOND.to_owned());
    remarks.push(CAUTION.to_owned());
    Course {
        name: if not_kept.is_empty() {
            id.clone()
        } else {
            format!("{id} (RULES NOT MET)")
        },
        mission: id.clone(),
        vessel: plan.vessel.id.value.clone(),
        site: plan.site.id.value.clone(),
        policy: policy.clone(),
        not_kept,
        waived,
        digest: checked.digests.whole.clone(),
        remarks,
        points: points(plan),
    }
}
