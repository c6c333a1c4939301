//! The record of a plan that was run.

use jiff::Timestamp;

use super::gathered::FileOfKind;
use super::time;
use crate::document::Node;
use crate::schema::{Fields, Problem, Stated};
use crate::units::{Energy, Length, Time};

/// How a run ended.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum End {
    /// As planned.
    Completed,
    /// Broken off.
    Aborted,
    /// The boat was fetched.
    Recovered,
    /// The boat was not seen again.
    Lost,
}

impl End {
    /// Every way, with its word in a record.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("completed", Self::Completed),
        ("aborted", Self::Aborted),
        ("recovered by boat", Self::Recovered),
        ("lost", Self::Lost),
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        let found = Self::WORDS.iter().find(|(_, end)| *end == self);
        found.map_or("lost", |(word, _)| word)
    }
}

/// A file of the plan as it was run.
#[derive(Clone, PartialEq, Debug)]
pub struct Input {
    /// What it is to the plan.
    pub role: String,
    /// Its id.
    pub name: String,
    /// Its path in the commit.
    pub path: Stated<String>,
    /// SHA-256 of its bytes.
    pub sha256: Stated<String>,
}

/// The decision on the launch.
#[derive(Clone, PartialEq, Debug)]
pub struct OfLaunch {
    /// Path of its file.
    pub path: Stated<String>,
    /// SHA-256 of its file.
    pub sha256: Stated<String>,
    /// Whether it was a go.
    pub go: Stated<bool>,
}

/// What was planned, at its worst.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Planned {
    /// Length of the route.
    pub length: Option<Length>,
    /// Longest that it takes.
    pub duration: Option<Time>,
    /// Most energy that it takes.
    pub energy: Option<Energy>,
    /// Energy that may be used of a full battery.
    pub usable: Option<Energy>,
}

/// A record.
#[derive(Clone, PartialEq, Debug)]
pub struct RunRecord {
    /// Its id.
    pub id: Stated<String>,
    /// Id of the mission.
    pub mission: Stated<String>,
    /// Id of the vessel.
    pub vessel: String,
    /// Id of the policy.
    pub policy: Stated<String>,
    /// Version of the program.
    pub program: String,
    /// The commit.
    pub commit: Stated<String>,
    /// Digest of the plan as a whole.
    pub digest: Stated<String>,
    /// Its files.
    pub inputs: Vec<Input>,
    /// The decision on the launch, where there was one.
    pub decision: Option<OfLaunch>,
    /// Rules that were waived, each with the role that did.
    pub waived: Vec<(Stated<String>, Stated<String>)>,
    /// When the boat was launched.
    pub launched: Stated<Timestamp>,
    /// When it was back.
    pub ended: Stated<Timestamp>,
    /// When this was recorded.
    pub recorded: Stated<Timestamp>,
    /// Who recorded it.
    pub by: String,
    /// Who did what.
    pub roles: Vec<(String, String)>,
    /// How it ended.
    pub outcome: End,
    /// What nearly went wrong.
    pub near_misses: Vec<String>,
    /// What wind and water were like.
    pub conditions: Option<String>,
    /// Energy that was used.
    pub energy: Option<Energy>,
    /// How far it went by its track.
    pub sailed: Option<Length>,
    /// What was planned.
    pub planned: Planned,
    /// SHA-256 of the track.
    pub track: Stated<String>,
    /// Where the track is kept.
    pub kept: String,
    /// Digests of the records before this one.
    pub previous: Vec<Stated<String>>,
}

/// Reads a record from a file that fits its schema.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn run_record(file: &FileOfKind) -> Result<RunRecord, Vec<Problem>> {
    file.parse_with(parse)
}

fn input(fields: Fields<'_>) -> Option<Input> {
    Some(Input {
        role: fields.required_text("role")?.value,
        name: fields.required_text("name")?.value,
        path: fields.required_text("path")?,
        sha256: fields.required_text("sha256")?,
    })
}

fn decision(fields: Fields<'_>) -> Option<OfLaunch> {
    let go = fields.get("go")?;
    Some(OfLaunch {
        path: fields.required_text("path")?,
        sha256: fields.required_text("sha256")?,
        go: Stated::written(go.as_bool()?, go.span),
    })
}

fn parse(fields: Fields<'_>) -> Option<RunRecord> {
    let text = |key: &str| fields.text(key).map(|text| text.value);
    let words = |node: &Node| node.as_text().map(str::to_owned);
    let stated = |node: &Node| Some(Stated::written(words(node)?, node.span));
    let planned = fields.map("planned");
    let planned = planned.map_or_else(Planned::default, |planned| Planned {
        length: planned.quantity("length").map(|one| one.value),
        duration: planned.quantity("duration").map(|one| one.value),
        energy: planned.quantity("energy").map(|one| one.value),
        usable: planned.quantity("usable").map(|one| one.value),
    });
    let waived = fields.maps("waived");
    let waived = waived.map(|one| Some((one.required_text("rule")?, one.required_text("by")?)));
    let roles = fields.map("roles").map_or_else(Vec::new, |roles| {
        let entries = roles.entries().into_iter();
        entries
            .filter_map(|(role, _, fields)| Some((role.to_owned(), words(fields.node())?)))
            .collect()
    });
    let (launched, ended) = (
        time::moment(fields, "launched", None),
        time::moment(fields, "ended", None),
    );
    let recorded = time::moment(fields, "recorded", None);
    let energy = fields.quantity("energy");
    let sailed = fields.quantity("sailed");
    let track = fields.required_map("track")?;
    Some(RunRecord {
        id: fields.required_text("id")?,
        mission: fields.required_text("mission")?,
        vessel: text("vessel")?,
        policy: fields.required_text("policy")?,
        program: text("program")?,
        commit: fields.required_text("commit")?,
        digest: fields.required_text("digest")?,
        inputs: fields.maps("inputs").map(input).collect::<Option<_>>()?,
        decision: match fields.map("decision") {
            Some(group) => Some(decision(group)?),
            None => None,
        },
        waived: waived.collect::<Option<_>>()?,
        launched: launched?,
        ended: ended?,
        recorded: recorded?,
        by: text("by")?,
        roles,
        outcome: fields.word("outcome", &End::WORDS)?.value,
        near_misses: fields
            .list("near_misses")
            .iter()
            .filter_map(words)
            .collect(),
        conditions: text("conditions"),
        energy: energy.map(|one| one.value),
        sailed: sailed.map(|one| one.value),
        planned,
        track: track.required_text("sha256")?,
        kept: track.required_text("kept")?.value,
        previous: fields
            .list("previous")
            .iter()
            .map(stated)
            .collect::<Option<_>>()?,
    })
}
