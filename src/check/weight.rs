//! How much an assumption of a plan could move its tightest limit.

use super::interned::Interned;
use super::margins;
use super::nearest::nearness;
use super::outcome::{RuleResult, Weight};
use crate::measures::{self, Otherwise};
use crate::passage::Passage;
use crate::plan::Plan;
use crate::rules::{EffectivePolicy, RuleInForce, Verdict, judge};

/// How many limits are tried, the tightest first, until an assumption weighs on one.
const TRIED: usize = 16;

/// The assumptions of a plan that a statement could better, and that weigh on the tightest limit that any of them
/// moves, the weightiest first.
pub(super) fn weights(plan: &Plan, policy: &EffectivePolicy, judged: &[RuleResult]) -> Vec<Weight> {
    let others = measures::otherwise(plan);
    let others: Vec<(&Otherwise, Passage<'_>)> = others
        .iter()
        .map(|other| (other, margins::passage(&other.plan, policy).values_alone()))
        .collect();
    let mut tightest: Vec<(f64, &RuleResult)> = judged
        .iter()
        .filter_map(|one| Some((nearness(one)?, one)))
        .collect();
    tightest.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let tried = tightest.into_iter().take(TRIED);
    let weights = tried.filter_map(|(room, result)| {
        let rule = policy.get(&result.rule)?;
        Some(on_limit((rule, result, room), &others))
    });
    let mut weights = weights.skip_while(Vec::is_empty);
    weights.next().unwrap_or_default()
}

/// What weighs on one limit.
fn on_limit(
    (rule, result, room): (&RuleInForce, &RuleResult, f64),
    others: &[(&Otherwise, Passage<'_>)],
) -> Vec<Weight> {
    let weigh = |(other, passage): &(&Otherwise, Passage<'_>)| {
        let lookup = |name: &str| measures::evaluate(name, passage);
        let mut interned = Interned::default();
        let results = judge(rule, &lookup);
        let mut results = results
            .iter()
            .map(|judgement| RuleResult::from_judgement(rule, judgement, &mut interned));
        let then = results.find(|one| one.subject == result.subject)?;
        let measured = result.measured?;
        let weight = |would_be| Weight {
            assumption: other.assumption.clone(),
            with: other.with.clone(),
            rule: result.rule.to_string(),
            subject: result.subject.to_string(),
            measured,
            would_be,
        };
        // A limit that would not be there leaves all the room there is.
        if then.verdict == Verdict::NotApplicable {
            return Some((f64::INFINITY, weight(None)));
        }
        let gained = nearness(&then)? - room;
        let would_be = then.measured?;
        // What no figure that is shown would tell apart does not weigh.
        let (now, then) = measured.beside(would_be);
        (gained > 0.0 && now != then).then_some((gained, weight(Some(would_be))))
    };
    let mut all: Vec<(f64, Weight)> = others.iter().filter_map(weigh).collect();
    all.sort_by(|(a, one), (b, other)| {
        let by_name = || one.assumption.cmp(&other.assumption);
        b.total_cmp(a).then_with(by_name)
    });
    all.into_iter().map(|(_, weight)| weight).collect()
}
