//! A small invented catalogue, and short ways to load rules and policies from text.

use std::sync::Arc;

use super::builtin_measures::BUILTIN_MEASURES;
use super::rule::Rule;
use super::*;
use crate::document::{Document, ParseLimits, parse};
use crate::finding::Label;
use crate::measures::input::Inputs;
use crate::measures::{
    Cost, Lack, Measure, Measured, Measurement, NotMeasured, Scope, Type, Value,
};
use crate::schema::{Kind, Problem, validate};
use crate::source::{SourceId, Sources, Span};
use crate::units::{Dimension, Quantity};

const fn measure(name: &'static str, scope: Scope, of: Type) -> Measure {
    Measure {
        name,
        scope,
        of,
        title: "An invented measure.",
        meaning: "It is measured somehow.",
        needs: &["something that a plan states"],
        levers: &[],
        moved_by: Inputs::these(&[]),
        of_planned_wind: false,
        cost: Cost::Run,
    }
}

const fn quantity_type(dimension: Dimension) -> Type {
    Type::Quantity(dimension)
}

/// Measures of several scopes and kinds.
pub(super) const CATALOGUE: &[Measure] = &[
    measure(
        "mission.reach",
        Scope::Mission,
        quantity_type(Dimension::LENGTH),
    ),
    measure(
        "mission.delay",
        Scope::Mission,
        quantity_type(Dimension::TIME),
    ),
    measure(
        "mission.reserve",
        Scope::Mission,
        quantity_type(Dimension::RATIO),
    ),
    measure("mission.returns", Scope::Mission, Type::Truth),
    measure("mission.lit", Scope::Mission, Type::Truth),
    measure(
        "mission.sent",
        Scope::Mission,
        quantity_type(Dimension::POWER_LEVEL),
    ),
    measure(
        "mission.heard",
        Scope::Mission,
        quantity_type(Dimension::POWER_LEVEL),
    ),
    measure("link.margin", Scope::Link, quantity_type(Dimension::LEVEL)),
    measure("link.loss", Scope::Link, quantity_type(Dimension::LEVEL)),
    measure("end.depth", Scope::End, quantity_type(Dimension::LENGTH)),
];

/// The measures that the built-in rules need, as a catalogue.
pub(super) fn builtin_catalogue() -> Vec<Measure> {
    BUILTIN_MEASURES
        .iter()
        .map(|(name, scope, of)| measure(name, *scope, *of))
        .collect()
}

/// Adds a text and parses it; it must fit its schema.
pub(super) fn add(
    sources: &mut Sources,
    path: &str,
    kind: Kind,
    text: &str,
) -> (SourceId, Document) {
    let id = sources.add(path, text);
    let document = parse(id, text, &ParseLimits::YAML).expect("valid YAML");
    assert_eq!(validate(kind, &document), [], "{text}");
    (id, document)
}

/// The text of a rule around the given lines.
pub(super) fn rule_text(id: &str, lines: &str) -> String {
    format!(
        "kind: rule\nformat: 1\nid: {id}\ntitle: A rule\nseverity: error\nwhy: Because.\n\
         remedy: Do.\n{lines}\n"
    )
}

/// Loads a rule from the given lines.
pub(super) fn load(lines: &str) -> (Sources, Result<Rule, Vec<Problem>>) {
    let mut sources = Sources::new();
    let (id, document) = add(
        &mut sources,
        "rules/r.yaml",
        Kind::Rule,
        &rule_text("r", lines),
    );
    let rule = Rule::from_document(id, &document, CATALOGUE, &sources);
    (sources, rule)
}

/// What is wrong with a rule of the given lines: message, text of the span, help.
pub(super) fn refused(lines: &str) -> Vec<(String, String, String)> {
    let (sources, rule) = load(lines);
    shown(&rule.expect_err(lines), &sources)
}

/// Problems as message, text of the span, help.
pub(super) fn shown(problems: &[Problem], sources: &Sources) -> Vec<(String, String, String)> {
    problems
        .iter()
        .map(|p| {
            (
                p.message.clone(),
                sources.slice(p.span).to_owned(),
                p.help.clone().unwrap_or_default(),
            )
        })
        .collect()
}

/// A sound rule of the given lines, as its file states it.
pub(super) fn in_force(lines: &str) -> RuleInForce {
    let (sources, rule) = load(lines);
    let rule = rule.unwrap_or_else(|problems| panic!("{:?}", shown(&problems, &sources)));
    RuleInForce::as_stated(&Arc::new(rule))
}

pub(super) fn label(text: &str) -> Label {
    Label {
        span: Span::new(SourceId(0), 0, 1),
        text: text.to_owned(),
    }
}

/// A reading of a subject.
pub(super) fn known(subject: &str, value: Value) -> Measurement {
    Measurement {
        subject: subject.to_owned(),
        outcome: Ok(Measured {
            value,
            sentence: "the figure".to_owned(),
            primary: label("measured here"),
            because: Vec::new(),
            place: None,
            scenario: None,
            steps: Vec::new(),
            assumptions: Vec::new(),
        }),
    }
}

/// A reading without a value.
pub(super) fn unknown(subject: &str, reason: &str) -> Measurement {
    Measurement {
        subject: subject.to_owned(),
        outcome: Err(NotMeasured {
            lack: Lack::Statement,
            reason: reason.to_owned(),
            remedy: "state it".to_owned(),
            primary: label("not stated here"),
            because: Vec::new(),
            assumptions: Vec::new(),
        }),
    }
}

/// A quantity of the kind that the catalogue gives a measure.
pub(super) fn quantity(name: &str, value: f64) -> Value {
    let measure = CATALOGUE.iter().find(|m| m.name == name).expect(name);
    match measure.of {
        Type::Quantity(dimension) => Value::Quantity(Quantity::new(value, dimension)),
        Type::Truth => panic!("{name} is true or false"),
    }
}

/// What is not there to be measured.
pub(super) fn absent(subject: &str) -> Measurement {
    let mut measurement = unknown(subject, "there is none");
    if let Err(why) = &mut measurement.outcome {
        why.lack = Lack::Subject;
    }
    measurement
}
