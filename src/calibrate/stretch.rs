//! A track cut into steady stretches; what is no steady stretch is left out, and told.

use std::collections::BTreeMap;

use jiff::Timestamp;

use crate::models::constants::Water;
use crate::models::geometry::point_in_polygon;
use crate::models::plane::Point;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::track::{Cleaned, Sample};
use crate::units::{Charge, Current, Power, Speed, Time, Voltage};

/// Length of a stretch, s.
pub const LENGTH: f64 = 60.0;
/// Before and after a stretch the boat goes as in it for so long, so that none of a turn, or of
/// what it took to gather way, is in its mean, s.
const MARGIN: f64 = 5.0;
/// By so much is the next attempt later where a stretch is not steady, s.
const STEP: f64 = 10.0;
/// A stretch is looked at in so many parts, each of which goes as the whole does.
const PARTS: usize = 3;
/// Fewest fixes of a part.
const FEWEST: usize = 4;
/// A part's speed is within this share of the whole's, or within so many m/s, whichever is more.
const SPEED_SHARE: f64 = 0.1;
const SPEED_ROOM: f64 = 0.1;
/// A part's course is within so many degrees of the whole's.
const COURSE_ROOM: f64 = 10.0;
/// Stretches are of one leg while course and speed are within so much of the one before, and no more
/// than so many seconds lie between.
const LEG_COURSE: f64 = 20.0;
const LEG_SPEED: f64 = 0.2;
const LEG_BREAK: f64 = 60.0;
/// Share of the fixes that have to carry voltage and current.
const ENOUGH: f64 = 0.8;

/// A minute in which the boat kept its course and its speed.
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
    pub fn words(self) -> &'static str {
        match self {
            Self::Turning => "the course changed",
            Self::Speed => "the speed changed",
            Self::Sparse => "too few fixes",
            Self::NoPower => "no voltage or no current recorded",
            Self::NotDrawing => "no power drawn from the pack",
            Self::Slow => "slower than the boat steers",
            Self::Fast => "faster than the vessel's figures for calm water hold",
            Self::InCurrent => "in a current that the site states",
            Self::Ashore => "not on the site's water",
            Self::Rest => "left over at the end of a piece",
        }
    }
}

/// What a run was cut into.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Cut {
    /// The stretches, in the order of the track.
    pub stretches: Vec<Stretch>,
    /// Time left out, by why.
    pub left: BTreeMap<Left, Time>,
}

/// Numbers that go on from run to run.
#[derive(Clone, Copy, Default, Debug)]
pub struct Numbers {
    /// Legs so far.
    pub legs: usize,
    /// Pieces so far.
    pub pieces: usize,
}

/// Cuts a cleaned track. Nothing is left out for the power that it took, lest the fit choose its own
/// residuals.
#[must_use]
pub fn cut(
    cleaned: &Cleaned,
    run: usize,
    (vessel, site): (&Vessel, &Site),
    numbers: &mut Numbers,
) -> Cut {
    let mut cut = Cut::default();
    let bounds = Bounds {
        slowest: vessel.propulsion.steerage_speed.value,
        fastest: vessel.calm_water(water(site)).top_speed(),
        site,
    };
    for samples in &cleaned.pieces {
        let piece = Piece::of(samples, site);
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
                        piece.times[window.from] - ended <= LEG_BREAK
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
pub fn water(site: &Site) -> Water {
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
fn degrees_between(one: (f64, f64), other: (f64, f64)) -> f64 {
    let (dot, cross) = (
        one.0 * other.0 + one.1 * other.1,
        one.0 * other.1 - one.1 * other.0,
    );
    cross.abs().atan2(dot).to_degrees()
}

struct Bounds<'a> {
    slowest: Speed,
    fastest: Speed,
    site: &'a Site,
}

/// Samples of a stretch with what lies around it.
struct Window {
    begin: usize,
    from: usize,
    to: usize,
    end: usize,
    /// Where the next one begins, whose stretch goes on from this.
    next: usize,
}

/// A piece of a track in the plane of the site.
struct Piece<'a> {
    samples: &'a [Sample],
    /// Seconds from its beginning.
    times: Vec<f64>,
    points: Vec<Point>,
    /// Charge drawn up to each sample, in coulombs; none where too many currents lack.
    drawn: Option<Vec<f64>>,
}

impl<'a> Piece<'a> {
    fn of(samples: &'a [Sample], site: &Site) -> Self {
        let start = samples.first().map(|sample| sample.time);
        let since = |sample: &Sample| {
            start.map_or(0.0, |start| sample.time.duration_since(start).as_secs_f64())
        };
        let times: Vec<f64> = samples.iter().map(since).collect();
        let points = samples.iter().map(|one| site.plane.to_plane(one.position));
        Self {
            points: points.collect(),
            drawn: drawn(samples, &times),
            samples,
            times,
        }
    }

    /// The first sample that is so many seconds later or more.
    fn after(&self, begin: usize, seconds: f64) -> Option<usize> {
        let due = self.times[begin] + seconds;
        let over = self.times.partition_point(|time| *time < due);
        (over < self.times.len()).then_some(over)
    }

    fn since(&self, from: usize, to: usize) -> f64 {
        self.times[to] - self.times[from]
    }

    /// The velocity over some samples: the slope of the positions over the time by least squares,
    /// which a position that is off moves less than it moves the mean of both ends.
    fn velocity(&self, from: usize, to: usize) -> Option<Point> {
        let (times, points) = (&self.times[from..=to], &self.points[from..=to]);
        if times.len() < FEWEST {
            return None;
        }
        let count = times.len() as f64;
        let mean_time = times.iter().sum::<f64>() / count;
        let mut middle = Point::ZERO;
        for point in points {
            middle = middle + point.scale(1.0 / count);
        }
        let (mut spread, mut along) = (0.0, Point::ZERO);
        for (time, point) in times.iter().zip(points) {
            spread += (time - mean_time).powi(2);
            along = along + (*point - middle).scale(time - mean_time);
        }
        (spread > 0.0).then(|| along.scale(1.0 / spread))
    }

    /// The window that begins at a sample.
    fn window(&self, begin: usize) -> Option<Window> {
        Some(Window {
            begin,
            from: self.after(begin, MARGIN)?,
            to: self.after(begin, MARGIN + LENGTH)?,
            end: self.after(begin, LENGTH + 2.0 * MARGIN)?,
            next: self.after(begin, LENGTH)?,
        })
    }

    fn stretch(&self, window: &Window, bounds: &Bounds<'_>) -> Result<Stretch, Left> {
        let (from, to) = (window.from, window.to);
        let whole = self.velocity(from, to).ok_or(Left::Sparse)?;
        let speed = whole.length();
        let heading = whole.unit().ok_or(Left::Slow)?.components();
        let room = (SPEED_SHARE * speed).max(SPEED_ROOM);
        let length = self.since(window.begin, window.end);
        let mut begin = window.begin;
        for part in 1..=PARTS {
            let end = match part {
                PARTS => window.end,
                _ => self
                    .after(window.begin, length * part as f64 / PARTS as f64)
                    .map_or(window.end, |end| end.min(window.end)),
            };
            let own = self.velocity(begin, end).ok_or(Left::Sparse)?;
            if (own.length() - speed).abs() > room {
                return Err(Left::Speed);
            }
            let course = own.unit().ok_or(Left::Slow)?.components();
            if degrees_between(course, heading) > COURSE_ROOM {
                return Err(Left::Turning);
            }
            begin = end;
        }
        let speed = Speed::metres_per_second(speed);
        if speed < bounds.slowest {
            return Err(Left::Slow);
        }
        if speed > bounds.fastest {
            return Err(Left::Fast);
        }
        for index in [from, usize::midpoint(from, to), to] {
            let point = self.points[index];
            if !bounds.site.shore.is_water(point) {
                return Err(Left::Ashore);
            }
            let mut currents = bounds.site.currents.iter();
            if currents.any(|current| point_in_polygon(point, &current.outline)) {
                return Err(Left::InCurrent);
            }
        }
        let (power, voltage, current) = self.electrical(from, to).ok_or(Left::NoPower)?;
        if power <= Power::ZERO || current <= Current::ZERO {
            return Err(Left::NotDrawing);
        }
        let middle = usize::midpoint(from, to);
        Ok(Stretch {
            run: 0,
            leg: 0,
            piece: 0,
            from: self.samples[from].time,
            at: self.points[middle],
            speed,
            heading,
            power,
            voltage,
            current,
            drawn: self
                .drawn
                .as_ref()
                .map(|drawn| Charge::coulombs(0.5 * (drawn[from] + drawn[to]))),
        })
    }

    /// Means over the time of power, voltage and current; `None` where too few are recorded.
    fn electrical(&self, from: usize, to: usize) -> Option<(Power, Voltage, Current)> {
        let samples = &self.samples[from..=to];
        let (mut power, mut voltage, mut current, mut count) = (0.0, 0.0, 0.0, 0.0);
        for sample in samples {
            if let (Some(volts), Some(amperes)) = (sample.voltage, sample.current) {
                power += volts.get() * amperes.get();
                voltage += volts.get();
                current += amperes.get();
                count += 1.0;
            }
        }
        let enough = count >= ENOUGH * samples.len() as f64 && count > 0.0;
        let sound = power.is_finite() && voltage > 0.0;
        (enough && sound).then(|| {
            (
                Power::watts(power / count),
                Voltage::volts(voltage / count),
                Current::amperes(current / count),
            )
        })
    }
}

/// The charge drawn up to each sample, by the trapezium rule; a current that lacks is bridged from
/// its neighbours, where no more than a twentieth of them does.
fn drawn(samples: &[Sample], times: &[f64]) -> Option<Vec<f64>> {
    let known = samples.iter().filter(|one| one.current.is_some()).count();
    if (known as f64) < 0.95 * samples.len() as f64 {
        return None;
    }
    let mut drawn = vec![0.0; samples.len()];
    let mut sum = 0.0;
    let mut before: Option<(usize, f64)> = None;
    for (index, sample) in samples.iter().enumerate() {
        if let Some(current) = sample.current {
            let current = current.get();
            if let Some((from, last)) = before {
                let whole = 0.5 * (last + current) * (times[index] - times[from]);
                for between in from + 1..index {
                    let share = (times[between] - times[from]) / (times[index] - times[from]);
                    drawn[between] = sum + whole * share;
                }
                sum += whole;
            }
            before = Some((index, current));
        }
        drawn[index] = sum;
    }
    Some(drawn)
}
