//! The sun: when it rises and sets.
//!
//! Moments are Unix seconds (UTC); nothing here knows what time it is.

use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, SolarEvents, SolarPositions};

use super::OutsideValidity;
use super::geodesy::Position;

const MODEL: &str = "the sun's position";

/// Terrestrial time less universal time, s, about 2026 (from memory). It has stayed within 10 s of
/// this since 2000, which moves sunrise by far less than a second.
const DELTA_T: f64 = 69.2;

/// Unix time zero as a Julian date. Arithmetic: 1 January 1970, 0 h.
const UNIX_EPOCH: f64 = 2_440_587.5;
/// Seconds of a day, by definition.
const SECONDS_A_DAY: f64 = 86_400.0;
/// The same, in whole seconds, by definition.
const DAY: i64 = 86_400;

/// The years for which moments are answered, 1970 to 2099. Our own choice; arithmetic from the calendar.
const MOMENTS: std::ops::RangeInclusive<i64> = 0..=4_102_444_799;

/// What the sun's height is held against: its upper edge on a level horizon, refraction allowed for, which
/// is its middle at −0.833°.
const HORIZON: Horizon = Horizon::SunriseSunset;

/// The light of one day, from midnight to midnight by the sun.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Daylight {
    /// The sun stays below the horizon: polar night.
    Never,
    /// The sun stays above the horizon: polar day.
    Always,
    /// The sun is up for a part of the day.
    Between {
        /// When it rises, in Unix seconds; `None` where it was up at midnight before.
        rise: Option<i64>,
        /// When it sets, in Unix seconds; `None` where it is up at midnight after.
        set: Option<i64>,
    },
}

/// The light of the day whose noon by the sun is the first from a moment on.
///
/// Given the midnight with which a UTC day begins, it is the day whose noon falls in that UTC day.
/// East of Greenwich the sun may then rise, and west of it set, on the UTC day before or after.
/// Times are whole seconds on the side of less light.
///
/// Source: Reda & Andreas (2003), Solar position algorithm for solar radiation applications,
/// NREL/TP-560-34302, by the crate solar-positioning.
///
/// # Errors
/// A position that is not on earth, or a moment outside the years 1970 to 2099.
pub(crate) fn daylight(position: Position, from: i64) -> Result<Daylight, OutsideValidity> {
    let location = location(position);
    check_moment(from)?;
    check_moment(from.saturating_add(2 * DAY))?;
    let events = SolarEvents::new();
    let start = julian(from);
    // A day by the sun is up to half a minute longer than a day by the clock. The search leaves out
    // its very start.
    let noon = events
        .next_transit_from_julian(start - 1e-6, start + 1.001, location.longitude, DELTA_T)
        .map_err(refuse)?
        .ok_or_else(|| OutsideValidity::new(MODEL, "the day has no noon".to_owned()))?;
    let rise = events
        .next_rise_from_julian(noon - 0.5, noon, location, DELTA_T, HORIZON)
        .map_err(refuse)?;
    let set = events
        .next_set_from_julian(noon, noon + 0.5, location, DELTA_T, HORIZON)
        .map_err(refuse)?;
    if rise.is_none() && set.is_none() {
        let up = elevation(noon, location)? > HORIZON.elevation_angle();
        return Ok(if up {
            Daylight::Always
        } else {
            Daylight::Never
        });
    }
    Ok(Daylight::Between {
        rise: rise.map(|jd| unix(jd).ceil() as i64),
        set: set.map(|jd| unix(jd).floor() as i64),
    })
}

/// The first moment in a span of time, its ends included, at which the sun is not above the
/// horizon; `None` where it is up throughout.
///
/// Source: as [`daylight`].
///
/// # Errors
/// As [`daylight`], and a span that ends before it begins.
pub(crate) fn first_dark(
    position: Position,
    from: i64,
    to: i64,
) -> Result<Option<i64>, OutsideValidity> {
    let location = location(position);
    check_moment(from)?;
    check_moment(to)?;
    if to < from {
        return Err(OutsideValidity::new(
            MODEL,
            format!(
                "a span of time does not end {} s before it begins",
                from - to
            ),
        ));
    }
    if elevation(julian(from), location)? <= HORIZON.elevation_angle() {
        return Ok(Some(from));
    }
    if from == to {
        return Ok(None);
    }
    let set = SolarEvents::new()
        .next_set_from_julian(julian(from), julian(to), location, DELTA_T, HORIZON)
        .map_err(refuse)?;
    Ok(set.map(|jd| unix(jd).floor().max(from as f64) as i64))
}

fn location(position: Position) -> Location {
    Location {
        latitude: position.latitude.to_degrees(),
        longitude: position.longitude.to_degrees(),
    }
}

fn julian(unix: i64) -> f64 {
    UNIX_EPOCH + unix as f64 / SECONDS_A_DAY
}

fn unix(julian: f64) -> f64 {
    (julian - UNIX_EPOCH) * SECONDS_A_DAY
}

fn check_moment(moment: i64) -> Result<(), OutsideValidity> {
    if MOMENTS.contains(&moment) {
        Ok(())
    } else {
        Err(OutsideValidity::new(
            MODEL,
            format!("it is answered for the years 1970 to 2099, not {moment} s after 1970 began"),
        ))
    }
}

fn refuse(error: solar_positioning::Error) -> OutsideValidity {
    OutsideValidity::new(MODEL, error.to_string())
}

/// How high the middle of the sun stands over the level, without refraction, degrees.
fn elevation(julian: f64, location: Location) -> Result<f64, OutsideValidity> {
    let time = JulianDate::new(julian, DELTA_T).map_err(refuse)?;
    let sun = SolarPositions::new().at_from_julian(time, location, 0.0, None);
    Ok(sun.map_err(refuse)?.elevation_angle())
}

#[cfg(test)]
mod tests;
