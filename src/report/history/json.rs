//! A history for other programs: listed, and verified.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::{Told, outcome_of, shown};
use crate::history::{Record, Totals, Verified, Within};
use crate::plan::run::{End, Input, OfLaunch};
use crate::report::output::{self, Head, Output, PROGRAM, Program, SHA256};
use crate::report::records::Finding;
use crate::units::Typed as _;

/// What `offing history --format json` and `offing history verify --format json` write. No field is ever left out.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "History")]
struct History<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// What wrote it.
    program: Program,
    /// The runs that were listed.
    runs: Vec<Run<'a>>,
    /// What they come to; null where they were verified.
    totals: Option<Sums>,
    /// What came of verifying them; null where they were listed.
    verified: Option<Chain<'a>>,
}

impl Output for History<'_> {
    const FORMAT: &'static str = "offing-history";
    const VERSION: u32 = 1;
}

/// One run.
#[derive(Serialize, JsonSchema)]
struct Run<'a> {
    /// Its id.
    id: &'a str,
    /// Its file.
    path: &'a str,
    /// SHA-256 of its file.
    #[schemars(regex(pattern = SHA256))]
    sha256: &'a str,
    /// Id of the mission.
    mission: &'a str,
    /// Id of the vessel.
    vessel: &'a str,
    /// Id of the policy.
    policy: &'a str,
    /// The commit that was run.
    commit: &'a str,
    /// SHA-256 of the plan as a whole.
    #[schemars(regex(pattern = SHA256))]
    digest: &'a str,
    /// The files that were run and judged by.
    inputs: Vec<File<'a>>,
    /// The decision on its launch; null where there was none.
    decision: Option<Decision<'a>>,
    /// The rules that were waived.
    waived: Vec<Waived<'a>>,
    /// When it was launched, in universal time.
    launched: String,
    /// When it was back.
    ended: String,
    /// When this was recorded.
    recorded: String,
    /// Who recorded it, by role.
    by: &'a str,
    /// How it ended.
    outcome: Outcome,
    /// What nearly went wrong.
    near_misses: &'a [String],
    /// What wind and water were like.
    conditions: Option<&'a str>,
    /// Energy that was used.
    energy: Option<String>,
    /// Planned length.
    length: Option<String>,
    /// How far it went by its track.
    sailed: Option<String>,
    /// The track.
    track: Track<'a>,
    /// SHA-256 of each record before it.
    #[schemars(inner(regex(pattern = SHA256)))]
    previous: Vec<&'a str>,
}

/// A file that was run or judged by.
#[derive(Serialize, JsonSchema)]
struct File<'a> {
    /// What it is to the plan.
    role: &'a str,
    /// Its id.
    name: &'a str,
    /// Its path in the commit.
    path: &'a str,
    /// SHA-256 of its bytes.
    #[schemars(regex(pattern = SHA256))]
    sha256: &'a str,
}

/// The decision on a launch.
#[derive(Serialize, JsonSchema)]
struct Decision<'a> {
    /// Its file.
    path: &'a str,
    /// SHA-256 of its bytes.
    #[schemars(regex(pattern = SHA256))]
    sha256: &'a str,
    /// Whether it was a go.
    go: bool,
}

/// A rule that was waived.
#[derive(Serialize, JsonSchema)]
struct Waived<'a> {
    /// Its id.
    rule: &'a str,
    /// The role that waived it.
    by: &'a str,
}

/// How a run ended.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Outcome {
    Completed,
    Aborted,
    #[serde(rename = "recovered by boat")]
    Recovered,
    Lost,
}

/// A track.
#[derive(Serialize, JsonSchema)]
struct Track<'a> {
    /// Its digest.
    #[schemars(regex(pattern = SHA256))]
    sha256: &'a str,
    /// Where it is kept.
    kept: &'a str,
}

/// What runs come to.
#[derive(Serialize, JsonSchema)]
struct Sums {
    /// How many runs.
    runs: usize,
    /// Planned length of them all.
    distance: Option<String>,
    /// How far the boats went, of the runs whose track was measured.
    sailed: Option<String>,
    /// How many runs these are.
    tracked: usize,
    /// Time out.
    time: Option<String>,
    /// Energy used, of those that say so.
    energy: Option<String>,
    /// Broken off.
    aborted: usize,
    /// Fetched.
    recovered: usize,
    /// Lost.
    lost: usize,
    /// Near misses.
    near_misses: usize,
    /// Energy used as a share of what may be used, least and most.
    used: Option<Used>,
}

/// Least and most of several shares.
#[derive(Serialize, JsonSchema)]
struct Used {
    /// Least.
    least: String,
    /// Most.
    most: String,
}

/// What came of verifying a history.
#[derive(Serialize, JsonSchema)]
struct Chain<'a> {
    /// How many records.
    records: usize,
    /// For how many runs the launch was decided again; null where that was not asked for.
    judged: Option<usize>,
    /// Whether nothing is broken.
    whole: bool,
    /// What is broken, the first break first; as in the report of a check.
    findings: Vec<Finding<'a>>,
    /// Things to know.
    notes: &'a [String],
}

impl<'a> Run<'a> {
    fn from_record(record: &'a Record) -> Self {
        let run = &record.run;
        let waived = run.waived.iter().map(|(rule, by)| Waived {
            rule: &rule.value,
            by: &by.value,
        });
        Self {
            id: &run.id.value,
            path: &record.path,
            sha256: &record.sha256,
            mission: &run.mission.value,
            vessel: &run.vessel,
            policy: &run.policy.value,
            commit: &run.commit.value,
            digest: &run.digest.value,
            inputs: run.inputs.iter().map(File::from_input).collect(),
            decision: run.decision.as_ref().map(Decision::from_launch),
            waived: waived.collect(),
            launched: run.launched.value.to_string(),
            ended: run.ended.value.to_string(),
            recorded: run.recorded.value.to_string(),
            by: &run.by,
            outcome: run.outcome.into(),
            near_misses: &run.near_misses,
            conditions: run.conditions.as_deref(),
            energy: shown(run.energy.map(|one| one.quantity())),
            length: shown(run.planned.length.map(|one| one.quantity())),
            sailed: shown(run.sailed.map(|one| one.quantity())),
            track: Track {
                sha256: &run.track.value,
                kept: &run.kept,
            },
            previous: run.previous.iter().map(|one| one.value.as_str()).collect(),
        }
    }
}

impl<'a> File<'a> {
    fn from_input(input: &'a Input) -> Self {
        Self {
            role: &input.role,
            name: &input.name,
            path: &input.path.value,
            sha256: &input.sha256.value,
        }
    }
}

impl<'a> Decision<'a> {
    fn from_launch(decision: &'a OfLaunch) -> Self {
        Self {
            path: &decision.path.value,
            sha256: &decision.sha256.value,
            go: decision.go.value,
        }
    }
}

impl From<End> for Outcome {
    fn from(of: End) -> Self {
        match of {
            End::Completed => Self::Completed,
            End::Aborted => Self::Aborted,
            End::Recovered => Self::Recovered,
            End::Lost => Self::Lost,
        }
    }
}

impl From<&Totals> for Sums {
    fn from(totals: &Totals) -> Self {
        Self {
            runs: totals.runs,
            distance: shown(totals.distance.map(|one| one.quantity())),
            sailed: shown(totals.sailed.map(|one| one.quantity())),
            tracked: totals.tracked,
            time: shown(totals.time.map(|one| one.quantity())),
            energy: shown(totals.energy.map(|one| one.quantity())),
            aborted: totals.aborted,
            recovered: totals.recovered,
            lost: totals.lost,
            near_misses: totals.near_misses,
            used: totals.used.map(Used::from),
        }
    }
}

impl From<Within> for Used {
    fn from(used: Within) -> Self {
        Self {
            least: used.least.quantity().to_string(),
            most: used.most.quantity().to_string(),
        }
    }
}

/// The JSON Schema of the JSON form.
#[must_use]
pub(crate) fn schema() -> Value {
    output::schema::<History<'_>>()
}

/// Runs, and what they come to, as JSON.
///
/// # Errors
/// Those of the serializer; no history is known to cause one.
pub(crate) fn listed_json(
    listed: &[&Record],
    totals: &Totals,
) -> Result<String, serde_json::Error> {
    output::text(&History {
        head: Head::NEW,
        program: PROGRAM,
        runs: listed.iter().map(|one| Run::from_record(one)).collect(),
        totals: Some(totals.into()),
        verified: None,
    })
}

/// What came of verifying, as JSON.
///
/// # Errors
/// Those of the serializer; no history is known to cause one.
pub(crate) fn verified_json(verified: Verified) -> Result<String, serde_json::Error> {
    let Told {
        records,
        again,
        notes,
        outcome,
    } = outcome_of(verified);
    output::text(&History {
        head: Head::NEW,
        program: PROGRAM,
        runs: Vec::new(),
        totals: None,
        verified: Some(Chain {
            records,
            judged: again,
            whole: outcome.findings.is_empty(),
            findings: Finding::all(&outcome),
            notes: &notes,
        }),
    })
}
