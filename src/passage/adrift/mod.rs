//! A boat that loses its power anywhere on the route: where it drifts, what it drifts onto first,
//! and whether anybody fetches it before.

mod fan;
mod first;
mod kept;
mod obstacle;
mod path;
mod ray;
mod recovery;

use std::sync::OnceLock;

use rayon::prelude::*;

use super::current::current_index;
use super::out::Closed;
use super::{NoPassage, Passage};
use crate::models::drift::{DIVERGING, leeway};
use crate::models::plane::Point;
use crate::plan::site::{Form, HazardKind, Site};
use crate::units::{Angle, FromDirection, Length, Speed, Time};
pub(crate) use fan::{Drifted, craft_there, fan};
use first::{Obstacles, at_launch_site, first};
pub(super) use kept::{Kept, OfWinds, WithoutWind};
use obstacle::obstacles;
use path::{Start, follow};
pub(super) use ray::Rays;
use recovery::Reach;

/// Most that is computed: ways times edges of what may be met.
const MOST_WORK: usize = 300_000_000;
/// Edges in whose time a way is followed to the shore, and what fetches the boat is looked for.
const OF_A_WAY: usize = 150;

/// What a boat adrift drifts onto.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OnTo {
    /// Land.
    Land,
    /// A hazard, by index.
    Hazard(usize),
    /// A keep-out area, by index.
    KeepOut(usize),
    /// Open water, by the mark of the edge that it drifts over.
    Open(usize),
}

/// What is alike to a boat adrift.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Peril {
    /// Weirs and intakes.
    Weir,
    /// Keep-out areas and people in the water.
    Closed,
    /// Land that nobody reaches, rocks and other hard things.
    Shore,
    /// Open water past an edge of the shoreline.
    Open,
}

impl Peril {
    const ALL: [Self; 4] = [Self::Weir, Self::Closed, Self::Shore, Self::Open];
}

/// A boat adrift that drifts onto something.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// Sample at which the power is lost.
    pub sample: usize,
    /// What it drifts onto.
    pub on_to: OnTo,
    /// Where it is then.
    pub at: Point,
    /// Time until then.
    pub time: Time,
    /// Way until then.
    pub distance: Length,
    /// Wind at 10 m that drives it.
    pub wind: Speed,
    /// Index of the scenario.
    pub scenario: usize,
    /// How far from downwind it is driven.
    pub off: Angle,
    /// What it takes the safety boat to come there, where there is one.
    pub fetched: Option<Fetched>,
}

impl Meeting {
    /// Time left once the safety boat is there; negative where it is not there in time.
    #[must_use]
    pub fn in_hand(&self) -> Option<Time> {
        self.fetched
            .as_ref()
            .map(|fetched| self.time - fetched.time)
    }
}

/// What it takes the safety boat to come to a boat.
#[derive(Clone, Debug, PartialEq)]
pub struct Fetched {
    /// Its way over water.
    pub way: Length,
    /// Time from the failure until it is there.
    pub time: Time,
    /// Whether it comes straight, and not by way of where the power was lost.
    pub straight: bool,
}

/// What a boat adrift meets of one kind, from everywhere on the route.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Met {
    /// The one with the least time left once the boat is fetched, or the soonest where there is no
    /// safety boat.
    pub worst: Option<Meeting>,
    /// Per sample: whether in any wind it drifts onto this.
    pub meets: Vec<bool>,
    /// Per sample: whether in any wind it does before it is fetched; always where nothing fetches it.
    pub before_fetched: Vec<bool>,
}

/// A stretch of the route, as its first and last sample.
pub(crate) type Stretch = (usize, usize);

/// What is told of a disabled boat and one kind of thing that it may drift onto.
#[derive(Clone, Debug, PartialEq)]
pub struct Adrift {
    /// What it meets of the kind.
    pub met: Met,
    /// Per sample: whether in every wind it comes ashore where people reach it.
    pub to_launch_site: Vec<bool>,
    /// Whether the safety boat comes over water to the route at all; true without a craft.
    pub craft_reaches: bool,
}

/// One way in which a boat may be driven.
struct Drive {
    scenario: usize,
    off: Angle,
    wind: Speed,
    leeway: Point,
    current: bool,
    /// Unit vector of the leeway, and its number among those of a sample.
    downwind: (Point, usize),
}

/// What comes of a sample.
#[derive(Default)]
struct OfSample {
    worst: [Option<Meeting>; 4],
    meets: [bool; 4],
    before: [bool; 4],
    to_launch_site: bool,
}

/// Follows the boat from every sample in every wind, and tells of each of some kinds what it drifts onto.
///
/// # Errors
/// [`NoPassage`] where there is no wind to take, or too much to compute.
fn onto(passage: &Passage<'_>, perils: &[Peril]) -> Result<Vec<Adrift>, NoPassage> {
    let drives = drives(passage, passage.scenarios().map_err(Clone::clone)?);
    let samples = passage.track.samples.len();
    let ways = samples.saturating_mul(drives.len());
    let asked = ways.saturating_mul(OF_A_WAY + edges(passage));
    if asked > MOST_WORK {
        return Err(NoPassage::TooMuch {
            asked,
            limit: MOST_WORK,
        });
    }
    let craft = passage.plan.mission.safety_boat.as_ref();
    let reach = craft.map(|craft| Reach::new(passage, craft));
    let obstacles = Obstacles {
        all: obstacles(&passage.plan.site),
        closed: perils
            .contains(&Peril::Closed)
            .then(|| Closed::from_passage(passage)),
    };
    let directions = passage.scenarios().map_or(0, |all| all.directions.len());
    let kept = Rays::kept(passage, directions);
    let each: Vec<OfSample> = (0..samples)
        .into_par_iter()
        .map(|sample| {
            let own = kept.is_none().then(|| Rays::of_one(directions));
            let rays = kept.or(own.as_ref());
            of_sample(
                passage,
                (&drives, rays),
                (reach.as_ref(), &obstacles, perils),
                sample,
            )
        })
        .collect();
    let met = |index: usize| {
        let mut met = Met::default();
        for one in &each {
            met.meets.push(one.meets[index]);
            met.before_fetched.push(one.before[index]);
            if let Some(meeting) = &one.worst[index] {
                keep(&mut met.worst, meeting);
            }
        }
        met
    };
    let craft_reaches = reach.is_none_or(|reach| {
        let way = reach.after(0, 0.0).way;
        way.is_finite()
    });
    let all = perils.iter().map(|peril| Adrift {
        met: met(*peril as usize),
        to_launch_site: each.iter().map(|one| one.to_launch_site).collect(),
        craft_reaches,
    });
    Ok(all.collect())
}

fn asked(passage: &Passage<'_>, drives: usize) -> usize {
    let samples = passage.track.samples.len();
    samples
        .saturating_mul(drives)
        .saturating_mul(1 + edges(passage))
}

/// How much there is to compute: ways times edges of what may be met.
#[must_use]
pub(crate) fn work(passage: &Passage<'_>) -> usize {
    let scenarios = passage.scenarios();
    scenarios.map_or(0, |scenarios| {
        asked(passage, drives(passage, scenarios).len())
    })
}

/// Keeps the worse of two meetings; of equal ones the first.
fn keep(held: &mut Option<Meeting>, other: &Meeting) {
    let key = |meeting: &Meeting| meeting.in_hand().unwrap_or(meeting.time).get();
    if held.as_ref().is_none_or(|held| key(other) < key(held)) {
        *held = Some(other.clone());
    }
}

/// The ways to be driven, each direction once: the gust, and in a current the sustained wind and
/// none too, since a weaker wind may leave more of the way to the current.
fn drives(passage: &Passage<'_>, scenarios: &super::scenario::Scenarios) -> Vec<Drive> {
    let rate = passage.plan.vessel.windage.leeway.value;
    let mut drives: Vec<Drive> = Vec::new();
    for (number, off) in DIVERGING.map(Angle::degrees).into_iter().enumerate() {
        for (index, scenario) in scenarios.all.iter().enumerate() {
            let from: FromDirection = scenario.from.veered(off);
            let downwind = Point::towards(from.towards());
            let winds: &[Speed] = if scenario.current {
                &[scenarios.gust_u10, scenarios.sustained_u10, Speed::ZERO]
            } else {
                &[scenarios.gust_u10]
            };
            for wind in winds {
                let leeway = downwind.scale(leeway(*wind, rate, Speed::ZERO).get());
                let there = drives.iter().any(|other| {
                    other.current == scenario.current && other.leeway.distance(leeway) < 1e-9
                });
                if !there {
                    drives.push(Drive {
                        scenario: index,
                        off,
                        wind: *wind,
                        leeway,
                        current: scenario.current,
                        downwind: (downwind, scenario.direction * DIVERGING.len() + number),
                    });
                }
            }
        }
    }
    drives
}

/// Edges of everything that a way is held against, the shore apart.
fn edges(passage: &Passage<'_>) -> usize {
    let site = &passage.plan.site;
    let hazards = site.hazards.iter().map(|hazard| match &hazard.form {
        Form::Point(_) => 1,
        Form::Line(points) => points.len(),
        Form::Area(area) => area.exterior().len(),
    });
    let areas = site
        .keep_out
        .iter()
        .map(|area| area.outline.exterior().len());
    let currents = site.currents.iter().map(|c| c.outline.exterior().len());
    hazards.chain(areas).chain(currents).sum()
}

fn of_sample(
    passage: &Passage<'_>,
    (drives, rays): (&[Drive], Option<&Rays>),
    (reach, obstacles, perils): (Option<&Reach<'_>>, &Obstacles<'_>, &[Peril]),
    sample: usize,
) -> OfSample {
    let from = passage.track.samples[sample];
    let start = Start {
        at: from,
        afloat: passage.plan.site.shore.is_water(from),
        current: current_index(passage, from),
    };
    let mut found = OfSample {
        to_launch_site: true,
        ..OfSample::default()
    };
    for drive in drives {
        let (downwind, number) = drive.downwind;
        let ray = rays.map(|rays| rays.from(passage, (sample, start), number, downwind));
        let along = ray.and_then(|ray| ray.along(drive.leeway.length(), drive.current));
        let straight = ray.zip(along);
        let bent = || {
            let follow = || follow(passage, start, drive.leeway, drive.current);
            passage.without_wind.or(passage, (sample, drive), follow)
        };
        let way = straight.is_none().then(bent);
        let landed = match (&way, straight) {
            (Some(way), _) => at_launch_site(passage, way.last().map(|last| last.0), way.end),
            (None, Some((ray, along))) => ray.lands(passage, &along),
            (None, None) => false,
        };
        found.to_launch_site &= landed;
        for peril in perils {
            let index = *peril as usize;
            let first = match (&way, straight) {
                (Some(way), _) => first(passage, (way, obstacles), *peril, landed),
                (None, Some((ray, along))) => {
                    ray.first(passage, (&along, obstacles), *peril, landed)
                }
                (None, None) => None,
            };
            let Some(first) = first else { continue };
            let mut meeting = Meeting {
                sample,
                on_to: first.on_to,
                at: first.at,
                time: Time::seconds(first.time),
                distance: Length::metres(first.distance),
                wind: drive.wind,
                scenario: drive.scenario,
                off: drive.off,
                fetched: None,
            };
            found.meets[index] = true;
            if let Some(reach) = reach {
                fetch(
                    reach,
                    &mut meeting,
                    first.clear,
                    found.worst[index].as_ref(),
                );
            }
            let in_hand = meeting.in_hand();
            found.before[index] |= in_hand.is_none_or(|left| left < Time::ZERO);
            keep(&mut found.worst[index], &meeting);
        }
    }
    found
}

/// The craft's shortest known way. Whether land lies on the straight one is asked only where it
/// could matter: where the other is too late, or the worst so far.
fn fetch(
    reach: &Reach<'_>,
    meeting: &mut Meeting,
    known: Option<&OnceLock<bool>>,
    worst: Option<&Meeting>,
) {
    let straight = || {
        let clear = || reach.clear(meeting.at);
        let clear = known.map_or_else(clear, |known| *known.get_or_init(clear));
        clear.then(|| reach.straight_to(meeting.at))
    };
    let mut fetch = reach.after(meeting.sample, meeting.distance.get());
    let left = meeting.time.get() - fetch.time;
    let held = worst.and_then(Meeting::in_hand);
    if (left < 0.0 || held.is_none_or(|held| left < held.get()))
        && let Some(straight) = straight()
        && straight.time < fetch.time
    {
        fetch = straight;
    }
    meeting.fetched = Some(Fetched {
        way: Length::metres(fetch.way),
        time: Time::seconds(fetch.time),
        straight: fetch.straight,
    });
}

/// Whether a site has anything of a kind that a boat adrift could drift onto, the shore apart.
#[must_use]
pub(crate) fn threatens(site: &Site, peril: Peril) -> bool {
    let closed = peril == Peril::Closed && !site.keep_out.is_empty();
    let open = peril == Peril::Open && !site.edges.open.is_empty();
    let mut kinds = site.hazards.iter().map(|hazard| hazard.kind.value);
    closed || open || kinds.any(|kind| peril_of(kind) == peril)
}

fn peril_of(kind: HazardKind) -> Peril {
    match kind {
        HazardKind::Weir | HazardKind::Intake | HazardKind::Other => Peril::Weir,
        HazardKind::Swimming => Peril::Closed,
        HazardKind::Rock | HazardKind::Moorings => Peril::Shore,
    }
}

/// The length of the steps with a marked end, m, and the longest unbroken stretch of marked samples.
#[must_use]
pub(crate) fn marked(passage: &Passage<'_>, marks: &[bool]) -> (f64, Option<Stretch>) {
    let track = &passage.track;
    let steps = track.steps.iter().enumerate();
    let sum = steps
        .filter(|(i, _)| marks[*i] || marks[*i + 1])
        .fold(0.0, |sum, (_, step)| sum + step.length);
    let length = |(from, to): Stretch| track.along[to] - track.along[from];
    let mut longest: Option<Stretch> = None;
    let mut begun = None;
    for index in 0..=marks.len() {
        match (begun, marks.get(index) == Some(&true)) {
            (None, true) => begun = Some(index),
            (Some(from), false) => {
                let stretch = (from, index - 1);
                if longest.is_none_or(|held| length(stretch) > length(held)) {
                    longest = Some(stretch);
                }
                begun = None;
            }
            _ => {}
        }
    }
    (sum, longest)
}
