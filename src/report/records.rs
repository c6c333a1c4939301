//! The JSON output as records; `schemas/check-output.schema.json` describes every field.

mod mission;

use serde::Serialize;

use super::program::{PROGRAM, Program};
use super::quantity;
use super::tally::{Counts, Tally};
use crate::check::{EffectiveLimit, Outcome, PartOf};
use crate::finding::{Acceptance, Comparison, Finding, Label, Place};
use crate::source::{Sources, Span};
use crate::units::{Quantity, Typed as _};
use mission::{MissionRecord, mission};

#[derive(Serialize)]
pub(super) struct Report<'a> {
    format: &'static str,
    version: u32,
    program: Program,
    partition: Option<PartitionRecord<'a>>,
    summary: Summary,
    findings: Vec<FindingRecord<'a>>,
    missions: Vec<MissionRecord<'a>>,
    not_checked: Vec<NotCheckedRecord<'a>>,
    notes: &'a [String],
    limits_in_force: Vec<LimitRecord<'a>>,
}

#[derive(Serialize)]
struct PartitionRecord<'a> {
    number: u32,
    of: u32,
    digest: &'a str,
    ahead: usize,
}

#[derive(Serialize)]
struct CountsRecord {
    error: usize,
    warning: usize,
    advice: usize,
    not_evaluated: usize,
    accepted: usize,
}

#[derive(Serialize)]
struct Summary {
    findings: CountsRecord,
    missions_checked: usize,
    missions_clean: usize,
    files_not_checked: usize,
    caution: &'static str,
}

#[derive(Serialize)]
struct QuantityRecord {
    value: Option<f64>,
    unit: String,
    text: String,
}

#[derive(Serialize)]
struct Point {
    line: u32,
    column: u32,
    byte: u32,
}

#[derive(Serialize)]
struct Location<'a> {
    path: &'a str,
    start: Point,
    end: Point,
}

#[derive(Serialize)]
struct LabelRecord<'a> {
    text: &'a str,
    location: Location<'a>,
}

#[derive(Serialize)]
struct PositionRecord {
    latitude: f64,
    longitude: f64,
}

#[derive(Serialize)]
struct PlaceRecord<'a> {
    name: &'a str,
    along: Option<QuantityRecord>,
    position: Option<PositionRecord>,
}

#[derive(Serialize)]
struct ComparisonRecord {
    measured: QuantityRecord,
    limit: QuantityRecord,
    side: &'static str,
    shortfall: QuantityRecord,
}

#[derive(Serialize)]
struct FindingRecord<'a> {
    rule: &'a str,
    severity: &'static str,
    nature: &'static str,
    mission: Option<&'a str>,
    message: &'a str,
    fingerprint: &'a str,
    accepted: Option<AcceptanceRecord<'a>>,
    primary: LabelRecord<'a>,
    related: Vec<LabelRecord<'a>>,
    place: Option<PlaceRecord<'a>>,
    scenario: Option<&'a str>,
    comparison: Option<ComparisonRecord>,
    steps: &'a [String],
    remedies: &'a [String],
    assumptions: &'a [String],
    why: Option<&'a str>,
}

#[derive(Serialize)]
struct AcceptanceRecord<'a> {
    how: &'static str,
    by: &'a str,
    until: &'a str,
    reason: &'a str,
    location: Location<'a>,
}

#[derive(Serialize)]
struct NotCheckedRecord<'a> {
    path: &'a str,
    why: &'a str,
}

#[derive(Serialize)]
struct LimitRecord<'a> {
    policy: &'a str,
    rule: &'a str,
    bound: &'a str,
    severity: &'static str,
    enabled: bool,
    set_by: &'a str,
}

impl<'a> Report<'a> {
    pub(super) fn of(outcome: &'a Outcome) -> Self {
        let tally = Tally::of(outcome);
        Self {
            format: super::FORMAT,
            version: super::VERSION,
            program: PROGRAM,
            partition: outcome.part_of.as_ref().map(partition),
            summary: Summary {
                findings: counts(tally.findings),
                missions_checked: tally.missions.len(),
                missions_clean: tally.clean(),
                files_not_checked: outcome.not_checked.len(),
                caution: super::CAUTION,
            },
            findings: outcome
                .findings
                .iter()
                .map(|one| finding(one, &outcome.sources))
                .collect(),
            missions: tally.missions.iter().map(mission).collect(),
            not_checked: outcome
                .not_checked
                .iter()
                .map(|file| NotCheckedRecord {
                    path: &file.path,
                    why: &file.why,
                })
                .collect(),
            notes: &outcome.notes,
            limits_in_force: outcome.in_force.iter().map(limit).collect(),
        }
    }
}

fn partition(part: &PartOf) -> PartitionRecord<'_> {
    PartitionRecord {
        number: part.partition.number(),
        of: part.partition.of(),
        digest: &part.digest,
        ahead: part.ahead,
    }
}

fn counts(counts: Counts) -> CountsRecord {
    CountsRecord {
        error: counts.error,
        warning: counts.warning,
        advice: counts.advice,
        not_evaluated: counts.not_evaluated,
        accepted: counts.accepted,
    }
}

/// JSON has no way to write what is not finite; it becomes null, and the text says so.
fn quantity(of: Quantity) -> QuantityRecord {
    with_text(of, quantity::text(of))
}

fn with_text(of: Quantity, text: String) -> QuantityRecord {
    QuantityRecord {
        value: of.value.is_finite().then_some(of.value),
        unit: quantity::stored_unit(of.dimension),
        text,
    }
}

fn location(span: Span, sources: &Sources) -> Location<'_> {
    let (start, end) = (sources.position(span), sources.end_position(span));
    Location {
        path: sources.path(span.source),
        start: Point {
            line: start.line,
            column: start.column,
            byte: span.start,
        },
        end: Point {
            line: end.line,
            column: end.column,
            byte: span.end,
        },
    }
}

fn label<'a>(label: &'a Label, sources: &'a Sources) -> LabelRecord<'a> {
    LabelRecord {
        text: &label.text,
        location: location(label.span, sources),
    }
}

fn place(place: &Place) -> PlaceRecord<'_> {
    PlaceRecord {
        name: &place.name,
        along: place.along.map(|along| quantity(along.quantity())),
        position: place
            .position
            .filter(|(latitude, longitude)| latitude.is_finite() && longitude.is_finite())
            .map(|(latitude, longitude)| PositionRecord {
                latitude,
                longitude,
            }),
    }
}

fn comparison(comparison: &Comparison) -> ComparisonRecord {
    let (measured, limit) = quantity::beside(comparison.measured, comparison.limit);
    ComparisonRecord {
        measured: with_text(comparison.measured, measured),
        limit: with_text(comparison.limit, limit),
        side: comparison.side.words(),
        shortfall: quantity(comparison.shortfall()),
    }
}

fn finding<'a>(finding: &'a Finding, sources: &'a Sources) -> FindingRecord<'a> {
    FindingRecord {
        rule: &finding.rule,
        severity: finding.severity.name(),
        nature: finding.nature.name(),
        mission: finding.mission.as_deref(),
        message: &finding.message,
        fingerprint: &finding.fingerprint,
        accepted: finding
            .accepted
            .as_ref()
            .map(|one| acceptance(one, sources)),
        primary: label(&finding.primary, sources),
        related: finding.related.iter().map(|l| label(l, sources)).collect(),
        place: finding.place.as_ref().map(place),
        scenario: finding.scenario.as_deref(),
        comparison: finding.comparison.as_ref().map(comparison),
        steps: &finding.steps,
        remedies: &finding.remedies,
        assumptions: &finding.assumptions,
        why: finding.why.as_deref(),
    }
}

fn acceptance<'a>(accepted: &'a Acceptance, sources: &'a Sources) -> AcceptanceRecord<'a> {
    AcceptanceRecord {
        how: accepted.how.name(),
        by: &accepted.by,
        until: &accepted.until,
        reason: &accepted.reason,
        location: location(accepted.line, sources),
    }
}

fn limit(limit: &EffectiveLimit) -> LimitRecord<'_> {
    LimitRecord {
        policy: &limit.policy,
        rule: &limit.rule,
        bound: &limit.bound,
        severity: limit.severity.name(),
        enabled: limit.enabled,
        set_by: &limit.set_by,
    }
}
