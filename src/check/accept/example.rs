//! Missions that are in a repository to show that a rule fails them.

use crate::finding::{Acceptance, Accepted, Finding, Nature};
use crate::plan::Plan;
use crate::rules::EffectivePolicy;

/// Accepts what a rule finds of a mission that its own file names as one that it must fail.
pub(super) fn apply(plan: &Plan, policy: &EffectivePolicy, findings: &mut [Finding]) {
    let mission = &plan.mission.id.value;
    for finding in findings {
        let Some(in_force) = policy.get(&finding.rule) else {
            continue;
        };
        let mut examples = in_force.rule.examples.fail.iter();
        let named = examples.find(|one| one.value == *mission);
        // What could not be judged shows nothing.
        if let Some(named) = named.filter(|_| {
            finding.stands() && finding.nature == Nature::Violation && finding.accepted.is_none()
        }) {
            finding.accepted = Some(Acceptance {
                how: Accepted::Example,
                by: format!("rule `{}`", finding.rule),
                until: None,
                reason: "its file names this mission as one that it must fail".to_owned(),
                line: named.span(),
            });
        }
    }
}
