//! A mission that names a policy which asks for less than one that judges every mission.

use super::guard::first_and_more;
use super::plural::plural;
use crate::finding::{Finding, Nature, Severity};
use crate::plan::Plan;
use crate::rules::{BUILTIN_POLICY, EffectivePolicy, Policies};
use crate::source::{Sources, Span};

/// Limits that are named in the arithmetic of one finding.
const MOST: usize = 40;

/// A finding for each policy that judges every mission and asks for more than the one that judges
/// this mission. No policy can switch it off.
pub(super) fn bypassed(
    plan: &Plan,
    policy: &EffectivePolicy,
    policies: &Policies,
    sources: &Sources,
) -> Vec<Finding> {
    let named = plan.policy.as_ref();
    let line = named.map_or(plan.mission.id.span(), |named| named.span());
    let found = policies.bypassed(policy).into_iter().map(|(binding, weaker)| {
        let what: Vec<&str> = weaker.iter().map(|one| one.what.as_str()).collect();
        let count = what.len();
        let mut builder = Finding::builder("policy-bypassed", Severity::Error, Nature::Violation)
            .mission(&plan.mission.id.value)
            .subject(&binding.policy)
            .message(format!(
                "policy `{}` is less strict than `{}`, which judges every mission: {}",
                policy.policy,
                binding.policy,
                first_and_more(&what)
            ))
            .primary(line, "judged by this policy")
            .related(binding.judges_every.span(), "judges every mission")
            .steps(what.iter().take(MOST).map(|one| (*one).to_owned()).collect())
            .why(
                "A limit that a mission can escape by naming another policy limits nothing. The \
                 policy that judges every mission also judges those that somebody else plans \
                 later.",
            )
            .remedy(format!("name policy `{}` in the mission", binding.policy))
            .remedy(match policy.policy == BUILTIN_POLICY {
                // Nobody changes that one.
                true => format!(
                    "write a policy that extends it and is as strict, {count} {} to tighten, and name that",
                    plural(count, "setting")
                ),
                false => format!(
                    "make policy `{}` as strict: {count} {} to tighten",
                    policy.policy,
                    plural(count, "setting")
                ),
            });
        for span in weaker.iter().filter_map(|one| one.by).filter(written(sources)).take(3) {
            builder = builder.related(span, "less strict");
        }
        builder.build(sources)
    });
    found.collect()
}

/// Whether a line stands in a team's own file.
fn written(sources: &Sources) -> impl Fn(&Span) -> bool + '_ {
    |span| !sources.is_embedded(span.source)
}
