//! A review for other programs.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use crate::check::Told;
use crate::finding::Finding;
use crate::report::output::{self, Head, Output, SHA256};
use crate::report::records::Report;
use crate::review::{
    Change, Figure, Fixed, Margin, MissionChange, Moved, PolicyFrom, Review, Waypoints,
};

/// What `offing review --format json` writes.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Review")]
struct Whole<'a> {
    #[serde(flatten)]
    named: Head<Self>,
    /// The earlier revision.
    base: &'a str,
    /// The later one.
    head: &'a str,
    /// Whose policies and rules judged.
    policy_from: Judge,
    /// Missions of the later revision.
    missions_in_all: usize,
    /// The missions that the change bears on, by id.
    missions: Vec<Changed<'a>>,
    /// Findings that are gone.
    fixed: Vec<Plain<'a>>,
    /// Findings that both have.
    still: Vec<Plain<'a>>,
    /// Fingerprints of new findings that the change would not have under its own policies and rules.
    only_under_change: &'a [String],
    /// Those of the new findings that were known before, and are worse now.
    worse: Vec<Worse<'a>>,
    /// The later revision judged, with the findings that are new; as `offing check --format json` writes it.
    check: Report<'a>,
}

impl Output for Whole<'_> {
    const FORMAT: &'static str = "offing-review";
    const VERSION: u32 = 1;
}

/// Whose policies and rules judge.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Judge {
    Base,
    Head,
}

/// A mission that the change bears on.
#[derive(Serialize, JsonSchema)]
struct Changed<'a> {
    /// Its id.
    mission: &'a str,
    /// What became of it.
    change: Word,
    /// Its files that differ, by path.
    files: &'a [String],
    /// Who runs it, with what and when, where that differs.
    told: Vec<Said<'a>>,
    /// Figures of the passage that differ.
    figures: Vec<Differs<'a>>,
    /// Margins that differ, the worse ones first.
    margins: Vec<Nearer<'a>>,
    /// What became of its waypoints.
    waypoints: Points<'a>,
}

/// What became of a mission.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Word {
    New,
    Removed,
    #[serde(rename = "no longer checked")]
    NoLongerChecked,
    Changed,
}

/// A value of the mission's file.
#[derive(Serialize, JsonSchema)]
struct Said<'a> {
    /// Where it stands, in words.
    what: &'a str,
    /// Before; null where it was not stated.
    was: Option<&'a str>,
    /// After; null where it is not stated.
    now: Option<&'a str>,
}

/// A figure of the passage in both revisions.
#[derive(Serialize, JsonSchema)]
struct Differs<'a> {
    /// Its name.
    name: &'a str,
    /// Before.
    was: Option<String>,
    /// After.
    now: Option<String>,
}

/// A margin in both revisions.
#[derive(Serialize, JsonSchema)]
struct Nearer<'a> {
    /// The rule.
    rule: &'a str,
    /// The subject within the mission, empty for the mission as a whole.
    subject: &'a str,
    /// The value before.
    was: String,
    /// The value after.
    now: String,
    /// The limit.
    limit: &'a str,
    /// Whether it is nearer to its limit than before, or farther past it.
    worse: bool,
}

/// What became of the waypoints of a mission.
#[derive(Serialize, JsonSchema)]
struct Points<'a> {
    /// Ids of new ones.
    added: &'a [String],
    /// Ids of those that are gone.
    removed: &'a [String],
    /// Those at another place.
    moved: Vec<Elsewhere<'a>>,
    /// Those come to at another speed.
    speeds: Vec<Faster<'a>>,
    /// Surveys of another number of lines.
    lines: Vec<Lines<'a>>,
    /// Whether those that stay are come to in another order.
    reordered: bool,
}

/// A waypoint at another place.
#[derive(Serialize, JsonSchema)]
struct Elsewhere<'a> {
    /// Its id.
    id: &'a str,
    /// How far.
    by: String,
    /// Whereto.
    towards: String,
}

/// A waypoint that is come to at another speed.
#[derive(Serialize, JsonSchema)]
struct Faster<'a> {
    /// Id of the waypoint.
    id: &'a str,
    /// Before.
    was: &'a str,
    /// After.
    now: &'a str,
}

/// A survey of another number of lines.
#[derive(Serialize, JsonSchema)]
struct Lines<'a> {
    /// Id of the survey.
    id: &'a str,
    /// Lines before.
    was: usize,
    /// Lines after.
    now: usize,
}

/// A finding in short.
#[derive(Serialize, JsonSchema)]
struct Plain<'a> {
    /// The rule.
    rule: &'a str,
    /// Id of the mission, where it is about one.
    mission: Option<&'a str>,
    /// What it says.
    message: &'a str,
}

/// A finding that is worse than it was.
#[derive(Serialize, JsonSchema)]
struct Worse<'a> {
    /// The rule.
    rule: &'a str,
    /// Id of the mission, where it is about one.
    mission: Option<&'a str>,
    /// Fingerprint of the finding.
    #[schemars(regex(pattern = SHA256))]
    fingerprint: &'a str,
    /// The value before, or the severity where that was raised.
    was: &'a str,
    /// The value now, or the severity.
    now: &'a str,
}

impl<'a> Changed<'a> {
    fn from_change(change: &'a MissionChange) -> Self {
        let told = change.told.iter().map(|Told { what, was, now, .. }| Said {
            what,
            was: was.as_deref(),
            now: now.as_deref(),
        });
        Self {
            mission: &change.mission,
            change: match change.change {
                Change::Added => Word::New,
                Change::Removed => Word::Removed,
                Change::Unchecked => Word::NoLongerChecked,
                Change::Changed => Word::Changed,
            },
            files: &change.files,
            told: told.collect(),
            figures: change.figures.iter().map(Differs::from_figure).collect(),
            margins: change.margins.iter().map(Nearer::from_margin).collect(),
            waypoints: Points::from_waypoints(&change.waypoints),
        }
    }
}

impl<'a> Differs<'a> {
    fn from_figure(figure: &'a Figure) -> Self {
        Self {
            name: figure.name,
            was: figure.was.map(|was| was.to_string()),
            now: figure.now.map(|now| now.to_string()),
        }
    }
}

impl<'a> Nearer<'a> {
    fn from_margin(margin: &'a Margin) -> Self {
        Self {
            rule: &margin.rule,
            subject: &margin.subject,
            was: margin.was.to_string(),
            now: margin.now.to_string(),
            limit: &margin.limit,
            worse: margin.worse,
        }
    }
}

impl<'a> Points<'a> {
    fn from_waypoints(points: &'a Waypoints) -> Self {
        let speeds = points.speeds.iter();
        let lines = points.lines.iter();
        Self {
            added: &points.added,
            removed: &points.removed,
            moved: points.moved.iter().map(Elsewhere::from_moved).collect(),
            speeds: speeds
                .map(|(id, was, now)| Faster { id, was, now })
                .collect(),
            lines: lines
                .map(|&(ref id, was, now)| Lines { id, was, now })
                .collect(),
            reordered: points.reordered,
        }
    }
}

impl<'a> Elsewhere<'a> {
    fn from_moved(moved: &'a Moved) -> Self {
        Self {
            id: &moved.id,
            by: moved.by.to_string(),
            towards: moved.towards.to_string(),
        }
    }
}

impl<'a> From<&'a Fixed> for Plain<'a> {
    fn from(of: &'a Fixed) -> Self {
        Self {
            rule: &of.rule,
            mission: of.mission.as_deref(),
            message: &of.message,
        }
    }
}

impl<'a> From<&'a Finding> for Plain<'a> {
    fn from(of: &'a Finding) -> Self {
        Self {
            rule: &of.rule,
            mission: of.mission.as_deref(),
            message: &of.message,
        }
    }
}

/// What the JSON output calls itself.
pub(crate) const FORMAT: &str = Whole::FORMAT;

/// The JSON Schema of the JSON output.
#[must_use]
pub(crate) fn schema() -> Value {
    output::schema::<Whole<'_>>()
}

/// The review as JSON, as its schema ([`schema`]) describes it.
///
/// # Errors
/// Those of the serializer; no review is known to cause one.
pub fn to_json(review: &Review) -> Result<String, serde_json::Error> {
    let worse = review.worse.iter().map(|one| Worse {
        rule: &one.rule,
        mission: one.mission.as_deref(),
        fingerprint: &one.fingerprint,
        was: &one.was,
        now: &one.now,
    });
    output::text(&Whole {
        named: Head::NEW,
        base: &review.base,
        head: &review.head,
        policy_from: match review.policy_from {
            PolicyFrom::Base => Judge::Base,
            PolicyFrom::Head => Judge::Head,
        },
        missions_in_all: review.missions,
        missions: review.changes.iter().map(Changed::from_change).collect(),
        fixed: review.fixed.iter().map(Plain::from).collect(),
        still: review.still.iter().map(Plain::from).collect(),
        only_under_change: &review.only_under_change,
        worse: worse.collect(),
        check: Report::from_outcome(&review.outcome),
    })
}
