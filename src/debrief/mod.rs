//! A run set beside its plan: what the track tells of time, speed, energy, cross-track distance,
//! clearances, depths and the link, and which of the plan's figures did not hold.
//!
//! Whatever the track does not tell of is told as not judged. Power alone is put in where little of it
//! is missing; how long, and what it may have been at most, is reported.

mod actual;
mod against;
mod another;
mod clear;
mod columns;
mod depth;
mod fix;
mod judge;
mod judging;
mod lacking;
mod lay;
mod link;
mod part;
mod parts;
mod passed;
mod planned;
mod power;
mod record;
mod series;
mod stated_depth;
mod sums;
mod thresholds;
mod times;

pub(crate) use another::fits;
pub(crate) use clear::{Kept, LAND, Unseen};
pub(crate) use depth::Depths;
pub(crate) use link::{LinkKept, Worst};
pub(crate) use part::{Beside, Lack, Part, What};
pub(crate) use record::OfRun;
pub(crate) use series::Series;
pub(crate) use thresholds::ALL as THRESHOLDS;
pub use thresholds::explained;

use jiff::Timestamp;

use crate::check::RuleResult;
use crate::finding::Finding;
use crate::models::geodesy::Position;
use crate::passage::Passage;
use crate::picture::Picture;
use crate::plan::Plan;
use crate::rules::EffectivePolicy;
use crate::source::{SourceId, Sources, Span};
use crate::track::{Aside, Columns, NoMatch, Recorded, Track};
use crate::units::{Length, Ratio, Time};
use actual::ActualRun;
use parts::Making;
use planned::Planned;

/// Why a track cannot be set beside a plan.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
pub(crate) enum NoDebrief {
    /// There is no fix.
    #[error("the track has no fix with a time and a position")]
    NoFix,
    /// Nothing follows from the fixes.
    #[error(
        "the track has no two usable fixes: none a minute apart or less, or none within the boat's \
         reach"
    )]
    Nothing,
    /// Latitude and longitude are exchanged.
    #[error("the track lies off the site, and would lie on it with latitude and longitude swapped")]
    Swapped,
    /// It lies somewhere else.
    #[error("no fix of the track lies within a kilometre of the route: it is not of this mission")]
    Elsewhere,
    /// It is of another day, and of another route.
    #[error(
        "the track is from {track}, the plan from {plan}, and {share} of its fixes lie along the \
         route: it is not of this mission"
    )]
    Another {
        /// Day of the track.
        track: String,
        /// Day of the plan.
        plan: String,
        /// Share of its fixes that lie along the route.
        share: Ratio,
    },
    /// Its record says that it is of another mission.
    #[error(
        "the record {record} says that the track is of the mission `{mission}`: debrief that one"
    )]
    Recorded {
        /// Id of the record.
        record: String,
        /// Id of the mission.
        mission: String,
    },
    /// It cannot be laid along the route.
    #[error("{0}")]
    NoMatch(NoMatch),
}

/// What a debrief is made from.
pub(crate) struct DebriefInput<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The policy that judges it.
    pub policy: &'a EffectivePolicy,
    /// Its picture.
    pub picture: &'a Picture,
    /// What came of each rule in its check.
    pub judged: &'a [RuleResult],
    /// Everything that was read, the track too.
    pub sources: &'a Sources,
    /// The track.
    pub track: &'a Track,
    /// Its file.
    pub file: SourceId,
    /// What of its columns was put aside, since it cannot be of this boat.
    pub aside: &'a [Aside],
    /// What its columns hold, and the file that says so; `None` of a track without columns.
    pub columns: Option<(&'a Columns, SourceId)>,
    /// The record of a run that names the track, where there is one.
    pub record: Option<OfRun<'a>>,
}

impl<'a> DebriefInput<'a> {
    fn policy(&self) -> clear::Policy<'a> {
        clear::Policy {
            rules: self.policy,
            judged: self.judged,
        }
    }

    /// The line of the track that begins at a byte.
    fn line_at(&self, begins: u32) -> Span {
        let text = self.sources.get(self.file).map_or("", |file| file.text());
        let rest = text.get(begins as usize..).unwrap_or("");
        let length = rest.find(['\n', '\r']).unwrap_or(rest.len());
        // A point of a GPX file need not have a line of its own.
        let end = rest.floor_char_boundary(length.min(200));
        Span::new(self.file, begins, begins + u32::try_from(end).unwrap_or(0))
    }

    /// Whether the whole of a column was put aside.
    fn put_aside(&self, quantity: Recorded) -> bool {
        let mut whole = self.aside.iter().filter(|one| one.whole);
        whole.any(|one| one.quantity == quantity)
    }

    /// Why there is no power.
    fn no_power(&self) -> &'static str {
        match (
            self.put_aside(Recorded::Voltage),
            self.put_aside(Recorded::Current),
        ) {
            (true, true) => "the voltage and current columns do not fit this boat",
            (true, false) => "the voltage column does not fit this boat",
            (false, true) => "the current column does not fit this boat",
            (false, false) => "the track has no voltage and current",
        }
    }
}

/// When and where the run began and ended.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Ends {
    /// When the boat left the launch point; `None` where the track begins after that.
    pub launched: Option<Timestamp>,
    /// The launch that was planned, and how much later it may be.
    pub launch: (Timestamp, Time),
    /// When it came to the recovery point; `None` where it did not.
    pub arrived: Option<Timestamp>,
    /// When it is to be back at the latest, where the plan says so.
    pub latest_return: Option<Timestamp>,
    /// When the track begins and ends.
    pub recorded: (Timestamp, Timestamp),
    /// Where the track ends.
    pub last: Position,
    /// How far that is from the recovery point.
    pub from_recovery: Length,
    /// Nearest that the boat came to the recovery point after half of its way.
    pub nearest: Length,
    /// Whether the boat came to the recovery point, or the track ends at it or in its launch site.
    pub at_recovery: bool,
    /// Whether the clock was set somewhere in the track, so that its times are in doubt.
    pub clock_set: bool,
    /// Where the run was left: the leg, in the plan's words, and the distance along the route.
    pub left: Option<(String, Length)>,
}

/// A run beside its plan.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Debrief {
    /// Id of the mission.
    pub mission: String,
    /// What people call it, where stated.
    pub title: Option<String>,
    /// Path of its file.
    pub path: String,
    /// Id of the policy.
    pub policy: String,
    /// Fixes that the figures are from.
    pub fixes: usize,
    /// What was found amiss in the track, in words.
    pub cleaned: Vec<String>,
    /// The wind that the plan's figures are of, where there are any.
    pub wind: Option<String>,
    /// The record that names the track: its id, its file and how it says that the run ended.
    pub record: Option<(String, String, &'static str)>,
    /// Begin and end.
    pub ends: Ends,
    /// Every leg.
    pub legs: Vec<Part>,
    /// The whole.
    pub whole: Part,
    /// The return leg.
    pub return_leg: Part,
    /// The vessel's own cross-track error.
    pub cross_track_error: Length,
    /// What was kept clear of.
    pub kept: Vec<Kept>,
    /// The longest time without a fix, of which no clearance is known.
    pub unseen: Option<Unseen>,
    /// Depths, where they were recorded.
    pub depths: Option<Depths>,
    /// The link, where it was recorded.
    pub link: Option<LinkKept>,
    /// What is drawn.
    pub series: Series,
    /// What did not hold, and what could not be judged.
    pub findings: Vec<Finding>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// Sets a run beside its plan.
///
/// # Errors
/// [`NoDebrief`] where nothing can be determined at all.
pub(crate) fn debrief(asked: &DebriefInput<'_>) -> Result<Debrief, NoDebrief> {
    let plan = asked.plan;
    another::another(asked)?;
    let actual = lay::lay_along_route(plan, asked.track)?;
    let passage = Passage::from_plan(plan);
    let planned = Planned::from_passage(&passage);
    let fix = |index: usize| line_of(asked, &actual, index);
    let making = Making {
        plan,
        actual: &actual,
        planned: planned.as_ref(),
        fix: &fix,
        no_power: asked.no_power(),
    };
    let along = &asked.picture.along;
    let turnaround = along
        .distance
        .get(along.turnaround)
        .map_or(0.0, |at| at.get());
    let mut found = Debrief {
        mission: plan.mission.id.value.clone(),
        title: plan.mission.title.clone(),
        path: plan.path.clone(),
        policy: asked.policy.policy.clone(),
        fixes: actual.fixes.len(),
        cleaned: cleaned(&actual, asked),
        wind: planned.as_ref().map(Planned::wind),
        record: asked.record.map(|of| {
            let run = of.run;
            let path = asked.sources.path(run.id.span().source);
            (run.id.value.clone(), path.to_owned(), run.outcome.word())
        }),
        ends: ends(plan, &actual),
        legs: making.legs(),
        whole: making.whole(),
        return_leg: making.return_leg(turnaround),
        cross_track_error: plan.vessel.navigation.cross_track_error.value,
        kept: clear::kept(&passage, asked.policy(), &actual),
        unseen: clear::unseen(&actual),
        depths: depth::depths(plan, asked.policy(), &actual),
        link: link::link(plan, along, &actual),
        series: series::series(plan, asked.picture, &actual, planned.as_ref()),
        findings: Vec::new(),
        assumptions: assumptions(plan, &actual),
    };
    found.findings = judge::findings(asked, &found, &fix);
    Ok(found)
}

/// The line of the track that a fix stands on.
fn line_of(asked: &DebriefInput<'_>, actual: &ActualRun, index: usize) -> Span {
    asked.line_at(actual.fixes.get(index).map_or(0, |fix| fix.sample.begins))
}

fn cleaned(actual: &ActualRun, asked: &DebriefInput<'_>) -> Vec<String> {
    let mut all = actual.counts.describe();
    let track = asked.track;
    let few = asked.aside.iter().filter(|one| !one.whole);
    all.extend(few.map(Aside::few));
    if track.without_fix > 0 {
        all.push(format!(
            "{} × a row without a time or a position, left out",
            track.without_fix
        ));
    }
    all.extend(track.told_cut_off().map(str::to_owned));
    if actual.far > 0 {
        all.push(format!(
            "{} × a position farther from the site than its plane reaches, removed",
            actual.far
        ));
    }
    all
}

fn ends(plan: &Plan, actual: &ActualRun) -> Ends {
    let mission = &plan.mission;
    let (fixes, recovery) = (&actual.fixes, mission.recovery.at.value);
    let (first, last) = (&fixes[0], &fixes[fixes.len() - 1]);
    let from_recovery = last.at.distance(recovery);
    let zone = &mission.recovery.zone;
    let in_zone = last.at.distance(zone.centre) <= zone.radius.value.get();
    let later_half = &fixes[actual.last_on_route().min(fixes.len() - 1) / 2..];
    let nearest = later_half.iter().map(|fix| fix.at.distance(recovery));
    Ends {
        launched: actual.begun.map(|index| fixes[index].sample.time),
        launch: (mission.launch.time.value, mission.launch.delay.value),
        arrived: actual.arrived.map(|index| fixes[index].sample.time),
        latest_return: mission
            .launch
            .latest_return
            .as_ref()
            .map(|latest| latest.value),
        recorded: (first.sample.time, last.sample.time),
        last: last.sample.position,
        from_recovery: Length::metres(from_recovery),
        nearest: Length::metres(nearest.fold(f64::INFINITY, f64::min)),
        at_recovery: actual.arrived.is_some() || in_zone || from_recovery <= actual.near.get(),
        clock_set: actual.clock_was_set(),
        left: actual
            .left
            .map(|(leg, index)| (mission.legs[leg].name.clone(), fixes[index].on.along)),
    }
}

fn assumptions(plan: &Plan, actual: &ActualRun) -> Vec<String> {
    let mut all = vec![
        format!(
            "a fix that takes the boat faster than {} over ground is wrong",
            actual.cleaning.fastest
        ),
        format!("at a place is within {} of it", actual.near),
        "the plan's figures are those of its files, without the margins of the policy".to_owned(),
    ];
    if actual.powered {
        all.push(format!(
            "energy is voltage × current over time, plus the loss in the pack's internal \
             resistance of {}; voltage is that of the whole pack, current all that leaves it",
            plan.vessel.battery.resistance.value
        ));
    }
    let depth = actual.fixes.iter().any(|fix| fix.sample.depth.is_some());
    if depth {
        all.push(
            "depths are below the water surface, and a depth of 0 counts as \
                  missing"
                .to_owned(),
        );
        let sonar = plan.vessel.sonar.as_ref();
        if sonar.is_none_or(|sonar| sonar.depth_error.is_none()) {
            all.push(
                "the sounder's `depth_error` is not stated, and counts as zero in the water under \
                 the keel"
                    .to_owned(),
            );
        }
    }
    all
}
