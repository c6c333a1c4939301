//! From when to when the boat may be out, and which keep-out areas are closed then and for as long
//! as a boat adrift drifts on after.

use jiff::Timestamp;

use super::Passage;
use super::ending::LONGEST_DRIFT;
use crate::plan::calendar::later;
use crate::units::Time;

/// The keep-out areas of a site, and when a mission finds them closed.
pub(super) struct Closed<'a> {
    passage: &'a Passage<'a>,
    /// When the boat may be out; `None` where that cannot be determined, and every area is then closed.
    out: Option<(Timestamp, Timestamp)>,
    /// Per area: whether it is closed at some moment while the boat may be out.
    pub(super) while_out: Vec<bool>,
}

impl<'a> Closed<'a> {
    pub(super) fn from_passage(passage: &'a Passage<'a>) -> Self {
        let areas = &passage.plan.site.keep_out;
        // An area without a season needs no clock.
        let seasons = areas.iter().any(|area| !area.closed.is_empty());
        let out = if seasons { out(passage) } else { None };
        let mut closed = Self {
            passage,
            out,
            while_out: Vec::new(),
        };
        let each = (0..areas.len()).map(|index| closed.by(index, Time::ZERO));
        closed.while_out = each.collect();
        closed
    }

    /// Whether an area is closed at some moment until so long after the latest that the boat may be
    /// out: a boat adrift comes there later than it was out.
    pub(super) fn by(&self, area: usize, after: Time) -> bool {
        let site = &self.passage.plan.site;
        let area = &site.keep_out[area];
        match (self.out, &site.time_zone) {
            (Some((from, until)), Some(zone)) if !area.closed.is_empty() => {
                let until = later(until, after.get());
                let mut closures = area.closed.iter();
                closures.any(|closure| closure.meets(from, until, zone))
            }
            _ => true,
        }
    }

    /// Whether a boat adrift finds the same areas closed as under another plan, whenever it comes to
    /// them.
    pub(super) fn alike(&self, other: &Self) -> bool {
        let settled = |one: &Self, index: usize| {
            one.while_out[index] || !one.by(index, Time::seconds(LONGEST_DRIFT))
        };
        self.while_out == other.while_out
            && (0..self.while_out.len()).all(|area| settled(self, area) && settled(other, area))
    }
}

/// From the planned launch to the latest that the boat may be out: the latest return, or the end of
/// the longest run after the whole delay where that is later. `None` where the plan states no latest
/// return, or a run or a return leg is not followed to its end.
fn out(passage: &Passage<'_>) -> Option<(Timestamp, Timestamp)> {
    let launch = &passage.plan.mission.launch;
    let back = launch.latest_return.as_ref()?;
    let runs = passage.runs().ok()?;
    let whole = |run: &super::Run| {
        run.stop.is_none() && run.samples.iter().all(|sample| sample.home.is_ok())
    };
    if runs.runs.is_empty() || !runs.runs.iter().all(whole) {
        return None;
    }
    let (duration, _) = runs.longest();
    let longest = launch.delay.value + duration;
    let end = later(launch.time.value, longest.get());
    Some((launch.time.value, back.value.max(end)))
}

impl Passage<'_> {
    /// Per keep-out area: whether it is closed at some moment while the boat may be out. Where that
    /// cannot be determined, it is.
    #[must_use]
    pub fn closed_while_out(&self) -> Vec<bool> {
        Closed::from_passage(self).while_out
    }

    /// Whether a boat adrift from another plan's passage, which differs in its launch alone, meets the
    /// same areas closed.
    pub(super) fn finds_the_same_closed(&self, other: &Passage<'_>) -> bool {
        let areas = self.plan.site.keep_out.iter();
        let no_season = areas.into_iter().all(|area| area.closed.is_empty());
        no_season || Closed::from_passage(self).alike(&Closed::from_passage(other))
    }
}
