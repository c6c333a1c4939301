//! A boat that loses its power anywhere on the route: where it drifts, what it drifts onto first,
//! and whether anybody fetches it before.

mod fan;
mod obstacle;
mod path;
mod ray;
mod recovery;

use rayon::prelude::*;

use super::ending::{LONGEST_DRIFT, first_within};
use super::out::Closed;
use super::{NoPassage, Passage};
use crate::models::drift::{DIVERGING, leeway};
use crate::models::plane::Point;
use crate::plan::site::{Form, HazardKind, Site};
use crate::units::{Angle, FromDirection, Length, Speed, Time};
pub(crate) use fan::{Drifted, craft_there, fan};
use obstacle::{Obstacle, obstacles};
use path::{End, Way, follow};
use ray::Ray;
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
pub(crate) enum Peril {
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

/// Everything that is told of a disabled boat.
#[derive(Clone, Debug, PartialEq)]
pub struct Adrift {
    /// Weirs and intakes.
    pub weir: Met,
    /// Keep-out areas and people in the water.
    pub closed: Met,
    /// Land and hard things.
    pub shore: Met,
    /// Open water.
    pub open: Met,
    /// Per sample: whether in every wind it comes ashore where people reach it.
    pub to_landing: Vec<bool>,
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
    to_landing: bool,
}

/// Follows the boat from every sample in every wind.
///
/// # Errors
/// [`NoPassage`] where there is no wind to take, or too much to compute.
pub(super) fn all(passage: &Passage<'_>) -> Result<Adrift, NoPassage> {
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
        closed: Closed::from_passage(passage),
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
                (reach.as_ref(), &obstacles),
                sample,
            )
        })
        .collect();
    let met = |peril: Peril| {
        let index = peril as usize;
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
    Ok(Adrift {
        weir: met(Peril::Weir),
        closed: met(Peril::Closed),
        shore: met(Peril::Shore),
        open: met(Peril::Open),
        to_landing: each.iter().map(|one| one.to_landing).collect(),
        craft_reaches,
    })
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
    (reach, obstacles): (Option<&Reach<'_>>, &Obstacles<'_>),
    sample: usize,
) -> OfSample {
    let start = passage.track.samples[sample];
    let afloat = passage.plan.site.shore.is_water(start);
    let mut found = OfSample {
        to_landing: true,
        ..OfSample::default()
    };
    for drive in drives {
        let (downwind, number) = drive.downwind;
        let ray = rays.map(|rays| rays.from(passage, (sample, start, afloat), number, downwind));
        let along = ray.and_then(|ray| ray.way(passage, drive.leeway.length(), drive.current));
        let ray = ray.filter(|_| along.is_some());
        let way =
            along.unwrap_or_else(|| follow(passage, (start, afloat), drive.leeway, drive.current));
        let landed = landing(passage, &way);
        found.to_landing &= landed;
        for peril in Peril::ALL {
            let index = peril as usize;
            let Some((on_to, at, time, distance)) =
                first(passage, (&way, obstacles), peril, landed)
            else {
                continue;
            };
            let mut meeting = Meeting {
                sample,
                on_to,
                at,
                time: Time::seconds(time),
                distance: Length::metres(distance),
                wind: drive.wind,
                scenario: drive.scenario,
                off: drive.off,
                fetched: None,
            };
            found.meets[index] = true;
            if let Some(reach) = reach {
                // The end of a way that other winds share.
                let end = ray.filter(|_| matches!(on_to, OnTo::Land | OnTo::Open(_)));
                fetch(reach, &mut meeting, end, found.worst[index].as_ref());
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
fn fetch(reach: &Reach<'_>, meeting: &mut Meeting, end: Option<&Ray>, worst: Option<&Meeting>) {
    let straight = || {
        let clear = || reach.clear(meeting.at);
        let clear = end.map_or_else(clear, |ray| *ray.clear.get_or_init(clear));
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

/// Whether a way ends ashore where people reach it: at a launch site of the mission, or one of the
/// site's that can be reached.
fn landing(passage: &Passage<'_>, way: &Way) -> bool {
    let Some((at, _, _)) = way.last().filter(|_| way.end == End::Ashore) else {
        return false;
    };
    let mission = &passage.plan.mission;
    let own = [&mission.launch.zone, &mission.recovery.zone];
    let places = passage.plan.site.launch_sites.iter();
    own.iter()
        .any(|zone| at.distance(zone.centre) <= zone.radius.value.get())
        || places
            .filter(|place| place.accessible.value)
            .any(|place| at.distance(place.at) <= place.zone.value.get())
}

/// What a boat adrift may drift onto, and when that is closed.
struct Obstacles<'a> {
    all: Vec<Obstacle>,
    closed: Closed<'a>,
}

impl Obstacles<'_> {
    /// Whether a boat that comes to one so many seconds after its power was lost is not to be there:
    /// always, but for a keep-out area that is open then.
    fn bars(&self, obstacle: &Obstacle, time: f64) -> bool {
        match obstacle.on_to {
            OnTo::KeepOut(index) => {
                self.closed.while_out[index] || self.closed.by(index, Time::seconds(time))
            }
            OnTo::Land | OnTo::Hazard(_) | OnTo::Open(_) => true,
        }
    }
}

/// What a way first drifts onto of one kind: what, where, after which time and way.
fn first(
    passage: &Passage<'_>,
    (way, obstacles): (&Way, &Obstacles<'_>),
    peril: Peril,
    landed: bool,
) -> Option<(OnTo, Point, f64, f64)> {
    let site = &passage.plan.site;
    let mut ahead: Vec<(f64, &Obstacle)> = Vec::new();
    for piece in &way.pieces {
        ahead.clear();
        let of_peril = obstacles
            .all
            .iter()
            .filter(|obstacle| obstacle.peril == peril);
        ahead.extend(of_peril.filter_map(|obstacle| Some((obstacle.ahead(piece)?, obstacle))));
        // The nearest first; of what is met at once, the first in the order of the site.
        ahead.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        let mut best: Option<(f64, &Obstacle)> = None;
        for (least, obstacle) in &ahead {
            if best.is_some_and(|(along, _)| *least > along) {
                break;
            }
            let within = first_within(piece.start, piece.direction, piece.length, |line| {
                obstacle.distance(site, line)
            });
            if let Some(along) = within
                && obstacles.bars(obstacle, piece.time + along / piece.speed)
                && best.is_none_or(|(held, other)| {
                    along < held || (along <= held && obstacle.order < other.order)
                })
            {
                best = Some((along, obstacle));
            }
        }
        if let Some((along, obstacle)) = best {
            let at = piece.start + piece.direction.scale(along);
            let time = piece.time + along / piece.speed;
            return Some((obstacle.on_to, at, time, piece.way + along));
        }
    }
    let (at, time, distance) = way.last()?;
    let on_to = match (peril, way.end) {
        (Peril::Shore, End::Ashore) if !landed => OnTo::Land,
        (Peril::Open, End::Open(mark)) => OnTo::Open(mark),
        _ => return None,
    };
    (time < LONGEST_DRIFT).then_some((on_to, at, time, distance))
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
