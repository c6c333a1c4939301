//! The report of a check as types of its JSON.

mod found;
mod mission;

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::output::{Head, Output, PROGRAM, Program, SHA256, Severity};
use super::tally::{self, MissionTally, Tally};
use crate::check::{EffectiveLimit, MOST_PARTITIONS, Outcome, PartOf};
use crate::source::Sources;
pub(crate) use found::Finding;
use mission::Mission;

/// What a check came to, for other programs. A check without findings is no permission to launch. Every
/// string may hold text of the files that were checked: escape it for wherever it is shown.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Check output")]
pub(crate) struct Report<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// The program that wrote it.
    program: Program,
    /// Which part of a whole this is, where `--partition` was given; `offing merge` joins the parts. Null for a
    /// whole.
    partition: Option<Part<'a>>,
    /// The whole in figures.
    summary: Summary,
    /// The findings in their fixed order: by file, severity and place in the file.
    findings: Vec<Finding<'a>>,
    /// The missions that were checked, in order of path.
    #[schemars(with = "Vec<Mission<'a>>")]
    missions: Missions<'a>,
    /// Files that were not checked.
    not_checked: Vec<NotChecked<'a>>,
    /// Things to know that are no findings, such as the built-in policy being in force.
    notes: &'a [String],
    /// The limit of every rule, by policy.
    limits_in_force: Vec<Limit<'a>>,
}

impl Output for Report<'_> {
    const FORMAT: &'static str = "offing-check";
    const VERSION: u32 = 1;
}

/// The missions, each of which is made as it is written: of thousands of them not all at once.
struct Missions<'a> {
    tallied: Vec<MissionTally<'a>>,
    sources: &'a Sources,
}

impl Serialize for Missions<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let missions = self.tallied.iter();
        to.collect_seq(missions.map(|one| Mission::from_tally(one, self.sources)))
    }
}

/// A part of a whole.
#[derive(Serialize, JsonSchema)]
struct Part<'a> {
    /// Its number, from 1.
    #[schemars(range(min = 1))]
    number: u32,
    /// How many there are.
    #[schemars(range(min = 1, max = MOST_PARTITIONS))]
    of: u32,
    /// Digest of what all parts have in common: every file that was read, the built-in ones too, and what was
    /// asked for. Reports of other digests are not joined.
    #[schemars(regex(pattern = SHA256))]
    digest: &'a str,
    /// How many findings stand ahead of those that are in the fixed order: in a review, what the change takes
    /// from what judges it.
    ahead: usize,
}

/// Findings by severity.
#[derive(Serialize, JsonSchema)]
struct Counts {
    /// Plans not to be run as they are.
    error: usize,
    /// To be looked at before launch.
    warning: usize,
    /// Good to know.
    advice: usize,
    /// How many of all these say that a rule could not be judged.
    not_evaluated: usize,
    /// Findings that somebody accepted; none of them is in the other counts.
    accepted: usize,
}

/// A check in figures.
#[derive(Serialize, JsonSchema)]
struct Summary {
    /// All findings by severity.
    findings: Counts,
    /// Missions that were checked.
    missions_checked: usize,
    /// Missions that were judged, have no finding and meet every limit.
    missions_clean: usize,
    /// Files that were not checked.
    files_not_checked: usize,
    /// What a check does not say.
    #[schemars(length(min = 1))]
    caution: &'static str,
}

/// A file that was not checked.
#[derive(Serialize, JsonSchema)]
struct NotChecked<'a> {
    /// Path of the file from the root of the repository.
    path: &'a str,
    /// Why it was not checked.
    why: &'a str,
}

/// A limit in force.
#[derive(Serialize, JsonSchema)]
struct Limit<'a> {
    /// Id of the policy.
    policy: &'a str,
    /// Id of the rule.
    rule: &'a str,
    /// The bound in words, such as `at least 30 %`.
    bound: &'a str,
    /// Severity in force.
    severity: Severity,
    /// Whether the rule is judged.
    enabled: bool,
    /// Path and line that set the bound.
    set_by: &'a str,
}

impl<'a> Report<'a> {
    /// What a check of everything came to.
    pub(crate) fn from_outcome(outcome: &'a Outcome) -> Self {
        let tally = Tally::from_outcome(outcome);
        Self {
            head: Head::NEW,
            program: PROGRAM,
            partition: outcome.part_of.as_ref().map(Part::from_part),
            summary: Summary {
                findings: tally.findings.into(),
                missions_checked: tally.missions.len(),
                missions_clean: tally.clean(),
                files_not_checked: outcome.not_checked.len(),
                caution: super::CAUTION,
            },
            findings: Finding::all(outcome),
            missions: Missions {
                tallied: tally.missions,
                sources: &outcome.sources,
            },
            not_checked: outcome
                .not_checked
                .iter()
                .map(|file| NotChecked {
                    path: &file.path,
                    why: &file.why,
                })
                .collect(),
            notes: &outcome.notes,
            limits_in_force: outcome.in_force.iter().map(Limit::from_limit).collect(),
        }
    }
}

impl<'a> Part<'a> {
    fn from_part(part: &'a PartOf) -> Self {
        Self {
            number: part.partition.number(),
            of: part.partition.count(),
            digest: &part.digest,
            ahead: part.ahead,
        }
    }
}

impl From<tally::Counts> for Counts {
    fn from(counts: tally::Counts) -> Self {
        Self {
            error: counts.error,
            warning: counts.warning,
            advice: counts.advice,
            not_evaluated: counts.not_evaluated,
            accepted: counts.accepted,
        }
    }
}

impl<'a> Limit<'a> {
    fn from_limit(limit: &'a EffectiveLimit) -> Self {
        Self {
            policy: &limit.policy,
            rule: &limit.rule,
            bound: &limit.bound,
            severity: limit.severity.into(),
            enabled: limit.enabled,
            set_by: &limit.set_by,
        }
    }
}
