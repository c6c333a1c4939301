//! The records of a mission: what it was judged to be, its digests, signatures and figures.

use serde::Serialize;

use super::{CountsRecord, QuantityRecord, counts, quantity, with_text};
use crate::check::{Approval, Failing, InputDigest, RuleResult};
use crate::finding::Side;
use crate::report::quantity as shown;
use crate::report::tally::MissionTally;

#[derive(Serialize)]
struct JudgedRecord<'a> {
    rule: &'a str,
    subject: &'a str,
    verdict: &'static str,
    measured: Option<QuantityRecord>,
    limit: Option<QuantityRecord>,
    side: Option<&'static str>,
    scenario: Option<&'a str>,
}

#[derive(Serialize)]
struct FigureRecord {
    name: &'static str,
    quantity: QuantityRecord,
}

#[derive(Serialize)]
pub(super) struct MissionRecord<'a> {
    mission: &'a str,
    path: &'a str,
    policy: &'a str,
    digest: &'a str,
    approvals: Vec<ApprovalRecord<'a>>,
    signatures_needed: Vec<NeededRecord<'a>>,
    inputs: Vec<InputRecord<'a>>,
    clean: bool,
    findings: CountsRecord,
    judged: Vec<JudgedRecord<'a>>,
    assumptions: &'a [String],
    figures: Vec<FigureRecord>,
    spread: Option<SpreadRecord<'a>>,
}

#[derive(Serialize)]
struct ApprovalRecord<'a> {
    role: &'a str,
    path: &'a str,
    good: bool,
}

#[derive(Serialize)]
struct NeededRecord<'a> {
    role: &'a str,
    signed: bool,
}

#[derive(Serialize)]
struct InputRecord<'a> {
    role: &'static str,
    name: &'a str,
    path: &'a str,
    sha256: &'a str,
}

#[derive(Serialize)]
struct SpreadRecord<'a> {
    runs: u32,
    seed: u64,
    judged: u32,
    any: u32,
    rules: Vec<FailingRecord<'a>>,
    drawn: &'a [String],
}

#[derive(Serialize)]
struct FailingRecord<'a> {
    rule: &'a str,
    failed: u32,
    unknown: u32,
}

fn judged(judged: &RuleResult) -> JudgedRecord<'_> {
    let (measured, limit) = match (judged.measured, judged.limit) {
        (Some(value), Some(bound)) => {
            let (measured, limit) = shown::beside(value, bound);
            (
                Some(with_text(value, measured)),
                Some(with_text(bound, limit)),
            )
        }
        (value, bound) => (value.map(quantity), bound.map(quantity)),
    };
    JudgedRecord {
        rule: &judged.rule,
        subject: &judged.subject,
        verdict: judged.verdict.name(),
        measured,
        limit,
        side: judged.side.map(Side::words),
        scenario: judged.scenario.as_deref(),
    }
}

pub(super) fn mission<'a>(tally: &MissionTally<'a>) -> MissionRecord<'a> {
    let checked = tally.checked;
    MissionRecord {
        mission: &checked.mission,
        path: &checked.path,
        policy: &checked.policy,
        digest: &checked.digests.whole,
        approvals: checked.approvals.iter().map(approval).collect(),
        signatures_needed: checked
            .signatures_needed()
            .map(|(role, signed)| NeededRecord { role, signed })
            .collect(),
        inputs: checked.digests.files.iter().map(input).collect(),
        clean: tally.is_clean(),
        findings: counts(tally.findings),
        judged: checked.judged.iter().map(judged).collect(),
        assumptions: &checked.assumptions,
        figures: checked
            .figures
            .iter()
            .map(|&(name, figure)| FigureRecord {
                name,
                quantity: quantity(figure),
            })
            .collect(),
        spread: checked.spread.as_ref().map(|spread| SpreadRecord {
            runs: spread.sampling.runs,
            seed: spread.sampling.seed,
            judged: spread.judged,
            any: spread.any,
            rules: spread.rules.iter().map(failing).collect(),
            drawn: &spread.drawn,
        }),
    }
}

fn approval(approval: &Approval) -> ApprovalRecord<'_> {
    ApprovalRecord {
        role: &approval.principal,
        path: &approval.path,
        good: approval.good,
    }
}

fn input(file: &InputDigest) -> InputRecord<'_> {
    InputRecord {
        role: file.role,
        name: &file.name,
        path: &file.path,
        sha256: &file.sha256,
    }
}

fn failing(rule: &Failing) -> FailingRecord<'_> {
    FailingRecord {
        rule: &rule.rule,
        failed: rule.failed,
        unknown: rule.unknown,
    }
}
