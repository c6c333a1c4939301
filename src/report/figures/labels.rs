//! Placing words on a map so that none lies on another.

use super::clip::Place;
use super::style::{Anchor, width_of};

/// A rectangle that is taken: left, top, right, bottom.
type Taken = (f64, f64, f64, f64);

/// The room on a map.
pub(super) struct Labels {
    low: Place,
    high: Place,
    taken: Vec<Taken>,
}

/// Most rectangles that are held; past them nothing more is placed.
const MOST: usize = 4000;

impl Labels {
    /// A map of this extent, empty.
    pub(super) fn new(low: Place, high: Place) -> Self {
        Self {
            low,
            high,
            taken: Vec::new(),
        }
    }

    /// Keeps the room around a place free.
    pub(super) fn keep(&mut self, at: Place, half: f64) {
        if self.taken.len() < MOST {
            self.taken
                .push((at.0 - half, at.1 - half, at.0 + half, at.1 + half));
        }
    }

    /// Keeps the room along a line free, as far as it is on the map.
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
            if on {
                self.keep(at, 3.0);
            }
            share += 1.0 / pieces;
        }
    }

    /// Finds room for words beside a place, and takes it: where the words are fastened, and how.
    pub(super) fn place(
        &mut self,
        at: Place,
        off: f64,
        words: &str,
        size: f64,
    ) -> Option<(Place, Anchor)> {
        if self.taken.len() >= MOST {
            return None;
        }
        let (wide, tall) = (width_of(words, size), size);
        let mut candidates = Vec::new();
        for off in [off, off + 8.0, off + 18.0] {
            let (x, y) = at;
            candidates.extend([
                ((x + off, y + 0.35 * tall), Anchor::Start),
                ((x - off, y + 0.35 * tall), Anchor::End),
                ((x, y - off), Anchor::Middle),
                ((x, y + off + 0.75 * tall), Anchor::Middle),
                ((x + 0.8 * off, y - 0.8 * off), Anchor::Start),
                ((x - 0.8 * off, y - 0.8 * off), Anchor::End),
                ((x + 0.8 * off, y + 0.8 * off + 0.75 * tall), Anchor::Start),
                ((x - 0.8 * off, y + 0.8 * off + 0.75 * tall), Anchor::End),
            ]);
        }
        candidates
            .into_iter()
            .find(|candidate| self.take(*candidate, wide, tall))
    }

    /// Takes the room of words right on a place, where it is free.
    pub(super) fn centred(&mut self, at: Place, words: &str, size: f64) -> Option<(Place, Anchor)> {
        let candidate = ((at.0, at.1 + 0.35 * size), Anchor::Middle);
        let free = self.taken.len() < MOST && self.take(candidate, width_of(words, size), size);
        free.then_some(candidate)
    }

    fn take(&mut self, (base, anchor): (Place, Anchor), wide: f64, tall: f64) -> bool {
        let left = match anchor {
            Anchor::Start => base.0,
            Anchor::Middle => base.0 - 0.5 * wide,
            Anchor::End => base.0 - wide,
        };
        let held = (
            left - 1.0,
            base.1 - 0.85 * tall,
            left + wide + 1.0,
            base.1 + 0.25 * tall,
        );
        let inside = held.0 >= self.low.0
            && held.1 >= self.low.1
            && held.2 <= self.high.0
            && held.3 <= self.high.1;
        let mut taken = self.taken.iter();
        let free =
            inside && !taken.any(|t| held.0 < t.2 && t.0 < held.2 && held.1 < t.3 && t.1 < held.3);
        if free {
            self.taken.push(held);
        }
        free
    }
}

#[cfg(test)]
mod tests {
    use super::Labels;

    #[test]
    fn words_lie_beside_one_another_and_on_the_map() {
        let mut labels = Labels::new((0.0, 0.0), (200.0, 100.0));
        let first = labels.place((100.0, 50.0), 5.0, "first", 12.0);
        let second = labels.place((100.0, 50.0), 5.0, "second", 12.0);
        assert!(first.is_some() && second.is_some() && first != second);
        let long = "w".repeat(60);
        assert_eq!(labels.place((100.0, 50.0), 5.0, &long, 12.0), None);
    }
}
