//! The record of a decision on a launch.

use jiff::Timestamp;

use super::gathered::FileOfKind;
use super::time;
use crate::schema::{Fields, Problem, Stated};

/// A decision that was recorded.
#[derive(Clone, PartialEq, Debug)]
pub struct Decided {
    /// Its id.
    pub id: Stated<String>,
    /// Id of the mission.
    pub mission: Stated<String>,
    /// When the boat was to be launched.
    pub at: Stated<Timestamp>,
    /// When it was decided: by the computer's clock, or as it was said.
    pub decided: Stated<Timestamp>,
    /// What the computer's clock showed, where another time was said.
    pub clock: Option<Stated<Timestamp>>,
    /// When the instruments were read, where that was earlier.
    pub read: Option<Stated<Timestamp>>,
    /// Whether it was.
    pub go: bool,
    /// Who decided, by role.
    pub by: Stated<String>,
    /// Id of the policy that judged.
    pub policy: Stated<String>,
    /// Digest of the plan as a whole.
    pub digest: Stated<String>,
    /// The commit in which its files stood, where one is named.
    pub commit: Option<Stated<String>>,
    /// Digests of its files: role, name, SHA-256.
    pub inputs: Vec<(String, String, String)>,
    /// Rules whose findings were waived, each with the role that did.
    pub waived: Vec<(String, String)>,
    /// Ids of the reasons for the no-go.
    pub reasons: Vec<String>,
    /// Digests of goes that were not used, as it says.
    pub unused: Vec<Stated<String>>,
    /// Why they were not.
    pub again: Option<Stated<String>>,
    /// Version of the program.
    pub program: Stated<String>,
    /// What was read at the water, as it was typed.
    pub readings: AsTyped,
    /// Items of the checklist that were seen to.
    pub ticked: Vec<String>,
}

/// What was read at the water, as it was typed.
#[derive(Clone, PartialEq, Debug)]
pub struct AsTyped {
    /// The wind.
    pub wind: Stated<String>,
    /// The voltage of the pack at rest.
    pub battery: Option<Stated<String>>,
    /// The charge that a counter shows.
    pub charge: Option<Stated<String>>,
}

impl Decided {
    /// Whether this decision may say of another one that it was not used: it is about the same mission,
    /// was made after it, and by the person in charge.
    #[must_use]
    pub fn may_say_unused(&self, other: &Self) -> bool {
        self.mission.value == other.mission.value
            && self.decided.value >= other.decided.value
            && !self.reasons.iter().any(|reason| reason == "not-in-charge")
    }
}

/// Reads a decision from a file that fits its schema.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn decided(file: &FileOfKind) -> Result<Decided, Vec<Problem>> {
    file.parse_with(parse)
}

fn parse(fields: Fields<'_>) -> Option<Decided> {
    let decision = fields.word("decision", &[("go", true), ("no-go", false)]);
    let at = time::moment(fields, "at", None);
    let when = time::moment(fields, "decided", None);
    let stated = |key: &str| match fields.get(key) {
        Some(_) => time::moment(fields, key, None).map(Some),
        None => Some(None),
    };
    let (clock, read) = (stated("clock"), stated("read"));
    let text = |fields: Fields<'_>, key: &str| fields.text(key).map(|text| text.value);
    let inputs = fields.maps("inputs");
    let inputs = inputs
        .filter_map(|one| Some((text(one, "role")?, text(one, "name")?, text(one, "sha256")?)));
    let inputs = inputs.collect();
    let waived = fields.maps("waived");
    let waived = waived.filter_map(|one| Some((text(one, "rule")?, text(one, "by")?)));
    let waived = waived.collect();
    let readings = fields.map("readings");
    let readings = readings.and_then(|read| {
        Some(AsTyped {
            wind: read.required_text("wind")?,
            battery: read.text("battery"),
            charge: read.text("charge"),
        })
    });
    let ticked = fields.list("ticked").iter();
    let ticked = ticked.filter_map(|item| Some(item.as_text()?.to_owned()));
    let ticked = ticked.collect();
    let reasons = fields.maps("reasons");
    let reasons = reasons.filter_map(|one| text(one, "rule")).collect();
    let unused = fields.maps("unused");
    let unused = unused.map(|one| one.required_text("sha256"));
    let unused = unused.collect::<Option<_>>();
    Some(Decided {
        id: fields.required_text("id")?,
        mission: fields.required_text("mission")?,
        at: at?,
        decided: when?,
        clock: clock?,
        read: read?,
        go: decision?.value,
        by: fields.required_text("by")?,
        policy: fields.required_text("policy")?,
        digest: fields.required_text("digest")?,
        commit: fields.text("commit"),
        inputs,
        waived,
        reasons,
        unused: unused?,
        again: fields.text("again"),
        program: fields.required_text("program")?,
        readings: readings?,
        ticked,
    })
}
