//! What a way first drifts onto.

use std::sync::OnceLock;

use super::obstacle::Obstacle;
use super::path::{End, Way};
use super::{OnTo, Peril};
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::passage::ending::{LONGEST_DRIFT, first_within};
use crate::passage::out::Closed;
use crate::units::Time;

/// What a boat adrift may drift onto, and when that is closed.
pub(super) struct Obstacles<'a> {
    pub(super) all: Vec<Obstacle>,
    /// `None` where nothing that closes is looked at.
    pub(super) closed: Option<Closed<'a>>,
}

/// What a way first drifts onto of one kind.
pub(super) struct First<'r> {
    pub(super) on_to: OnTo,
    pub(super) at: Point,
    /// Time and way until then, s and m.
    pub(super) time: f64,
    pub(super) distance: f64,
    /// Whether no land lies between there and the safety boat, once that was requested: of a place that
    /// other winds share.
    pub(super) clear: Option<&'r OnceLock<bool>>,
}

impl Obstacles<'_> {
    /// Whether a boat that comes to one so many seconds after its power was lost is not to be there:
    /// always, but for a keep-out area that is open then.
    pub(super) fn bars(&self, obstacle: &Obstacle, time: f64) -> bool {
        match obstacle.on_to {
            OnTo::KeepOut(index) => self.closed.as_ref().is_none_or(|closed| {
                closed.while_out[index] || closed.by(index, Time::seconds(time))
            }),
            OnTo::Land | OnTo::Hazard(_) | OnTo::Open(_) => true,
        }
    }
}

/// What a way first drifts onto of one kind.
pub(super) fn first(
    passage: &Passage<'_>,
    (way, obstacles): (&Way, &Obstacles<'_>),
    peril: Peril,
    landed: bool,
) -> Option<First<'static>> {
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
            return Some(First {
                on_to: obstacle.on_to,
                at: piece.start + piece.direction.scale(along),
                time: piece.time + along / piece.speed,
                distance: piece.way + along,
                clear: None,
            });
        }
    }
    let (at, time, distance) = way.last()?;
    let on_to = ends_on(peril, way.end, landed)?;
    (time < LONGEST_DRIFT).then_some(First {
        on_to,
        at,
        time,
        distance,
        clear: None,
    })
}

/// What the end of a way is, where it is of a kind.
pub(super) fn ends_on(peril: Peril, end: End, landed: bool) -> Option<OnTo> {
    match (peril, end) {
        (Peril::Shore, End::Ashore) if !landed => Some(OnTo::Land),
        (Peril::Open, End::Open(mark)) => Some(OnTo::Open(mark)),
        _ => None,
    }
}

/// Whether a way that ends at a place ends ashore where people reach it: at a launch site of the mission, or
/// one of the site's that can be reached.
pub(super) fn at_launch_site(passage: &Passage<'_>, at: Option<Point>, end: End) -> bool {
    let Some(at) = at.filter(|_| end == End::Ashore) else {
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
