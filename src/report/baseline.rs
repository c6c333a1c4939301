//! The text of a baseline: findings that were there when a repository began to be checked.

use std::collections::BTreeSet;

use crate::check::{Known, Outcome};
use crate::finding::{Accepted, Finding, Nature};
use crate::source::Limit;
use crate::yaml::{Block, Yaml};

/// Most findings that a baseline holds.
pub(crate) const MOST: usize = 10_000;

/// What stands above the findings of a baseline.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BaselineHead<'a> {
    /// Its id.
    pub id: &'a str,
    /// The day by which it is to be reviewed.
    pub review_by: &'a str,
    /// Who accepts it, by role.
    pub by: &'a str,
    /// Why.
    pub reason: &'a str,
}

/// The findings of a check that a baseline takes in: what rules say of missions, but for what a
/// waiver covers and for examples of rules. A file that cannot be read is never accepted.
#[must_use]
pub(crate) fn for_baseline(outcome: &Outcome) -> Vec<&Finding> {
    let rules: BTreeSet<&str> = outcome
        .in_force
        .iter()
        .map(|one| one.rule.as_str())
        .collect();
    let otherwise = |finding: &Finding| {
        let accepted = finding.accepted.as_ref();
        accepted.is_some_and(|accepted| accepted.how != Accepted::Baseline)
    };
    let all = outcome.findings.iter();
    all.filter(|finding| {
        let of_a_rule = finding.nature != Nature::Input && rules.contains(finding.rule.as_str());
        of_a_rule && finding.mission.is_some() && !otherwise(finding)
    })
    .collect()
}

/// The file. Where it would be too large to be read, what each finding said is left out.
#[must_use]
pub(crate) fn baseline_text(head: &BaselineHead<'_>, findings: &[&Finding]) -> String {
    let measured = |finding: &Finding| {
        let comparison = finding.comparison.as_ref()?;
        Some(comparison.measured.exact())
    };
    let lines = findings.iter().map(|finding| Line {
        fingerprint: &finding.fingerprint,
        rule: &finding.rule,
        mission: finding.mission.as_deref().unwrap_or(""),
        measured: measured(finding),
        says: Some(&finding.message),
    });
    let lines: Vec<Line<'_>> = lines.collect();
    let whole = text(head, &lines);
    if whole.len() as u64 <= Limit::YAML.bytes() {
        return whole;
    }
    // What it said is for people, and a baseline that is too large is read by nobody.
    let bare = lines.into_iter().map(|line| Line { says: None, ..line });
    text(head, &bare.collect::<Vec<_>>())
}

/// The file anew, with those of its findings that are kept.
#[must_use]
pub(crate) fn baseline_of_known(head: &BaselineHead<'_>, known: &[&Known]) -> String {
    let lines = known.iter().map(|known| Line {
        fingerprint: &known.fingerprint.value,
        rule: &known.rule,
        mission: &known.mission,
        measured: known.measured.as_ref().map(|value| value.value.clone()),
        says: known.says.as_deref(),
    });
    text(head, &lines.collect::<Vec<_>>())
}

struct Line<'a> {
    fingerprint: &'a str,
    rule: &'a str,
    mission: &'a str,
    measured: Option<String>,
    says: Option<&'a str>,
}

fn text(head: &BaselineHead<'_>, lines: &[Line<'_>]) -> String {
    let findings = lines.iter().map(|line| {
        let mut finding = Block::new();
        finding
            .text("fingerprint", line.fingerprint)
            .text("rule", line.rule)
            .text("mission", line.mission)
            .optional("measured", line.measured.as_deref().map(Yaml::text))
            .optional("says", line.says.map(Yaml::sentence));
        Yaml::Block(finding)
    });
    let mut file = Block::new();
    file.comment(
        "Findings from before the first check of this repository. Remove what is fixed:\n\
         `offing baseline --prune` does.",
    )
    .word("kind", "baseline")
    .field("format", Yaml::Whole(1))
    .word("id", head.id)
    .word("review_by", head.review_by)
    .text("by", head.by)
    .text("reason", head.reason)
    .field("findings", Yaml::List(findings.collect()));
    file.to_text()
}
