//! A part of a run beside the plan, and what of it is not known.

use jiff::Timestamp;

use super::planned::Band;
use crate::source::Span;
use crate::units::{Energy, Length, Ratio, Speed, Time};

/// What a part is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum What {
    /// A leg, by its index.
    Leg(usize),
    /// The run as a whole.
    Whole,
    /// The return leg from the turnaround, along the route.
    ReturnLeg,
    /// The return leg from where the run was left.
    BrokenOff,
}

/// Why a part is not judged.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Lack {
    /// It was not run, or not all of it.
    LeftOut(String),
    /// The track does not tell of it.
    NotTold(String),
}

impl Lack {
    /// In words.
    #[must_use]
    pub(crate) fn why(&self) -> &str {
        match self {
            Self::LeftOut(why) | Self::NotTold(why) => why,
        }
    }
}

/// A figure as it was planned and as it came to be.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Beside<T> {
    /// The plan's; `None` where it says nothing.
    pub planned: Option<Band<T>>,
    /// The run's; `None` where it is not known.
    pub actual: Option<T>,
}

impl<T: crate::units::Typed> Beside<T> {
    /// By which share the run differs from the plan in the wind planned for; positive where it is
    /// more.
    #[must_use]
    pub(crate) fn off(&self) -> Option<Ratio> {
        let (planned, actual) = (self.planned?.planned.stored(), self.actual?.stored());
        (planned > 0.0).then(|| Ratio::fraction(actual / planned - 1.0))
    }

    /// By which share it is more than in any wind of the plan.
    #[must_use]
    pub(crate) fn above_all(&self) -> Option<Ratio> {
        let (most, actual) = (self.planned?.most?.stored(), self.actual?.stored());
        (most > 0.0).then(|| Ratio::fraction(actual / most - 1.0))
    }
}

/// Cross-track distances.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct CrossTrack {
    /// 95 % of the fixes are no farther off.
    pub most: Length,
    /// The greatest.
    pub greatest: Length,
    /// Where that is: index of the fix.
    pub(super) worst: usize,
    /// Fixes that were counted.
    pub count: usize,
}

/// A part of the run beside the plan.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Part {
    /// What it is.
    pub what: What,
    /// In the plan's own words.
    pub name: String,
    /// The line of the plan.
    pub line: Span,
    /// The line of the track on which it begins; `None` where nothing of it is recorded.
    pub fix: Option<Span>,
    /// When it began; `None` where nothing of it is recorded.
    pub begun: Option<Timestamp>,
    /// Its length in the plan.
    pub length: Length,
    /// Way made from fix to fix.
    pub path: Option<Length>,
    /// Time.
    pub time: Beside<Time>,
    /// Speed over ground, along the plan's line and pauses included.
    pub speed: Beside<Speed>,
    /// Stored energy.
    pub energy: Beside<Energy>,
    /// The most stored energy that it can have been, the greatest power of the run taken for as long
    /// as none was logged.
    pub energy_at_most: Option<Energy>,
    /// Time without voltage and current.
    pub unlogged: Option<Time>,
    /// Energy that the pack gave at its terminals.
    pub given: Option<Energy>,
    /// Cross-track distances.
    pub cross: Option<CrossTrack>,
    /// Why time and speed are not judged, where they are not.
    pub not_judged: Option<Lack>,
    /// Why the energy is not known, where it is not.
    pub no_energy: Option<String>,
}

impl Part {
    /// By which share the most that it can have taken is more than planned; `None` where all of its
    /// power was logged.
    #[must_use]
    pub(crate) fn off_at_most(&self) -> Option<Ratio> {
        self.unlogged.filter(|time| *time > Time::ZERO)?;
        Beside {
            planned: self.energy.planned,
            actual: self.energy_at_most,
        }
        .off()
    }

    /// Leaves it not judged.
    pub(super) fn unknown(&mut self, why: &str) {
        self.lacks(Lack::NotTold(why.to_owned()));
    }

    /// Leaves it not judged for a lack.
    pub(super) fn lacks(&mut self, lack: Lack) {
        self.time.actual = None;
        self.speed.actual = None;
        self.set_no_energy(lack.why());
        self.not_judged = Some(lack);
    }

    /// Leaves its energy not judged.
    pub(super) fn set_no_energy(&mut self, why: &str) {
        self.no_energy = Some(why.to_owned());
        self.energy.actual = None;
        self.energy_at_most = None;
        self.given = None;
    }
}
