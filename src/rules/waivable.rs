//! Which rules a mission may have waived, by whom, and for how long. None where a policy says
//! nothing.

use super::set::RuleSet;
use crate::schema::{Fields, Problem, Stated};
use crate::units::{Time, Typed as _};

/// A rule that may be waived.
#[derive(Clone, PartialEq, Debug)]
pub struct Waivable {
    /// Id of the rule.
    pub rule: Stated<String>,
    /// Who may, by role.
    pub by: Vec<Stated<String>>,
    /// For how long at most, from the day of the approval to the last day.
    pub longest: Stated<Time>,
    /// Whether the approval of the plan has to be signed by that role.
    pub signed: Stated<bool>,
    /// Id of the policy that says so.
    pub policy: String,
}

impl Waivable {
    /// Whether a role may waive it.
    #[must_use]
    pub fn may(&self, role: &str) -> bool {
        self.by.iter().any(|by| by.value == role)
    }

    /// The roles in words.
    #[must_use]
    pub fn roles(&self) -> String {
        let roles: Vec<String> = self.by.iter().map(|by| format!("`{}`", by.value)).collect();
        roles.join(", ")
    }

    /// In which ways it lets more be waived than another of the same rule, each in words with the
    /// line that does.
    pub(super) fn wider_than(&self, other: &Self) -> Vec<(String, crate::source::Span)> {
        let mut all = Vec::new();
        for by in self.by.iter().filter(|by| !other.may(&by.value)) {
            all.push((format!("`{}` may waive it too", by.value), by.span()));
        }
        if self.longest.value > other.longest.value {
            let (now, was) = (self.longest.value, other.longest.value);
            let text = format!("it may be waived for {now} in place of {was}");
            all.push((text, self.longest.span()));
        }
        if other.signed.value && !self.signed.value {
            let text = "its waiver no longer needs a signature".to_owned();
            all.push((text, self.signed.span()));
        }
        all
    }
}

/// Reads the group of a policy's file.
pub(super) fn parse(fields: &Fields<'_>, policy: &str) -> Vec<Waivable> {
    let Some(group) = fields.map("waivers") else {
        return Vec::new();
    };
    let of_rule = |(name, span, fields): (&str, _, Fields<'_>)| {
        let roles = fields.list("approved_by").iter();
        let by =
            roles.filter_map(|node| Some(Stated::written(node.as_text()?.to_owned(), node.span)));
        let by: Vec<_> = by.collect();
        let longest = fields.required::<Time>("longest")?;
        let signed = fields.get("signed");
        let signed = signed.and_then(|node| Some(Stated::written(node.as_bool()?, node.span)));
        Some(Waivable {
            rule: Stated::written(name.to_owned(), span),
            by,
            longest,
            signed: signed.unwrap_or_else(|| Stated::assumed(false, span, "")),
            policy: policy.to_owned(),
        })
    };
    group.entries().into_iter().filter_map(of_rule).collect()
}

/// What may be waived under a policy below another. It may take away; it may add or widen only what
/// every policy above leaves open, and is a problem otherwise.
pub(super) fn below(
    own: &[Waivable],
    above: &[Waivable],
    opened: &dyn Fn(&str) -> bool,
    rules: &RuleSet,
) -> (Vec<Waivable>, Vec<Problem>) {
    let mut all = above.to_vec();
    let mut problems = Vec::new();
    for one in own {
        let id = &one.rule.value;
        if rules.get(id).is_none() {
            problems.extend(rules.unknown(id, one.rule.span()));
            continue;
        }
        let held = above.iter().find(|held| held.rule.value == *id);
        let wider: Vec<_> = match held {
            Some(held) => one.wider_than(held),
            None => vec![("it may be waived at all".to_owned(), one.rule.span())],
        };
        if !opened(id)
            && let Some((what, span)) = wider.first()
        {
            let message =
                format!("rule `{id}`: {what}, which the extended policy does not leave open");
            let mut problem = Problem::new("policy-loosens", *span, message).help(format!(
                "remove it, or let that policy list `{id}` under `open`"
            ));
            if let Some(held) = held {
                problem = problem.with(held.rule.span(), "waivable there");
            }
            problems.push(problem);
            continue;
        }
        all.retain(|held| held.rule.value != *id);
        all.push(one.clone());
    }
    all.sort_by(|a, b| a.rule.value.cmp(&b.rule.value));
    (all, problems)
}

/// What is waivable in words: by whom, for how long, signed or not.
#[must_use]
pub(super) fn describe_waivable(waivable: &Waivable) -> String {
    let signed = if waivable.signed.value {
        ", signed"
    } else {
        ""
    };
    format!(
        "by {} for at most {}{signed}",
        waivable.roles(),
        waivable.longest.value.quantity()
    )
}
