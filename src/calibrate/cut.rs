//! A track cut into steady stretches; the rest is left out, with why.

use std::collections::BTreeMap;

use super::piece::{Bounds, Piece, Taking};
use super::stretch::{Left, Stretch, degrees_between, water};
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::track::Cleaned;
use crate::units::Time;

/// By so much is the next attempt later where a stretch is not steady, s.
const STEP: f64 = 10.0;
/// Stretches are of one leg while course and speed are within so much of the one before, and no more
/// than so many seconds lie between.
const LEG_COURSE: f64 = 20.0;
const LEG_SPEED: f64 = 0.2;
const LEG_BREAK: f64 = 60.0;

/// What a run was cut into.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Cut {
    /// The stretches, in the order of the track.
    pub stretches: Vec<Stretch>,
    /// Time left out, by why.
    pub left: BTreeMap<Left, Time>,
}

impl Cut {
    fn leave(&mut self, why: Left, time: f64) {
        *self.left.entry(why).or_default() += Time::seconds(time);
    }
}

/// Numbers that go on from run to run.
#[derive(Clone, Copy, Default, Debug)]
pub(crate) struct Numbers {
    /// Legs so far.
    pub legs: usize,
    /// Pieces so far.
    pub pieces: usize,
}

/// Cuts a cleaned track, at its own rate. Nothing is left out for the power that it took, lest the fit
/// choose its own residuals.
#[must_use]
pub(crate) fn cut(
    cleaned: &Cleaned,
    (run, taking): (usize, Taking),
    (vessel, site): (&Vessel, &Site),
    numbers: &mut Numbers,
) -> Cut {
    let mut cut = Cut::default();
    let bounds = Bounds {
        slowest: vessel.propulsion.minimum_steerageway.value,
        fastest: vessel.calm_water(water(site)).top_speed(),
        site,
    };
    for samples in &cleaned.pieces {
        let piece = Piece::from_samples(samples, site, taking);
        let mut last: Option<(Stretch, f64)> = None;
        let (mut begin, end) = (0, samples.len());
        while begin < end {
            let Some(window) = piece.window(begin) else {
                cut.leave(Left::Rest, piece.since(begin, end - 1));
                break;
            };
            match piece.stretch(&window, &bounds) {
                Ok(mut stretch) => {
                    let goes_on = last.is_some_and(|(before, ended)| {
                        piece.times[window.from] - ended <= LEG_BREAK.max(2.0 * taking.every)
                            && of_one_leg(&before, &stretch)
                    });
                    if !goes_on {
                        numbers.legs += 1;
                    }
                    (stretch.run, stretch.leg, stretch.piece) = (run, numbers.legs, numbers.pieces);
                    last = Some((stretch, piece.times[window.to]));
                    cut.stretches.push(stretch);
                    begin = window.next;
                }
                Err(why) => {
                    let next = piece.after(begin, STEP).unwrap_or(end - 1);
                    cut.leave(why, piece.since(begin, next));
                    begin = next;
                }
            }
        }
        numbers.pieces += 1;
    }
    cut
}

fn of_one_leg(before: &Stretch, after: &Stretch) -> bool {
    let turned = degrees_between(before.heading, after.heading);
    let ratio = after.speed / before.speed;
    turned <= LEG_COURSE && (ratio - 1.0).abs() <= LEG_SPEED
}
