//! Latitudes and longitudes as charts and receivers show them: `52°23.764′N`, `24°18′37.8″W`, `52.396067°N`.
//!
//! The canonical spelling is that of ISO 6709 for people (2008, Annex D): degrees without leading zeros,
//! minutes and seconds with two whole digits, primes, and the letter behind with no blank. Digits are never
//! added after the point nor taken away, and one form is never turned into another.

/// Longest text that is looked at; two positions of a chart are a fraction of it.
const LONGEST: usize = 120;

/// One of the two numbers of a position.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Axis {
    /// North or south of the equator.
    Latitude,
    /// East or west of Greenwich.
    Longitude,
}

impl Axis {
    /// What it is called.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
        }
    }

    /// How far it goes, degrees.
    pub(crate) const fn most(self) -> f64 {
        match self {
            Self::Latitude => 90.0,
            Self::Longitude => 180.0,
        }
    }

    /// Its letters, the positive one first.
    const fn letters(self) -> (char, char) {
        match self {
            Self::Latitude => ('N', 'S'),
            Self::Longitude => ('E', 'W'),
        }
    }

    fn of_letter(letter: char) -> Option<(Self, f64)> {
        match letter {
            'N' => Some((Self::Latitude, 1.0)),
            'S' => Some((Self::Latitude, -1.0)),
            'E' => Some((Self::Longitude, 1.0)),
            'W' => Some((Self::Longitude, -1.0)),
            _ => None,
        }
    }
}

/// A latitude or a longitude that was read.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Ordinate {
    /// Which of them, by its letter.
    pub axis: Axis,
    /// Degrees, positive north and east.
    pub degrees: f64,
    /// Its canonical spelling.
    pub spelled: String,
}

/// A position that was read.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct LatLon {
    /// Degrees, positive north.
    pub latitude: f64,
    /// Degrees, positive east.
    pub longitude: f64,
    /// Its canonical spelling.
    pub spelled: String,
}

/// Reads a latitude or a longitude with its letter.
///
/// # Errors
/// In a sentence, what is wrong and what to write.
pub(crate) fn ordinate(text: &str) -> Result<Ordinate, String> {
    let text = bounded(text)?;
    let (one, rest) = take(text, text)?;
    match rest.trim() {
        "" => Ok(one),
        rest => Err(format!(
            "`{text}` goes on with `{rest}` after its {}",
            one.axis.name()
        )),
    }
}

/// Reads the latitude or the longitude of a position.
///
/// # Errors
/// As [`ordinate`], and where it is the other of the two.
pub(crate) fn ordinate_of(text: &str, axis: Axis) -> Result<Ordinate, String> {
    let one = ordinate(text)?;
    if one.axis != axis {
        return Err(format!(
            "`{}` is a {} where the {} is due; latitude comes first",
            text.trim(),
            one.axis.name(),
            axis.name()
        ));
    }
    Ok(one)
}

/// Reads a position in one text, latitude first: `52°23.764′N 24°18.630′W`, or the string of ISO 6709
/// (Annex H) without height, `+48.8577+002.2950/`.
///
/// # Errors
/// In a sentence, what is wrong and what to write.
pub(crate) fn position(text: &str) -> Result<LatLon, String> {
    let text = bounded(text)?;
    if text.ends_with('/') {
        return compact(text);
    }
    let (first, rest) = take(text, text)?;
    let rest = rest.trim_start();
    let rest = rest.strip_prefix(',').unwrap_or(rest).trim_start();
    if rest.is_empty() {
        let other = match first.axis {
            Axis::Latitude => Axis::Longitude,
            Axis::Longitude => Axis::Latitude,
        };
        return Err(format!("`{text}` has no {}", other.name()));
    }
    let (second, rest) = take(rest, text)?;
    if !rest.trim().is_empty() {
        let rest = rest.trim();
        return Err(format!("`{text}` goes on with `{rest}` after its position"));
    }
    match (first.axis, second.axis) {
        (Axis::Latitude, Axis::Longitude) => Ok(LatLon {
            latitude: first.degrees,
            longitude: second.degrees,
            spelled: format!("{} {}", first.spelled, second.spelled),
        }),
        (Axis::Longitude, Axis::Latitude) => Err(format!(
            "`{text}` has its longitude first; latitude comes first: `{} {}`",
            second.spelled, first.spelled
        )),
        (axis, _) => Err(format!("`{text}` has two {}s", axis.name())),
    }
}

fn bounded(text: &str) -> Result<&str, String> {
    let text = text.trim();
    if text.len() > LONGEST {
        let start: String = text.chars().take(20).collect();
        return Err(format!("`{start}…` is too long for a position"));
    }
    Ok(text)
}

/// A number of the text: its digits, and what follows.
fn number(text: &str) -> Option<(&str, &str)> {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(text);
    let fraction = match text.as_bytes().get(whole) {
        Some(b'.') => digits(&text[whole + 1..]),
        _ => 0,
    };
    let length = match fraction {
        0 => whole,
        fraction => whole + 1 + fraction,
    };
    (whole > 0).then(|| text.split_at(length))
}

/// A number of minutes or seconds; one with a degree sign belongs to the next position.
fn part(text: &str) -> Option<(&str, &str)> {
    number(text.trim_start()).filter(|(_, after)| !after.trim_start().starts_with('°'))
}

/// What follows a mark, where the text begins with it.
fn mark<'a>(text: &'a str, marks: &[&str]) -> Option<&'a str> {
    marks.iter().find_map(|mark| text.strip_prefix(mark))
}

/// Marks of minutes: the prime, the one of the keyboard, and what an editor makes of that.
const MINUTE: [&str; 3] = ["\u{2032}", "'", "\u{2019}"];
/// Marks of seconds, two of a minute's among them.
const SECOND: [&str; 6] = [
    "\u{2033}",
    "\"",
    "\u{201d}",
    "\u{2032}\u{2032}",
    "''",
    "\u{2019}\u{2019}",
];

/// A part below a degree: its number with two whole digits, its value.
fn sixtieth(digits: &str, name: &str, text: &str) -> Result<(String, f64), String> {
    let value: f64 = digits.parse().map_err(|_| format!("`{text}`: {name}"))?;
    if value >= 60.0 {
        return Err(format!(
            "`{text}` has {digits} {name}; they go from 0 to less than 60"
        ));
    }
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let whole: u8 = whole.parse().unwrap_or_default();
    let point = if fraction.is_empty() { "" } else { "." };
    Ok((format!("{whole:02}{point}{fraction}"), value))
}

/// Takes a latitude or longitude off the start of a text; `all` is what a message shows.
fn take<'a>(text: &'a str, all: &str) -> Result<(Ordinate, &'a str), String> {
    let shown = all.trim();
    let rest = text.trim_start();
    let before = rest
        .chars()
        .next()
        .filter(|c| Axis::of_letter(*c).is_some());
    let rest = rest[before.map_or(0, char::len_utf8)..].trim_start();
    let sign = rest.chars().next();
    let sign = sign.filter(|c| matches!(c, '+' | '-' | '\u{2212}' | '\u{2013}'));
    let rest = rest[sign.map_or(0, char::len_utf8)..].trim_start();
    let Some((whole, rest)) = number(rest) else {
        return Err(format!("`{shown}` is no position; write {FORMS}"));
    };
    let point = |digits: &str, rest: &str| -> Result<(), String> {
        let comma = rest
            .strip_prefix(',')
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
        match comma && !digits.contains('.') {
            true => Err(format!(
                "`{shown}` has a comma in its number; use a decimal point"
            )),
            false => Ok(()),
        }
    };
    point(whole, rest)?;
    let Some(mut rest) = mark(rest.trim_start(), &["°"]) else {
        return Err(match rest.trim_start().chars().next() {
            Some(letter) if Axis::of_letter(letter).is_some() => {
                format!("`{shown}` has no degree sign after `{whole}`; write `{whole}°{letter}`")
            }
            _ => format!("`{shown}` has no degree sign after `{whole}`; write {FORMS}"),
        });
    };
    let mut degrees: f64 = whole.parse().map_err(|_| format!("`{shown}`"))?;
    let stripped = whole.trim_start_matches('0');
    let zero = if stripped.is_empty() || stripped.starts_with('.') {
        "0"
    } else {
        ""
    };
    let mut spelled = format!("{zero}{stripped}°");
    if let Some((digits, after)) = part(rest) {
        point(digits, after)?;
        // A second mark may be two of a minute's, so that it is looked for first.
        let after = after.trim_start();
        let (None, Some(after)) = (mark(after, &SECOND), mark(after, &MINUTE)) else {
            return Err(format!(
                "`{shown}` has no minute mark after `{digits}`; write `{digits}′`"
            ));
        };
        if whole.contains('.') {
            return Err(format!(
                "`{shown}` has a fraction of a degree and minutes; write one of them"
            ));
        }
        let (text, minutes) = sixtieth(digits, "minutes", shown)?;
        degrees += minutes / 60.0;
        spelled.push_str(&text);
        spelled.push('′');
        rest = after;
        if let Some((last, after)) = part(rest) {
            point(last, after)?;
            let Some(after) = mark(after.trim_start(), &SECOND) else {
                return Err(format!(
                    "`{shown}` has no second mark after `{last}`; write `{last}″`"
                ));
            };
            if digits.contains('.') {
                return Err(format!(
                    "`{shown}` has a fraction of a minute and seconds; write one of them"
                ));
            }
            let (text, seconds) = sixtieth(last, "seconds", shown)?;
            degrees += seconds / 3600.0;
            spelled.push_str(&text);
            spelled.push('″');
            rest = after;
        }
    }
    let (letter, rest) = match before {
        Some(letter) => (letter, rest),
        None => {
            let next = rest.trim_start();
            let letter = next.chars().next();
            match letter.filter(|c| Axis::of_letter(*c).is_some()) {
                Some(letter) => (letter, &next[letter.len_utf8()..]),
                None => {
                    return Err(format!(
                        "`{shown}` does not say which side; write N or S after a latitude, E or W after \
                         a longitude, such as {FORMS}"
                    ));
                }
            }
        }
    };
    let (axis, towards) = Axis::of_letter(letter).ok_or_else(|| format!("`{shown}`"))?;
    spelled.push(letter);
    if sign.is_some() {
        let (plus, minus) = axis.letters();
        return Err(format!(
            "`{shown}` has a sign and a letter; leave out the sign, and write {plus} or {minus}, whichever \
             it is"
        ));
    }
    if degrees > axis.most() {
        return Err(format!(
            "`{shown}` is not on the earth: {} goes to {}°",
            axis.name(),
            axis.most()
        ));
    }
    let read = Ordinate {
        axis,
        degrees: towards * degrees,
        spelled,
    };
    Ok((read, rest))
}

/// Forms that a message offers.
const FORMS: &str = "`52°23.764′N 24°18.630′W`, or decimal degrees, [52.396067, -24.310500]";

/// Reads the string of ISO 6709, Annex H: sign, whole digits in pairs from the degrees down, fraction.
fn compact(text: &str) -> Result<LatLon, String> {
    let bad = || {
        format!(
            "`{text}` is no position of ISO 6709; offing reads latitude and longitude alone, such as \
             `+48.8577+002.2950/`"
        )
    };
    let inside = text.strip_suffix('/').unwrap_or(text);
    let second = inside.rfind(['+', '-']).filter(|at| *at > 0);
    let (latitude, longitude) = inside.split_at(second.ok_or_else(bad)?);
    let latitude = compact_one(latitude, Axis::Latitude).ok_or_else(bad)?;
    let longitude = compact_one(longitude, Axis::Longitude).ok_or_else(bad)?;
    Ok(LatLon {
        latitude,
        longitude,
        spelled: text.to_owned(),
    })
}

fn compact_one(text: &str, axis: Axis) -> Option<f64> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1.0, digits),
        None => (1.0, text.strip_prefix('+')?),
    };
    let (read, rest) = number(digits)?;
    if !rest.is_empty() {
        return None;
    }
    let whole = read.split_once('.').map_or(read, |(whole, _)| whole).len();
    // Two digits of degrees for a latitude and three for a longitude; a pair more for minutes, for seconds.
    let degrees = match axis {
        Axis::Latitude => 2,
        Axis::Longitude => 3,
    };
    let cuts: &[usize] = match whole.checked_sub(degrees)? {
        0 => &[],
        2 => &[degrees],
        4 => &[degrees, degrees + 2],
        _ => return None,
    };
    let (mut total, mut scale, mut from) = (0.0, 1.0, 0);
    for end in cuts.iter().copied().chain([read.len()]) {
        let part: f64 = read.get(from..end)?.parse().ok()?;
        if from > 0 && part >= 60.0 {
            return None;
        }
        total += part / scale;
        scale *= 60.0;
        from = end;
    }
    (total <= axis.most()).then_some(sign * total)
}

/// Degrees in digits, as files have them: nine after the point, a tenth of a millimetre, without needless zeros.
pub(crate) fn decimal_degrees(value: f64) -> String {
    let text = format!("{value:.9}");
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    let kept = decimals.trim_end_matches('0').len().max(6);
    let decimals = decimals.get(..kept).unwrap_or(decimals);
    let text = format!("{whole}.{decimals}");
    match text.strip_prefix('-') {
        // No minus before nothing.
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests;
