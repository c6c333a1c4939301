//! Where in a file a value stands, and in which unit.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

use super::Cell;
use crate::import::fault::excerpt;
use crate::import::lines::number;
use crate::units::{Dimension, parse_quantity};

/// A value that is looked for: the heading of a column or a path of names, with the unit of its numbers.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Wanted {
    /// Heading or path.
    pub place: String,
    /// What one of its numbers is in the stored unit.
    factor: f64,
}

/// How times are written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Times {
    /// As ISO 8601, with an offset of their own or else with this one.
    Written(Option<Offset>),
    /// Seconds since 1970, UTC.
    Seconds,
    /// Milliseconds since 1970, UTC.
    Milliseconds,
}

/// A statement's two sides: `wind_speed in km/h`.
fn sides(text: &str) -> Result<(&str, &str), String> {
    let sides = text.rsplit_once(" in ");
    let sides = sides.map(|(place, unit)| (place.trim(), unit.trim()));
    sides
        .filter(|(place, unit)| !place.is_empty() && !unit.is_empty())
        .ok_or_else(|| {
            format!(
                "`{}` does not say where and in which unit; write `heading in m/s`, or `hours[].wind in m/s` for JSON",
                excerpt(text)
            )
        })
}

impl Wanted {
    /// Reads a statement such as `hourly.gust in km/h`.
    ///
    /// # Errors
    /// One without a unit, or with one of another kind.
    pub(crate) fn parse(text: &str, dimension: Dimension) -> Result<Self, String> {
        let (place, unit) = sides(text)?;
        let one = parse_quantity(&format!("1 {unit}"), dimension);
        let one = one.map_err(|_| format!("`{}` is no unit of {dimension}", excerpt(unit)))?;
        Ok(Self {
            place: place.to_owned(),
            factor: one.value,
        })
    }

    /// A cell of a table in the stored unit; `None` where it is no number.
    pub(in crate::import) fn number(&self, cell: &str) -> Option<f64> {
        let read = number(cell).filter(|number| number.is_finite());
        read.map(|number| number * self.factor)
    }

    /// A number of the file in the stored unit.
    pub(super) fn value(&self, cell: &Cell) -> Result<f64, String> {
        let read = match cell {
            Cell::Number(number) => Some(*number),
            Cell::Text(text) => number(text),
        };
        let read = read.filter(|number| number.is_finite());
        read.map(|number| number * self.factor).ok_or_else(|| {
            let wrong = match cell {
                Cell::Number(number) => format!("`{number}` is not a number"),
                Cell::Text(text) if text.trim().is_empty() => "the cell is empty".to_owned(),
                Cell::Text(text) => format!("`{}` is not a number", excerpt(text)),
            };
            format!("{wrong}; every hour needs its wind, gust and direction")
        })
    }
}

impl Times {
    /// Reads a statement such as `time in UTC`: `ISO 8601` for times with offsets of their own, `UTC` or an offset
    /// such as `+02:00` for times without, `seconds` or `milliseconds` since 1970.
    ///
    /// # Errors
    /// Any other statement.
    pub(crate) fn parse(text: &str) -> Result<(String, Self), String> {
        let (place, written) = sides(text)?;
        let times = match written {
            "ISO 8601" => Self::Written(None),
            "UTC" => Self::Written(Some(Offset::UTC)),
            "seconds" => Self::Seconds,
            "milliseconds" => Self::Milliseconds,
            _ => {
                let known = written.len() == 6 && written.starts_with(['+', '-']);
                let midnight = format!("2000-01-01T00:00{written}");
                let moment: Option<Timestamp> = midnight.parse().ok().filter(|_| known);
                let moment = moment.ok_or_else(|| {
                    format!(
                        "times are in `UTC`, `ISO 8601`, `seconds`, `milliseconds` or at an offset such as `+02:00`; \
                         this is `{}`",
                        excerpt(written)
                    )
                })?;
                // Midnight of the year 2000 in UTC is 946 684 800 s after 1970.
                let ahead = 946_684_800 - moment.as_second();
                let offset = i32::try_from(ahead).ok().map(Offset::from_seconds);
                let offset = offset.and_then(Result::ok);
                Self::Written(Some(offset.ok_or("the offset is too large")?))
            }
        };
        Ok((place.to_owned(), times))
    }

    /// A moment of the file.
    pub(super) fn moment(self, cell: &Cell) -> Result<Timestamp, String> {
        let shown = match cell {
            Cell::Number(number) => number.to_string(),
            Cell::Text(text) => excerpt(text),
        };
        let refused = |hint: &str| format!("`{shown}` is not a point in time{hint}");
        let since = |scale: f64| {
            let read = match cell {
                Cell::Number(number) => Some(*number),
                Cell::Text(text) => number(text),
            };
            let milliseconds = read.map(|read| read * scale).filter(|all| all.abs() < 1e14);
            let milliseconds = milliseconds.ok_or_else(|| refused(""))?;
            #[expect(
                clippy::cast_possible_truncation,
                reason = "within the range looked at"
            )]
            let whole = milliseconds.round() as i64;
            Timestamp::from_millisecond(whole).map_err(|_| refused(""))
        };
        match self {
            Self::Seconds => since(1000.0),
            Self::Milliseconds => since(1.0),
            Self::Written(offset) => {
                let Cell::Text(text) = cell else {
                    return Err(refused(
                        "; numbers are times `in seconds` or `in milliseconds`",
                    ));
                };
                let text = text.trim();
                if let Ok(moment) = text.parse::<Timestamp>() {
                    return Ok(moment);
                }
                let civil: Result<DateTime, _> = text.parse();
                let civil =
                    civil.map_err(|_| refused("; times are written `2027-06-15T09:30Z`"))?;
                let offset = offset.ok_or_else(|| {
                    refused(
                        ": it has no offset from UTC; state one, such as `--time \"time in UTC\"`",
                    )
                })?;
                offset.to_timestamp(civil).map_err(|_| refused(""))
            }
        }
    }
}
