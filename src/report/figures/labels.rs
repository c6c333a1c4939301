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
}

/// Most rectangles that are held of either kind; past them only what must be named is.
const MOST: usize = 4000;
/// Directions from a sign that words are tried in, the best first: clockwise from east, sixteenths
/// of a turn.
const DIRECTIONS: [u8; 16] = [0, 8, 12, 4, 14, 10, 2, 6, 15, 9, 1, 7, 13, 11, 3, 5];
/// How much farther off than at first words are tried, and whether a line then leads to them.
const RINGS: [(f64, bool); 5] = [
    (0.0, false),
    (7.0, false),
    (15.0, true),
    (26.0, true),
    (40.0, true),
];
/// What a piece of a line below words counts against a ring farther off.
const LINE: f64 = 1.2;

impl Labels {
    /// A map of this extent, empty.
    pub(super) fn new(low: Place, high: Place) -> Self {
        Self {
            low,
            high,
            taken: Vec::new(),
            lines: Vec::new(),
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
            if on && self.lines.len() < MOST {
                self.lines.push(around(at, 3.0));
            }
            share += 1.0 / pieces;
        }
    }

    /// Finds the best room for words beside any of some places, and takes it.
    pub(super) fn place(
        &mut self,
        places: &[Place],
        off: f64,
        words: &str,
        size: f64,
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
                    let crossed = self.lines.iter().filter(|line| meet(held, **line));
                    let cost = ring as f64 + LINE * crossed.count() as f64;
                    if best.is_none_or(|(least, ..)| cost < least) {
                        best = Some((cost, placed, held));
                    }
                }
            }
        }
        let (_, placed, held) = best?;
        self.taken.push(held);
        Some(placed)
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
        let base = (at.0, at.1 + 0.35 * size);
        let placed = Placed {
            base,
            anchor: Anchor::Middle,
            leader: None,
        };
        let held = room(placed, width_of(words, size), size);
        let room_left = self.taken.len() < MOST && self.lines.len() < MOST;
        if !room_left || !self.free(held) || self.lines.iter().any(|line| meet(held, *line)) {
            return None;
        }
        self.taken.push(held);
        Some(base)
    }

    fn free(&self, held: Room) -> bool {
        let inside = held.0 >= self.low.0
            && held.1 >= self.low.1
            && held.2 <= self.high.0
            && held.3 <= self.high.1;
        inside && !self.taken.iter().any(|taken| meet(held, *taken))
    }
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
    fn what_must_be_there_is_put_on_the_map_whatever_is_below() {
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        labels.keep((100.0, 50.0), 100.0);
        assert_eq!(labels.place(&[(199.0, 99.0)], 5.0, "A", 12.0), None);
        let (x, y) = labels.forced((199.0, 99.0), "A", 12.0).base;
        assert!(x < 196.0 && y < 97.0, "{x} {y}");
    }
}
