//! Tracks: what a boat recorded of where it was, read from GPX 1.1 or CSV, cleaned, and laid along
//! the route that it was to follow.
//!
//! Nothing is repaired in silence: whatever is taken out or split is counted, and told.

mod along;
mod clean;
mod columns;
mod csv;
mod gpx;
mod plausible;
mod swapped;

pub use along::along;
pub(crate) use along::{NoMatch, OnRoute};
pub(crate) use clean::Counts;
pub use clean::{Cleaned, Cleaning, clean};
pub use columns::Columns;
pub(crate) use columns::Recorded;
pub use csv::read_csv;
pub use gpx::read_gpx;
pub(crate) use plausible::{Aside, Plausible, set_aside};

use jiff::Timestamp;

use crate::models::geodesy::Position;
use crate::source::Limit;
use crate::units::{Angle, Current, Length, PowerLevel, Ratio, Speed, Voltage};

/// The largest file that a track is read from: 256 MiB.
pub(crate) const LARGEST: Limit = Limit::from_bytes(256 << 20);
/// Most samples of a track: eleven days at one a second.
pub(crate) const MOST_SAMPLES: usize = 1_000_000;

/// What was recorded at one moment.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sample {
    /// When.
    pub time: Timestamp,
    /// Where.
    pub position: Position,
    /// Speed over ground, as it was recorded and not as positions give it.
    pub speed: Option<Speed>,
    /// Voltage of the pack.
    pub voltage: Option<Voltage>,
    /// Current out of the pack.
    pub current: Option<Current>,
    /// Depth as it was sounded.
    pub depth: Option<Length>,
    /// How good the link was.
    pub link: Option<LinkQuality>,
    /// The wind as it was read, over the ground or past the moving boat, as its columns say.
    pub wind: Option<WindSample>,
    /// Byte of the file at which its row or point begins; the first where it comes from no file.
    pub begins: u32,
}

impl Sample {
    /// A sample of nothing but a time and a place.
    #[must_use]
    pub fn at(time: Timestamp, position: Position) -> Self {
        Self {
            time,
            position,
            speed: None,
            voltage: None,
            current: None,
            depth: None,
            link: None,
            wind: None,
            begins: 0,
        }
    }
}

/// A wind as it was read.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WindSample {
    /// Where it came from.
    pub from: Angle,
    /// How fast it was.
    pub speed: Speed,
}

/// How good a link was, in the one way or the other.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum LinkQuality {
    /// Share of what was sent that came through.
    Share(Ratio),
    /// Power received.
    Received(PowerLevel),
}

/// What was recorded, in the order of the file.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Track {
    /// The samples.
    pub samples: Vec<Sample>,
    /// Rows or points that hold no time or no position, and are no samples.
    pub without_fix: usize,
    /// Whether the last row was cut off, as a recorder that loses its power leaves it, and is left out.
    pub cut_off: bool,
}

impl Track {
    /// What is said of a last row that was cut off; `None` where none was.
    #[must_use]
    pub fn told_cut_off(&self) -> Option<&'static str> {
        self.cut_off
            .then_some("1 × a last row that was cut off, left out")
    }

    /// Whether times run backwards from sample to sample: the file is back to front.
    #[must_use]
    pub fn is_back_to_front(&self) -> bool {
        let pairs = || self.samples.windows(2);
        let back = pairs().filter(|pair| pair[1].time < pair[0].time).count();
        let on = pairs().filter(|pair| pair[1].time > pair[0].time).count();
        back > on
    }
}

/// A position on the earth; `None` for anything else.
fn placed(latitude: f64, longitude: f64) -> Option<Position> {
    let fits = latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
    fits.then(|| Position::from_degrees(latitude, longitude))
}

/// Seconds from one moment to another.
fn seconds(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64()
}
