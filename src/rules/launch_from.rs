//! The branch that reviewed commits lead to, from which alone a launch is decided.

use crate::schema::{Problem, Stated};

/// What a policy says of it.
#[derive(Clone, PartialEq, Debug)]
pub struct LaunchFrom {
    /// The branch, as it is written.
    pub branch: Stated<String>,
    /// Id of the policy that says so.
    pub policy: String,
}

/// The branch of a policy below another, where `own` is that of its own file: said once, and changed by
/// none below.
pub(super) fn below(
    own: Option<&Stated<String>>,
    policy: &str,
    above: Option<&LaunchFrom>,
) -> (Option<LaunchFrom>, Option<Problem>) {
    let Some(own) = own else {
        return (above.cloned(), None);
    };
    let Some(held) = above else {
        let own = LaunchFrom {
            branch: own.clone(),
            policy: policy.to_owned(),
        };
        return (Some(own), None);
    };
    let problem = (own.value != held.branch.value).then(|| {
        let message = format!(
            "policy `{}` names the branch for launch decisions; another branch may hold what \
             nobody reviewed",
            held.policy
        );
        Problem::new("policy-loosens", own.span(), message)
            .with(held.branch.span(), "stated here")
            .help("leave it out here, or change it there")
    });
    (Some(held.clone()), problem)
}
