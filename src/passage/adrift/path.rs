//! The way that a disabled boat takes: straight under one current, and bent where it comes
//! into another.

use crate::models::geometry::{Frame, Segment};
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::passage::current::{current_index, flow_of};
use crate::passage::ending::{DRIFT_REACH, LONGEST_DRIFT};

/// Most pieces of a way. A boat that a current holds to the edge of its area goes to and fro over it;
/// past this many pieces the current of the last one holds.
const MOST_PIECES: usize = 100;
/// How far past the edge of a current's area the next current is taken, m.
const PAST_EDGE: f64 = 0.05;
/// Slower than this is no movement, m/s.
pub(super) const STILL: f64 = 1e-6;

/// A straight piece of a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) start: Point,
    pub(super) direction: Point,
    pub(super) speed: f64,
    /// Its length, m.
    pub(super) length: f64,
    /// Time and way made before it, s and m.
    pub(super) time: f64,
    pub(super) way: f64,
}

impl Piece {
    /// Where it ends.
    pub(super) fn end(&self) -> Point {
        self.start + self.direction.scale(self.length)
    }
}

/// The whole way of a boat.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Way {
    pub(super) pieces: Vec<Piece>,
    /// What ends it.
    pub(super) end: End,
}

/// What ends the way of a boat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum End {
    /// Nothing, within the day or the reach that it is followed.
    Afloat,
    /// Land.
    Ashore,
    /// An open edge of the shoreline, by its mark: the boat is gone.
    Open(usize),
}

impl Way {
    /// Where it ends, with its time and its length.
    pub(super) fn last(&self) -> Option<(Point, f64, f64)> {
        let last = self.pieces.last()?;
        Some((
            last.end(),
            last.time + last.length / last.speed,
            last.way + last.length,
        ))
    }
}

/// Where a boat begins to drift.
#[derive(Clone, Copy, Debug)]
pub(super) struct Start {
    pub(super) at: Point,
    /// Whether that is on water.
    pub(super) afloat: bool,
    /// The current that runs there, by index.
    pub(super) current: Option<usize>,
}

/// Follows a boat with a leeway until land, open water or the end of a day. Where it begins on water it stays
/// on water as far as it has met no edge.
pub(super) fn follow(passage: &Passage<'_>, start: Start, leeway: Point, current: bool) -> Way {
    let shore = &passage.plan.site.shore;
    let afloat = start.afloat;
    let (mut time, mut way, mut at) = (0.0, 0.0, start.at);
    let mut pieces = Vec::new();
    let mut area = start.current;
    loop {
        let flow = if current {
            let (east, north) = flow_of(passage, area);
            Point::new(east, north)
        } else {
            Point::ZERO
        };
        let movement = leeway + flow;
        let speed = movement.length();
        let left = (speed * (LONGEST_DRIFT - time)).min(DRIFT_REACH - way);
        let Some(direction) = movement.unit().filter(|_| speed > STILL && left > 0.0) else {
            break;
        };
        let edge = if current && pieces.len() + 1 < MOST_PIECES {
            to_next_edge(passage, at, direction, left)
        } else {
            None
        };
        let reach = edge.map_or(left, |edge| (edge + PAST_EDGE).min(left));
        let met = if afloat {
            shore.first_along(&Frame::along(direction), at, reach)
        } else {
            Some((0.0, usize::MAX))
        };
        let length = met.map_or(reach, |(distance, _)| distance);
        pieces.push(Piece {
            start: at,
            direction,
            speed,
            length,
            time,
            way,
        });
        if let Some((_, edge)) = met {
            let open = passage.plan.site.edges.open_at(edge);
            let end = open.map_or(End::Ashore, End::Open);
            return Way { pieces, end };
        }
        time += length / speed;
        way += length;
        at = at + direction.scale(length);
        if edge.is_none() {
            break;
        }
        area = current_index(passage, at);
    }
    Way {
        pieces,
        end: End::Afloat,
    }
}

/// The distance to the next edge of any area with a current.
pub(super) fn to_next_edge(
    passage: &Passage<'_>,
    at: Point,
    direction: Point,
    reach: f64,
) -> Option<f64> {
    let outlines = passage.plan.site.currents.iter();
    let outlines = outlines.map(|current| &current.outline);
    let mut nearest: Option<f64> = None;
    for outline in outlines.filter(|outline| outline.may_be_met(at, direction, reach)) {
        for ring in outline.rings() {
            let mut a = ring[ring.len() - 1];
            for b in ring {
                let edge = Segment::new(a, *b);
                a = *b;
                if let Some(distance) = crossing(at, direction, &edge)
                    && distance <= nearest.unwrap_or(reach)
                {
                    nearest = Some(distance);
                }
            }
        }
    }
    nearest
}

/// The distance ahead at which a ray crosses a segment.
fn crossing(at: Point, direction: Point, edge: &Segment) -> Option<f64> {
    let along = edge.b - edge.a;
    let turn = direction.cross(along);
    let to = edge.a - at;
    // Most edges lie aside, which is the cheapest to tell.
    let share = to.cross(direction) / turn;
    if !(0.0..=1.0).contains(&share) || turn.abs() <= 1e-12 * along.length() {
        return None;
    }
    let distance = to.cross(along) / turn;
    (distance > 0.0).then_some(distance)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ray_crosses_what_lies_ahead_of_it() {
        let east = Point::new(1.0, 0.0);
        let wall = Segment::new(Point::new(7.0, -1.0), Point::new(7.0, 3.0));
        assert_eq!(crossing(Point::ZERO, east, &wall), Some(7.0));
        assert_eq!(crossing(Point::new(9.0, 0.0), east, &wall), None);
        assert_eq!(crossing(Point::new(0.0, 4.0), east, &wall), None);
        let alongside = Segment::new(Point::new(2.0, 0.0), Point::new(5.0, 0.0));
        assert_eq!(crossing(Point::ZERO, east, &alongside), None);
    }
}
