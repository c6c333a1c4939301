//! Days and hours in the time of a site: seasons, permissions, and how moments are shown.

use jiff::civil::{Date, DateTime, Time as Clock};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp, ToSpan as _};

use super::no_such_time;
use super::offset::offset_shown;
use super::time::{date, whole_day};
use crate::schema::{Fields, Problem, Stated};

/// Days that a span of time is followed at most; a longer one meets every season.
const MOST_DAYS: i64 = 400;

/// A day, in every year or in one.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Day {
    /// Month and day.
    EveryYear(i8, i8),
    /// One date.
    Once(Date),
}

/// Days on which an area is closed, and the hours of them; both ends of the days are included.
#[derive(Clone, Debug)]
pub struct Closure {
    /// First and last day; every day where none is stated.
    days: Option<(Day, Day)>,
    /// From and to; the whole day where none is stated. Over midnight where the end comes first.
    hours: Option<(Clock, Clock)>,
}

impl Closure {
    fn on(&self, date: Date) -> bool {
        match self.days {
            None => true,
            Some((Day::Once(from), Day::Once(to))) => (from..=to).contains(&date),
            Some((Day::EveryYear(m1, d1), Day::EveryYear(m2, d2))) => {
                let (from, to, day) = ((m1, d1), (m2, d2), (date.month(), date.day()));
                if from <= to {
                    (from..=to).contains(&day)
                } else {
                    // A season that runs over the turn of the year.
                    day >= from || day <= to
                }
            }
            // The two forms are not mixed; reading refuses it.
            Some(_) => true,
        }
    }

    /// Whether it holds at some moment from `start` to `end`, both included.
    #[must_use]
    pub fn meets(&self, start: Timestamp, end: Timestamp, zone: &TimeZone) -> bool {
        self.meets_or_unknown(start, end, zone).unwrap_or(true)
    }

    /// `None` where the calendar ends, or the span is too long to be followed.
    fn meets_or_unknown(&self, start: Timestamp, end: Timestamp, zone: &TimeZone) -> Option<bool> {
        // Hours over midnight begin on the day before.
        let mut day = zone.to_datetime(start).date().yesterday().ok()?;
        let last = zone.to_datetime(end).date();
        let moment = |at: DateTime| zone.to_timestamp(at).ok();
        for _ in 0..MOST_DAYS {
            if day > last {
                return Some(false);
            }
            let next = day.tomorrow().ok()?;
            if self.on(day) {
                let midnight = |day: Date| day.to_datetime(Clock::midnight());
                let (from, to) = match self.hours {
                    None => (midnight(day), midnight(next)),
                    Some((from, to)) if from < to => (day.to_datetime(from), day.to_datetime(to)),
                    Some((from, to)) => (day.to_datetime(from), next.to_datetime(to)),
                };
                if moment(from)? <= end && start < moment(to)? {
                    return Some(true);
                }
            }
            day = next;
        }
        None
    }
}

/// Something that the water may be used by, for a time.
#[derive(Clone, Debug)]
pub struct Permission {
    /// Its id.
    pub id: Stated<String>,
    /// What people call it; default: the id.
    pub title: String,
    /// When its first day begins, in the site's time.
    pub from: Stated<Timestamp>,
    /// When its last day ends, in the site's time.
    pub until: Stated<Timestamp>,
    /// Where it can be read, where stated.
    pub evidence: Option<Stated<String>>,
}

/// A moment in the time of a site, with its offset: `2027-06-15 09:30 (UTC−02:00)`.
#[must_use]
pub(crate) fn shown(moment: Timestamp, zone: Option<&TimeZone>) -> String {
    let civil = civil(moment, zone);
    format!("{} {} ({})", civil.day, civil.clock, civil.offset)
}

/// Moments as [`shown`] gives them, with seconds where two of them that differ would read alike.
#[must_use]
pub(crate) fn shown_apart<const N: usize>(
    moments: [Timestamp; N],
    zone: Option<&TimeZone>,
) -> [String; N] {
    let alike = moments.iter().enumerate().any(|(index, one)| {
        let mut others = moments[..index].iter();
        others.any(|other| other != one && shown(*other, zone) == shown(*one, zone))
    });
    moments.map(|moment| {
        if !alike {
            return shown(moment, zone);
        }
        let civil = civil(moment, zone);
        // Offsets of the zones in use are whole minutes, so that seconds read alike in each.
        let seconds = moment.as_second().rem_euclid(60);
        format!(
            "{} {}:{seconds:02} ({})",
            civil.day, civil.clock, civil.offset
        )
    })
}

/// A moment in the time of a site, in its parts.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Civil {
    /// The day, `2027-06-15`.
    pub day: String,
    /// The time of day, `09:30`.
    pub clock: String,
    /// The offset that they are of, `UTC−02:00`.
    pub offset: String,
}

/// The parts of a moment in the time of a site.
#[must_use]
pub(crate) fn civil(moment: Timestamp, zone: Option<&TimeZone>) -> Civil {
    let utc = TimeZone::UTC;
    let zone = zone.unwrap_or(&utc);
    let at = zone.to_datetime(moment);
    Civil {
        day: at.date().to_string(),
        clock: format!("{:02}:{:02}", at.hour(), at.minute()),
        offset: offset_shown(zone.to_offset(moment).seconds()),
    }
}

/// The zone that days are of; its lack is a problem, since a day begins at another moment in each.
pub(super) fn zone_of_days<'z>(
    fields: Fields<'_>,
    key: &str,
    zone: Option<&'z TimeZone>,
) -> Option<&'z TimeZone> {
    if zone.is_none() {
        let span = fields
            .node()
            .entry(key)
            .map_or(fields.span(), |entry| entry.key_span);
        fields.problem(
            Problem::value(
                span,
                format!("`{key}` has days and hours, but the site states no `time_zone` for them"),
            )
            .help("state `time_zone` in the site's file"),
        );
    }
    zone
}

/// A day of every year or of one.
fn day(fields: Fields<'_>, key: &str) -> Option<Day> {
    let text = fields.required_text(key)?;
    let parsed = match text.value.len() {
        // Any leap year will do.
        5 => whole_day(&format!("2028-{}", text.value))
            .map(|date| Day::EveryYear(date.month(), date.day())),
        _ => whole_day(&text.value).map(Day::Once),
    };
    if parsed.is_none() {
        let why = match no_such_time::reason(&text.value) {
            Some(reason) => format!(": {reason}"),
            None => "; write `03-15` for every year, `2026-05-12` for one".to_owned(),
        };
        let message = format!("`{key}`: `{}` is not a day{why}", text.value);
        fields.problem(Problem::value(text.span(), message));
    }
    parsed
}

/// An hour of the day.
fn clock(fields: Fields<'_>, key: &str) -> Option<Clock> {
    let text = fields.required_text(key)?;
    // A point in time with its date would be read as its hour.
    let hour = (text.value.len() == 5).then(|| text.value.parse::<Clock>().ok());
    let hour = hour.flatten();
    if hour.is_none() {
        let why = match no_such_time::reason(&text.value) {
            Some(reason) => format!(": {reason}"),
            None => "; write `08:00`".to_owned(),
        };
        let message = format!("`{key}`: `{}` is not an hour of the day{why}", text.value);
        fields.problem(Problem::value(text.span(), message));
    }
    hour
}

/// When an area is closed; `None` where one of the items is malformed. Nothing stated is an empty
/// list.
pub(super) fn closures(area: Fields<'_>, zone: Option<&TimeZone>) -> Option<Vec<Closure>> {
    if area.get("closed").is_none() {
        return Some(Vec::new());
    }
    zone_of_days(area, "closed", zone)?;
    let read: Vec<Option<Closure>> = area.maps("closed").map(closure).collect();
    read.into_iter().collect()
}

fn closure(fields: Fields<'_>) -> Option<Closure> {
    let days = if fields.get("from").is_some() || fields.get("to").is_some() {
        let (from, to) = (day(fields, "from"), day(fields, "to"));
        let (from, to) = (from?, to?);
        let wrong = match (from, to) {
            (Day::Once(from), Day::Once(to)) => {
                (to < from).then_some("the last day is before the first")
            }
            (Day::EveryYear(..), Day::EveryYear(..)) => None,
            _ => Some("one of the two days has a year and the other has none"),
        };
        if let Some(text) = wrong {
            let span = fields.get("to")?.span;
            let from = fields.get("from")?.span;
            fields.problem(Problem::value(span, text).with(from, "the first day"));
            return None;
        }
        Some((from, to))
    } else {
        None
    };
    let hours = match fields.map("hours") {
        None => None,
        Some(hours) => {
            let (from, to) = (clock(hours, "from"), clock(hours, "to"));
            let (from, to) = (from?, to?);
            if from == to {
                let text = "the hours end when they begin; leave them out for the whole day";
                hours.problem(Problem::value(hours.get("to")?.span, text));
                return None;
            }
            Some((from, to))
        }
    };
    Some(Closure { days, hours })
}

/// The permissions of a site; `None` where one of them is malformed.
pub(super) fn permissions(site: Fields<'_>, zone: Option<&TimeZone>) -> Option<Vec<Permission>> {
    if site.get("permissions").is_none() {
        return Some(Vec::new());
    }
    let zone = zone_of_days(site, "permissions", zone)?;
    let read: Vec<Option<Permission>> = site
        .maps("permissions")
        .map(|fields| permission(fields, zone))
        .collect();
    read.into_iter().collect()
}

fn permission(fields: Fields<'_>, zone: &TimeZone) -> Option<Permission> {
    let id = fields.required_text("id");
    let (from, until) = (date(fields, "from"), date(fields, "until"));
    let (id, from, until) = (id?, from?, until?);
    if until.value < from.value {
        fields.problem(
            Problem::value(until.span(), "the last day is before the first")
                .with(from.span(), "the first day"),
        );
        return None;
    }
    let begins = |day: &Stated<Date>, plus: i32| {
        let moment = day
            .value
            .checked_add(plus.days())
            .and_then(|day| zone.to_timestamp(day.to_datetime(Clock::midnight())));
        match moment {
            Ok(moment) => Some(Stated::written(moment, day.span())),
            Err(_) => {
                let text = "this day lies outside the calendar";
                fields.problem(Problem::value(day.span(), text));
                None
            }
        }
    };
    let title = fields
        .text("title")
        .map_or_else(|| id.value.clone(), |title| title.value);
    Some(Permission {
        evidence: fields.text("evidence"),
        id,
        title,
        from: begins(&from, 0)?,
        until: begins(&until, 1)?,
    })
}

/// A duration after a moment; the calendar's end where it would lie past it.
#[must_use]
pub(crate) fn later(moment: Timestamp, seconds: f64) -> Timestamp {
    moment
        .checked_add(SignedDuration::from_secs_f64(seconds))
        .unwrap_or(Timestamp::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Timestamp {
        text.parse().expect("a point in time")
    }

    fn season(from: (i8, i8), to: (i8, i8)) -> Closure {
        Closure {
            days: Some((Day::EveryYear(from.0, from.1), Day::EveryYear(to.0, to.1))),
            hours: None,
        }
    }

    #[test]
    fn a_season_takes_in_its_last_day_in_the_sites_own_time() {
        let zone = TimeZone::get("Etc/GMT+2").expect("a zone");
        let nesting = season((3, 15), (7, 31));
        let within = |from, to| nesting.meets(at(from), at(to), &zone);
        assert!(within("2027-07-31T23:00Z", "2027-07-31T23:30Z"));
        // Local midnight is at 02:00 UTC.
        assert!(within("2027-08-01T01:59Z", "2027-08-01T03:00Z"));
        assert!(!within("2027-08-01T02:00Z", "2027-08-01T03:00Z"));
        assert!(!within("2027-03-15T00:00Z", "2027-03-15T01:59:59Z"));
        assert!(within("2027-03-15T00:00Z", "2027-03-15T02:00Z"));
    }

    #[test]
    fn a_season_may_run_over_the_turn_of_the_year() {
        let winter = season((11, 1), (2, 29));
        let on = |day: &str| {
            let noon = at(&format!("{day}T12:00Z"));
            winter.meets(noon, noon, &TimeZone::UTC)
        };
        assert!(on("2027-12-31") && on("2028-01-01") && on("2028-02-29") && on("2027-11-01"));
        assert!(!on("2028-03-01") && !on("2027-10-31"));
    }

    #[test]
    fn hours_hold_up_to_their_end_and_over_midnight() {
        let hours = |from: &str, to: &str| Closure {
            days: None,
            hours: Some((from.parse().expect("an hour"), to.parse().expect("an hour"))),
        };
        let meets = |closure: &Closure, from, to| closure.meets(at(from), at(to), &TimeZone::UTC);
        let race = hours("14:00", "16:00");
        assert!(!meets(&race, "2027-06-15T12:00Z", "2027-06-15T13:59Z"));
        assert!(meets(&race, "2027-06-15T12:00Z", "2027-06-15T14:00Z"));
        assert!(!meets(&race, "2027-06-15T16:00Z", "2027-06-15T17:00Z"));
        let night = hours("22:00", "05:00");
        assert!(meets(&night, "2027-06-15T04:00Z", "2027-06-15T04:30Z"));
        assert!(!meets(&night, "2027-06-15T05:00Z", "2027-06-15T21:59Z"));
        // A span that nobody can follow meets whatever there is.
        assert!(meets(
            &season((1, 1), (1, 1)),
            "2027-06-15T05:00Z",
            "2037-06-15T05:00Z"
        ));
    }

    #[test]
    fn moments_are_shown_with_the_offset_of_the_day() {
        let zone = TimeZone::get("Europe/London").expect("a zone");
        assert_eq!(
            shown(at("2027-06-15T09:30Z"), Some(&zone)),
            "2027-06-15 10:30 (UTC+01:00)"
        );
        assert_eq!(
            shown(at("2027-12-15T09:30Z"), Some(&zone)),
            "2027-12-15 09:30 (UTC)"
        );
        assert_eq!(
            shown(at("2027-12-15T09:30Z"), None),
            "2027-12-15 09:30 (UTC)"
        );
    }
}
