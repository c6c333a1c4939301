//! How often each rule fails when what is not known is drawn by lot: the wind's strength and
//! direction, the power that calm water asks for, the battery's capacity.

use std::collections::BTreeMap;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal, StandardUniform};
use rayon::prelude::*;

use super::watch::Counter;
use crate::measures;
use crate::passage::{Passage, Variation};
use crate::plan::Plan;
use crate::rules::{About, EffectivePolicy, Margins, Verdict, judge};
use crate::units::{Angle, Ratio};

/// How many variations are drawn, and from what seed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Sampling {
    /// Variations of each plan.
    pub runs: u32,
    /// Seed: the same one gives the same variations, on every machine.
    pub seed: u64,
}

/// How often a rule fails.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Failing {
    /// Id of the rule.
    pub rule: String,
    /// Variations in which it fails, for one subject or more.
    pub failed: u32,
    /// Variations in which it could not be judged, and does not fail.
    pub unknown: u32,
}

/// What came of the variations of one plan.
#[derive(Clone, PartialEq, Debug)]
pub struct Spread {
    /// What was requested.
    pub sampling: Sampling,
    /// Variations judged; none where the plan is too large to be judged over and over.
    pub judged: u32,
    /// Variations in which some rule fails or could not be judged.
    pub any: u32,
    /// Rules that fail or could not be judged in some variation, most often first.
    pub rules: Vec<Failing>,
    /// What was drawn, in sentences.
    pub drawn: Vec<String>,
}

/// Nineteen in twenty of a normal distribution lie below so many standard deviations, and within
/// so many of them either side; any table of the normal distribution.
const BELOW_95: f64 = 1.644_854;
const WITHIN_95: f64 = 1.959_964;

/// What stands for a margin that the policy does not state; our own choice, as docs/explanation/uncertainty.md says.
fn stated_or_usual(margins: &Margins, about: About) -> (f64, bool) {
    let usual = match about {
        About::BatteryAge => 0.10,
        About::TrialError => 0.15,
        About::ForecastError => 0.30,
    };
    margins
        .get(about)
        .map_or((usual, false), |margin| (margin.share.value.get(), true))
}

/// Draws variations of a plan and judges each.
pub(super) fn sample(
    plan: &Plan,
    policy: &EffectivePolicy,
    sampling: Sampling,
    counter: &Counter<'_>,
) -> Spread {
    let runs = if Passage::from_plan(plan).may_be_varied() {
        sampling.runs
    } else {
        0
    };
    let outcomes: Vec<BTreeMap<&str, Verdict>> = (0..runs)
        .into_par_iter()
        .map(|number| {
            let variation = drawn(plan, &policy.margins, sampling.seed, number);
            let found = judge_variation(plan, policy, &variation);
            counter.tick();
            found
        })
        .collect();
    let count = |rule: &str, verdict: Verdict| {
        let with = outcomes
            .iter()
            .filter(|one| one.get(rule) == Some(&verdict));
        u32::try_from(with.count()).unwrap_or(u32::MAX)
    };
    let mut rules: Vec<Failing> = policy
        .rules
        .iter()
        .map(|rule| &*rule.rule.id.value)
        .map(|rule| Failing {
            rule: rule.to_owned(),
            failed: count(rule, Verdict::Fails),
            unknown: count(rule, Verdict::Unknown),
        })
        .filter(|rule| rule.failed > 0 || rule.unknown > 0)
        .collect();
    rules.sort_by(|a, b| (b.failed, b.unknown, &a.rule).cmp(&(a.failed, a.unknown, &b.rule)));
    let any = outcomes.iter().filter(|one| !one.is_empty()).count();
    Spread {
        sampling,
        judged: runs,
        any: u32::try_from(any).unwrap_or(u32::MAX),
        rules,
        drawn: describe_drawn(plan, &policy.margins),
    }
}

/// The variation of this number, whichever others are drawn, in whatever order.
fn drawn(plan: &Plan, margins: &Margins, seed: u64, number: u32) -> Variation {
    let mut lot = ChaCha8Rng::seed_from_u64(seed);
    lot.set_stream(u64::from(number));
    let mut normal = |about: About| -> f64 {
        let z: f64 = StandardNormal.sample(&mut lot);
        z * stated_or_usual(margins, about).0
    };
    // No figure can be less than nothing, and none of these is known to be off by more than half
    // when half is the most that a policy may allow for.
    let factor = |error: f64| (1.0 + error).clamp(0.25, 2.0);
    let capacity = factor(-normal(About::BatteryAge).abs() / WITHIN_95);
    let power = factor(normal(About::TrialError) / BELOW_95);
    let wind = factor(normal(About::ForecastError) / BELOW_95);
    let share: f64 = StandardUniform.sample(&mut lot);
    let spread = plan
        .mission
        .wind
        .as_ref()
        .map_or(0.0, |wind| wind.spread.value.get());
    Variation {
        wind,
        capacity,
        power,
        veer: Some(Angle::radians(spread * (2.0 * share - 1.0))),
        ..Variation::default()
    }
}

/// The rules that do not hold in one variation.
fn judge_variation<'a>(
    plan: &Plan,
    policy: &'a EffectivePolicy,
    variation: &Variation,
) -> BTreeMap<&'a str, Verdict> {
    let passage = Passage::varied(plan, variation.clone()).values_alone();
    let lookup = |name: &str| measures::evaluate(name, &passage);
    let mut verdicts = BTreeMap::new();
    for rule in &policy.rules {
        for judgement in judge(rule, &lookup) {
            let worse = match judgement.verdict {
                Verdict::Fails => true,
                Verdict::Unknown => !verdicts.contains_key(&*rule.rule.id.value),
                Verdict::Holds | Verdict::NotApplicable => false,
            };
            if worse {
                verdicts.insert(&*rule.rule.id.value, judgement.verdict);
            }
        }
    }
    verdicts
}

fn describe_drawn(plan: &Plan, margins: &Margins) -> Vec<String> {
    let spread = plan.mission.wind.as_ref().map(|wind| wind.spread.value);
    let direction = spread.map(|spread| format!("wind direction evenly within ± {spread}"));
    let figures = About::ALL.into_iter().map(|about| {
        let (share, stated) = stated_or_usual(margins, about);
        let of = if stated {
            "the policy's margin"
        } else {
            "no margin stated"
        };
        let share = Ratio::fraction(share);
        match about {
            About::BatteryAge => format!(
                "capacity below the stated one, by up to {share} in \
                                          nineteen cases out of twenty ({of})"
            ),
            About::TrialError => format!(
                "calm-water power around the stated one, above it by up \
                                          to {share} in nineteen cases out of twenty ({of})"
            ),
            About::ForecastError => format!(
                "mean wind and gust around those planned for, above \
                                             them by up to {share} in nineteen cases out of twenty \
                                             ({of})"
            ),
        }
    });
    direction.into_iter().chain(figures).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{load, on_large_stacks};
    use crate::source::open_argument;

    /// Many draws of one figure about its stated value.
    fn draws(of: impl Fn(&mut ChaCha8Rng) -> f64) -> Vec<f64> {
        (0..4000)
            .map(|number| {
                let mut lot = ChaCha8Rng::seed_from_u64(11);
                lot.set_stream(number);
                of(&mut lot)
            })
            .collect()
    }

    #[test]
    fn one_in_twenty_is_past_the_margin() {
        let normal = |lot: &mut ChaCha8Rng| -> f64 { StandardNormal.sample(lot) };
        let count = |past: &dyn Fn(f64) -> bool| {
            let all = draws(normal);
            all.iter().filter(|z| past(**z)).count()
        };
        // 200 of 4000, give or take three standard deviations of a binomial count: ± 41.
        for past in [count(&|z| z > BELOW_95), count(&|z| z.abs() > WITHIN_95)] {
            assert!((159..=241).contains(&past), "{past}");
        }
    }

    /// Of 4000 variations 200 are past each margin, give or take three standard deviations of a binomial
    /// count, ± 41, and none lies outside the wind's band.
    #[test]
    fn one_variation_in_twenty_is_past_the_margin_of_each_figure() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
        let opened = open_argument(std::path::Path::new(path)).expect("the demo");
        let loaded = on_large_stacks(|| load(&opened.tree, None)).expect("files");
        let plan = loaded.linked.plans.first().expect("a plan");
        let margins = Margins::default();
        let all: Vec<Variation> = (0..4000)
            .map(|number| drawn(plan, &margins, 11, number))
            .collect();
        let past = |about, off: &dyn Fn(&Variation) -> f64| {
            let (margin, _) = stated_or_usual(&margins, about);
            all.iter().filter(|one| off(one) > margin).count()
        };
        for count in [
            past(About::BatteryAge, &|one| 1.0 - one.capacity),
            past(About::TrialError, &|one| one.power - 1.0),
            past(About::ForecastError, &|one| one.wind - 1.0),
        ] {
            assert!((159..=241).contains(&count), "{count}");
        }
        let spread = plan.mission.wind.as_ref().expect("a wind").spread.value;
        let veered = |one: &Variation| one.veer.map_or(0.0, Angle::get);
        assert!(all.iter().all(|one| veered(one).abs() <= spread.get()));
        let to_the_right = all.iter().filter(|one| veered(one) > 0.0).count();
        assert!((1905..=2095).contains(&to_the_right), "{to_the_right}");
    }

    #[test]
    fn a_generator_that_is_the_same_everywhere() {
        // RFC 8439 is ChaCha with 20 rounds; this one has 8, so the value is recorded from the
        // library, to tell when it would change and with it every recorded share.
        let z: f64 = StandardNormal.sample(&mut ChaCha8Rng::seed_from_u64(1));
        insta::assert_snapshot!(format!("{z:.12}"));
    }
}
