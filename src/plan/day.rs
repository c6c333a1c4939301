//! What a mission states of its day: the forecast, the visibility, when the battery was charged.

use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::calendar::zone_of_days;
use super::conditions::Forecast;
use super::time::date;
use crate::schema::{Fields, Stated};
use crate::units::Length;

/// What a mission states of its day.
#[derive(Clone, Debug)]
pub struct Day {
    /// The forecast, where the wind is one.
    pub forecast: Option<Forecast>,
    /// Visibility planned for, where stated.
    pub visibility: Option<Stated<Length>>,
    /// Day on which the battery was charged, where stated.
    pub charged: Option<Stated<Date>>,
}

/// Reads what a mission states of its day beside the forecast.
pub(super) fn parse(file: Fields<'_>, zone: Option<&TimeZone>, forecast: Option<Forecast>) -> Day {
    let charged = file.get("charged").and_then(|_| {
        zone_of_days(file, "charged", zone)?;
        date(file, "charged")
    });
    let visibility = file
        .map("conditions")
        .and_then(|conditions| conditions.quantity("visibility"));
    Day {
        forecast,
        visibility,
        charged,
    }
}
