//! What a file of a forecast states of its own numbers: units beside the values, and how its times are written.

use jiff::Timestamp;
use jiff::tz::Offset;

use super::{Cell, ForecastOptions, Row, Times, Wanted};
use crate::import::fault::{Fault, Place, excerpt};
use crate::units::parse_any;

/// Other spellings of units in such files, each with the one that plans have (common practice, no source).
const USUAL: &[(&str, &str)] = &[
    ("degree", "°"),
    ("degrees", "°"),
    ("kmh", "km/h"),
    ("kt", "kn"),
    ("kts", "kn"),
    ("knots", "kn"),
    ("m s-1", "m/s"),
    ("metres", "m"),
    ("meters", "m"),
];

/// A unit as a file states it.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct StatedUnit {
    pub text: String,
    pub place: Place,
    /// Whether it is of this value for certain, and not perhaps of another beside it.
    pub certain: bool,
}

/// What a file states of the values that are wanted.
#[derive(Debug, Default)]
pub(super) struct Stated {
    /// The unit of each, in the order in which they are wanted: first the times.
    pub units: Vec<Option<StatedUnit>>,
    /// How far its times are ahead of UTC, s.
    pub ahead: Option<(f64, Place)>,
}

/// The spelling of a unit that plans have.
pub(super) fn usual(text: &str) -> &str {
    let text = text.trim();
    let mut all = USUAL.iter();
    all.find(|(also, _)| *also == text)
        .map_or(text, |(_, usual)| usual)
}

/// The unit in brackets at the end of a heading, `wind (km/h)`; what is in brackets and no unit is none.
pub(super) fn in_heading(heading: &str, place: Place) -> Option<StatedUnit> {
    let (before, closes) = match heading.trim().strip_suffix(')') {
        Some(before) => (before, '('),
        None => (heading.trim().strip_suffix(']')?, '['),
    };
    let (_, text) = before.rsplit_once(closes)?;
    parse_any(&format!("1 {}", usual(text)))?;
    Some(StatedUnit {
        text: text.trim().to_owned(),
        place,
        certain: true,
    })
}

/// The options with what the file states in them, each unit held against it; which units are from the file, in words.
///
/// # Errors
/// What disagrees with it, or is stated by neither.
pub(super) fn settled(
    options: &ForecastOptions,
    stated: &Stated,
    rows: &[Row],
) -> Result<(ForecastOptions, Vec<String>), Fault> {
    let mut notes = Vec::new();
    let unit = |index: usize| stated.units.get(index).and_then(Option::as_ref);
    let mut with = |wanted: &Wanted, index: usize| {
        let (settled, from_file) = wanted.settled(unit(index))?;
        if from_file {
            notes.push(format!(
                "`{}` is in {}, as the file states",
                excerpt(&settled.place),
                excerpt(settled.symbol())
            ));
        }
        Ok(settled)
    };
    let (from, mean) = (with(&options.from, 1)?, with(&options.mean, 2)?);
    let gust = with(&options.gust, 3)?;
    let visibility = options.visibility.as_ref();
    let visibility = visibility.map(|wanted| with(wanted, 4)).transpose()?;
    let times = times(options, (unit(0), stated.ahead), rows)?;
    let settled = ForecastOptions {
        time: (options.time.0.clone(), times),
        from,
        mean,
        gust,
        visibility,
        ..options.clone()
    };
    Ok((settled, notes))
}

/// How times are written by what a file says of them.
fn written(unit: &StatedUnit) -> Option<Times> {
    match unit.text.trim() {
        "iso8601" | "ISO 8601" => Some(Times::Written(None)),
        "unixtime" | "seconds" | "s" => Some(Times::Seconds),
        "milliseconds" | "ms" => Some(Times::Milliseconds),
        _ => None,
    }
}

/// How times are written, by the option and by the file.
fn times(
    options: &ForecastOptions,
    (unit, ahead): (Option<&StatedUnit>, Option<(f64, Place)>),
    rows: &[Row],
) -> Result<Times, Fault> {
    let (path, told) = (excerpt(&options.time.0), options.time.1);
    let read = unit.and_then(|unit| Some((written(unit)?, unit)));
    let offset = |seconds: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "within a day, which is looked at"
        )]
        let whole = (seconds.abs() <= 86_400.0).then_some(seconds as i32);
        whole.and_then(|whole| Offset::from_seconds(whole).ok())
    };
    let off = |place: Place, what: &str| {
        Err(Fault::at(
            place,
            format!(
                "the file states {what}, and the option another form of `{path}`; find out which holds"
            ),
        ))
    };
    // Of times with offsets of their own, that of the file says nothing.
    let bare = rows
        .first()
        .and_then(|row| row.first())
        .is_some_and(|(cell, _)| match cell {
            Cell::Text(text) => text.trim().parse::<Timestamp>().is_err(),
            Cell::Number(_) => false,
        });
    match (told, read) {
        (Times::Stated, Some((Times::Written(_), _))) => match ahead {
            None => Ok(Times::Written(None)),
            Some((seconds, place)) => offset(seconds).map_or_else(
                || Err(Fault::at(place, "this is no offset from UTC in seconds")),
                |offset| Ok(Times::Written(Some(offset))),
            ),
        },
        (Times::Stated, Some((times, _))) => Ok(times),
        (Times::Stated, None) => Err(Fault::whole(format!(
            "the file does not state how its times are written; add it to the option, such as `{path} in UTC`"
        ))),
        (Times::Seconds, Some((Times::Milliseconds, unit))) => off(unit.place, "milliseconds"),
        (Times::Milliseconds, Some((Times::Seconds, unit))) => off(unit.place, "seconds"),
        (Times::Written(Some(told)), _) if bare => match ahead {
            Some((seconds, place)) if (seconds - f64::from(told.seconds())).abs() >= 1.0 => {
                off(place, &format!("times that are {seconds} s ahead of UTC"))
            }
            _ => Ok(Times::Written(Some(told))),
        },
        (told, _) => Ok(told),
    }
}
