//! Data of others brought into files of the repository: shorelines, soundings, forecasts, areas, places and trials.
//!
//! What a file leaves open is asked for, never guessed: its system of coordinates, the sign of its depths, the level
//! that they are below. What is changed on the way is reported with its position.

mod area;
mod crs;
mod direction;
mod drawn;
mod fault;
mod forecast;
mod geodata;
mod headed;
mod lines;
mod places;
mod shoreline;
mod soundings;
mod trial;
mod whereabouts;
mod zip;

use std::io::Cursor;

use jiff::Timestamp;

use crate::units::{Angle, Dimension, Length, Ratio};
pub(crate) use area::{Along, AreaOptions, KeepOut, WIDEST_BEAM, import_area};
pub(crate) use crs::Crs;
pub(crate) use drawn::LARGEST as LARGEST_DRAWING;
pub(crate) use fault::{Fault, Place};
pub(crate) use forecast::{
    ForecastOptions, LARGEST as LARGEST_FORECAST, Times, Wanted, import_forecast,
};
pub(crate) use places::{LARGEST as LARGEST_PLACES, import_places};
pub(crate) use shoreline::{OpenMark, ShorelineOptions, import_shoreline};
pub(crate) use soundings::{
    LARGEST as LARGEST_SOUNDINGS, Sign, SoundingColumns, SoundingsOptions, import_soundings,
    is_of_a_form,
};
pub(crate) use trial::{LARGEST as LARGEST_TRIAL, Ran, TrialOptions, import_trial};
pub(crate) use whereabouts::{Held, Whereabouts};

/// Brings bytes in by every importer, with options that leave nothing open, and counts those that took them: for bytes
/// that nobody vouches for.
#[must_use]
pub fn try_every_import(bytes: &[u8]) -> usize {
    let wind = |text: &str, dimension| Wanted::parse(text, dimension).ok();
    let hours = [Dimension::ANGLE, Dimension::SPEED, Dimension::SPEED];
    let hours: Vec<Wanted> = ["d in °", "m in m/s", "g in m/s"]
        .into_iter()
        .zip(hours)
        .filter_map(|(text, dimension)| wind(text, dimension))
        .collect();
    let shoreline = ShorelineOptions {
        crs: Some(Crs::Wgs84),
        tolerance: Some(Length::metres(1.0)),
        join: Length::metres(10.0),
        open: Vec::new(),
        keep: Vec::new(),
    };
    let soundings = SoundingsOptions {
        crs: Some(Crs::Wgs84),
        sign: Sign::PositiveDown,
        unit: Some(1.0),
        datum: "d".to_owned(),
        cell: Some(Length::metres(1.0)),
        no_data: None,
        columns: None,
        property: None,
    };
    let area = AreaOptions {
        crs: Some(Crs::Wgs84),
        id: "a".to_owned(),
        depth: Length::metres(3.0),
        beam: Angle::degrees(90.0),
        overlap: Ratio::fraction(0.1),
        along: Along::LongestSide,
        turn_room: Length::metres(5.0),
        clear_of_keep_outs: Length::ZERO,
        clear_of_land: None,
        launch_site: None,
    };
    let forecast = match (hours.as_slice(), Times::parse("t in seconds")) {
        ([from, mean, gust], Ok(time)) => import_forecast(
            bytes.to_vec(),
            "f",
            &ForecastOptions {
                time,
                from: from.clone(),
                mean: mean.clone(),
                gust: gust.clone(),
                source: "s".to_owned(),
                issued: Timestamp::UNIX_EPOCH,
                valid_until: Timestamp::MAX,
                height: Length::metres(10.0),
                spread: Angle::degrees(20.0),
                visibility: None,
            },
        )
        .is_ok(),
        _ => false,
    };
    let speeds = wind("v in m/s", Dimension::SPEED).zip(wind("p in W", Dimension::POWER));
    let trial = speeds.is_some_and(|(speed, power)| {
        let options = TrialOptions {
            setting: "s".to_owned(),
            ran: Ran::Speed(speed),
            power,
            date: jiff::civil::date(2027, 4, 24),
        };
        import_trial(bytes.to_vec(), "f", &options).is_ok()
    });
    let took = [
        trial,
        import_places(bytes.to_vec(), "f", &[("weir", Length::metres(50.0))]).is_ok(),
        import_shoreline(bytes.to_vec(), "f", &shoreline).is_ok(),
        import_soundings(Cursor::new(bytes), "f", &soundings).is_ok(),
        import_area(bytes.to_vec(), "f", &area, &[]).is_ok(),
        forecast,
    ];
    took.into_iter().filter(|took| *took).count()
}

#[cfg(test)]
mod tests;
