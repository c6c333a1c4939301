//! Who signs for a plan: the file of their keys, and the roles whose approval a launch needs.

use super::policy::Policy;
use crate::schema::{Fields, Problem, Stated};

/// What a policy says of approvals.
#[derive(Clone, PartialEq, Debug)]
pub struct Approvals {
    /// Path of the file of signers, relative to the policy's own file.
    pub signers: Stated<String>,
    /// Roles whose signature a launch needs.
    pub needed: Vec<Stated<String>>,
    /// Id of the policy that says so.
    pub policy: String,
}

/// Reads the group of a policy's file.
pub(super) fn read(fields: &Fields<'_>, policy: &str) -> Option<Approvals> {
    let group = fields.map("approvals")?;
    let roles = group.list("needed").iter();
    let needed =
        roles.filter_map(|node| Some(Stated::written(node.as_text()?.to_owned(), node.span)));
    Some(Approvals {
        signers: group.required_text("signers")?,
        needed: needed.collect(),
        policy: policy.to_owned(),
    })
}

/// The approvals of a policy below another. It may need more of them; who signs is said once.
pub(super) fn below(
    policy: &Policy,
    above: Option<&Approvals>,
) -> (Option<Approvals>, Vec<Problem>) {
    let (Some(own), Some(held)) = (&policy.approvals, above) else {
        return (
            policy.approvals.clone().or_else(|| above.cloned()),
            Vec::new(),
        );
    };
    let message = format!(
        "policy `{}` says whose signatures count; another file of signers would let others sign",
        held.policy
    );
    let problem = Problem::new("policy-loosens", own.signers.span(), message)
        .with(held.signers.span(), "it is said here")
        .help("leave it out here, or change it there");
    (Some(held.clone()), vec![problem])
}
