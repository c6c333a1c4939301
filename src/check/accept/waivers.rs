//! Waivers of a mission put on its findings. One that is not in order waives nothing.

use super::approvals::Approval;
use super::{begin, launch_days, past, signed_by, worse};
use crate::finding::{
    Acceptance, Accepted, Comparison, Finding, FindingBuilder, Nature, Nowhere, Other, Place,
    Severity, fingerprint,
};
use crate::plan::Plan;
use crate::plan::people::says_nothing;
use crate::plan::waivers::{THE_MISSION, Waiver};
use crate::rules::EffectivePolicy;
use crate::schema::Former;
use crate::schema::explain::{nearest, part_of};
use crate::source::Sources;
use crate::units::{Dimension, parse_quantity};

const WHY: &str = "A waiver is somebody's word that one finding, as they saw it, is worth its risk \
                   this once. It covers no more than that, or it would let through what nobody \
                   looked at.";

/// Puts the waivers on the findings; what is wrong with them is returned.
pub(super) fn apply(
    plan: &Plan,
    (policy, approvals): (&EffectivePolicy, &[Approval]),
    findings: &mut Vec<Finding>,
    sources: &Sources,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let apart: Vec<Finding> = findings
        .iter()
        .filter(|finding| {
            let mut waivers = plan.mission.waivers.iter();
            waivers.any(|waiver| waiver.rule.value == finding.rule)
        })
        .flat_map(|finding| other_places(finding, sources))
        .collect();
    findings.extend(apart);
    for waiver in &plan.mission.waivers {
        let builder = match refusal(plan, policy, approvals, waiver) {
            Some(refused) => Some(refused),
            None => put(plan, waiver, findings),
        };
        found.extend(builder.map(|builder| builder.why(WHY).build(sources)));
    }
    found
}

/// The other places at which a rule is not met either, each as a finding of its own: a waiver is for one
/// place, and that of the worst hides no other.
fn other_places(finding: &Finding, sources: &Sources) -> Vec<Finding> {
    let (Some(place), Some(comparison)) = (&finding.place, &finding.comparison) else {
        return Vec::new();
    };
    let of_one = |other: &Other| {
        let subject = other.subject();
        let comparison = Comparison {
            measured: other.value,
            ..comparison.clone()
        };
        let (measured, limit) = comparison.measured.beside(comparison.limit);
        let message = format!(
            "{measured} for {subject} (limit: {} {limit}), beside {} at the worst place, {}",
            comparison.side.label(),
            finding
                .comparison
                .as_ref()
                .map_or(comparison.measured, |worst| worst.measured),
            whereabouts(finding)
        );
        Finding {
            message,
            fingerprint: fingerprint(&[
                &finding.rule,
                finding.nature.name(),
                sources.path(finding.primary.span.source),
                finding.mission.as_deref().unwrap_or(""),
                &subject,
            ]),
            subject,
            place: Some(Place {
                name: other.name.clone(),
                danger: other.danger.clone(),
                ..Place::default()
            }),
            comparison: Some(comparison),
            steps: Vec::new(),
            // The rule's own advice; what was solved is for the worst place.
            remedies: finding.remedies.last().cloned().into_iter().collect(),
            ..finding.clone()
        }
    };
    place.others_past(comparison).map(of_one).collect()
}

/// Where a finding is, in the words that a waiver uses.
fn whereabouts(finding: &Finding) -> &str {
    let place = finding.place.as_ref().map(|place| place.name.as_str());
    match (finding.subject.as_str(), place) {
        ("", Some(place)) if !place.is_empty() => place,
        ("", _) => THE_MISSION,
        (subject, _) => subject,
    }
}

fn about(waiver: &Waiver) -> String {
    format!("{} for {}", waiver.rule.value, waiver.about.value)
}

/// Why a waiver is none, where it is.
fn refusal(
    plan: &Plan,
    policy: &EffectivePolicy,
    approvals: &[Approval],
    waiver: &Waiver,
) -> Option<FindingBuilder> {
    let rule = &waiver.rule.value;
    let subject = about(waiver);
    let refused =
        |code: &str, text: String| begin(code, Severity::Error, plan, &subject).message(text);
    if policy.get(rule).is_none()
        && let Some(former) = Former::rule(rule)
    {
        let label = match former {
            Former::Renamed(_) => "the old name",
            Former::Removed(_) => "judged by no rule",
        };
        return Some(
            refused("waiver-unknown", former.sentence(rule))
                .primary(waiver.rule.span(), label)
                .remedy(former.help()),
        );
    }
    if policy.get(rule).is_none() {
        let text = format!("a waiver names rule `{rule}`, which does not exist");
        return Some(
            refused("waiver-unknown", text)
                .primary(waiver.rule.span(), "no rule of this name")
                .remedy("name a rule as `offing rules` lists it, or remove the waiver"),
        );
    }
    let not_permitted = |text: String| refused("waiver-not-permitted", text);
    let Some(waivable) = policy.waivable(rule) else {
        let text = format!("policy `{}` lets nobody waive rule `{rule}`", policy.policy);
        return Some(
            not_permitted(text)
                .primary(waiver.rule.span(), "waived here")
                .related(policy.span, "the policy")
                .remedy("change the plan so that it passes the rule")
                .remedy(format!(
                    "let the policy say who may waive `{rule}` and for how long, in a separate \
                     change"
                )),
        );
    };
    let role = &waiver.approved_by.value;
    if !waivable.may(role) {
        let text = format!(
            "`{role}` may not waive rule `{rule}`; policy `{}` lets {}",
            waivable.policy,
            waivable.roles()
        );
        return Some(
            not_permitted(text)
                .primary(waiver.approved_by.span(), "approved by")
                .related(waivable.rule.span(), "who may")
                .remedy("have it approved by a role that may, or change the plan"),
        );
    }
    if says_nothing(&waiver.reason.value) {
        let text = format!("the waiver of rule `{rule}` gives no reason");
        return Some(
            not_permitted(text)
                .primary(waiver.reason.span(), "no reason")
                .remedy("say why the risk is worth it, or remove the waiver"),
        );
    }
    dates(plan, waiver, &refused, waivable)
        .or_else(|| unsigned(approvals, waiver, &not_permitted, waivable))
}

fn dates(
    plan: &Plan,
    waiver: &Waiver,
    refused: &dyn Fn(&str, String) -> FindingBuilder<Nowhere>,
    waivable: &crate::rules::Waivable,
) -> Option<FindingBuilder> {
    let rule = &waiver.rule.value;
    let (approved, expires) = (waiver.approved.value, waiver.expires.value);
    let (planned, latest) = launch_days(plan);
    let launch = plan.mission.launch.time.span();
    if expires < latest {
        let text = format!(
            "the waiver of rule `{rule}` ends on {expires}, and the launch may be on {latest}"
        );
        return Some(
            refused("waiver-expired", text)
                .primary(waiver.expires.span(), "its last day")
                .related(launch, "the launch")
                .remedy("have it approved again for that day, or change the plan"),
        );
    }
    if approved > planned {
        let text = format!(
            "the waiver of rule `{rule}` was approved on {approved}, after the launch on {planned}"
        );
        return Some(
            refused("waiver-expired", text)
                .primary(waiver.approved.span(), "approved")
                .related(launch, "the launch")
                .remedy("approve it before the launch, or correct the day"),
        );
    }
    let days = f64::from(
        approved
            .until(expires)
            .map_or(i32::MAX, |span| span.get_days()),
    );
    let longest = waivable.longest.value;
    if days * 86_400.0 > longest.get() {
        let text = format!(
            "the waiver of rule `{rule}` runs for {days} days, from {approved} to {expires}; policy \
             `{}` allows {longest}",
            waivable.policy
        );
        return Some(
            refused("waiver-not-permitted", text)
                .primary(waiver.expires.span(), "its last day")
                .related(waiver.approved.span(), "approved")
                .related(waivable.longest.span(), "the longest")
                .remedy("set an earlier end"),
        );
    }
    None
}

fn unsigned(
    approvals: &[Approval],
    waiver: &Waiver,
    not_permitted: &dyn Fn(String) -> FindingBuilder<Nowhere>,
    waivable: &crate::rules::Waivable,
) -> Option<FindingBuilder> {
    let role = &waiver.approved_by.value;
    if !waivable.signed.value || signed_by(approvals, role) {
        return None;
    }
    let text = format!(
        "the waiver of rule `{}` needs the signature of `{role}`, and this plan has no valid one",
        waiver.rule.value
    );
    Some(
        not_permitted(text)
            .primary(waiver.approved_by.span(), "approved by")
            .related(waivable.signed.span(), "signed")
            .remedy("have the plan signed as it is now: docs/how-to/accepting.md says how"),
    )
}

/// Puts a waiver that is in order on the finding that it is about.
fn put(plan: &Plan, waiver: &Waiver, findings: &mut [Finding]) -> Option<FindingBuilder> {
    let rule = &waiver.rule.value;
    let subject = about(waiver);
    let wanted = waiver.about.value.trim();
    let of_rule = |finding: &&mut Finding| finding.rule == *rule && finding.stands();
    let mut there: Vec<&mut Finding> = findings.iter_mut().filter(of_rule).collect();
    let at = there
        .iter()
        .position(|finding| whereabouts(finding).eq_ignore_ascii_case(wanted));
    let Some(at) = at else {
        let places: Vec<&str> = there.iter().map(|finding| whereabouts(finding)).collect();
        let meant = match part_of(wanted, &places).as_slice() {
            [only] => Some(*only),
            _ => nearest(wanted, &places),
        };
        let remedy = match meant {
            Some(place) => format!("did you mean `for: {place}`?"),
            None => "look at that place, and have it approved or change the plan".to_owned(),
        };
        return Some(match there.first() {
            Some(finding) if wanted.eq_ignore_ascii_case(THE_MISSION) => {
                let text = format!(
                    "the waiver of rule `{rule}` names no place, and the finding has one: {}",
                    whereabouts(finding)
                );
                begin("waiver-broad", Severity::Error, plan, &subject)
                    .message(text)
                    .primary(waiver.about.span(), "too broad")
                    .related(finding.primary.span, "the finding is here")
                    .remedy(format!("write `for: {}`", whereabouts(finding)))
            }
            Some(finding) => begin("waiver-unused", Severity::Warning, plan, &subject)
                .message(format!(
                    "the waiver of rule `{rule}` is for {wanted}, and the rule is not met elsewhere: {}",
                    whereabouts(finding)
                ))
                .primary(waiver.about.span(), "nothing is found here")
                .related(finding.primary.span, "the finding is here")
                .remedy(remedy),
            None => begin("waiver-unused", Severity::Warning, plan, &subject)
                .message(format!("the waiver of rule `{rule}` waives nothing: the rule is met there"))
                .primary(waiver.rule.span(), "not needed")
                .remedy("take it away"),
        });
    };
    let finding = &mut there[at];
    if finding.nature == Nature::NotEvaluated {
        let text =
            format!("rule `{rule}` could not be evaluated, and nobody can waive an unknown value");
        return Some(
            begin("waiver-broad", Severity::Error, plan, &subject)
                .message(text)
                .primary(waiver.rule.span(), "waived here")
                .related(finding.primary.span, "what is lacking")
                .remedy("state what is missing, so that the rule can be evaluated"),
        );
    }
    if let Some(comparison) = &finding.comparison {
        let Some(limit) = &waiver.no_worse_than else {
            let measured = comparison.measured;
            let text =
                format!("the waiver of rule `{rule}` sets no worst value; it is {measured} now");
            return Some(
                begin("waiver-broad", Severity::Error, plan, &subject)
                    .message(text)
                    .primary(waiver.span, "`no_worse_than` belongs here")
                    .remedy("state the worst value that the waiver accepts, under `no_worse_than`"),
            );
        };
        let dimension = comparison.limit.dimension;
        if let Err(error) = parse_quantity(&limit.value, dimension) {
            return Some(
                begin("waiver-not-permitted", Severity::Error, plan, &subject)
                    .message(format!("`no_worse_than`: {error}"))
                    .primary(limit.span(), "here")
                    .remedy(format!("write {}", dimension_example(dimension))),
            );
        }
        if worse(comparison, &limit.value) {
            let past = past(comparison, &limit.value);
            finding.related.push(crate::finding::Label {
                span: limit.span(),
                text: format!(
                    "waived for no worse than {}, now worse by {past}",
                    limit.value
                ),
            });
            return None;
        }
    } else if let Some(limit) = &waiver.no_worse_than {
        let text = format!(
            "rule `{rule}` bounds no quantity, so nothing can be worse than {}",
            limit.value
        );
        return Some(
            begin("waiver-not-permitted", Severity::Error, plan, &subject)
                .message(text)
                .primary(limit.span(), "here")
                .remedy("leave `no_worse_than` out"),
        );
    }
    finding.accepted = Some(Acceptance {
        how: Accepted::Waiver,
        by: waiver.approved_by.value.clone(),
        until: Some(waiver.expires.value.to_string()),
        reason: waiver.reason.value.clone(),
        line: waiver.rule.span(),
    });
    None
}

fn dimension_example(dimension: Dimension) -> String {
    format!(
        "{}, such as `{}`",
        dimension.with_article(),
        dimension.example()
    )
}
