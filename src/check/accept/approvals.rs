//! Signatures on plans: a file beside the mission, `north-bay-lines.survey-lead.approval` for
//! `north-bay-lines.yaml`, that holds an SSH signature of the plan's statement.

use std::sync::Arc;

use super::super::digest::Digests;
use super::{Accepting, SMALL, begin};
use crate::finding::{Finding, Severity};
use crate::git::signature::{self, Purpose, VerifyRequest};
use crate::plan::Plan;
use crate::rules::{Approvals, EffectivePolicy};
use crate::source::{Sources, Span, Tree, resolve};

/// The signers of one policy: their file, or why it cannot be read.
#[derive(Clone, Debug)]
pub struct Signers {
    /// Path of the file.
    pub path: String,
    /// Its text.
    pub file: Result<Arc<str>, String>,
}

impl Signers {
    pub(super) fn read(approvals: &Approvals, tree: &dyn Tree, sources: &Sources) -> Self {
        let policy = sources.path(approvals.signers.span().source).to_owned();
        // Where policies are another revision's, its name stands before the path.
        let (label, path) = policy.split_at(policy.find(':').map_or(0, |at| at + 1));
        let resolved = resolve(path, &approvals.signers.value);
        let (path, file) = match resolved {
            Ok(path) => {
                let path = format!("{label}{path}");
                let text = tree.read(&path, SMALL);
                (path, text.map_err(|error| error.to_string()))
            }
            Err(error) => (approvals.signers.value.clone(), Err(error.to_string())),
        };
        Self { path, file }
    }
}

/// A signature beside a mission.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Approval {
    /// The role, with hyphens for spaces.
    pub principal: String,
    /// Path of the signature.
    pub path: String,
    /// Whether it is one of that role on this plan as it is.
    pub good: bool,
}

/// Whether a role has signed the plan as it is.
#[must_use]
pub(crate) fn signed_by(approvals: &[Approval], role: &str) -> bool {
    let name = principal(role);
    approvals
        .iter()
        .any(|one| one.good && Some(&one.principal) == name.as_ref())
}

/// The name under which a role signs: with hyphens for spaces. `None` where other characters stand
/// in the way.
#[must_use]
pub(crate) fn principal(role: &str) -> Option<String> {
    let name: String = role.split_whitespace().collect::<Vec<_>>().join("-");
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    let fits = !name.is_empty() && !name.starts_with('-') && name.chars().all(plain);
    fits.then_some(name)
}

/// The signatures beside a mission.
#[must_use]
pub(crate) fn of_plan(
    plan: &Plan,
    judging: (&EffectivePolicy, &Digests),
    accepting: &Accepting,
) -> Vec<Approval> {
    let all = accepting.beside(&plan.path);
    all.map(|(role, path, signature)| Approval {
        principal: role.to_owned(),
        path: path.to_owned(),
        good: refusal(plan, judging, accepting, (role, &signature.text)).is_none(),
    })
    .collect()
}

/// The signatures beside a mission, and what is wrong with them.
pub(super) fn verify(
    plan: &Plan,
    judging: (&EffectivePolicy, &Digests),
    accepting: &Accepting,
    sources: &Sources,
) -> (Vec<Approval>, Vec<Finding>) {
    let (mut approvals, mut found) = (Vec::new(), Vec::new());
    for (role, path, signature) in accepting.beside(&plan.path) {
        let why = refusal(plan, judging, accepting, (role, &signature.text));
        if let Some(why) = &why {
            let finding = begin("approval-invalid", Severity::Error, plan, role)
                .message(format!(
                    "the approval by {role} is not valid for this plan as it is: \
                                  {why}"
                ))
                .primary(Span::new(signature.source, 0, 0), "this signature")
                .why(
                    "An approval covers one plan, byte for byte. An invalid one was given for \
                      something else, or by somebody else.",
                )
                .remedy("have the plan signed as it is now, or remove the signature")
                .build(sources);
            found.push(finding);
        }
        approvals.push(Approval {
            principal: role.to_owned(),
            path: path.to_owned(),
            good: why.is_none(),
        });
    }
    (approvals, found)
}

fn refusal(
    plan: &Plan,
    (policy, digests): (&EffectivePolicy, &Digests),
    accepting: &Accepting,
    (role, signed): (&str, &str),
) -> Option<String> {
    let Some(of_policy) = &policy.approvals else {
        return Some(format!(
            "policy `{}` names no file of signers",
            policy.policy
        ));
    };
    let signers = match accepting.signers.get(&of_policy.policy) {
        Some(Signers { file: Ok(text), .. }) => text,
        Some(Signers { file: Err(why), .. }) => return Some(why.clone()),
        None => return Some("the file of signers was not read".to_owned()),
    };
    if principal(role).as_deref() != Some(role) {
        return Some("its name matches no role".to_owned());
    }
    let asked = VerifyRequest {
        purpose: Purpose::Plan,
        signers,
        principal: role,
        at: plan.mission.launch.time.value,
        statement: digests.statement.as_bytes(),
        signature: signed,
    };
    signature::verify(&asked).err()
}
