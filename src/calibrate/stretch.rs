//! A track cut into steady stretches; what is no steady stretch is left out, and told.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::air::Blown;
use super::piece::{Bounds, Piece, Taking};
use crate::models::constants::Water;
use crate::models::plane::Point;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::track::Cleaned;
use crate::units::{Charge, Current, Power, Speed, Time, Voltage};

/// Least length of a stretch, s.
pub(crate) const LENGTH: f64 = 60.0;
/// By so much is the next attempt later where a stretch is not steady, s.
const STEP: f64 = 10.0;
/// Stretches are of one leg while course and speed are within so much of the one before, and no more
/// than so many seconds lie between.
const LEG_COURSE: f64 = 20.0;
const LEG_SPEED: f64 = 0.2;
const LEG_BREAK: f64 = 60.0;
/// A minute, or as long as a slow track needs, in which the boat kept its course and its speed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stretch {
    /// Number of the run.
    pub run: usize,
    /// Number of the leg; no two runs share one.
    pub leg: usize,
    /// Number of the piece without a gap; no two runs share one.
    pub piece: usize,
    /// When it begins.
    pub from: Timestamp,
    /// Where its middle is.
    pub at: Point,
    /// Speed over ground, which is the one through the water where no current runs.
    pub speed: Speed,
    /// Unit vector of the course.
    pub heading: (f64, f64),
    /// Mean electrical power out of the pack.
    pub power: Power,
    /// Mean voltage of the pack.
    pub voltage: Voltage,
    /// Mean current out of the pack.
    pub current: Current,
    /// Charge drawn from the beginning of the piece to the middle of the stretch; `None` where the
    /// piece has too few currents to count it.
    pub drawn: Option<Charge>,
    /// The wind as it was recorded over it; `None` where the track has none.
    pub wind: Option<Blown>,
}

/// Why some time of a run is in no stretch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Left {
    /// The course changed.
    Turning,
    /// The speed changed.
    Speed,
    /// Too few fixes to tell.
    Sparse,
    /// Voltage or current lacks.
    NoPower,
    /// The wind lacks, in a track that has it elsewhere.
    NoWind,
    /// No power was drawn, or it ran into the pack.
    NotDrawing,
    /// Slower than the boat steers.
    Slow,
    /// Faster than what the vessel's calm-water figures hold for.
    Fast,
    /// In an area for which the site states a current.
    InCurrent,
    /// Not on the site's water.
    Ashore,
    /// What is left over at the end of a piece.
    Rest,
}

impl Left {
    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Turning => "the course changed",
            Self::Speed => "the speed changed",
            Self::Sparse => "too few fixes",
            Self::NoPower => "no voltage or no current recorded",
            Self::NoWind => "no wind recorded",
            Self::NotDrawing => "no power drawn from the pack",
            Self::Slow => "below minimum steerageway",
            Self::Fast => "faster than the vessel's figures for calm water hold",
            Self::InCurrent => "in a current that the site states",
            Self::Ashore => "not on the site's water",
            Self::Rest => "left over at the end of a piece",
        }
    }
}

/// What a run was cut into.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Cut {
    /// The stretches, in the order of the track.
    pub stretches: Vec<Stretch>,
    /// Time left out, by why.
    pub left: BTreeMap<Left, Time>,
}

/// Numbers that go on from run to run.
#[derive(Clone, Copy, Default, Debug)]
pub(crate) struct Numbers {
    /// Legs so far.
    pub legs: usize,
    /// Pieces so far.
    pub pieces: usize,
}

/// Cuts a cleaned track, at its own rate. Nothing is left out for the power that it took, lest the fit choose its own
/// residuals.
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

/// The water of a site.
#[must_use]
pub(super) fn water(site: &Site) -> Water {
    site.water.value
}

impl Cut {
    fn leave(&mut self, why: Left, time: f64) {
        *self.left.entry(why).or_default() += Time::seconds(time);
    }
}

fn of_one_leg(before: &Stretch, after: &Stretch) -> bool {
    let turned = degrees_between(before.heading, after.heading);
    let ratio = after.speed / before.speed;
    turned <= LEG_COURSE && (ratio - 1.0).abs() <= LEG_SPEED
}

/// The angle between two unit vectors, 0 to 180.
pub(super) fn degrees_between(one: (f64, f64), other: (f64, f64)) -> f64 {
    let (dot, cross) = (
        one.0 * other.0 + one.1 * other.1,
        one.0 * other.1 - one.1 * other.0,
    );
    cross.abs().atan2(dot).to_degrees()
}
