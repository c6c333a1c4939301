//! Who signs for a plan: the file of their keys, and the roles whose approval a launch needs.

use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;

/// What a policy says of approvals.
#[derive(Clone, PartialEq, Debug)]
pub struct Approvals {
    /// Path of the file of signers, relative to the policy's own file.
    pub signers: Stated<String>,
    /// Roles whose signature a launch needs.
    pub needed: Vec<Stated<String>>,
    /// Where it is asked that whoever records a run signs the record.
    pub signed_records: Option<Span>,
    /// Where it is asked that the commits of a record are signed.
    pub signed_commits: Option<Span>,
    /// Id of the policy that says so.
    pub policy: String,
}

/// What one policy's file says of approvals.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Own {
    /// The group's key.
    span: Span,
    signers: Option<Stated<String>>,
    needed: Vec<Stated<String>>,
    signed_records: Option<Span>,
    signed_commits: Option<Span>,
}

/// Reads the group of a policy's file.
pub(super) fn parse(fields: &Fields<'_>) -> Option<Own> {
    let group = fields.map("approvals")?;
    let roles = group.list("needed").iter();
    let needed =
        roles.filter_map(|node| Some(Stated::written(node.as_text()?.to_owned(), node.span)));
    let asks = |key: &str| {
        let node = group.get(key)?;
        node.as_bool()?.then_some(node.span)
    };
    Some(Own {
        span: group.span(),
        signed_records: asks("signed_records"),
        signed_commits: asks("signed_commits"),
        signers: group.text("signers"),
        needed: needed.collect(),
    })
}

/// The approvals of a policy below another; `own` is what its own file says. It may ask for more of
/// them; who signs is said once.
pub(super) fn below(
    own: Option<&Own>,
    policy: &str,
    above: Option<&Approvals>,
) -> (Option<Approvals>, Vec<Problem>) {
    let Some(own) = own else {
        return (above.cloned(), Vec::new());
    };
    let mut problems = Vec::new();
    let mut approvals = match (&own.signers, above) {
        (signers, Some(held)) => {
            if let Some(signers) = signers {
                let message = format!(
                    "policy `{}` says whose signatures count; another file of signers would let others sign",
                    held.policy
                );
                problems.push(
                    Problem::new("policy-loosens", signers.span(), message)
                        .with(held.signers.span(), "stated here")
                        .help("leave it out here, or change it there"),
                );
            }
            held.clone()
        }
        (Some(signers), None) => Approvals {
            signers: signers.clone(),
            needed: Vec::new(),
            signed_records: None,
            signed_commits: None,
            policy: policy.to_owned(),
        },
        (None, None) => {
            let text = "`signers` is missing: nobody's signature counts";
            let problem = Problem::new("input-policy", own.span, text);
            return (
                None,
                vec![problem.help("name the file of those who may sign")],
            );
        }
    };
    for role in &own.needed {
        if !approvals.needed.iter().any(|held| held.value == role.value) {
            approvals.needed.push(role.clone());
        }
    }
    // What a policy above asks for stays asked for.
    approvals.signed_records = approvals.signed_records.or(own.signed_records);
    approvals.signed_commits = approvals.signed_commits.or(own.signed_commits);
    (Some(approvals), problems)
}
