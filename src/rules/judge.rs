//! Judging a rule on what the measures say of a plan.

use std::collections::BTreeMap;

use super::expression::{Expression, NoValue};
use super::in_force::RuleInForce;
use super::rule::Rule;
use crate::finding::{Comparison, Label};
use crate::measures::{Lack, Measure, Measured, Measurement, NotMeasured, Scope, Type, Value};

/// What comes of judging a rule, from good to bad.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Hash)]
pub enum Verdict {
    /// The rule says of itself that it does not apply.
    NotApplicable,
    /// The bound is met.
    Holds,
    /// It could not be judged.
    Unknown,
    /// The bound is broken.
    Fails,
}

impl Verdict {
    /// Its name in reports.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::NotApplicable => "not applicable",
            Self::Holds => "holds",
            Self::Unknown => "not evaluated",
            Self::Fails => "fails",
        }
    }
}

/// A rule judged on one subject.
#[derive(Clone, PartialEq, Debug)]
pub struct Judgement {
    /// The subject in the plan's own words, empty for the mission as a whole.
    pub subject: String,
    /// What came of it.
    pub verdict: Verdict,
    /// The value that was held against the bound, where there is one.
    pub value: Option<Value>,
    /// The value against its limit, for a rule that bounds a quantity.
    pub comparison: Option<Comparison>,
    /// The readings that the rule speaks of, by the name of their measure. The first is the one to
    /// tell of: of what is bounded, and known where the rule could be judged.
    pub readings: Vec<(&'static str, Measurement)>,
    /// Why it could not be judged, where it could not.
    pub unknown: Option<NotMeasured>,
}

/// Judges a rule, once for every subject that it is about. `lookup` gives the readings of a
/// measure by its name: one for a measure of the mission, and one a subject for any other. None
/// at all means that there is no such subject in the plan.
///
/// A rule that is switched off gives no judgement. A rule of which it cannot be determined whether it
/// applies could not be judged, even where its bound is kept.
#[must_use]
pub fn judge(rule: &RuleInForce, lookup: &dyn Fn(&str) -> Vec<Measurement>) -> Vec<Judgement> {
    if !rule.enabled.value {
        return Vec::new();
    }
    let all: Vec<(Measure, Vec<Measurement>)> = rule
        .rule
        .measures()
        .into_iter()
        .map(|measure| (measure, lookup(measure.name)))
        .collect();
    let mut subjects: Vec<&str> = Vec::new();
    if rule.rule.scope == Scope::Mission {
        subjects.push("");
    } else {
        for (_, readings) in all.iter().filter(|(m, _)| m.scope != Scope::Mission) {
            for reading in readings {
                if !subjects.contains(&reading.subject.as_str()) {
                    subjects.push(&reading.subject);
                }
            }
        }
    }
    if subjects.is_empty() {
        return vec![Judgement {
            subject: String::new(),
            verdict: Verdict::NotApplicable,
            value: None,
            comparison: None,
            readings: Vec::new(),
            unknown: None,
        }];
    }
    subjects
        .into_iter()
        .map(|subject| {
            let readings = all
                .iter()
                .map(|(measure, all)| (measure.name, reading_of(&rule.rule, measure, all, subject)))
                .collect();
            judge_subject(rule, subject, readings)
        })
        .collect()
}

/// The reading of a measure for a subject. Whatever is not as the catalogue has it counts as
/// unknown, never as passed.
fn reading_of(rule: &Rule, measure: &Measure, all: &[Measurement], subject: &str) -> Measurement {
    let mut own = all
        .iter()
        .filter(|r| measure.scope == Scope::Mission || r.subject == subject);
    let amiss = match (own.next(), own.next()) {
        (Some(one), None) => match &one.outcome {
            Ok(known) if type_of(known.value) != measure.of => "is of the wrong kind",
            Ok(known) if !is_finite(known.value) => {
                let unknown = not_finite(measure.name, known);
                return Measurement {
                    subject: one.subject.clone(),
                    outcome: Err(unknown),
                };
            }
            _ => return one.clone(),
        },
        (Some(_), Some(_)) => "has more than one value",
        (None, _) => "was not measured",
    };
    let unknown = NotMeasured {
        lack: Lack::Statement,
        reason: format!("`{}` {amiss}", measure.name),
        remedy: String::new(),
        primary: rule_line(rule),
        because: Vec::new(),
        assumptions: Vec::new(),
    };
    Measurement {
        subject: subject.to_owned(),
        outcome: Err(unknown),
    }
}

fn rule_line(rule: &Rule) -> Label {
    Label {
        span: rule.measure.span(),
        text: "the rule uses it here".to_owned(),
    }
}

fn type_of(value: Value) -> Type {
    match value {
        Value::Quantity(quantity) => Type::Quantity(quantity.dimension),
        Value::Truth(_) => Type::Truth,
    }
}

fn is_finite(value: Value) -> bool {
    match value {
        Value::Quantity(quantity) => quantity.value.is_finite(),
        Value::Truth(_) => true,
    }
}

fn not_finite(name: &str, known: &Measured) -> NotMeasured {
    NotMeasured {
        lack: Lack::Statement,
        reason: format!("`{name}` is not a finite number"),
        remedy: String::new(),
        primary: known.primary.clone(),
        because: known.because.clone(),
        assumptions: known.assumptions.clone(),
    }
}

fn judge_subject(
    rule: &RuleInForce,
    subject: &str,
    mut readings: Vec<(&'static str, Measurement)>,
) -> Judgement {
    let known: BTreeMap<&str, Value> = readings
        .iter()
        .filter_map(|(name, r)| Some((*name, r.outcome.as_ref().ok()?.value)))
        .collect();
    let mut judgement = Judgement {
        subject: subject.to_owned(),
        verdict: Verdict::Unknown,
        value: None,
        comparison: None,
        readings: Vec::new(),
        unknown: None,
    };
    let applies = rule
        .rule
        .applies_when
        .as_ref()
        .map(|condition| (condition, condition.value(&known)));
    match applies {
        Some((_, Ok(Value::Truth(false)))) => judgement.verdict = Verdict::NotApplicable,
        None | Some((_, Ok(Value::Truth(true)))) => {
            judge_bound(rule, &known, &readings, &mut judgement);
        }
        Some((condition, result)) => {
            let why = result.err().unwrap_or(NoValue::Missing(None));
            judgement.unknown = Some(reason(&rule.rule, condition, &why, &readings));
        }
    }
    if judgement.verdict != Verdict::Unknown {
        // What is known is reported first; the order is kept otherwise.
        readings.sort_by_key(|(_, reading)| reading.outcome.is_err());
    }
    judgement.readings = readings;
    judgement
}

fn judge_bound(
    rule: &RuleInForce,
    known: &BTreeMap<&str, Value>,
    readings: &[(&'static str, Measurement)],
    judgement: &mut Judgement,
) {
    let measure = &rule.rule.measure;
    let outcome = measure
        .value(known)
        .and_then(|value| match rule.bound.judge(value) {
            Some((passes, comparison)) => Ok((value, passes, comparison)),
            None => Err(NoValue::Missing(None)),
        });
    match outcome {
        Ok((value, passes, comparison)) => {
            judgement.value = Some(value);
            judgement.comparison = comparison;
            judgement.verdict = if passes {
                Verdict::Holds
            } else {
                Verdict::Fails
            };
        }
        Err(why) => {
            let unknown = reason(&rule.rule, measure, &why, readings);
            // Only a rule over that alone: what else an expression speaks of may be there.
            if unknown.lack == Lack::Subject && measure.bare().is_some() {
                judgement.verdict = Verdict::NotApplicable;
            } else {
                judgement.unknown = Some(unknown);
            }
        }
    }
}

/// Why an expression has no value: the measure that it lacks, else that its arithmetic does not
/// come out.
fn reason(
    rule: &Rule,
    expression: &Expression,
    why: &NoValue,
    readings: &[(&'static str, Measurement)],
) -> NotMeasured {
    let own = |name: &str| expression.measures().iter().any(|m| m.name == name);
    let lacking = readings
        .iter()
        .filter(|(name, _)| own(name))
        .filter_map(|(name, reading)| Some((*name, reading.outcome.as_ref().err()?)));
    let named = match why {
        NoValue::Missing(Some(key)) => lacking
            .clone()
            .find(|(name, _)| name.split_once('.').is_some_and(|(_, rest)| rest == key)),
        NoValue::Missing(None) => None,
        NoValue::NotFinite => {
            let first = readings.iter().find_map(|(name, reading)| {
                own(name).then_some(reading.outcome.as_ref().ok()?.primary.clone())
            });
            return NotMeasured {
                lack: Lack::Statement,
                reason: format!("`{}` is not a finite number", expression.text()),
                remedy: String::new(),
                primary: first.unwrap_or_else(|| rule_line(rule)),
                because: vec![rule_line(rule)],
                assumptions: Vec::new(),
            };
        }
    };
    match named.or_else(|| lacking.clone().next()) {
        Some((_, unknown)) => unknown.clone(),
        None => NotMeasured {
            lack: Lack::Statement,
            reason: format!("`{}` cannot be evaluated", expression.text()),
            remedy: String::new(),
            primary: rule_line(rule),
            because: Vec::new(),
            assumptions: Vec::new(),
        },
    }
}
