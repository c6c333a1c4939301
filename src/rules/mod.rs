//! Rules: bounds on measures, and the policies that set them. Rules are data; nothing here knows
//! of boats. Every judgement is three-valued: a rule holds, fails, or could not be judged.

mod approvals;
mod bound;
mod builtin;
mod builtin_measures;
mod checklist;
mod effective;
mod examples;
mod explain;
mod expression;
mod floors;
mod guard;
mod judge;
mod launch_from;
mod locate;
mod margins;
mod policies;
mod policy;
mod rule;
mod set;
mod typing;
mod waivable;
mod weaker;

pub use approvals::Approvals;
pub use bound::Bound;
pub use builtin::BUILTIN_RULES;
pub use builtin_measures::BUILTIN_MEASURES;
pub use checklist::{ItemWords, Reworded};
pub use effective::{EffectivePolicy, Loosened, RuleInForce};
pub use examples::{Expected, Mismatch, examples};
pub use explain::{catalogue_markdown, explain, explain_word};
pub use expression::Expression;
pub use floors::{Floor, Floors};
pub use judge::{Judgement, Verdict, judge, overall};
pub use launch_from::LaunchFrom;
pub use margins::{About, Margin, Margins};
pub use policies::{BUILTIN_POLICY, Policies};
pub use rule::{Examples, Rule};
pub use set::RuleSet;
pub use waivable::Waivable;
pub use weaker::{OpenRules, Weaker};

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
