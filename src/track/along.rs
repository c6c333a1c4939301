//! A track laid along the route that it was to follow: for every sample the leg, how far along the
//! route, and how far off it.

use crate::models::plane::Point;
use crate::units::Length;

/// Longest stretch of the route that is looked at as one, m.
const CELL: f64 = 5.0;
/// Most stretches; those of a longer route are longer.
const MOST_CELLS: usize = 8000;
/// Most work: samples times stretches. Of a track that asks for more, every so many samples are laid along the
/// route first, and the others between them.
const MOST_WORK: usize = 400_000_000;
/// Of how many samples one is laid first at most: two seconds of a track of a day at 20 a second.
const MOST_BETWEEN: usize = 40;

/// Where a sample lies.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct OnRoute {
    /// Index of the leg.
    pub leg: usize,
    /// Distance along the route from its start; it never shrinks from sample to sample.
    pub along: Length,
    /// Distance off the leg, positive to its right.
    pub cross: Length,
}

/// A track along a route.
#[derive(Clone, PartialEq, Debug)]
pub struct Matched {
    /// One for each sample.
    pub samples: Vec<OnRoute>,
    /// For each leg the indices of the first and the last sample on it; `None` where there is none.
    pub legs: Vec<Option<(usize, usize)>>,
    /// How far the last sample lies from the end of the route.
    pub from_end: Length,
    /// For each sample how far along the route it lies as far as it and those before it tell; those
    /// after it may tell better.
    pub so_far: Vec<Length>,
}

/// Why a track cannot be laid along a route.
#[derive(Clone, Copy, PartialEq, Eq, Debug, thiserror::Error)]
pub enum NoMatch {
    /// There is no leg with a length, or no sample.
    #[error("there is no track to match to a route, or no route")]
    Nothing,
    /// There are too many samples.
    #[error("the track has too many samples for the length of the route; one in {every} is enough")]
    TooMuch {
        /// Of how many samples one can be taken.
        every: usize,
    },
    /// A position is no number.
    #[error("a position is no number")]
    NotFinite,
}

/// A stretch of the route, within one leg.
#[derive(Clone, Copy)]
struct Cell {
    leg: usize,
    from: Point,
    to: Point,
    /// Distance along the route where it begins.
    begins: f64,
}

/// Lays samples along a route of straight legs, all in one plane. Of all ways to go along the route
/// and never back, that one is taken whose squared distances from the samples are the least in sum;
/// so that legs that cross, or are sailed twice, are told apart by what comes before and after. A
/// boat that turns back along its route stands still in it.
///
/// The least sum is found by dynamic programming over stretches of 5 m, as time warping does
/// (Sakoe & Chiba 1978), here with places. Of a dense track it is the least for every so many samples, and
/// then for those between each two of them.
///
/// # Errors
/// [`NoMatch`].
pub fn along(legs: &[(Point, Point)], samples: &[Point]) -> Result<Matched, NoMatch> {
    along_within(legs, samples, MOST_WORK)
}

fn along_within(
    legs: &[(Point, Point)],
    samples: &[Point],
    most: usize,
) -> Result<Matched, NoMatch> {
    let all = legs.iter().flat_map(|(from, to)| [from, to]).chain(samples);
    if !all.into_iter().all(|point| point.is_finite()) {
        return Err(NoMatch::NotFinite);
    }
    let cells = cells(legs);
    let (Some(_), Some(last)) = (cells.first(), samples.last()) else {
        return Err(NoMatch::Nothing);
    };
    let every = cells.len().saturating_mul(samples.len()).div_ceil(most);
    if every > MOST_BETWEEN {
        let every = every.div_ceil(MOST_BETWEEN);
        return Err(NoMatch::TooMuch { every });
    }
    let mut placed = Vec::with_capacity(samples.len());
    let mut reached = 0.0_f64;
    let (best, latest) = match every {
        0 | 1 => best(&cells, samples),
        _ => best_between(&cells, samples, every),
    };
    let along = |sample: &Point, cell: &Cell| {
        let (share, _) = cell.off(*sample);
        Length::metres(cell.begins + share * cell.from.distance(cell.to))
    };
    let so_far = samples.iter().zip(latest);
    let so_far = so_far.map(|(sample, cell)| along(sample, &cells[cell]));
    let so_far: Vec<Length> = so_far.collect();
    for (sample, cell) in samples.iter().zip(best) {
        let cell = &cells[cell];
        let (_, cross) = cell.off(*sample);
        reached = reached.max(along(sample, cell).get());
        placed.push(OnRoute {
            leg: cell.leg,
            along: Length::metres(reached),
            cross: Length::metres(cross),
        });
    }
    let mut on_legs = vec![None; legs.len()];
    for (index, sample) in placed.iter().enumerate() {
        let leg: &mut Option<(usize, usize)> = &mut on_legs[sample.leg];
        *leg = Some((leg.map_or(index, |(first, _)| first), index));
    }
    let end = legs.last().map_or(*last, |(_, to)| *to);
    Ok(Matched {
        samples: placed,
        legs: on_legs,
        from_end: Length::metres(last.distance(end)),
        so_far,
    })
}

fn cells(legs: &[(Point, Point)]) -> Vec<Cell> {
    let whole: f64 = legs.iter().map(|(from, to)| from.distance(*to)).sum();
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    let size = CELL.max(whole / MOST_CELLS as f64);
    let mut cells = Vec::new();
    let mut begins = 0.0;
    for (leg, (from, to)) in legs.iter().enumerate() {
        let length = from.distance(*to);
        if length <= 0.0 {
            continue;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "positive, and bounded by the size of a cell"
        )]
        let count = (length / size).ceil().max(1.0) as usize;
        #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
        let share = |index: usize| index as f64 / count as f64;
        for index in 0..count {
            cells.push(Cell {
                leg,
                from: from.lerp(*to, share(index)),
                to: from.lerp(*to, share(index + 1)),
                begins: begins + length * share(index),
            });
        }
        begins += length;
    }
    cells
}

impl Cell {
    /// Share of the cell at the foot of a point, from 0 to 1, and the distance of the point off its
    /// line, positive to the right.
    fn off(&self, point: Point) -> (f64, f64) {
        let (along, to_point) = (self.to - self.from, point - self.from);
        let length = along.length();
        let share = (to_point.dot(along) / (length * length)).clamp(0.0, 1.0);
        (share, to_point.cross(along) / length)
    }

    /// Square of the distance of a point.
    fn squared(&self, point: Point) -> f64 {
        let (share, _) = self.off(point);
        let away = point - self.from.lerp(self.to, share);
        away.dot(away)
    }
}

/// The cell of each sample on the best way along the route, and on the best way that ends with it.
fn best(cells: &[Cell], samples: &[Point]) -> (Vec<usize>, Vec<usize>) {
    let count = cells.len();
    // The least sum of everything up to the sample before, with this sample in a cell up to the one
    // at hand; and for each sample and cell, whether the sample is better in this very cell.
    let mut least = vec![0.0_f64; count];
    let mut here: Vec<u64> = Vec::new();
    let words = count.div_ceil(64);
    let mut latest = Vec::with_capacity(samples.len());
    for sample in samples {
        let begin = here.len();
        here.resize(begin + words, 0);
        let mut sum = f64::INFINITY;
        for (index, cell) in cells.iter().enumerate() {
            let own = least[index] + cell.squared(*sample);
            // Of two that are as good, the earlier one.
            if own < sum {
                sum = own;
                here[begin + index / 64] |= 1 << (index % 64);
            }
            least[index] = sum;
        }
        // The first cell with the least sum is the one that it was better in.
        latest.push(least.iter().position(|one| *one <= sum).unwrap_or(0));
    }
    let mut at = count - 1;
    let mut found = vec![0; samples.len()];
    for (number, cell) in found.iter_mut().enumerate().rev() {
        let row = &here[number * words..(number + 1) * words];
        while at > 0 && row[at / 64] & (1 << (at % 64)) == 0 {
            at -= 1;
        }
        *cell = at;
    }
    (found, latest)
}

/// The same of a dense track: of every so many samples first, then of those between each two.
fn best_between(cells: &[Cell], samples: &[Point], every: usize) -> (Vec<usize>, Vec<usize>) {
    let last = samples.len() - 1;
    let mut first: Vec<usize> = (0..last).step_by(every).collect();
    first.push(last);
    let chosen: Vec<Point> = first.iter().map(|index| samples[*index]).collect();
    let (on, latest_on) = best(cells, &chosen);
    let mut found = Vec::with_capacity(samples.len());
    let mut latest = Vec::with_capacity(samples.len());
    for (number, begin) in first.iter().enumerate() {
        found.push(on[number]);
        latest.push(latest_on[number]);
        let (Some(end), Some(to), Some(late)) = (
            first.get(number + 1),
            on.get(number + 1),
            latest_on.get(number + 1),
        ) else {
            continue;
        };
        let between = &samples[begin + 1..*end];
        if between.is_empty() {
            continue;
        }
        let (own, _) = best(&cells[on[number]..=*to], between);
        found.extend(own.into_iter().map(|cell| on[number] + cell));
        // As far as those before it tell, it is where the last of them was, or the next.
        let (before, after) = (latest_on[number], *late);
        latest.extend(between.iter().map(|sample| {
            let nearer = cells[after].squared(*sample) < cells[before].squared(*sample);
            if nearer { after } else { before }
        }));
    }
    (found, latest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn legs(corners: &[(f64, f64)]) -> Vec<(Point, Point)> {
        let point = |(x, y): (f64, f64)| Point::new(x, y);
        corners
            .windows(2)
            .map(|pair| (point(pair[0]), point(pair[1])))
            .collect()
    }

    /// Samples every metre along legs, each moved by something.
    fn sailed(legs: &[(Point, Point)], moved: impl Fn(usize) -> Point) -> Vec<Point> {
        let mut samples = Vec::new();
        for (from, to) in legs {
            let length = from.distance(*to);
            let mut gone = 0.0;
            while gone < length {
                samples.push(from.lerp(*to, gone / length) + moved(samples.len()));
                gone += 1.0;
            }
        }
        samples
    }

    #[test]
    fn what_lies_to_the_right_of_a_leg_is_positive() {
        let route = legs(&[(0.0, 0.0), (0.0, 100.0)]);
        // Northwards, so that east is to the right.
        let found = along(&route, &[Point::new(3.0, 20.0), Point::new(-2.0, 60.0)]).unwrap();
        let numbers: Vec<(f64, f64)> = found
            .samples
            .iter()
            .map(|one| (one.along.get(), one.cross.get()))
            .collect();
        assert!((numbers[0].0 - 20.0).abs() < 1e-9 && (numbers[0].1 - 3.0).abs() < 1e-9);
        assert!((numbers[1].0 - 60.0).abs() < 1e-9 && (numbers[1].1 + 2.0).abs() < 1e-9);
        assert!((found.from_end.get() - 40.04996878900157).abs() < 1e-9);
    }

    /// Out and back on one line, then out again: places alone do not tell the legs apart.
    #[test]
    fn a_line_sailed_three_times_is_three_legs() {
        let route = legs(&[(0.0, 0.0), (200.0, 0.0), (0.0, 0.0), (200.0, 0.0)]);
        let samples = sailed(&route, |index| {
            Point::new(0.0, if index % 2 == 0 { 1.0 } else { -1.0 })
        });
        let found = along(&route, &samples).unwrap();
        for (index, one) in found.samples.iter().enumerate() {
            let due = index as f64;
            assert!((one.along.get() - due).abs() <= 6.0, "{index}: {one:?}");
            assert!((one.cross.get().abs() - 1.0).abs() < 1e-9);
        }
        let firsts: Vec<usize> = found.legs.iter().map(|leg| leg.unwrap().0).collect();
        for (first, due) in firsts.iter().zip([0_usize, 200, 400]) {
            assert!(first.abs_diff(due) <= 6, "{firsts:?}");
        }
    }

    /// A boat that turns back along its route: what comes after pulls the whole back, and what came
    /// before does not.
    #[test]
    fn how_far_it_was_so_far_is_told_without_what_comes_after() {
        let route = legs(&[(0.0, 0.0), (400.0, 0.0)]);
        let out: Vec<Point> = (0..=200).map(|x| Point::new(f64::from(x), 0.0)).collect();
        let back = out.iter().rev().copied();
        let samples: Vec<Point> = out.iter().copied().chain(back).collect();
        let found = along(&route, &samples).unwrap();
        assert!((found.so_far[200].get() - 200.0).abs() < 1e-9);
        assert!(found.samples[200].along.get() < 150.0);
    }

    /// A figure of eight: at the crossing the other leg is as near.
    #[test]
    fn where_legs_cross_the_track_stays_on_its_own() {
        let route = legs(&[(0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)]);
        let samples = sailed(&route, |_| Point::ZERO);
        let found = along(&route, &samples).unwrap();
        let mut last = 0.0;
        for (index, one) in found.samples.iter().enumerate() {
            assert!(one.along.get() >= last);
            last = one.along.get();
            let (from, to) = route[one.leg];
            let along = samples[index] - from;
            assert!(along.cross(to - from).abs() < 1e-6, "{index}: {one:?}");
        }
    }

    #[test]
    fn a_leg_that_was_left_out_has_no_samples() {
        let route = legs(&[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 300.0),
            (200.0, 300.0),
            (200.0, 0.0),
            (300.0, 0.0),
        ]);
        let taken = [
            route[0],
            (Point::new(100.0, 0.0), Point::new(200.0, 0.0)),
            route[4],
        ];
        let samples = sailed(&taken, |_| Point::ZERO);
        let found = along(&route, &samples).unwrap();
        assert!(found.legs[0].is_some() && found.legs[4].is_some());
        assert!(found.legs[2].is_none(), "{:?}", found.legs);
    }

    #[test]
    fn what_cannot_be_laid_along_is_refused() {
        let route = legs(&[(0.0, 0.0), (100.0, 0.0)]);
        let one = [Point::ZERO];
        assert_eq!(along(&route, &[]), Err(NoMatch::Nothing));
        assert_eq!(along(&[], &one), Err(NoMatch::Nothing));
        assert_eq!(
            along(&[(Point::ZERO, Point::ZERO)], &one),
            Err(NoMatch::Nothing)
        );
        assert_eq!(
            along(&route, &[Point::new(f64::NAN, 0.0)]),
            Err(NoMatch::NotFinite)
        );
        let long = legs(&[(0.0, 0.0), (1e6, 0.0)]);
        let samples = vec![Point::ZERO; 1000];
        let most = 8000 * 1000 / MOST_BETWEEN;
        assert!(along_within(&long, &samples, most).is_ok());
        assert_eq!(
            along_within(&long, &samples, most / 2),
            Err(NoMatch::TooMuch { every: 2 })
        );
    }

    /// Lines back and forth, sailed with some wander, ten samples a metre.
    #[test]
    fn of_a_dense_track_every_sample_lies_where_the_whole_has_it() {
        let mut corners = vec![(0.0, 0.0)];
        for line in 0..6 {
            let x = f64::from(line) * 8.0;
            let (near, far) = if line % 2 == 0 {
                (0.0, 90.0)
            } else {
                (90.0, 0.0)
            };
            corners.extend([(x, near), (x, far)]);
        }
        let route = legs(&corners[1..]);
        let mut samples = Vec::new();
        for (from, to) in &route {
            let steps = (from.distance(*to) * 10.0) as usize;
            for step in 0..steps {
                let share = step as f64 / steps as f64;
                let wander = 0.8 * (samples.len() as f64 / 37.0).sin();
                samples.push(from.lerp(*to, share) + Point::new(wander, 0.3 * wander));
            }
        }
        let whole = along(&route, &samples).unwrap();
        for share in [2, 7, 20] {
            let most = cells(&route).len() * samples.len() / share;
            let found = along_within(&route, &samples, most).unwrap();
            for (index, (one, other)) in found.samples.iter().zip(&whole.samples).enumerate() {
                let apart = (one.along.get() - other.along.get()).abs();
                assert!(apart < 2.0 * CELL, "{share} {index}: {one:?} {other:?}");
                let so_far = found.so_far[index].get() - whole.so_far[index].get();
                assert!(so_far.abs() < 2.0 * CELL, "{share} {index}: {so_far}");
            }
            let legs = found.legs.iter().zip(&whole.legs);
            for (one, other) in legs {
                let (one, other) = (one.unwrap(), other.unwrap());
                let apart = one.0.abs_diff(other.0).max(one.1.abs_diff(other.1));
                assert!(apart <= 2 * share.max(10), "{share}: {one:?} {other:?}");
            }
        }
    }
}
