//! The solver: which winds of one direction pass, and which of a band of directions.
//!
//! Rules are not taken to be monotone in the wind. In every direction the whole range up to the cap
//! is tried on a grid; where two neighbours of it differ, the edge between them is halved down to a
//! tenth. A band passes where each of its directions does, and once more as a whole, as a check
//! would judge it.

use super::budget::Budget;
use super::kinds::{all_broken, broken, is_cheap};
use super::wind::{CAP, Rose, Setting, in_wind};
use crate::envelope::Binding;
use crate::passage::{OfDirections, Passage};
use crate::plan::Plan;
use crate::rules::RuleInForce;
use crate::units::{Angle, FromDirection};

/// Mean winds of one direction that pass, first and last, in tenths; in order, and apart.
pub(super) type Stretches = Vec<(u32, u32)>;

/// A plan, however varied, that is tried in many winds.
#[derive(Clone, Copy)]
pub(super) struct Tried<'a> {
    /// Its passage in some wind, which holds what all of them share.
    pub passage: &'a Passage<'a>,
    pub setting: &'a Setting,
    pub budget: &'a Budget,
    pub grounds: &'a Grounds,
}

/// What is known of the single directions, whatever is tried in winds from them.
pub(super) struct Grounds {
    rose: Rose,
    /// Of each direction; none where it would fill the memory, or of a plan whose route is another one.
    each: Vec<OfDirections>,
    /// Of each band about a direction that is reported; as many as these, or none.
    bands: Vec<OfDirections>,
}

/// Samples times directions of which what is known is kept.
const MOST_KEPT: usize = 100_000;

impl Grounds {
    /// Of a passage and all whose boat goes the same way.
    pub(super) fn of_passage(passage: &Passage<'_>, rose: Rose) -> Self {
        let all = passage.track.samples.len().saturating_mul(rose.fine());
        let count = if all <= MOST_KEPT { rose.fine() } else { 0 };
        let (mut each, mut bands) = (Vec::with_capacity(count), Vec::new());
        for fine in 0..count {
            if fine.is_multiple_of(rose.parts) {
                let from = rose.direction(fine);
                let (alone, band) = OfDirections::alone_and_spread(from, rose.reach());
                each.push(alone);
                bands.push(band);
            } else {
                each.push(OfDirections::default());
            }
        }
        Self { rose, each, bands }
    }

    /// Of no passage.
    pub(super) fn none(rose: Rose) -> Self {
        let (each, bands) = (Vec::new(), Vec::new());
        Self { rose, each, bands }
    }

    /// Of one direction by itself, or of the band about one that is reported.
    fn of(&self, from: FromDirection, spread: Angle) -> Option<&OfDirections> {
        let turn = from.angle().to_degrees() / 360.0;
        let fine = (turn * self.rose.fine() as f64).round() as usize % self.rose.fine().max(1);
        let bits = |angle: Angle| angle.get().to_bits();
        let same = bits(self.rose.direction(fine).angle()) == bits(from.angle());
        if spread.get() <= 0.0 {
            return self.each.get(fine).filter(|_| same);
        }
        let band = bits(spread) == bits(self.rose.reach()) && fine.is_multiple_of(self.rose.parts);
        let of = self.bands.get(fine / self.rose.parts.max(1));
        of.filter(|_| same && band)
    }
}

/// The winds of one direction, and the rules that are judged in them.
pub(super) struct Ray<'a> {
    tried: Tried<'a>,
    from: FromDirection,
    spread: Angle,
    passage: Passage<'a>,
}

impl<'a> Ray<'a> {
    /// `ground` is the plan in some wind of these directions.
    fn on(tried: Tried<'a>, ground: &'a Plan, from: FromDirection, spread: Angle) -> Self {
        let passage = match tried.grounds.of(from, spread) {
            Some(known) => tried.passage.in_wind_of(ground, known),
            None => tried.passage.in_wind(ground),
        };
        Self {
            tried,
            from,
            spread,
            passage,
        }
    }

    /// Looks at the plan in one wind; not where no more is computed.
    pub(super) fn at<T>(&self, tenths: u32, look: impl FnOnce(&Passage<'_>) -> T) -> Option<T> {
        if self.tried.budget.is_spent() {
            return None;
        }
        let wind = self.tried.setting.wind(self.from, self.spread, tenths);
        let plan = in_wind(self.passage.plan, wind);
        let passage = self.passage.in_wind(&plan);
        let seen = look(&passage);
        self.tried.budget.spend(&passage);
        Some(seen)
    }

    /// Whether every rule holds. The one that was broken last is looked at first, after those that
    /// cost nothing.
    fn passes(&self, rules: &mut Vec<&RuleInForce>, tenths: u32) -> bool {
        self.passes_and(rules, tenths, |_| {})
    }

    /// The same, with something else that is looked at in that wind.
    pub(super) fn passes_and(
        &self,
        rules: &mut Vec<&RuleInForce>,
        tenths: u32,
        look: impl FnOnce(&Passage<'_>),
    ) -> bool {
        let seen = self.at(tenths, |passage| {
            look(passage);
            rules
                .iter()
                .position(|rule| broken(rule, passage).is_some())
        });
        let Some(first) = seen else {
            return false;
        };
        if let Some(at) = first {
            let rule = rules.remove(at);
            let cheap = rules.iter().take_while(|rule| is_cheap(rule)).count();
            rules.insert(at.min(cheap), rule);
        }
        first.is_none()
    }

    /// The rules that are not met.
    fn broken(&self, rules: &[&RuleInForce], tenths: u32) -> Vec<Binding> {
        self.at(tenths, |passage| all_broken(rules.iter().copied(), passage))
            .unwrap_or_default()
    }
}

/// Does something in the winds of one direction.
pub(super) fn along<T>(
    tried: Tried<'_>,
    from: FromDirection,
    spread: Angle,
    work: impl FnOnce(&Ray<'_>) -> T,
) -> T {
    let ground = in_wind(tried.passage.plan, tried.setting.wind(from, spread, 0));
    work(&Ray::on(tried, &ground, from, spread))
}

/// The last wind from `low` on, which passes, before `high`, which does not, with no tenth between
/// it and one that does not pass.
fn edge(low: u32, high: u32, mut passes: impl FnMut(u32) -> bool) -> u32 {
    let (mut low, mut high) = (low, high);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if passes(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// The winds that pass by a grid, which begins at no wind and ends at the cap.
fn stretches(grid: u32, mut passes: impl FnMut(u32) -> bool) -> Stretches {
    let mut found: Stretches = Vec::new();
    // The last grid wind, where it passes the beginning of its stretch.
    let mut begun: Option<u32> = None;
    let mut last: Option<u32> = None;
    for tenths in (0..=CAP).step_by(grid as usize) {
        let good = passes(tenths);
        match (begun, good) {
            (None, true) => {
                begun = Some(match last {
                    None => tenths,
                    // The other way round: the first that passes above one that does not.
                    Some(below) => {
                        let (mut low, mut high) = (below, tenths);
                        while high - low > 1 {
                            let middle = low + (high - low) / 2;
                            if passes(middle) {
                                high = middle;
                            } else {
                                low = middle;
                            }
                        }
                        high
                    }
                });
            }
            (Some(from), false) => {
                found.push((from, edge(last.unwrap_or(from), tenths, &mut passes)));
                begun = None;
            }
            _ => {}
        }
        last = Some(tenths);
    }
    if let (Some(from), Some(to)) = (begun, last) {
        found.push((from, to));
    }
    found
}

/// The winds from one direction, and no other, that pass. `known` tells of a wind that was tried before.
pub(super) fn single(
    tried: Tried<'_>,
    rules: &[&RuleInForce],
    from: FromDirection,
    grid: u32,
    known: impl Fn(u32) -> Option<bool>,
) -> Stretches {
    along(tried, from, Angle::degrees(0.0), |ray| {
        let mut order = rules.to_vec();
        stretches(grid, |tenths| {
            known(tenths).unwrap_or_else(|| ray.passes(&mut order, tenths))
        })
    })
}

/// The rules of some that are not met in a wind from one direction.
pub(super) fn broken_at(
    tried: Tried<'_>,
    rules: &[&RuleInForce],
    from: FromDirection,
    tenths: u32,
) -> Vec<Binding> {
    along(tried, from, Angle::degrees(0.0), |ray| {
        ray.broken(rules, tenths)
    })
}

/// What is common to two lists of stretches.
fn common(one: &Stretches, other: &Stretches) -> Stretches {
    let mut found = Vec::new();
    for (a, b) in one {
        for (c, d) in other {
            let (from, to) = (*a.max(c), *b.min(d));
            if from <= to {
                found.push((from, to));
            }
        }
    }
    found
}

/// What came of a band of directions.
pub(super) struct OfBand {
    /// The strongest wind that passes, and everything weaker on the grid; `None` where not even a
    /// calm does.
    pub strongest: Option<u32>,
    /// The first wind that does not pass, with the rules that it breaks and a direction in which it
    /// does; none at the cap.
    pub broken: Vec<Binding>,
    pub broken_from: FromDirection,
    /// Winds above one that does not pass, in which every direction of the band passes again.
    pub again: Stretches,
}

/// The limit of a band from those of its directions, held against the band as a whole.
pub(super) fn band(
    tried: Tried<'_>,
    rules: &[&RuleInForce],
    rose: &Rose,
    singles: &[Stretches],
    sector: usize,
) -> OfBand {
    let around = rose.around(sector);
    let middle = rose.sector(sector);
    let all = around
        .iter()
        .map(|index| &singles[*index])
        .fold(vec![(0, CAP)], |held, one| common(&held, one));
    let of_single = |index: usize| {
        let first = singles[index].first().filter(|(from, _)| *from == 0);
        first.map(|(_, to)| *to)
    };
    let least = around.iter().copied().min_by_key(|index| of_single(*index));
    let least = least.unwrap_or(sector * rose.parts);
    let by_single = of_single(least);
    let again: Stretches = all.into_iter().filter(|(from, _)| *from > 0).collect();
    let (strongest, held_back) = along(tried, middle, rose.reach(), |ray| {
        let mut order = rules.to_vec();
        let Some(by_single) = by_single else {
            return (None, None);
        };
        if ray.passes(&mut order, by_single) {
            return (Some(by_single), None);
        }
        // Downwards with growing strides until one passes, then up to the edge.
        let (mut bad, mut stride) = (by_single, 1);
        let good = loop {
            let Some(next) = bad.checked_sub(stride) else {
                break ray.passes(&mut order, 0).then_some(0).filter(|_| bad > 0);
            };
            if ray.passes(&mut order, next) {
                break Some(next);
            }
            (bad, stride) = (next, stride * 2);
        };
        match good {
            Some(good) => {
                let top = edge(good, bad, |tenths| ray.passes(&mut order, tenths));
                (Some(top), Some(ray.broken(rules, top + 1)))
            }
            None => (None, Some(ray.broken(rules, 0))),
        }
    });
    let (broken, broken_from) = match held_back {
        Some(broken) => (broken, middle),
        None => {
            let from = rose.direction(least);
            let next = strongest.map_or(0, |tenths| tenths + 1);
            let broken = if next > CAP {
                Vec::new()
            } else {
                broken_at(tried, rules, from, next)
            };
            (broken, from)
        }
    };
    OfBand {
        strongest,
        broken,
        broken_from,
        again,
    }
}

/// The strongest wind that passes from each of some directions, up to a cap, and every weaker one
/// of the grid with it; looked for no farther than is needed to know the least of them.
pub(super) fn least_of(
    tried: Tried<'_>,
    rules: &[&RuleInForce],
    directions: &[FromDirection],
    grid: u32,
) -> (Option<u32>, Option<FromDirection>) {
    let (mut least, mut where_least) = (CAP, None);
    for from in directions {
        let of_this = along(tried, *from, Angle::degrees(0.0), |ray| {
            let mut order = rules.to_vec();
            let mut good = None;
            let winds = (0..least).step_by(grid as usize).chain([least]);
            for tenths in winds {
                if !ray.passes(&mut order, tenths) {
                    let low = good?;
                    return Some(edge(low, tenths, |wind| ray.passes(&mut order, wind)));
                }
                good = Some(tenths);
            }
            good
        });
        match of_this {
            None => return (None, Some(*from)),
            Some(top) if top < least => (least, where_least) = (top, Some(*from)),
            Some(_) => {}
        }
    }
    (Some(least), where_least)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Brute force: every tenth up to the cap.
    fn by_hand(passes: impl Fn(u32) -> bool) -> Stretches {
        let mut found: Stretches = Vec::new();
        for tenths in (0..=CAP).filter(|tenths| passes(*tenths)) {
            match found.last_mut() {
                Some((_, to)) if *to + 1 == tenths => *to = tenths,
                _ => found.push((tenths, tenths)),
            }
        }
        found
    }

    #[test]
    fn stretches_are_those_of_every_tenth() {
        let cases: [&dyn Fn(u32) -> bool; 7] = [
            &|_| true,
            &|_| false,
            &|t| t <= 63,
            &|t| t <= 40 || (67..=123).contains(&t),
            &|t| t >= 31,
            &|t| !(52..=88).contains(&t),
            &|t| t == 0,
        ];
        for passes in cases {
            assert_eq!(stretches(10, passes), by_hand(passes));
            assert_eq!(stretches(5, passes), by_hand(passes));
        }
    }

    #[test]
    fn a_band_passes_where_all_of_it_does() {
        let one = vec![(0, 50), (80, 120)];
        let other = vec![(0, 30), (40, 90), (100, 250)];
        assert_eq!(
            common(&one, &other),
            [(0, 30), (40, 50), (80, 90), (100, 120)]
        );
        assert_eq!(common(&one, &Vec::new()), []);
    }
}
