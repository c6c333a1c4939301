//! Placing words on a map so that none lies on another.

use super::clip::Place;
use super::style::{Anchor, width_of};

/// A rectangle: left, top, right, bottom.
type Room = (f64, f64, f64, f64);

/// Words with their place.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Placed {
    /// Where they are fastened.
    pub base: Place,
    /// How.
    pub anchor: Anchor,
    /// Where a line from their sign to them ends, where they stand far from it.
    pub leader: Option<Place>,
}

/// The room on a map.
pub(super) struct Labels {
    low: Place,
    high: Place,
    /// Nothing is put here.
    taken: Vec<Room>,
    /// Words are put here only where there is no better place, and depths never.
    lines: Vec<Room>,
    /// The route: words lie on it only where they have no other place at all.
    route: Vec<Room>,
    /// What is drawn besides: names at the edge keep off it where they can.
    ground: Vec<Room>,
}

/// Most rectangles that are held of either kind; past them only what must be named is.
const MOST: usize = 4000;
/// Directions from a sign that words are tried in, the best first: clockwise from east, sixteenths
/// of a turn.
const DIRECTIONS: [u8; 16] = [0, 8, 12, 4, 14, 10, 2, 6, 15, 9, 1, 7, 13, 11, 3, 5];
/// How much farther off than at first words are tried, and whether a line then leads to them.
const RINGS: [(f64, bool); 7] = [
    (0.0, false),
    (7.0, false),
    (15.0, true),
    (26.0, true),
    (40.0, true),
    (58.0, true),
    (80.0, true),
];
/// What a piece of a line below words counts against a ring farther off, and a piece of the route.
const LINE: f64 = 1.2;
const ROUTE: f64 = 8.0;

impl Labels {
    /// A map of this extent, empty.
    pub(super) fn new(low: Place, high: Place) -> Self {
        Self {
            low,
            high,
            taken: Vec::new(),
            lines: Vec::new(),
            route: Vec::new(),
            ground: Vec::new(),
        }
    }

    /// Keeps the room between two corners free.
    pub(super) fn keep_box(&mut self, low: Place, high: Place) {
        if self.taken.len() < MOST {
            self.taken.push((low.0, low.1, high.0, high.1));
        }
    }

    /// Keeps the room around a place free.
    pub(super) fn keep(&mut self, at: Place, half: f64) {
        if self.taken.len() < MOST {
            self.taken.push(around(at, half));
        }
    }

    /// Keeps the room along a line free as far as may be, and as far as it is on the map.
    pub(super) fn keep_line(&mut self, from: Place, to: Place) {
        let pieces = self.along(from, to, MOST.saturating_sub(self.lines.len()));
        self.lines.extend(pieces);
    }

    /// The same of a leg of the route.
    pub(super) fn keep_route(&mut self, from: Place, to: Place) {
        let pieces = self.along(from, to, MOST.saturating_sub(self.route.len()));
        self.route.extend(pieces);
    }

    /// The same of a line that is drawn and that only names at the edge keep off.
    pub(super) fn keep_ground(&mut self, from: Place, to: Place) {
        let pieces = self.along(from, to, MOST.saturating_sub(self.ground.len()));
        self.ground.extend(pieces);
    }

    /// Takes the box with the least drawn in it among those with neither words, signs nor the route in them,
    /// the first of several; its index.
    pub(super) fn take_box(&mut self, boxes: &[(Place, Place)]) -> Option<usize> {
        if self.taken.len() >= MOST {
            return None;
        }
        let on = |room: Room, lines: &[Room]| lines.iter().filter(|one| meet(room, **one)).count();
        let (_, index, room) = boxes
            .iter()
            .map(|(low, high)| (low.0, low.1, high.0, high.1))
            .enumerate()
            .filter(|(_, room)| on(*room, &self.taken) + on(*room, &self.route) == 0)
            .map(|(index, room)| (on(room, &self.lines) + on(room, &self.ground), index, room))
            .min_by_key(|(cost, index, _)| (*cost, *index))?;
        self.taken.push(room);
        Some(index)
    }

    /// Pieces of a line as far as it is on the map, so many at most.
    fn along(&self, from: Place, to: Place, most: usize) -> Vec<Room> {
        let mut all = Vec::new();
        let length = (to.0 - from.0).hypot(to.1 - from.1);
        let pieces = (length / 8.0).ceil().clamp(1.0, 200.0);
        let mut share = 0.0;
        while share <= 1.0 {
            let at = (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            );
            let on = (self.low.0..=self.high.0).contains(&at.0)
                && (self.low.1..=self.high.1).contains(&at.1);
            if on && all.len() < most {
                all.push(around(at, 3.0));
            }
            share += 1.0 / pieces;
        }
        all
    }

    /// The best room for words beside any of some places that is not on the route, taken.
    pub(super) fn place_clear(
        &mut self,
        places: &[Place],
        off: f64,
        words: &str,
        size: f64,
    ) -> Option<Placed> {
        self.find(places, off, (words, size), true)
    }

    /// Finds the best room for words beside any of some places, and takes it.
    pub(super) fn place(
        &mut self,
        places: &[Place],
        off: f64,
        words: &str,
        size: f64,
    ) -> Option<Placed> {
        self.find(places, off, (words, size), false)
    }

    fn find(
        &mut self,
        places: &[Place],
        off: f64,
        (words, size): (&str, f64),
        clear: bool,
    ) -> Option<Placed> {
        if self.taken.len() >= MOST {
            return None;
        }
        let wide = width_of(words, size);
        let mut best: Option<(f64, Placed, Room)> = None;
        for (ring, (more, led)) in RINGS.into_iter().enumerate() {
            // Nothing farther off can be better than what is found already.
            if best.is_some_and(|(cost, ..)| cost <= ring as f64) {
                break;
            }
            for at in places {
                for direction in DIRECTIONS {
                    let turn = f64::from(direction) * std::f64::consts::PI / 8.0;
                    let placed = beside(*at, turn, (off, off + more), size, led);
                    let held = room(placed, wide, size);
                    if !self.free(held) {
                        continue;
                    }
                    let on = |lines: &[Room]| {
                        let crossed = lines.iter().filter(|line| meet(held, **line));
                        crossed.count() as f64
                    };
                    let route = on(&self.route);
                    if clear && route > 0.0 {
                        continue;
                    }
                    let led = placed.leader.map_or(0, |end| self.crossed(*at, end));
                    let cost =
                        ring as f64 + LINE * (on(&self.lines) + 2.0 * led as f64) + ROUTE * route;
                    if best.is_none_or(|(least, ..)| cost < least) {
                        best = Some((cost, placed, held));
                    }
                }
            }
        }
        let (_, placed, held) = best?;
        self.taken.push(held);
        if let (Some(end), Some(at)) = (placed.leader, places.first()) {
            self.keep_line(*at, end);
        }
        Some(placed)
    }

    /// Words and signs that a leader from a place would run across, but for the sign that it leads from.
    fn crossed(&self, from: Place, to: Place) -> usize {
        let steps = 8;
        let own = around(from, 0.5);
        let others = self.taken.iter().filter(|one| !meet(own, **one));
        let on = |one: &&Room| {
            (1..steps).any(|step| {
                let share = f64::from(step) / f64::from(steps);
                let at = (
                    from.0 + share * (to.0 - from.0),
                    from.1 + share * (to.1 - from.1),
                );
                meet(around(at, 0.5), **one)
            })
        };
        others.filter(on).count()
    }

    /// A place for words that must not be left out, whatever lies below them.
    pub(super) fn forced(&mut self, at: Place, words: &str, size: f64) -> Placed {
        let half = 0.5 * width_of(words, size) + 1.0;
        let base = (
            at.0.clamp(
                self.low.0 + half,
                (self.high.0 - half).max(self.low.0 + half),
            ),
            (at.1 + 0.35 * size).clamp(self.low.1 + size, self.high.1 - 0.3 * size),
        );
        let placed = Placed {
            base,
            anchor: Anchor::Middle,
            leader: None,
        };
        if self.taken.len() < MOST {
            self.taken.push(room(placed, 2.0 * half, size));
        }
        placed
    }

    /// Takes the room of words right on a place, where nothing and no line is there.
    pub(super) fn centred(&mut self, at: Place, words: &str, size: f64) -> Option<Place> {
        let (base, held) = right_on(at, words, size);
        let room_left = self.taken.len() < MOST && self.lines.len() < MOST;
        let mut lines = self.lines.iter().chain(&self.route);
        if !room_left || !self.free(held) || lines.any(|line| meet(held, *line)) {
            return None;
        }
        self.taken.push(held);
        Some(base)
    }

    /// Takes the room of a letter right on its own line, where nothing else is; whether it did.
    pub(super) fn on_line(&mut self, at: Place, words: &str, size: f64) -> Option<Place> {
        let (base, held) = right_on(at, words, size);
        if self.taken.len() >= MOST
            || !self.free(held)
            || self.route.iter().any(|one| meet(held, *one))
        {
            return None;
        }
        self.taken.push(held);
        Some(base)
    }

    /// Whether words right on a place lie on nothing.
    pub(super) fn is_free(&self, at: Place, words: &str, size: f64) -> bool {
        self.free(right_on(at, words, size).1)
    }

    fn free(&self, held: Room) -> bool {
        let inside = held.0 >= self.low.0
            && held.1 >= self.low.1
            && held.2 <= self.high.0
            && held.3 <= self.high.1;
        inside && !self.taken.iter().any(|taken| meet(held, *taken))
    }
}

/// Where words right on a place stand, and the room that they take.
fn right_on(at: Place, words: &str, size: f64) -> (Place, Room) {
    let base = (at.0, at.1 + 0.35 * size);
    let placed = Placed {
        base,
        anchor: Anchor::Middle,
        leader: None,
    };
    (base, room(placed, width_of(words, size), size))
}

fn around(at: Place, half: f64) -> Room {
    (at.0 - half, at.1 - half, at.0 + half, at.1 + half)
}

fn meet(one: Room, other: Room) -> bool {
    one.0 < other.2 && other.0 < one.2 && one.1 < other.3 && other.1 < one.3
}

/// Words in a direction from a sign, a line leading to them from its edge.
fn beside(at: Place, turn: f64, (edge, off): (f64, f64), size: f64, led: bool) -> Placed {
    let (down, right) = turn.sin_cos();
    let anchor = match right {
        right if right > 0.3 => Anchor::Start,
        right if right < -0.3 => Anchor::End,
        _ => Anchor::Middle,
    };
    let end = (at.0 + (off - 2.0) * right, at.1 + (off - 2.0) * down);
    Placed {
        base: (
            at.0 + off * right,
            at.1 + off * down + size * (0.35 + 0.4 * down),
        ),
        anchor,
        leader: (led && off > edge).then_some(end),
    }
}

fn room(placed: Placed, wide: f64, tall: f64) -> Room {
    let (x, y) = placed.base;
    let left = match placed.anchor {
        Anchor::Start => x,
        Anchor::Middle => x - 0.5 * wide,
        Anchor::End => x - wide,
    };
    (
        left - 1.0,
        y - 0.85 * tall,
        left + wide + 1.0,
        y + 0.25 * tall,
    )
}

#[cfg(test)]
mod tests {
    use super::Labels;

    #[test]
    fn words_lie_beside_one_another_and_on_the_map() {
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        let first = labels.place(&[(100.0, 50.0)], 5.0, "first", 12.0);
        let second = labels.place(&[(100.0, 50.0)], 5.0, "second", 12.0);
        assert!(first.is_some() && second.is_some() && first != second);
        let long = "w".repeat(60);
        assert_eq!(labels.place(&[(100.0, 50.0)], 5.0, &long, 12.0), None);
    }

    #[test]
    fn words_keep_off_lines_where_they_can_and_depths_always() {
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        labels.keep_line((100.0, 50.0), (200.0, 50.0));
        let placed = labels.place(&[(100.0, 50.0)], 5.0, "name", 12.0).unwrap();
        assert!(placed.base.0 < 100.0, "{placed:?}");
        assert_eq!(labels.centred((150.0, 50.0), "1.2", 10.0), None);
        assert!(labels.centred((150.0, 20.0), "1.2", 10.0).is_some());
    }

    #[test]
    fn words_lie_on_the_route_only_where_there_is_no_other_place() {
        let mut labels = Labels::new((0.0, 0.0), (120.0, 30.0));
        labels.keep_route((0.0, 8.0), (120.0, 8.0));
        let below = labels.place_clear(&[(60.0, 8.0)], 5.0, "name", 12.0);
        assert!(below.is_some_and(|one| one.base.1 > 20.0), "{below:?}");
        assert_eq!(
            labels.place_clear(&[(60.0, 8.0)], 5.0, "another name", 12.0),
            None
        );
        assert_eq!(labels.on_line((60.0, 8.0), "r", 12.0), None);
    }

    #[test]
    fn a_name_at_the_edge_stands_where_nothing_is_or_not_at_all() {
        let boxes = [
            ((0.0, 40.0), (14.0, 60.0)),
            ((186.0, 40.0), (200.0, 60.0)),
            ((80.0, 43.0), (120.0, 57.0)),
        ];
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        assert_eq!(labels.take_box(&boxes), Some(0));
        // The left edge is taken now, and a shore runs down the right one.
        labels.keep_ground((190.0, 0.0), (190.0, 100.0));
        assert_eq!(labels.take_box(&boxes), Some(2));
        // Better on the shore than on words, and nowhere on the route.
        assert_eq!(labels.take_box(&boxes), Some(1));
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        labels.keep_route((0.0, 50.0), (200.0, 50.0));
        assert_eq!(labels.take_box(&boxes), None);
    }

    #[test]
    fn what_must_be_there_is_put_on_the_map_whatever_is_below() {
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        labels.keep((100.0, 50.0), 100.0);
        assert_eq!(labels.place(&[(199.0, 99.0)], 5.0, "A", 12.0), None);
        let (x, y) = labels.forced((199.0, 99.0), "A", 12.0).base;
        assert!(x < 196.0 && y < 97.0, "{x} {y}");
    }
}
