//! Data of others brought into files of the repository: shorelines, soundings, forecasts and areas.
//!
//! What a file leaves open is asked for, never guessed: its system of coordinates, the sign of its depths, the level
//! that they are below. What is changed on the way is told with its position.

mod area;
mod crs;
mod drawn;
mod fault;
mod forecast;
mod lines;
mod shoreline;
mod soundings;
mod zip;

pub(crate) use area::{Along, AreaOptions, KeepOut, import_area};
pub(crate) use crs::Crs;
pub(crate) use drawn::LARGEST as LARGEST_DRAWING;
pub(crate) use fault::Fault;
pub(crate) use forecast::{
    ForecastOptions, LARGEST as LARGEST_FORECAST, Times, Wanted, import_forecast,
};
pub(crate) use shoreline::{OpenMark, ShorelineOptions, import_shoreline};
pub(crate) use soundings::{
    LARGEST as LARGEST_SOUNDINGS, Sign, SoundingColumns, SoundingsOptions, import_soundings,
};

/// Degrees in digits: nine after the point, a tenth of a millimetre, without needless zeros.
fn degrees(value: f64) -> String {
    let text = format!("{value:.9}");
    let kept = text.trim_end_matches('0');
    let point = kept.find('.').map_or(kept.len(), |at| at + 7);
    let text = text
        .get(..kept.len().max(point).min(text.len()))
        .unwrap_or(&text);
    match text.strip_prefix('-') {
        // No minus before nothing.
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text.to_owned(),
    }
}
