//! Words beside the lines of a chart: none on a line or on other words, where there is any such place.

use super::super::clip::{self, Place};
use super::super::style::{Anchor, SMALL, width_of};
use super::{LEFT, RIGHT, SIZE};

/// Height of a row of words at a mark.
const ROW: f64 = 13.0;
/// Room between words and a line.
const GAP: f64 = 1.5;
/// How far words of a limit are moved along it at a time.
const STEP: f64 = 8.0;

/// A rectangle: its upper left and its lower right corner.
type Room = (Place, Place);

/// Words that wait for their place, and the lines that they keep off.
#[derive(Default)]
pub(super) struct Beside {
    lines: Vec<Vec<Place>>,
    wait: Vec<Wait>,
}

/// What words stand beside.
enum Wait {
    /// A level at this height.
    Limit(f64, String),
    /// An upright line, and the row below the top that its words have rather.
    Mark(f64, usize, String),
}

/// Words with their place.
pub(super) struct Placed {
    pub at: Place,
    pub anchor: Anchor,
    /// The class of their colour.
    pub class: &'static str,
    pub words: String,
}

impl Beside {
    /// Keeps words off a line.
    pub(super) fn keep_off(&mut self, line: Vec<Place>) {
        self.lines.push(line);
    }

    /// Words of a level.
    pub(super) fn limit(&mut self, y: f64, words: &str) {
        self.wait.push(Wait::Limit(y, words.to_owned()));
    }

    /// Words of an upright line.
    pub(super) fn mark(&mut self, x: f64, row: usize, words: &str) {
        self.wait.push(Wait::Mark(x, row, words.to_owned()));
    }

    /// All words with their places between the top and the bottom of the plot: the best that is free, or else the
    /// best.
    pub(super) fn placed(self, (top, bottom): (f64, f64)) -> Vec<Placed> {
        let mut taken: Vec<Room> = Vec::new();
        let mut all = Vec::new();
        for wait in self.wait {
            let (words, class, places) = match wait {
                Wait::Limit(y, words) => {
                    let places = along(y, (top, bottom), width_of(&words, SMALL));
                    (words, "danger", places)
                }
                Wait::Mark(x, row, words) => {
                    let places = down(x, row, (top, bottom), width_of(&words, SMALL));
                    (words, "over", places)
                }
            };
            let free = |(at, anchor): &&(Place, Anchor)| {
                let (low, high) = room(*at, *anchor, &words);
                let other = |(from, to): &Room| {
                    low.0 < to.0 && from.0 < high.0 && low.1 < to.1 && from.1 < high.1
                };
                !self.lines.iter().any(|line| clip::crosses(line, low, high))
                    && !taken.iter().any(other)
            };
            let best = places.iter().find(free).or(places.first());
            if let Some((at, anchor)) = best.copied() {
                taken.push(room(at, anchor, &words));
                all.push(Placed {
                    at,
                    anchor,
                    class,
                    words,
                });
            }
        }
        all
    }
}

/// Places above and below a level, from the right end of it.
fn along(y: f64, (top, bottom): (f64, f64), wide: f64) -> Vec<(Place, Anchor)> {
    let mut places = Vec::new();
    let mut right = SIZE.0 - RIGHT - 2.0;
    loop {
        for up in [-4.0, 14.0] {
            let base = y + up;
            // Below the lowest level are the words of the axis.
            if base - SMALL >= top && base <= bottom {
                places.push(((right, base), Anchor::End));
            }
        }
        right -= STEP;
        if right - wide < LEFT + 2.0 {
            return places;
        }
    }
}

/// Places beside an upright line, from a row downwards.
fn down(x: f64, row: usize, (top, bottom): (f64, f64), wide: f64) -> Vec<(Place, Anchor)> {
    let (right, left) = (
        ((x + 4.0, Anchor::Start), x + 4.0 + wide <= SIZE.0 - RIGHT),
        ((x - 4.0, Anchor::End), x - 4.0 - wide >= LEFT),
    );
    let rows = ((bottom - top) / ROW).max(1.0) as usize;
    let rows = (row..rows).chain(0..row.min(rows));
    let mut places = Vec::new();
    for row in rows {
        let y = top + 11.0 + ROW * row as f64;
        for ((x, anchor), fits) in [right, left] {
            if fits {
                places.push(((x, y), anchor));
            }
        }
    }
    places
}

/// The room that words take.
fn room((x, y): Place, anchor: Anchor, words: &str) -> Room {
    let wide = width_of(words, SMALL);
    let left = match anchor {
        Anchor::Start => x,
        Anchor::Middle => x - 0.5 * wide,
        Anchor::End => x - wide,
    };
    (
        (left - GAP, y - 0.75 * SMALL - GAP),
        (left + wide + GAP, y + 0.2 * SMALL),
    )
}

#[cfg(test)]
mod tests {
    use super::{Beside, room};
    use crate::report::figures::clip::crosses;

    #[test]
    fn words_stand_where_no_line_is() {
        let curve = vec![(46.0, 130.0), (60.0, 60.0), (370.0, 60.0), (386.0, 136.0)];
        let mut beside = Beside::default();
        beside.keep_off(curve.clone());
        beside.keep_off(vec![(46.0, 132.0), (388.0, 132.0)]);
        beside.limit(132.0, "at least 0.3 m");
        beside.mark(200.0, 0, "turnaround");
        beside.mark(204.0, 0, "no return from here");
        let placed = beside.placed((48.0, 138.0));
        assert_eq!(placed.len(), 3);
        for (index, one) in placed.iter().enumerate() {
            let (low, high) = room(one.at, one.anchor, &one.words);
            assert!(!crosses(&curve, low, high), "{}", one.words);
            assert!(low.0 >= 46.0 && high.0 <= 390.0, "{}", one.words);
            for other in &placed[..index] {
                let (from, to) = room(other.at, other.anchor, &other.words);
                let apart = low.0 >= to.0 || from.0 >= high.0 || low.1 >= to.1 || from.1 >= high.1;
                assert!(apart, "{} on {}", one.words, other.words);
            }
        }
    }

    #[test]
    fn words_without_a_free_place_are_written_all_the_same() {
        let mut beside = Beside::default();
        for y in 48..138 {
            beside.keep_off(vec![(46.0, f64::from(y)), (388.0, f64::from(y))]);
        }
        beside.limit(60.0, "at least 0.3 m");
        beside.mark(200.0, 1, "turnaround");
        assert_eq!(beside.placed((48.0, 138.0)).len(), 2);
    }
}
