//! A return leg that comes clear: back along the route, or by a waypoint. Where the route itself comes too near
//! somewhere, it is led farther off there as well.

use super::fix::{At, Fix, Setting, as_id, written};
use super::place::{Danger, led_off, may_be_led};
use super::{Wanted, altered, passes_as, passes_in};
use crate::measures::reading::Near;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::plan::Plan;
use crate::plan::return_leg::{ReturnPath, Via};
use crate::schema::Stated;
use crate::units::{Angle, Length, Towards};

/// Most places of the route that are led farther off along with a return leg. Numerical: bounds the work.
const MOST_PLACES: usize = 3;
/// Most waypoints that are tried. Numerical: bounds the work.
const MOST_TRIED: usize = 120;
/// How far from the place that comes too near a waypoint is tried, m. Numerical: a remedy is judged by the
/// rules wherever it is found.
const DISTANCES: [f64; 9] = [20.0, 40.0, 70.0, 100.0, 150.0, 220.0, 300.0, 400.0, 550.0];
/// In how many directions around it. Numerical.
const DIRECTIONS: u16 = 24;
/// What a waypoint that is proposed is called.
const NAME: &str = "return-clear";

/// A plan whose route is clear by itself, and what is set for it; the boat returns along it.
struct Cleared {
    plan: Plan,
    settings: Vec<Setting>,
}

fn route_cleared(passage: &Passage<'_>, wanted: &Wanted<'_>, kind: Near) -> Option<Cleared> {
    if !may_be_led(passage) {
        return None;
    }
    let mut plan = altered(passage, |plan| {
        plan.mission.return_leg.path.value = ReturnPath::AlongRoute;
    });
    let mut settings: Vec<Setting> = Vec::new();
    for _ in 0..=MOST_PLACES {
        let here = Passage::varied(&plan, passage.variation.clone());
        if passes_in(wanted, &here) {
            return Some(Cleared { plan, settings });
        }
        let (moved, fix) = led_off(&here, wanted, kind)?;
        // What was led off already is not led off again.
        let again = |one: &Setting| settings.iter().any(|held| held.at == one.at);
        if fix.settings.iter().any(again) {
            return None;
        }
        settings.extend(fix.settings);
        plan = moved;
    }
    None
}

/// The return along the route, where it is straight.
pub(super) fn home_along(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    kind: Option<Near>,
) -> Option<Fix> {
    let path = &passage.plan.mission.return_leg.path;
    if path.value != ReturnPath::Straight {
        return None;
    }
    if let Some(kind) = kind
        && !Danger::nearest(passage, kind)?.near.part.is_return()
    {
        return None;
    }
    let more = match kind {
        Some(kind) => route_cleared(passage, wanted, kind)?.settings,
        None => {
            let plan = altered(passage, |plan| {
                plan.mission.return_leg.path.value = ReturnPath::AlongRoute;
            });
            passes_as(wanted, passage, &plan).then(Vec::new)?
        }
    };
    let mut settings = vec![Setting::new(
        At::of(path, "/return_leg/path"),
        "along the route",
    )];
    settings.extend(more);
    Some(Fix::set(settings).noting("which takes more energy"))
}

/// A waypoint as it is proposed.
struct Proposed {
    via: Via,
    /// It as an item of `via`.
    text: String,
}

/// The return by a waypoint, where another one comes too near: by one of the route's, or by one of its own.
pub(super) fn by_waypoint(passage: &Passage<'_>, wanted: &Wanted<'_>, kind: Near) -> Option<Fix> {
    let leg = &passage.plan.mission.return_leg;
    let danger = Danger::nearest(passage, kind)?;
    if leg.along_route() || !danger.near.part.is_return() {
        return None;
    }
    let cleared = route_cleared(passage, wanted, kind)?;
    let here = Passage::varied(&cleared.plan, passage.variation.clone());
    let home = passage.plan.mission.recovery.at.value;
    let longest = |one: &Proposed| {
        let at = one.via.at.value;
        let samples = here.track.samples.iter();
        let farthest = samples.map(|from| from.distance(at)).fold(0.0, f64::max);
        farthest + at.distance(home)
    };
    // Of either kind those that take the least energy first.
    let by_length = |mut all: Vec<Proposed>| {
        all.sort_by(|one, other| longest(one).total_cmp(&longest(other)));
        all
    };
    let named = by_length(of_route(&here));
    let others = by_length(around(passage, wanted, &danger));
    let mut proposed = named.into_iter().chain(others).take(MOST_TRIED);
    let found = proposed.find(|one| {
        let plan = altered(&here, |plan| {
            plan.mission.return_leg.path.value = ReturnPath::ByWaypoints(vec![one.via.clone()]);
        });
        passes_as(wanted, passage, &plan)
    })?;
    let longest = Length::metres(longest(&found));
    let mut settings = vec![
        Setting::new(At::of(&leg.path, "/return_leg/path"), "by waypoints"),
        Setting::new(At::Field("/return_leg/via"), format!("[{}]", found.text)),
    ];
    settings.extend(cleared.settings);
    let fix = Fix::set(settings);
    Some(fix.noting(format!("which makes the longest return leg {longest} long")))
}

/// The waypoints of the route, in order.
fn of_route(passage: &Passage<'_>) -> Vec<Proposed> {
    let mission = &passage.plan.mission;
    let survey = |id: &str| mission.blocks.iter().any(|block| block.id.value == id);
    let named = passage.plan.mission.legs.split_last().map(|(_, legs)| legs);
    let named = named.unwrap_or_default().iter();
    // What is put into the route along with it has no line of its own yet.
    let mut known: Vec<&str> = Vec::new();
    let mut all = Vec::new();
    for leg in named.filter(|leg| !survey(&leg.id)) {
        if known.contains(&leg.id.as_str()) {
            continue;
        }
        known.push(&leg.id);
        let last = mission.legs.iter().rev().find(|other| other.id == leg.id);
        let to = last.map_or(leg.to, |last| last.to);
        all.push(Proposed {
            via: Via {
                id: leg.id.clone(),
                at: Stated::written(to, leg.span),
            },
            text: format!("{{ waypoint: {} }}", as_id(&leg.id)),
        });
    }
    all
}

/// Places on the water around the one that comes too near.
fn around(passage: &Passage<'_>, wanted: &Wanted<'_>, danger: &Danger<'_>) -> Vec<Proposed> {
    let centre = danger.near.at;
    let step = 360.0 / f64::from(DIRECTIONS);
    let directions = (0..DIRECTIONS)
        .map(|index| Point::towards(Towards::new(Angle::degrees(f64::from(index) * step))));
    let places = directions
        .flat_map(|direction| DISTANCES.map(|distance| centre + direction.scale(distance)));
    let places = places.map(|at| written(passage.plan, at));
    let line = passage.plan.mission.return_leg.path.span();
    places
        .filter(|(_, at)| danger.is_clear(passage, wanted, *at))
        .map(|(text, at)| Proposed {
            via: Via {
                id: NAME.to_owned(),
                at: Stated::written(at, line),
            },
            text: format!("{{ id: {NAME}, at: {text} }}"),
        })
        .collect()
}
