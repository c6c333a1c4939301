//! What a change lets be accepted that was not: waivers added or extended, a wider baseline, other
//! signers.

use std::collections::BTreeMap;

use super::{Guard, begin};
use crate::check::Inputs;
use crate::check::accept::{Accepting, Approval, of_plan, signed_by};
use crate::finding::Severity;
use crate::plan::waivers::Waiver;
use crate::plan::{Plan, SIGNATURE};
use crate::source::Span;

impl Guard<'_> {
    /// Waivers that a change adds to missions, or that accept more than before. One that the role
    /// has signed for, by the signers as they were, is news and no more.
    pub(super) fn waivers(&mut self) {
        let (was, now) = (self.was, self.now);
        let mut before: BTreeMap<&str, &Plan> = BTreeMap::new();
        for plan in &was.linked.plans {
            before.entry(plan.mission.id.value.as_str()).or_insert(plan);
        }
        let (made_of, now_made_of) = (was.inputs(), now.inputs());
        let files = |inputs: Option<&Inputs>| -> Vec<(String, String)> {
            let all = inputs.into_iter().flatten();
            let all = all.filter(|(path, _)| !path.ends_with(SIGNATURE));
            all.map(|(path, name)| (path.clone(), name.clone()))
                .collect()
        };
        let changed = |id: &str| files(made_of.get(id)) != files(now_made_of.get(id));
        for plan in &now.linked.plans {
            let id = plan.mission.id.value.as_str();
            let earlier = before.get(id).map_or(&[][..], |plan| &plan.mission.waivers);
            let more = |waiver: &&Waiver| !earlier.iter().any(|was| covers(was, waiver));
            let added: Vec<&Waiver> = plan.mission.waivers.iter().filter(more).collect();
            let stay: Vec<&Waiver> = plan
                .mission
                .waivers
                .iter()
                .filter(|one| !more(one))
                .collect();
            let moved = !stay.is_empty() && changed(id);
            if added.is_empty() && !moved {
                continue;
            }
            let approvals = self.approvals(plan);
            for waiver in stay.into_iter().filter(|_| moved) {
                self.rests_on_change(plan, waiver, &approvals);
            }
            for waiver in added {
                let same = earlier.iter().find(|was| same_subject(was, waiver));
                self.waiver(plan, waiver, same, &approvals);
            }
        }
    }

    fn waiver(
        &mut self,
        plan: &Plan,
        waiver: &Waiver,
        was: Option<&Waiver>,
        approvals: &[Approval],
    ) {
        let (rule, about) = (&waiver.rule.value, &waiver.about.value);
        let role = &waiver.approved_by.value;
        let signed = signed_by(approvals, role);
        let severity = if signed {
            Severity::Advice
        } else {
            Severity::Error
        };
        let what = match was {
            Some(_) => "now accepts more, or something else",
            None => "is added",
        };
        let hand = if signed {
            format!("`{role}` has signed the plan as it is")
        } else {
            format!("only the change itself says that `{role}` approved it")
        };
        let at = self.later(waiver.rule.span());
        let mission = &plan.mission.id.value;
        let mut builder = begin("waiver-added", &format!("{rule} for {about}"))
            .severity(severity)
            .mission(mission)
            .message(format!(
                "a waiver of rule `{rule}` for {about} {what}; {hand}"
            ))
            .primary(at, "this waiver")
            .remedy("have the role that approves it see this change, or sign the plan");
        if let Some(was) = was {
            let was = self.earlier(was.rule.span());
            builder = builder.related(was, "it was");
        }
        self.add(builder);
    }

    /// A waiver that stays while the plan that it was given for changes under it: what was seen then is
    /// not what is there now, unless the role has signed the plan as it is.
    fn rests_on_change(&mut self, plan: &Plan, waiver: &Waiver, approvals: &[Approval]) {
        let role = &waiver.approved_by.value;
        if signed_by(approvals, role) {
            return;
        }
        let (rule, about) = (&waiver.rule.value, &waiver.about.value);
        let at = self.later(waiver.rule.span());
        let builder = begin("waiver-added", &format!("{rule} for {about}"))
            .severity(Severity::Warning)
            .mission(&plan.mission.id.value)
            .message(format!(
                "the waiver of rule `{rule}` for {about} stays, and the plan that `{role}` gave it for changed"
            ))
            .primary(at, "this waiver")
            .remedy("have the role that approved it see the plan as it is now, or sign it");
        self.add(builder);
    }

    /// The signatures on a plan of the later revision, by the signers of the earlier one.
    fn approvals(&self, plan: &Plan) -> Vec<Approval> {
        let (was, now) = (self.was, self.now);
        let near = plan.mission.id.span();
        let chosen = |loaded: &'_ crate::check::Loaded| {
            let chosen = loaded.policies.choose(plan.policy.as_ref(), near);
            chosen.ok().map(|(policy, _)| policy.clone())
        };
        let (Some(judging), Some(own)) = (chosen(was), chosen(now)) else {
            return Vec::new();
        };
        let digests = now.digester().plan(plan, &own);
        let accepting = Accepting {
            signers: was.accepting.signers.clone(),
            ..now.accepting.clone()
        };
        of_plan(plan, (&judging, &digests), &accepting)
    }

    /// A baseline that has more than it had, or is reviewed later.
    pub(super) fn baseline(&mut self) {
        let (was, now) = (self.was, self.now);
        let Some(now) = &now.accepting.baseline else {
            return;
        };
        let was = was.accepting.baseline.as_ref();
        let same = |one: &crate::plan::baseline::Known| {
            let value = |known: &crate::plan::baseline::Known| {
                known
                    .measured
                    .as_ref()
                    .map(|measured| measured.value.clone())
            };
            was.is_some_and(|was| {
                was.findings.iter().any(|known| {
                    known.fingerprint.value == one.fingerprint.value && value(known) == value(one)
                })
            })
        };
        let added: Vec<_> = now.findings.iter().filter(|one| !same(one)).collect();
        let before = was.map(|was| self.earlier(was.id.span()));
        let mut told = |about: &str, text: String, span: Span| {
            let at = self.later(span);
            let mut builder = begin("baseline-widened", about)
                .message(text)
                .primary(at, "here")
                .remedy("review its additions by themselves; they do not judge this change");
            if let Some(before) = before {
                builder = builder.related(before, "it was");
            }
            self.add(builder);
        };
        if let Some(first) = added.first() {
            let count = added.len();
            let findings = if count == 1 { "finding" } else { "findings" };
            let text = format!(
                "the baseline adds {count} {findings}, or accepts a worse value; the first is of \
                 rule `{}` in mission `{}`",
                first.rule, first.mission
            );
            told("findings", text, first.fingerprint.span());
        }
        if let Some(was) = was
            && now.review_by.value > was.review_by.value
        {
            let text = format!(
                "the baseline's review is postponed from {} to {}",
                was.review_by.value, now.review_by.value
            );
            told("review", text, now.review_by.span());
        }
    }

    /// Signers that were not there: the file that a policy names now, wherever it lies, against the
    /// one that it named.
    pub(super) fn signers(&mut self) {
        let (was, now) = (self.was, self.now);
        for (policy, signers) in &was.accepting.signers {
            let Ok(before) = &signers.file else { continue };
            // A policy that names none, or is gone, is told of as weakened or removed.
            let Some(later) = now.accepting.signers.get(policy) else {
                continue;
            };
            let text = later.file.as_ref().map_or("", |text| text);
            let held: Vec<&str> = before.lines().map(str::trim).collect();
            let new = text.lines().map(str::trim).find(|line| {
                let means = !line.is_empty() && !line.starts_with('#');
                means && !held.contains(line)
            });
            let Some(line) = new else { continue };
            let at = text.find(line).unwrap_or(0);
            let source = self.sources.add(later.path.clone(), text);
            let count = |at: usize| u32::try_from(at).unwrap_or(0);
            let span = Span::new(source, count(at), count(at + line.len()));
            let builder = begin("signers-changed", policy)
                .message(format!(
                    "policy `{policy}` now lets other keys sign for plans"
                ))
                .primary(span, "this line is new")
                .remedy(
                    "review it by itself; signatures in this change are verified against the \
                         file as it was",
                );
            self.add(builder);
        }
    }
}

fn same_subject(one: &Waiver, other: &Waiver) -> bool {
    one.rule.value == other.rule.value
        && one
            .about
            .value
            .trim()
            .eq_ignore_ascii_case(other.about.value.trim())
}

/// Whether a waiver that was there accepts all that another does.
fn covers(was: &Waiver, now: &Waiver) -> bool {
    let limit = |waiver: &Waiver| {
        let limit = waiver.no_worse_than.as_ref();
        limit.map(|limit| limit.value.trim().to_owned())
    };
    same_subject(was, now)
        && was.reason.value.trim() == now.reason.value.trim()
        && was.approved.value == now.approved.value
        && was.approved_by.value == now.approved_by.value
        && now.expires.value <= was.expires.value
        && limit(was) == limit(now)
}
