//! Points in time: with their offset, or in the site's time zone.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;

use crate::schema::{Fields, Problem, Stated};

/// Reads a point in time; `None` where the field is not there or is malformed.
pub(super) fn moment(
    fields: Fields<'_>,
    key: &str,
    zone: Option<&TimeZone>,
) -> Option<Stated<Timestamp>> {
    let text = fields.text(key)?;
    match point_in_time(&text.value, zone) {
        Ok(time) => Some(text.map(|_| time)),
        Err(message) => {
            fields.problem(Problem::value(text.span(), format!("`{key}`: {message}")));
            None
        }
    }
}

/// A point in time as people write it: with its offset, or in a time zone.
///
/// # Errors
/// What is wrong, in a sentence.
pub fn point_in_time(text: &str, zone: Option<&TimeZone>) -> Result<Timestamp, String> {
    if text.len() > 40 {
        return Err("this is too long for a point in time".to_owned());
    }
    let refusal = || {
        format!(
            "`{text}` is not a point in time; write `2026-05-12T09:00` or with an offset, `2026-05-12T09:00+01:00`"
        )
    };
    // A zone in brackets would be dropped without a word.
    if text.contains('[') {
        return Err(refusal());
    }
    if let Ok(time) = text.parse::<Timestamp>() {
        return Ok(time);
    }
    // A date alone would silently mean midnight.
    if !text.contains(['T', 't', ' ']) {
        return Err(refusal());
    }
    let civil: DateTime = text.parse().map_err(|_| refusal())?;
    let Some(zone) = zone else {
        return Err(format!(
            "`{text}` has no offset and the site states no `time_zone`; write `{text}Z` for UTC, \
             `{text}+01:00`, or state the zone in the site's file"
        ));
    };
    // An hour that clocks skip or repeat is not guessed at.
    zone.to_ambiguous_timestamp(civil)
        .unambiguous()
        .map_err(|_| {
            format!(
                "`{text}` does not exist or exists twice in the site's time zone; give an offset"
            )
        })
}

/// Reads a day; `None` where the field is not there or is malformed.
pub(super) fn date(fields: Fields<'_>, key: &str) -> Option<Stated<Date>> {
    let text = fields.text(key)?;
    match whole_day(&text.value) {
        Some(date) => Some(text.map(|_| date)),
        None => {
            fields.problem(Problem::value(
                text.span(),
                format!("`{key}`: `{}` is not a day; write `2026-05-12`", text.value),
            ));
            None
        }
    }
}

/// A day and nothing more: of a point in time the hour would be dropped without a word.
#[must_use]
pub fn whole_day(text: &str) -> Option<Date> {
    (text.len() == "2026-05-12".len())
        .then(|| text.parse().ok())
        .flatten()
}
