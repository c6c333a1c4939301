//! Rules: bounds on measures, and the policies that set them. Rules are data; nothing here knows
//! of boats. Every judgement is three-valued: a rule holds, fails, or could not be judged.

mod approvals;
mod bound;
mod builtin;
#[cfg(test)]
mod builtin_measures;
mod checklist;
mod effective;
mod examples;
mod explain;
mod expression;
mod floors;
mod guard;
mod in_force;
mod judge;
mod launch_from;
mod locate;
mod margins;
mod policies;
mod policy;
mod reworded;
mod rule;
mod set;
mod typing;
mod waivable;
mod weaker;

pub(crate) use approvals::Approvals;
pub(crate) use bound::Bound;
pub use builtin::BUILTIN_RULES;
pub(crate) use effective::EffectivePolicy;
pub(crate) use examples::examples;
pub(crate) use explain::{catalogue_markdown, explain, explain_word};
pub(crate) use floors::{Floor, Floors};
pub(crate) use in_force::RuleInForce;
pub use judge::{Judgement, Verdict, judge};
pub(crate) use launch_from::LaunchFrom;
pub(crate) use margins::{About, Margin, Margins};
pub(crate) use policies::{BUILTIN_POLICY, Policies};
pub(crate) use reworded::Reworded;
pub(crate) use set::RuleSet;
pub(crate) use waivable::Waivable;
pub(crate) use weaker::{OpenRules, Weaker};

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests_builtin;
#[cfg(test)]
mod tests_expression;
#[cfg(test)]
mod tests_judge;
#[cfg(test)]
mod tests_policy;
#[cfg(test)]
mod tests_rule;
