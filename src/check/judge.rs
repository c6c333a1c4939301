//! Judging every rule on one mission, and putting what comes of it into findings.

use super::difference::in_points;
use super::digest::Digests;
use super::extras::CheckOptions;
use super::interned::Interned;
use super::margins;
use super::outcome::{EffectiveLimit, MissionResult, RuleResult, Weight};
use super::outline::outline;
use super::proposals::proposals;
use super::remedies;
use super::weight::weights;
use crate::finding::{
    Comparison, Finding, FindingBuilder, Label, Nature, Nowhere, Remedy, Side, Who, capitalised,
};
use crate::measures::{self, Cost, Lack, Measured, NotMeasured, Value, Wanted, WhatIf};
use crate::picture::picture;
use crate::plan::Plan;
use crate::rules::{
    Bound, EffectivePolicy, Judgement, Margins, Policies, RuleInForce, Verdict, judge,
};
use crate::schema::Stated;
use crate::source::{Sources, Span};

/// Judges a mission by a policy.
pub(super) fn mission(
    plan: &Plan,
    policy: &EffectivePolicy,
    sources: &Sources,
    extras: CheckOptions,
) -> (Vec<Finding>, MissionResult) {
    let passage = margins::passage(plan, policy);
    // Each is computed once, whoever asks first; asked for together they share the cores.
    rayon::join(
        || passage.runs().is_ok(),
        || (passage.links().len(), passage.clearances().off_route),
    );
    if of_drift(policy).nth(1).is_some() {
        passage.follow_adrift();
    }
    let trials = extras.remedies.then(|| WhatIf::new(&passage));
    let lookup = |name: &str| measures::evaluate(name, &passage);
    let mut findings = Vec::new();
    let mut judged = Vec::new();
    let mut interned = Interned::default();
    for rule in &policy.rules {
        for judgement in judge(rule, &lookup) {
            let finding = match judgement.verdict {
                Verdict::Fails => {
                    let margins = &policy.margins;
                    Some(match first_known(&judgement) {
                        Some(known) => {
                            let trials = trials.as_ref();
                            violation(plan, trials, (rule, margins), (&judgement, known), sources)
                        }
                        None => of_no_measure(plan, rule, &judgement, sources),
                    })
                }
                Verdict::Unknown => Some(not_evaluated(plan, rule, &judgement, sources)),
                Verdict::Holds | Verdict::NotApplicable => None,
            };
            findings.extend(finding);
            judged.push(RuleResult::from_judgement(rule, &judgement, &mut interned));
        }
    }
    judged.shrink_to_fit();
    let weights = match extras.weights {
        true => weights(plan, policy, &judged),
        false => Vec::new(),
    };
    let assumptions = [
        margins::sentences(&policy.margins),
        proposals(plan, sources).into_iter().collect(),
        measures::assumptions(plan),
        measures::shore_bound(&passage).into_iter().collect(),
    ]
    .concat();
    let checked = MissionResult {
        mission: plan.mission.id.value.clone(),
        path: plan.path.clone(),
        policy: policy.policy.clone(),
        orders: plan.orders.clone(),
        repeats: plan.repeats.clone(),
        judged,
        in_doubt: Vec::new(),
        assumptions: weightiest_first(&weights, assumptions),
        weights,
        figures: measures::figures(&passage),
        outline: outline(plan),
        digests: Digests::default(),
        approvals: Vec::new(),
        approvals_needed: policy
            .approvals
            .as_ref()
            .map_or_else(Vec::new, |of_policy| {
                let roles = of_policy.needed.iter();
                roles.map(|role| role.value.clone()).collect()
            }),
        spread: None,
        picture: extras.pictures.then(|| Box::new(picture(&passage, policy))),
    };
    (findings, checked)
}

/// The assumptions, those that weigh on the tightest limit first and with what they could move.
fn weightiest_first(weights: &[Weight], assumptions: Vec<String>) -> Vec<String> {
    let weighs = |text: &String| weights.iter().any(|one| one.assumption == *text);
    let others = assumptions.into_iter().filter(|text| !weighs(text));
    weights.iter().map(Weight::sentence).chain(others).collect()
}

/// The rules that ask where a disabled boat drifts to.
fn of_drift(policy: &EffectivePolicy) -> impl Iterator<Item = &RuleInForce> {
    let enabled = policy.rules.iter().filter(|rule| rule.enabled.value);
    enabled.filter(|rule| {
        let measures = rule.rule.measures();
        measures.iter().any(|measure| measure.cost == Cost::Drift)
    })
}

fn first_known(judgement: &Judgement) -> Option<&Measured> {
    judgement
        .readings
        .iter()
        .find_map(|(_, reading)| reading.outcome.as_ref().ok())
}

/// The arithmetic of every reading that the rule speaks of; where there are several, each under
/// its measure's name.
fn every_step(judgement: &Judgement) -> Vec<String> {
    let known: Vec<_> = judgement
        .readings
        .iter()
        .filter_map(|(name, reading)| Some((name, reading.outcome.as_ref().ok()?)))
        .collect();
    let mut steps = Vec::new();
    for (name, known_reading) in &known {
        steps.extend(known_reading.steps.iter().cloned());
        if known.len() > 1
            && let Value::Quantity(value) = known_reading.value
        {
            steps.push(format!("so `{name}` is {value}"));
        }
    }
    steps
}

/// The sentence with figure, limit and shortfall.
fn sentence(subject: &str, comparison: &Comparison) -> String {
    let (measured, limit) = comparison.measured.beside(comparison.limit);
    let shortfall = comparison
        .shortfall()
        .as_difference(comparison.measured, comparison.limit);
    let shortfall = in_points(shortfall, comparison.limit.dimension);
    let subject = capitalised(subject);
    let off = match comparison.side {
        Side::AtLeast => "short",
        Side::AtMost => "over",
    };
    let side = comparison.side.label();
    format!("{subject} is {measured} (limit: {side} {limit}, {shortfall} {off})")
}

/// Whether a rule bounds one measure as it is, so that what it takes can be solved for.
fn bare_measure(rule: &RuleInForce) -> Option<&measures::Measure> {
    rule.rule.measure.bare()
}

fn violation(
    plan: &Plan,
    trials: Option<&WhatIf<'_, '_>>,
    (rule, margins): (&RuleInForce, &Margins),
    (judgement, known): (&Judgement, &Measured),
    sources: &Sources,
) -> Finding {
    let bare = bare_measure(rule);
    let title = rule.rule.title.as_str();
    let message = match (&judgement.comparison, bare) {
        (Some(comparison), Some(_)) => sentence(&known.sentence, comparison),
        (Some(comparison), None) => sentence(title, comparison),
        (None, Some(_)) => capitalised(&known.sentence),
        (None, None) => format!("{title}: this does not hold"),
    };
    // A rule over several measures shows the worst place only.
    let mut place = known.place.clone();
    if let Some(place) = place.as_mut().filter(|_| bare.is_none()) {
        place.others.clear();
    }
    let mut builder = begin(plan, rule, judgement, Nature::Violation)
        .message(message)
        .primary(known.primary.span, known.primary.text.clone())
        .place(place)
        .scenario(known.scenario.clone())
        .comparison(judgement.comparison.clone())
        .steps(every_step(judgement))
        .assumptions(known.assumptions.clone());
    for label in every_line(judgement) {
        builder = builder.related(label.span, label.text);
    }
    for label in margins::lines(margins, judgement) {
        builder = builder.related(label.span, label.text);
    }
    builder = limit_line(builder, rule, judgement, sources);
    let subject = &judgement.subject;
    let wanted = match (bare, &judgement.comparison, &rule.bound) {
        (Some(measure), Some(comparison), _) => Some(Wanted {
            measure,
            subject,
            side: comparison.side,
            limit: comparison.limit,
        }),
        (Some(measure), None, Bound::Equals(truth)) => {
            Some(Wanted::truth(measure, subject, truth.value))
        }
        _ => None,
    };
    let wanted = wanted.zip(trials);
    for fix in wanted
        .iter()
        .flat_map(|(wanted, trials)| trials.solve(wanted))
    {
        builder = builder.remedy(remedies::remedy(plan, fix, sources));
    }
    builder.remedy(of_rule(rule)).build(sources)
}

/// What a rule itself says to do.
fn of_rule(rule: &RuleInForce) -> Remedy {
    Remedy::deed(rule.rule.who, rule.rule.remedy.trim())
}

/// A rule that does not hold whatever is measured, as one of a team's own may be written.
fn of_no_measure(
    plan: &Plan,
    rule: &RuleInForce,
    judgement: &Judgement,
    sources: &Sources,
) -> Finding {
    let builder = begin(plan, rule, judgement, Nature::Violation)
        .message(format!("{}: this does not hold", rule.rule.title))
        .primary(plan.mission.id.span(), "this mission")
        .comparison(judgement.comparison.clone())
        .remedy(of_rule(rule));
    limit_line(builder, rule, judgement, sources).build(sources)
}

fn not_evaluated(
    plan: &Plan,
    rule: &RuleInForce,
    judgement: &Judgement,
    sources: &Sources,
) -> Finding {
    let of_reading = || {
        judgement
            .readings
            .iter()
            .find_map(|(_, reading)| reading.outcome.as_ref().err())
    };
    let fallback = NotMeasured {
        lack: Lack::Statement,
        reason: "the value is not a number".to_owned(),
        remedy: rule.rule.remedy.clone(),
        primary: Label {
            span: plan.mission.id.span(),
            text: "this mission".to_owned(),
        },
        because: Vec::new(),
        assumptions: Vec::new(),
    };
    let unknown = judgement
        .unknown
        .as_ref()
        .or_else(of_reading)
        .unwrap_or(&fallback);
    let title = rule.rule.title.trim_end_matches('.');
    let mut builder = begin(plan, rule, judgement, Nature::NotEvaluated)
        .message(format!(
            "{title}: could not be evaluated, because {}",
            unknown.reason
        ))
        .reason(&unknown.reason)
        .primary(unknown.primary.span, unknown.primary.text.clone())
        .assumptions(unknown.assumptions.clone())
        .remedy(Remedy::deed(
            keeper(plan, unknown.primary.span),
            &unknown.remedy,
        ));
    for label in &unknown.because {
        builder = builder.related(label.span, label.text.clone());
    }
    limit_line(builder, rule, judgement, sources).build(sources)
}

/// Who looks after the file that a line stands in.
fn keeper(plan: &Plan, line: Span) -> Who {
    if line.source == plan.vessel.id.span().source {
        Who::BoatKeeper
    } else if line.source == plan.site.id.span().source {
        Who::SiteKeeper
    } else {
        Who::Planner
    }
}

fn begin(
    plan: &Plan,
    rule: &RuleInForce,
    judgement: &Judgement,
    nature: Nature,
) -> FindingBuilder<Nowhere> {
    Finding::builder(&rule.rule.id.value, rule.severity.value, nature)
        .mission(&plan.mission.id.value)
        .subject(&judgement.subject)
        .why(rule.rule.why.trim())
}

/// The lines of every reading that the rule speaks of.
fn every_line(judgement: &Judgement) -> Vec<Label> {
    let known = judgement
        .readings
        .iter()
        .filter_map(|(_, reading)| reading.outcome.as_ref().ok());
    known
        .flat_map(|known| std::iter::once(&known.primary).chain(&known.because))
        .cloned()
        .collect()
}

/// The line that sets the limit, where a team's file does.
fn limit_line(
    builder: FindingBuilder,
    rule: &RuleInForce,
    judgement: &Judgement,
    sources: &Sources,
) -> FindingBuilder {
    let span = match &judgement.comparison {
        Some(comparison) => rule.bound.limit(comparison.side).map(Stated::span),
        None => rule.bound.span(),
    };
    match span {
        Some(span) if !sources.is_embedded(span.source) => {
            builder.related(span, format!("the limit: {}", rule.bound.describe()))
        }
        _ => builder,
    }
}

/// The limits in force of every policy that was used.
pub(super) fn in_force(
    used: &[String],
    policies: &Policies,
    sources: &Sources,
) -> Vec<EffectiveLimit> {
    let rules = used
        .iter()
        .filter_map(|id| policies.get(id))
        .flat_map(|policy| {
            policy
                .rules
                .iter()
                .map(move |rule| (policy.policy.clone(), rule))
        });
    rules
        .map(|(policy, rule)| EffectiveLimit {
            policy,
            rule: rule.rule.id.value.to_string(),
            bound: rule.bound.describe(),
            severity: rule.severity.value,
            enabled: rule.enabled.value,
            set_by: rule.set_by(sources),
            title: rule.rule.title.clone(),
            why: rule.rule.why.trim().to_owned(),
            remedy: rule.rule.remedy.trim().to_owned(),
        })
        .collect()
}
