//! Words within the rings: what bars, the speeds of the rings, the winds that were judged. None lies on a
//! limit, which is read there.

use super::super::style::{Anchor, SMALL, TEXT, letter, line, text};
use super::{APART, Polar, RADIUS, around, degrees, number_of, ring_step};
use crate::envelope::{BandWind, Limits};

impl Polar {
    /// A letter for what bars, at the middle of each run of directions that it bars, and from where
    /// nothing passes a cross.
    pub(super) fn letters(&mut self, limits: &Limits, rules: &[String]) {
        let step = limits.step.to_degrees();
        let count = limits.sectors.len();
        let key = |index: usize| {
            let sector = &limits.sectors[index % count];
            (number_of(sector, rules), sector.strongest.is_some())
        };
        let start = (0..count)
            .find(|index| key(*index) != key(index + count - 1))
            .unwrap_or(0);
        let mut index = 0;
        let mut last: Option<f64> = None;
        while index < count {
            let first = start + index;
            let mut length = 1;
            while index + length < count && key(first + length) == key(first) {
                length += 1;
            }
            let middle = first + (length - 1) / 2;
            let bearing = (first as f64 + (length - 1) as f64 / 2.0) * step;
            let near = last.is_some_and(|held| (bearing - held).abs() < APART);
            if !near {
                let sector = &limits.sectors[middle % count];
                let speed = sector.strongest.map_or(0.0, |steady| steady.mean.get());
                let radius = RADIUS * (speed / self.most).clamp(0.0, 1.0);
                let (number, passes) = key(first);
                let letter = if passes {
                    letter(number)
                } else {
                    format!("×{}", letter(number))
                };
                let half = 0.5 * (length as f64 - 1.0) * step;
                self.letter(&letter, (bearing, half), radius);
                last = Some(bearing);
            }
            index += length;
        }
    }

    /// Writes a letter beside its limit, anywhere within the directions that it stands for, and never on a
    /// limit.
    fn letter(&mut self, letter: &str, (bearing, half): (f64, f64), radius: f64) {
        let turns = [0.0, -0.35, 0.35, -0.7, 0.7].map(|share| bearing + share * half);
        let outward = [13.0, -13.0, 20.0, -20.0, 28.0, -28.0];
        for off in outward {
            for turn in turns {
                let (x, y) = around(turn, (radius + off).max(12.0));
                let inside = radius + off < RADIUS - 6.0 && radius + off > -30.0;
                if inside && let Some(base) = self.labels.centred((x, y), letter, TEXT) {
                    let words = text(base, Anchor::Middle, "strong halo", letter);
                    self.figure.add(words);
                    return;
                }
            }
        }
        let edge = around(bearing, radius);
        let placed = self.labels.place(&[edge], 9.0, letter, TEXT);
        let placed = placed.unwrap_or_else(|| self.labels.forced(edge, letter, TEXT));
        if let Some(end) = placed.leader {
            self.figure.add(line(edge, end, "leader"));
        }
        self.figure
            .add(text(placed.base, placed.anchor, "strong halo", letter));
    }

    /// The speeds of the rings, along the bearing between two spokes on which most of them are free.
    pub(super) fn speeds(&mut self) {
        let step = ring_step(self.most);
        let rings = (self.most / step).round() as usize;
        let words = |ring: usize| {
            let speed = ring as f64 * step;
            if step < 1.0 {
                format!("{speed:.1}")
            } else {
                format!("{speed:.0}")
            }
        };
        let free = |bearing: f64| -> Vec<usize> {
            let is_free = |ring: &usize| {
                let at = self.at(bearing, *ring as f64 * step);
                self.labels.is_free(at, &words(*ring), SMALL)
            };
            (1..=rings).filter(is_free).collect()
        };
        let bearings = [
            75.0, 105.0, 45.0, 135.0, 15.0, 165.0, 285.0, 255.0, 315.0, 225.0,
        ];
        let mut best: (f64, Vec<usize>) = (75.0, Vec::new());
        for bearing in bearings {
            let found = free(bearing);
            if found.len() > best.1.len() {
                best = (bearing, found);
            }
        }
        let (bearing, shown) = best;
        for ring in shown {
            let at = self.at(bearing, ring as f64 * step);
            let words = words(ring);
            if let Some(base) = self.labels.centred(at, &words, SMALL) {
                let words = text(base, Anchor::Middle, "small halo soft", &words);
                self.figure.add(words);
            }
        }
    }

    /// Says beside its dot which wind it is.
    pub(super) fn name_of_wind(&mut self, wind: &BandWind) {
        let dot = self.at(degrees(wind.from), wind.mean.get());
        let words = if wind.planned { "planned" } else { "given" };
        let placed = self.labels.place(&[dot], 6.0, words, SMALL);
        let placed = placed.unwrap_or_else(|| self.labels.forced(dot, words, SMALL));
        if let Some(end) = placed.leader {
            self.figure.add(line(dot, end, "leader"));
        }
        let words = text(placed.base, placed.anchor, "small halo over", words);
        self.figure.add(words);
    }
}
