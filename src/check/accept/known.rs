//! The baseline put on the findings of a mission.

use super::{begin, launch_days, worse};
use crate::finding::{Acceptance, Accepted, Finding, FindingBuilder, Label, Severity};
use crate::plan::Plan;
use crate::plan::baseline::Baseline;
use crate::rules::EffectivePolicy;
use crate::source::Sources;

/// Accepts what the baseline has; what is to be said of it is returned.
pub(super) fn apply(
    baseline: &Baseline,
    (plan, policy): (&Plan, &EffectivePolicy),
    findings: &mut [Finding],
    sources: &Sources,
) -> Vec<Finding> {
    let mission = &plan.mission.id.value;
    let known = || {
        let all = baseline.findings.iter();
        all.filter(|known| known.mission == *mission)
    };
    let mut found: Vec<FindingBuilder> = Vec::new();
    let (_, latest) = launch_days(plan);
    let overdue = latest > baseline.review_by.value;
    if overdue && known().next().is_some() {
        found.push(
            begin("baseline-overdue", Severity::Error, plan, "")
                .message(format!(
                    "the baseline was due for review by {}, and the launch may be on {latest}; it \
                     no longer accepts any finding of this mission",
                    baseline.review_by.value
                ))
                .primary(baseline.review_by.span(), "the day of the review")
                .related(plan.mission.launch.time.span(), "the launch")
                .why(
                    "A baseline lets a team begin to check before it has fixed everything. \
                      Without an end it would only hide what is wrong.",
                )
                .remedy("fix its findings of this mission")
                .remedy("review it, and write it again with `offing baseline`"),
        );
    }
    for known in known() {
        let there = findings
            .iter_mut()
            .find(|finding| finding.fingerprint == known.fingerprint.value);
        let Some(finding) = there else {
            found.push(
                begin(
                    "baseline-fixed",
                    Severity::Warning,
                    plan,
                    &known.fingerprint.value,
                )
                .message(format!(
                    "the baseline holds a finding of rule `{}` that no longer exists",
                    known.rule
                ))
                .primary(
                    known.fingerprint.span(),
                    "once pruned, it cannot come back unseen",
                )
                .why(
                    "A fixed finding is not accepted again: left in the baseline, it would pass \
                     for known if it came back.",
                )
                .remedy("prune it: remove its lines, or run `offing baseline --prune`"),
            );
            continue;
        };
        // Only what a rule says of a plan is accepted, never a file that cannot be read.
        if !finding.stands() || overdue || policy.get(&finding.rule).is_none() {
            continue;
        }
        let worse_now = match (&finding.comparison, &known.measured) {
            (Some(comparison), Some(measured)) => worse(comparison, &measured.value),
            (Some(_), None) => true,
            (None, _) => false,
        };
        if worse_now {
            let then = known.measured.as_ref();
            finding.related.push(Label {
                span: then.map_or(known.fingerprint.span(), |then| then.span()),
                text: then.map_or_else(
                    || "the baseline states no value for it".to_owned(),
                    |then| format!("worse than the {} of the baseline", then.value),
                ),
            });
            continue;
        }
        finding.accepted = Some(Acceptance {
            how: Accepted::Baseline,
            by: baseline.by.value.clone(),
            until: Some(baseline.review_by.value.to_string()),
            reason: baseline.reason.value.clone(),
            line: known.fingerprint.span(),
        });
    }
    let built = found.into_iter();
    built.map(|builder| builder.build(sources)).collect()
}
