//! The wind of a run: as it was given, or as it was recorded.

use crate::models::plane::Point;
use crate::track::{Track, WindSample};
use crate::units::{FromDirection, Length, Speed};

/// Share of the fixes of a stretch that have to carry what is taken the mean of.
pub(super) const ENOUGH: f64 = 0.8;

/// The wind that a run was in.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Wind {
    /// Where it came from.
    pub from: FromDirection,
    /// Its mean.
    pub mean: Speed,
    /// The height that it was read at.
    pub height: Length,
}

impl std::fmt::Display for Wind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let degrees = self.from.angle().to_degrees();
        write!(f, "{degrees:.0}° {} at {}", self.mean, self.height)
    }
}

/// What a wind in a track was recorded with.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Anemometer {
    /// Whether it stood on the moving boat: its directions are off the bow, its speeds past the boat.
    pub aboard: bool,
    /// Its height above the water.
    pub height: Length,
}

/// A wind over the ground, the mean of a stretch.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Blown {
    /// The movement of the air to the east and to the north, m/s.
    pub movement: (f64, f64),
    /// The same with every reading turned round, as where from and towards were confused.
    pub(super) turned: (f64, f64),
    /// The height that it is of.
    pub height: Length,
}

impl Anemometer {
    /// The mean wind of readings on a boat of this velocity; `None` where too few of them are there. The
    /// mean is that of the movement; the bow is taken to point where the boat goes.
    pub(super) fn blown(
        self,
        readings: impl ExactSizeIterator<Item = Option<WindSample>>,
        velocity: Point,
    ) -> Option<Blown> {
        let all = readings.len() as f64;
        let bow = if self.aboard {
            velocity.x.atan2(velocity.y)
        } else {
            0.0
        };
        let (mut east, mut north, mut count) = (0.0, 0.0, 0.0);
        for read in readings.flatten() {
            let from = bow + read.from.get();
            east -= read.speed.get() * from.sin();
            north -= read.speed.get() * from.cos();
            count += 1.0;
        }
        if count < ENOUGH * all || count <= 0.0 {
            return None;
        }
        let (east, north) = (east / count, north / count);
        let (x, y) = if self.aboard {
            (velocity.x, velocity.y)
        } else {
            (0.0, 0.0)
        };
        Some(Blown {
            movement: (east + x, north + y),
            turned: (x - east, y - north),
            height: self.height,
        })
    }
}

/// Whether a track has a wind.
#[must_use]
pub(crate) fn has_wind(track: &Track) -> bool {
    track.samples.iter().any(|sample| sample.wind.is_some())
}
