//! Which column of a CSV file holds what, and in which unit.

mod read;

use std::cell::RefCell;
use std::ops::Range;

use jiff::tz::Offset;

use crate::document::{Node, ParseLimits, parse};
use crate::schema::Problem;
use crate::source::Sources;
use crate::units::{Dimension, Length};
use read::Reading;

/// Columns of a CSV file.
#[derive(Clone, PartialEq, Debug)]
pub struct Columns {
    /// What parts the cells: `,`, `;` or a tab.
    pub delimiter: char,
    /// Heading of the column of times, and how they are written.
    pub time: (String, Times),
    /// Heading of the column of latitudes, in degrees.
    pub latitude: String,
    /// Heading of the column of longitudes, in degrees.
    pub longitude: String,
    /// Speed over ground.
    pub speed: Option<Column>,
    /// Voltage of the pack.
    pub voltage: Option<Column>,
    /// Current out of the pack.
    pub current: Option<Column>,
    /// Depth as it was sounded.
    pub depth: Option<Column>,
    /// Quality of the link.
    pub link: Option<Column>,
    /// The wind.
    pub wind: Option<WindColumns>,
}

impl Columns {
    /// The column that a quantity stands in.
    #[must_use]
    pub fn of_quantity(&self, quantity: Recorded) -> Option<&Column> {
        match quantity {
            Recorded::Speed => self.speed.as_ref(),
            Recorded::Voltage => self.voltage.as_ref(),
            Recorded::Current => self.current.as_ref(),
            Recorded::Depth => self.depth.as_ref(),
            Recorded::Link => self.link.as_ref(),
            Recorded::Wind => self.wind.as_ref().map(|wind| &wind.speed),
        }
    }
}

/// What is recorded beside time and place.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Recorded {
    /// Speed over ground.
    Speed,
    /// Voltage of the pack.
    Voltage,
    /// Current out of the pack.
    Current,
    /// Depth as it was sounded.
    Depth,
    /// Quality of the link.
    Link,
    /// Speed of the wind.
    Wind,
}

impl Recorded {
    /// Its word, that of its key in a file of columns.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Speed => "speed",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Depth => "depth",
            Self::Link => "link",
            Self::Wind => "wind",
        }
    }
}

/// Columns of the wind.
#[derive(Clone, PartialEq, Debug)]
pub struct WindColumns {
    /// Where it came from: over the ground from true north, or aboard off the bow, clockwise.
    pub from: Column,
    /// How fast it was, over the ground or past the moving boat.
    pub speed: Column,
    /// Whether it was measured on the moving boat, and not ashore.
    pub aboard: bool,
    /// Height of the anemometer above the water.
    pub height: Length,
}

/// A column with the unit of its numbers.
#[derive(Clone, PartialEq, Debug)]
pub struct Column {
    /// Its heading.
    pub heading: String,
    /// What its numbers are.
    pub dimension: Dimension,
    /// What a number is to be multiplied by to be in SI units.
    pub factor: f64,
    /// Its unit as stated.
    pub unit: String,
    /// Bytes of the file of columns that state the unit.
    pub stated: Range<usize>,
}

/// How times are written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Times {
    /// `2027-06-15T09:30:00Z`, or without an offset at the one that is stated.
    Written {
        /// Offset from UTC of times that carry none; such times are refused where it is not stated.
        offset: Option<Offset>,
    },
    /// Seconds since 1970, UTC, with or without a fraction.
    Seconds,
    /// Milliseconds since 1970, UTC.
    Milliseconds,
}

impl Columns {
    /// Reads the columns from YAML:
    ///
    /// ```yaml
    /// kind: track-columns
    /// format: 1
    /// delimiter: ";"
    /// time: { column: utc, written: seconds }
    /// latitude: { column: lat }
    /// longitude: { column: lon }
    /// speed: { column: sog, unit: kn }
    /// ```
    ///
    /// `written` is `ISO 8601`, with an `offset` such as `+01:00` where the times carry none,
    /// `seconds` or `milliseconds`; `speed`, `voltage`, `current`, `depth` and `link` are there
    /// where the file has them, each with its unit; `wind` has a column `from` and a column `speed`, says
    /// where it was `measured`, `ashore` or `aboard`, and at which `height`. `kind` and `format` may be left out of a file that
    /// no repository holds.
    ///
    /// # Errors
    /// Everything that is wrong with the text, each with its line.
    pub fn parse(text: &str) -> Result<Self, Vec<String>> {
        let mut sources = Sources::new();
        let source = sources.add("columns", text);
        let at = |span| sources.position(span).line;
        let document = parse(source, text, &ParseLimits::YAML).map_err(|errors| {
            let line = |error: &crate::document::DocumentError| {
                format!("line {}: {}", at(error.span), error.message)
            };
            errors.iter().map(line).collect::<Vec<_>>()
        })?;
        Self::from_node(&document.root).map_err(|problems| {
            let line =
                |problem: &Problem| format!("line {}: {}", at(problem.span), problem.message);
            problems.iter().map(line).collect()
        })
    }

    /// The columns that a file of this kind states.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn from_node(root: &Node) -> Result<Self, Vec<Problem>> {
        let problems = RefCell::new(Vec::new());
        let reading = Reading {
            problems: &problems,
        };
        let columns = reading.columns(root);
        let problems: Vec<Problem> = problems.into_inner();
        match columns {
            Some(columns) if problems.is_empty() => Ok(columns),
            _ => Err(problems),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WHOLE: &str = "delimiter: ';'
time: { column: t, written: ISO 8601, offset: '-02:00' }
latitude: { column: lat }
longitude: { column: lon }
speed: { column: v, unit: kn }
voltage: { column: u, unit: mV }
current: { column: i, unit: A }
depth: { column: d, unit: m }
link: { column: q, unit: '%' }
";

    #[test]
    fn every_column_has_its_unit() {
        let columns = Columns::parse(WHOLE).unwrap();
        // A knot is 1852 m an hour (the International Hydrographic Conference of 1929).
        let speed = columns.speed.unwrap();
        assert!((speed.factor - 1852.0 / 3600.0).abs() < 1e-12);
        assert!((columns.voltage.unwrap().factor - 1e-3).abs() < 1e-15);
        assert_eq!(columns.link.unwrap().dimension, Dimension::RATIO);
        let (_, Times::Written { offset }) = columns.time else {
            panic!()
        };
        assert_eq!(offset.unwrap().seconds(), -7200);
        let level = Columns::parse(&WHOLE.replace("'%'", "dBm"))
            .unwrap()
            .link
            .unwrap();
        assert_eq!(level.dimension, Dimension::POWER_LEVEL);
        assert!((level.factor - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_off_is_refused_on_its_line() {
        for (from, to, due) in [
            (
                "column: v, unit: kn",
                "column: v, unit: Wh",
                "line 5: `Wh` is no unit of ",
            ),
            (
                "column: v, unit: kn",
                "column: v",
                "line 5: `unit` is missing",
            ),
            ("speed:", "sped:", "line 5: `sped` is not known"),
            ("'-02:00'", "'2 h'", "line 2: an offset is written"),
            (
                "ISO 8601, offset",
                "seconds, offset",
                "line 2: times since 1970 are UTC",
            ),
            (
                "ISO 8601, offset: '-02:00'",
                "local",
                "line 2: `written` is",
            ),
            (
                "latitude: { column: lat }\n",
                "",
                "line 1: `latitude` is missing",
            ),
            ("';'", "'|'", "line 1: a delimiter is"),
            (
                "{ column: lon }",
                "{ column: 7 }",
                "line 4: `column` is a text",
            ),
            ("{ column: lon }", "lon", "line 4: a mapping is due here"),
        ] {
            assert!(WHOLE.contains(from), "{from}");
            let told = Columns::parse(&WHOLE.replacen(from, to, 1)).unwrap_err();
            assert!(
                told.iter().any(|one| one.starts_with(due)),
                "{to}: {told:?}"
            );
        }
        let told = Columns::parse(&WHOLE.replace("column: d,", "column: u,")).unwrap_err();
        let due = "line 8: the column `u` is already `voltage`, and cannot be `depth` too";
        assert_eq!(told, [due]);
        // Of a file of another kind nothing else is reported.
        let told =
            Columns::parse("kind: site\nformat: 1\nid: quenderby\nwater: fresh\n").unwrap_err();
        assert_eq!(
            told,
            ["line 1: this is a file of kind `site`, not `track-columns`"]
        );
        assert!(Columns::parse("").is_err());
        assert!(Columns::parse("[").is_err());
    }
}
