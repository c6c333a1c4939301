//! A wind as an anemometer shows it.

use super::to_ten_metres;
use crate::units::{Length, Speed};

/// Height over the water at which an anemometer is held by hand (common practice, no source).
pub(crate) const BY_HAND: Length = Length::metres(2.0);
/// The finest that a wind is reported, m/s. Common practice, no source.
const TENTH: f64 = 0.1;

/// A mean wind with the gust that goes with it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Steady {
    /// Sustained.
    pub mean: Speed,
    /// Gust.
    pub gust: Speed,
}

/// A wind at one height as an anemometer at another height shows it, on the safe side: brought to 10 m as the
/// passage brings what is read there, and rounded down to a tenth. `None` where no profile reaches.
pub(crate) fn as_read(wind: Steady, height: Length, read_at: Length) -> Option<Steady> {
    let one = to_ten_metres(Speed::metres_per_second(1.0), read_at).ok()?;
    let read = |speed: Speed| {
        let tenths = to_ten_metres(speed, height).ok()? / one / TENTH;
        Some(Speed::metres_per_second((tenths + 1e-9).floor() / 10.0))
    };
    Some(Steady {
        mean: read(wind.mean)?,
        gust: read(wind.gust)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By U10 = U2 (10/2)^(1/7), equation II-2-9 of the Coastal Engineering Manual, EM 1110-2-1100:
    /// 4.9 m/s at 10 m are 3.89 m/s at 2 m, and 7.7 m/s are 6.12 m/s.
    #[test]
    fn a_limit_is_told_as_an_anemometer_by_hand_shows_it() {
        let at = Length::metres;
        let wind = Steady {
            mean: Speed::metres_per_second(4.9),
            gust: Speed::metres_per_second(7.7),
        };
        let read = as_read(wind, at(10.0), at(2.0)).expect("a wind");
        assert!((read.mean.get() - 3.8).abs() < 1e-9, "{}", read.mean);
        assert!((read.gust.get() - 6.1).abs() < 1e-9, "{}", read.gust);
        // At its own height it is what it is.
        assert_eq!(as_read(wind, at(10.0), at(10.0)), Some(wind));
        assert_eq!(as_read(wind, at(2.0), at(2.0)), Some(wind));
        assert_eq!(as_read(wind, at(10.0), at(0.5)), None);
    }
}
