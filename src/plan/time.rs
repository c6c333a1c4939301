//! Points in time: with their offset, or in the site's time zone.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::{Offset, TimeZone};

use super::no_such_time;
use super::offset::offset_shown;
use crate::schema::{Fields, Problem, Stated};

/// Reads a point in time; `None` where the field is not there or is malformed.
pub(super) fn moment(
    fields: Fields<'_>,
    key: &str,
    zone: Option<&TimeZone>,
) -> Option<Stated<Timestamp>> {
    let text = fields.text(key)?;
    match point_in_time(&text.value, zone) {
        Ok(time) => {
            if let Some(zone) = zone {
                same_clock(fields, key, &text, time, zone)?;
            }
            Some(text.map(|_| time))
        }
        Err(message) => {
            fields.problem(Problem::value(text.span(), format!("`{key}`: {message}")));
            None
        }
    }
}

/// A point in time as a file may write it: with the offset, else in the site's time, else in UTC.
#[must_use]
pub(crate) fn moment_as_written(
    at: Timestamp,
    offset: Option<Offset>,
    zone: Option<&TimeZone>,
) -> String {
    let form = if at.as_second().rem_euclid(60) == 0 {
        "%Y-%m-%dT%H:%M"
    } else {
        "%Y-%m-%dT%H:%M:%S"
    };
    match (offset, zone) {
        (Some(offset), _) => {
            let local = offset.to_datetime(at).strftime(form).to_string();
            let seconds = offset.seconds();
            let sign = if seconds < 0 { '-' } else { '+' };
            let minutes = seconds.abs() / 60;
            format!("{local}{sign}{:02}:{:02}", minutes / 60, minutes % 60)
        }
        (None, Some(zone)) => zone.to_datetime(at).strftime(form).to_string(),
        (None, None) => format!("{}Z", Offset::UTC.to_datetime(at).strftime(form)),
    }
}

/// Refuses a time that is written by another clock than the site's: one of the two is a slip, and
/// they are hours apart. UTC, written with a `Z`, is nobody's clock.
fn same_clock(
    fields: Fields<'_>,
    key: &str,
    text: &Stated<String>,
    time: Timestamp,
    zone: &TimeZone,
) -> Option<()> {
    let ours = zone.to_offset(time);
    let Some(other) = written_offset(&text.value, time).filter(|offset| *offset != ours) else {
        return Some(());
    };
    // A `Z` and an offset are told apart by now, so that what is written without them can be shown.
    let written = text.value.rfind(['+', '-', '\u{2212}']);
    let clock = written.map_or(text.value.as_str(), |end| &text.value[..end]);
    let at_the_site = zone.to_datetime(time);
    let at_the_site = match time.as_second().rem_euclid(60) {
        0 => at_the_site.strftime("%Y-%m-%dT%H:%M").to_string(),
        _ => at_the_site.strftime("%Y-%m-%dT%H:%M:%S").to_string(),
    };
    fields.problem(
        Problem::value(
            text.span(),
            format!(
                "`{key}` is written for {}, but the site's clocks then keep {}",
                offset_shown(other.seconds()),
                offset_shown(ours.seconds())
            ),
        )
        .labelled("another clock than the site's")
        .help(format!(
            "write `{at_the_site}`, the same moment by the site's clock; if {} is what that clock shows, \
             write `{clock}`",
            clock.get(11..).unwrap_or(clock)
        )),
    );
    None
}

/// The offset that a point in time is written with; `None` where it is in UTC, with a `Z`, or has
/// none.
pub(super) fn written_offset(text: &str, time: Timestamp) -> Option<Offset> {
    // A `Z` is refused here, and an offset passed over.
    let civil: DateTime = text.parse().ok()?;
    text.parse::<Timestamp>().ok()?;
    let as_utc = TimeZone::UTC.to_timestamp(civil).ok()?;
    let seconds = as_utc.as_second() - time.as_second();
    Offset::from_seconds(i32::try_from(seconds).ok()?).ok()
}

/// A point in time as people write it: with its offset, or in a time zone.
///
/// # Errors
/// What is wrong, in a sentence.
pub(crate) fn point_in_time(text: &str, zone: Option<&TimeZone>) -> Result<Timestamp, String> {
    if text.len() > 40 {
        return Err("this is too long for a point in time".to_owned());
    }
    let refusal = || match no_such_time::reason(text) {
        Some(reason) => format!("`{text}` is not a point in time: {reason}"),
        None if whole_day(text).is_some() => {
            format!("`{text}` is a day without its hour; write `{text}T09:00`")
        }
        None => format!(
            "`{text}` is not a point in time; write `2026-05-12T09:00` or with an offset, `2026-05-12T09:00+01:00`"
        ),
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
            let why = match no_such_time::reason(&text.value) {
                Some(reason) => format!(": {reason}"),
                None => "; write `2026-05-12`".to_owned(),
            };
            fields.problem(Problem::value(
                text.span(),
                format!("`{key}`: `{}` is not a day{why}", text.value),
            ));
            None
        }
    }
}

/// A day and nothing more: of a point in time the hour would be dropped without a word.
#[must_use]
pub(crate) fn whole_day(text: &str) -> Option<Date> {
    (text.len() == "2026-05-12".len())
        .then(|| text.parse().ok())
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_offset_that_a_time_is_written_with_is_told_from_utc_and_from_none() {
        let offset = |text: &str| {
            let time = point_in_time(text, Some(&TimeZone::UTC)).expect("a point in time");
            written_offset(text, time).map(|offset| offset.seconds())
        };
        assert_eq!(offset("2027-06-15T09:30-02:00"), Some(-7200));
        assert_eq!(offset("2027-06-15T09:30:15+05:30"), Some(19_800));
        assert_eq!(offset("2027-06-15T23:30+00:00"), Some(0));
        assert_eq!(offset("2027-06-15T09:30Z"), None);
        assert_eq!(offset("2027-06-15T09:30z"), None);
        assert_eq!(offset("2027-06-15T09:30"), None);
    }
}
