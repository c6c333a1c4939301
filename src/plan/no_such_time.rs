//! What of a written day or time is not on the calendar or the clock.

/// What is wrong with a text that has the form of a day, of a time of day, or of both, in a few words:
/// `April has 30 days`. `None` where it has another form, or all of it is there.
pub(super) fn reason(text: &str) -> Option<String> {
    let (day, clock) = match text.split_once(['T', 't', ' ']) {
        Some((day, clock)) => (Some(day), Some(clock)),
        None if text.contains(':') => (None, Some(text)),
        None => (Some(text), None),
    };
    day.and_then(no_such_day)
        .or_else(|| clock.and_then(no_such_clock))
}

fn digits(text: &str, many: usize) -> Option<u16> {
    let all = text.len() == many && text.bytes().all(|byte| byte.is_ascii_digit());
    all.then(|| text.parse().ok()).flatten()
}

/// Of `2027-04-31`, or of `04-31` in every year.
fn no_such_day(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.split('-').collect();
    let (year, month, day) = match parts.as_slice() {
        [year, month, day] => (Some(digits(year, 4)?), digits(month, 2)?, digits(day, 2)?),
        [month, day] => (None, digits(month, 2)?, digits(day, 2)?),
        _ => return None,
    };
    let leap = |year: u16| {
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
    };
    let (name, most) = match month {
        1 => ("January", 31),
        2 => ("February", if year.is_none_or(leap) { 29 } else { 28 }),
        3 => ("March", 31),
        4 => ("April", 30),
        5 => ("May", 31),
        6 => ("June", 30),
        7 => ("July", 31),
        8 => ("August", 31),
        9 => ("September", 30),
        10 => ("October", 31),
        11 => ("November", 30),
        12 => ("December", 31),
        _ => {
            return Some(format!(
                "there is no month {month:02}; the year comes first, then the month, then the day"
            ));
        }
    };
    if (1..=most).contains(&day) {
        return None;
    }
    Some(match (year, month) {
        (Some(year), 2) => format!("February {year} has {most} days"),
        (None, 2) => format!("February has {most} days at most"),
        _ => format!("{name} has {most} days"),
    })
}

/// Of `24:30`, with seconds and an offset or without.
fn no_such_clock(text: &str) -> Option<String> {
    let bare = text.split(['+', '-', 'Z', 'z', '\u{2212}']).next()?;
    let mut parts = bare.split(':');
    let hours = digits(parts.next()?, 2)?;
    let minutes = digits(parts.next()?, 2)?;
    let seconds = parts
        .next()
        .map(|text| text.split('.').next().unwrap_or(text));
    if minutes > 59 {
        return Some(format!("an hour has minutes 00 to 59, not {minutes}"));
    }
    if hours == 24 {
        return Some(format!(
            "the last hour of a day is 23; for 24:{minutes:02} write 00:{minutes:02} of the next day"
        ));
    }
    if hours > 23 {
        return Some(format!("a day has hours 00 to 23, not {hours}"));
    }
    let seconds = digits(seconds?, 2)?;
    (seconds > 59).then(|| format!("a minute has seconds 00 to 59, not {seconds}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Months and leap years: ISO 8601, which keeps the Gregorian calendar.
    #[test]
    fn a_day_that_is_not_there_is_told_by_its_month() {
        let told = |text| reason(text).unwrap_or_default();
        assert_eq!(told("2027-04-31"), "April has 30 days");
        assert_eq!(told("2027-04-31T09:00+01:00"), "April has 30 days");
        assert_eq!(told("2027-02-29"), "February 2027 has 28 days");
        assert_eq!(told("2100-02-29"), "February 2100 has 28 days");
        assert_eq!(told("2028-02-29"), "");
        assert_eq!(told("2000-02-29"), "");
        assert_eq!(told("02-30"), "February has 29 days at most");
        assert_eq!(told("2027-06-00"), "June has 30 days");
        assert!(told("2027-31-04").starts_with("there is no month 31"));
        assert_eq!(told("soon"), "");
    }

    #[test]
    fn an_hour_that_is_not_there_is_told() {
        let told = |text| reason(text).unwrap_or_default();
        assert!(told("2027-07-06T24:30").ends_with("write 00:30 of the next day"));
        assert!(told("25:00").starts_with("a day has hours 00 to 23"));
        assert!(told("2027-07-06T09:61").starts_with("an hour has minutes"));
        assert!(told("2027-07-06T09:30:61Z").starts_with("a minute has seconds"));
        assert_eq!(told("2027-07-06T23:59:59-02:00"), "");
    }
}
