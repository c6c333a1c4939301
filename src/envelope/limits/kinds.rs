//! The rules of severity error, by what a wind has to do with them.

use crate::finding::Severity;
use crate::measures::{self, Cost, Measure};
use crate::passage::Passage;
use crate::rules::{EffectivePolicy, Judgement, RuleInForce, Verdict, judge};

use crate::envelope::Binding;
use crate::envelope::planned_wind::asks_of_the_plan;

/// The rules of severity error that a policy has switched on.
pub(super) struct Kinds<'a> {
    /// Those that no wind changes anything about.
    pub fixed: Vec<&'a RuleInForce>,
    /// Those about what the plan states of its wind, such as a spread of some width: in another wind
    /// they would say nothing of the plan. They are judged on the wind planned for, once.
    pub stated: Vec<&'a RuleInForce>,
    /// Those that are judged in every wind, the cheaper ones first.
    pub windy: Vec<&'a RuleInForce>,
}

impl<'a> Kinds<'a> {
    pub(super) fn from_policy(policy: &'a EffectivePolicy) -> Self {
        let mut kinds = Self {
            fixed: Vec::new(),
            stated: Vec::new(),
            windy: Vec::new(),
        };
        let errors = policy.rules.iter();
        for rule in errors.filter(|r| r.enabled.value && r.severity.value == Severity::Error) {
            let measures = rule.rule.measures();
            if !measures.iter().any(Measure::depends_on_wind) {
                kinds.fixed.push(rule);
            } else if asks_of_the_plan(rule) {
                kinds.stated.push(rule);
            } else {
                kinds.windy.push(rule);
            }
        }
        kinds.windy.sort_by_key(|rule| cost(rule));
        kinds
    }

    /// Every rule.
    pub(super) fn all(&self) -> impl Iterator<Item = &'a RuleInForce> {
        let all = [&self.fixed, &self.stated, &self.windy];
        all.into_iter().flatten().copied()
    }
}

/// Whether a rule costs next to nothing to judge.
pub(super) fn is_cheap(rule: &RuleInForce) -> bool {
    cost(rule) == Cost::Stated
}

/// What the costliest measure of a rule costs.
fn cost(rule: &RuleInForce) -> Cost {
    let of = rule.rule.measures().into_iter().map(|measure| measure.cost);
    of.max().unwrap_or(Cost::Stated)
}

/// Judges a rule on a passage.
pub(super) fn judged(rule: &RuleInForce, passage: &Passage<'_>) -> Vec<Judgement> {
    judge(rule, &|name: &str| measures::evaluate(name, passage))
}

/// What keeps a rule from holding on a passage: that it fails, or that it cannot be judged.
pub(super) fn broken(rule: &RuleInForce, passage: &Passage<'_>) -> Option<Verdict> {
    let verdicts = judged(rule, passage).into_iter().map(|one| one.verdict);
    let worst = verdicts.max()?;
    matches!(worst, Verdict::Fails | Verdict::Unknown).then_some(worst)
}

/// The rules of some that are not met, those that fail before those that cannot be judged.
pub(super) fn all_broken<'a>(
    rules: impl IntoIterator<Item = &'a RuleInForce>,
    passage: &Passage<'_>,
) -> Vec<Binding> {
    let rules = rules.into_iter();
    let mut found: Vec<Binding> = rules
        .filter_map(|rule| {
            let verdict = broken(rule, passage)?;
            let rule = rule.rule.id.value.to_string();
            Some(Binding { rule, verdict })
        })
        .collect();
    found.sort_by(|a, b| b.verdict.cmp(&a.verdict).then_with(|| a.rule.cmp(&b.rule)));
    found
}
