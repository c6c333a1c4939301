//! What a measure says of a plan.

use super::input::{Input, Inputs};
use crate::finding::{Label, Place};
use crate::units::{Dimension, Quantity};

/// What kind of value a measure has.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Type {
    /// A quantity of this dimension.
    Quantity(Dimension),
    /// True or false.
    Truth,
}

/// The value of a measure.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Value {
    /// A quantity.
    Quantity(Quantity),
    /// True or false.
    Truth(bool),
}

/// What a measure is of: the whole mission or one thing of it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Hash)]
pub enum Scope {
    /// One value a mission.
    Mission,
    /// One value a link that the mission needs.
    Link,
    /// One value about the end of the run.
    End,
    /// One value about the soundings of a mission that takes any.
    Soundings,
    /// One value a survey block.
    Survey,
    /// One value about two figures that have to agree; none where only one of them is stated.
    Agreement,
}

impl Scope {
    /// Every one.
    pub const ALL: [Self; 6] = [
        Self::Mission,
        Self::Link,
        Self::End,
        Self::Soundings,
        Self::Survey,
        Self::Agreement,
    ];

    /// The first part of the names of its measures.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Mission => "mission",
            Self::Link => "link",
            Self::End => "end",
            Self::Soundings => "soundings",
            Self::Survey => "survey",
            Self::Agreement => "agreement",
        }
    }
}

/// A change to a plan that could make it pass, and for which what is needed can be solved.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Change {
    /// Every commanded speed.
    Speed,
    /// The wind planned for.
    Wind,
    /// The battery's capacity.
    Capacity,
    /// The charge at launch.
    Charge,
    /// Where the boat turns back.
    TurnBack,
    /// Where an unbroken run against the wind is broken, which is too long by this.
    BreakRun(RunBy),
    /// Moving the place that comes too near to this.
    Shift(Near),
    /// Where the run ends.
    EndSooner,
    /// The speed of the last leg.
    LastLeg,
    /// The path of the return: back along the route, which is led off this as well where it has to be.
    HomeAlong(Option<Near>),
    /// The path of the return: by a waypoint that leads it clear of this.
    ByWaypoint(Near),
    /// The threshold of the low-battery action.
    Threshold,
    /// Bearing and height of the station antennas.
    Antenna,
    /// The bearing of a station antenna, at what is far off.
    Bearing,
    /// The speed of the slowest leg.
    Faster,
    /// The speed of sound set in the sounder.
    SoundSpeed,
    /// What the boat does at the end of the route.
    AtEnd,
    /// The time until the shore contact raises the alarm.
    Overdue,
    /// The latest return.
    LatestReturn,
}

/// By what an unbroken run against the wind is too long.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum RunBy {
    /// Its length.
    Length,
    /// Its time.
    Time,
    /// Its energy.
    Energy,
}

/// What a place comes too near to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Near {
    /// Land, away from the launch sites.
    Shore,
    /// Land, within a launch site.
    LaunchSite,
    /// A hazard.
    Hazard,
    /// A keep-out area.
    KeepOut,
}

/// What a measure costs to compute in a wind that nothing was computed for yet, the cheapest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Cost {
    /// Next to nothing: it compares what is stated.
    Stated,
    /// The runs over the route.
    Run,
    /// The runs, and the light of the day.
    Light,
    /// The runs, and the sea along them.
    Sea,
    /// The runs, and the depth of water below them.
    Depth,
    /// The runs, and a search along them.
    Search,
    /// Where a boat adrift drifts to from everywhere on the route.
    Drift,
}

/// A measure as the catalogue lists it.
#[derive(Clone, Copy, Debug)]
pub struct Measure {
    /// Its name, such as `mission.reserve_at_turnaround`.
    pub name: &'static str,
    /// What it is of.
    pub scope: Scope,
    /// What kind of value it has.
    pub of: Type,
    /// What it measures, in a sentence.
    pub title: &'static str,
    /// How it is measured, in a few sentences.
    pub meaning: &'static str,
    /// What a plan must state for it to be measured, each by itself, with the group that it stands in.
    pub needs: &'static [&'static str],
    /// Which changes can be solved for.
    pub levers: &'static [Change],
    /// What it follows from; of whatever is not listed it is the same.
    pub moved_by: Inputs,
    /// Whether it tells what the plan states of its wind, and nothing of a wind that blows.
    pub of_planned_wind: bool,
    /// What it costs to compute.
    pub cost: Cost,
}

impl Measure {
    /// Whether it may be another in another wind.
    #[must_use]
    pub fn depends_on_wind(&self) -> bool {
        self.moved_by.contains(Input::Wind)
    }
}

/// One reading of a measure, of one subject.
#[derive(Clone, PartialEq, Debug)]
pub struct Measurement {
    /// The subject in the plan's own words, empty for the mission as a whole.
    pub subject: String,
    /// The value, or why there is none.
    pub outcome: Result<Measured, NotMeasured>,
}

/// A value with everything that a finding tells of it.
#[derive(Clone, PartialEq, Debug)]
pub struct Measured {
    /// The value.
    pub value: Value,
    /// What it is called in a sentence with its figure: `energy left over at line 3, …`.
    pub sentence: String,
    /// The line to look at first.
    pub primary: Label,
    /// Lines that contributed.
    pub because: Vec<Label>,
    /// Where on the plan.
    pub place: Option<Place>,
    /// The scenario of its worst case.
    pub scenario: Option<String>,
    /// The arithmetic.
    pub steps: Vec<String>,
    /// What was assumed.
    pub assumptions: Vec<String>,
}

impl Measured {
    /// A value with its sentence and its line, and nothing else.
    pub(super) fn new(value: Value, sentence: impl Into<String>, primary: Label) -> Self {
        Self {
            value,
            sentence: sentence.into(),
            primary,
            because: Vec::new(),
            place: None,
            scenario: None,
            steps: Vec::new(),
            assumptions: Vec::new(),
        }
    }
}

/// A value with its sentence and its line, and the lines that contributed.
pub(super) fn known(
    value: Value,
    sentence: impl Into<String>,
    primary: Label,
    because: Vec<Label>,
) -> Measured {
    Measured {
        because,
        ..Measured::new(value, sentence, primary)
    }
}

/// What a measure without a value lacks.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Lack {
    /// A statement, or a method that reaches so far: nothing can be said of what it measures.
    Statement,
    /// A subject: the files say that there is nothing that it could be about, such as no hazard.
    Subject,
}

/// Why a measure has no value.
#[derive(Clone, PartialEq, Debug)]
pub struct NotMeasured {
    /// What it lacks.
    pub lack: Lack,
    /// The reason, in a clause that follows "because".
    pub reason: String,
    /// What to add or change so that it can be measured.
    pub remedy: String,
    /// The line to look at first.
    pub primary: Label,
    /// Lines that contributed.
    pub because: Vec<Label>,
    /// What was assumed.
    pub assumptions: Vec<String>,
}
