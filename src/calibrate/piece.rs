//! A piece of a track, and the steady stretches in it.

use super::stretch::{LENGTH, Left, Stretch, degrees_between};
use super::wind::{Anemometer, ENOUGH};
use crate::models::geometry::point_in_polygon;
use crate::models::plane::Point;
use crate::plan::site::Site;
use crate::track::{Cleaned, Sample};
use crate::units::{Charge, Current, Power, Speed, Voltage};

/// Before and after a stretch the boat goes as in it for so long, so that none of a turn, or of
/// what it took to gather way, is in its mean, s.
const MARGIN: f64 = 5.0;
/// A stretch is looked at in so many parts, each of which goes as the whole does.
const PARTS: usize = 3;
/// Fewest fixes of a part.
const FEWEST: usize = 3;
/// A part's speed is within this share of the whole's, or within so many m/s, whichever is more.
const SPEED_SHARE: f64 = 0.1;
const SPEED_ROOM: f64 = 0.1;
/// A part's course is within so many degrees of the whole's.
const COURSE_ROOM: f64 = 10.0;

/// How stretches are taken out of a track.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Taking {
    /// Middle interval between two fixes, s.
    pub every: f64,
    /// Length of a stretch, s: a minute, or longer where each of its parts would have too few fixes.
    pub length: f64,
    /// How long before and after it the boat goes as in it, s.
    margin: f64,
    /// What the wind was recorded with.
    anemometer: Option<Anemometer>,
}

impl Taking {
    /// At the rate that a track has.
    #[must_use]
    pub(crate) fn at_rate_of(cleaned: &Cleaned, anemometer: Option<Anemometer>) -> Self {
        let pairs = cleaned.pieces.iter().flat_map(|piece| piece.windows(2));
        let mut steps: Vec<f64> = pairs
            .map(|pair| pair[1].time.duration_since(pair[0].time).as_secs_f64())
            .collect();
        steps.sort_by(f64::total_cmp);
        let every = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
        Self {
            every,
            length: LENGTH.max((PARTS * (FEWEST - 1)) as f64 * every),
            margin: MARGIN.max(every),
            anemometer,
        }
    }
}

/// What bounds a stretch.
pub(super) struct Bounds<'a> {
    pub slowest: Speed,
    pub fastest: Speed,
    pub site: &'a Site,
}

/// Samples of a stretch with what lies around it.
pub(super) struct Window {
    begin: usize,
    pub from: usize,
    pub to: usize,
    end: usize,
    /// Where the next one begins, whose stretch goes on from this.
    pub next: usize,
}

/// A piece of a track in the plane of the site.
pub(super) struct Piece<'a> {
    samples: &'a [Sample],
    /// Seconds from its beginning.
    pub times: Vec<f64>,
    points: Vec<Point>,
    /// Charge drawn up to each sample, in coulombs; none where too many currents lack.
    drawn: Option<Vec<f64>>,
    taking: Taking,
}

impl<'a> Piece<'a> {
    /// A piece, with what is to be taken out of it.
    pub(super) fn from_samples(samples: &'a [Sample], site: &Site, taking: Taking) -> Self {
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
            taking,
        }
    }

    /// The first sample that is so many seconds later or more.
    pub(super) fn after(&self, begin: usize, seconds: f64) -> Option<usize> {
        let due = self.times[begin] + seconds;
        let over = self.times.partition_point(|time| *time < due);
        (over < self.times.len()).then_some(over)
    }

    /// Seconds from one sample to another.
    pub(super) fn since(&self, from: usize, to: usize) -> f64 {
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
    pub(super) fn window(&self, begin: usize) -> Option<Window> {
        let Taking { length, margin, .. } = self.taking;
        Some(Window {
            begin,
            from: self.after(begin, margin)?,
            to: self.after(begin, margin + length)?,
            end: self.after(begin, length + 2.0 * margin)?,
            next: self.after(begin, length)?,
        })
    }

    /// The stretch of a window, or why it is none.
    pub(super) fn stretch(&self, window: &Window, bounds: &Bounds<'_>) -> Result<Stretch, Left> {
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
        let wind = match self.taking.anemometer {
            None => None,
            Some(of) => {
                let recorded = self.samples[from..=to].iter().map(|sample| sample.wind);
                Some(of.blown(recorded, whole).ok_or(Left::NoWind)?)
            }
        };
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
            wind,
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
