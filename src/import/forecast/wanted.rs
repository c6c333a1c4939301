//! Where in a file a value stands, and in which unit.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

use super::Cell;
use super::stated::{StatedUnit, usual};
use crate::import::fault::{Fault, excerpt};
use crate::import::lines::number;
use crate::units::{Dimension, parse_quantity};

/// A value that is looked for: the heading of a column or a path of names, with the unit of its numbers.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Wanted {
    /// Heading or path.
    pub place: String,
    dimension: Dimension,
    /// The unit of its numbers; none where the file is to state it.
    unit: Option<Unit>,
}

/// A unit of numbers.
#[derive(Clone, PartialEq, Debug)]
struct Unit {
    symbol: String,
    /// What one is in the stored unit.
    factor: f64,
}

impl Unit {
    fn parse(symbol: &str, dimension: Dimension) -> Option<Self> {
        let one = parse_quantity(&format!("1 {symbol}"), dimension).ok()?;
        Some(Self {
            symbol: symbol.to_owned(),
            factor: one.value,
        })
    }

    /// The same unit, perhaps by another symbol.
    fn is_same(&self, other: &Self) -> bool {
        (self.factor - other.factor).abs() <= self.factor.abs() * 1e-9
    }
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
    /// As the file states.
    Stated,
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

/// A unit for an example.
fn example(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::SPEED => "m/s",
        Dimension::ANGLE => "°",
        Dimension::LENGTH => "m",
        _ => "a unit",
    }
}

impl Wanted {
    /// Reads a statement such as `hourly.gust in km/h`.
    ///
    /// # Errors
    /// One without a unit, or with one of another kind.
    pub(crate) fn parse(text: &str, dimension: Dimension) -> Result<Self, String> {
        let (place, unit) = sides(text)?;
        let unit = Unit::parse(unit, dimension)
            .ok_or_else(|| format!("`{}` is no unit of {dimension}", excerpt(unit)))?;
        Ok(Self {
            place: place.to_owned(),
            dimension,
            unit: Some(unit),
        })
    }

    /// The same, where the unit may be left to the file: `hourly.gust`.
    ///
    /// # Errors
    /// As [`parse`](Self::parse), but for one without a unit.
    pub(crate) fn parse_or_stated(text: &str, dimension: Dimension) -> Result<Self, String> {
        let place = text.trim();
        if place.is_empty() || text.contains(" in ") {
            return Self::parse(text, dimension);
        }
        Ok(Self {
            place: place.to_owned(),
            dimension,
            unit: None,
        })
    }

    /// The same with the unit that its numbers are in, held against what the file states; whether the file alone
    /// states it.
    ///
    /// # Errors
    /// Two units that differ, one that is not read, or none at all.
    pub(super) fn settled(&self, stated: Option<&StatedUnit>) -> Result<(Self, bool), Fault> {
        let shown = excerpt(&self.place);
        let of_it = |one: &&StatedUnit| {
            one.certain || Unit::parse(usual(&one.text), self.dimension).is_some()
        };
        let Some(stated) = stated.filter(of_it) else {
            return if self.unit.is_some() {
                Ok((self.clone(), false))
            } else {
                Err(Fault::whole(format!(
                    "the file does not state the unit of `{shown}`; add it to the option, such as `{shown} in {}`",
                    example(self.dimension)
                )))
            };
        };
        let text = excerpt(&stated.text);
        let Some(read) = Unit::parse(usual(&stated.text), self.dimension) else {
            return Err(Fault::at(
                stated.place,
                format!(
                    "the file states the unit of `{shown}` as `{text}`, which is no unit of {} that offing reads; \
                     bring its values to one, such as {}",
                    self.dimension,
                    example(self.dimension)
                ),
            ));
        };
        match &self.unit {
            Some(told) if !told.is_same(&read) => Err(Fault::at(
                stated.place,
                format!(
                    "the file states the unit of `{shown}` as `{text}`, and the option as `{}`; find out which holds",
                    excerpt(&told.symbol)
                ),
            )),
            Some(_) => Ok((self.clone(), false)),
            None => {
                let unit = Some(read);
                let place = self.place.clone();
                let dimension = self.dimension;
                Ok((
                    Self {
                        place,
                        dimension,
                        unit,
                    },
                    true,
                ))
            }
        }
    }

    /// What one of its numbers is in the stored unit; not a number where its unit is not settled.
    fn factor(&self) -> f64 {
        self.unit.as_ref().map_or(f64::NAN, |unit| unit.factor)
    }

    /// The symbol of its unit.
    pub(super) fn symbol(&self) -> &str {
        self.unit.as_ref().map_or("", |unit| &unit.symbol)
    }

    /// A cell of a table in the stored unit; `None` where it is no number.
    pub(in crate::import) fn number(&self, cell: &str) -> Option<f64> {
        let read = number(cell).map(|number| number * self.factor());
        read.filter(|number| number.is_finite())
    }

    /// A number of the file in the stored unit.
    pub(super) fn value(&self, cell: &Cell) -> Result<f64, String> {
        let read = match cell {
            Cell::Number(number) => Some(*number),
            Cell::Text(text) => number(text),
        };
        let read = read.map(|number| number * self.factor());
        read.filter(|number| number.is_finite()).ok_or_else(|| {
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
        let place = text.trim();
        if !place.is_empty() && !text.contains(" in ") {
            return Ok((place.to_owned(), Self::Stated));
        }
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
            Self::Stated => Err(refused(
                ": the file does not state how its times are written",
            )),
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
