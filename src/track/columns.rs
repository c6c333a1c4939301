//! Which column of a CSV file holds what, and in which unit.

use std::cell::RefCell;

use jiff::tz::Offset;

use crate::document::{Node, ParseLimits, parse};
use crate::schema::Problem;
use crate::source::{Sources, printable_line};
use crate::units::{Dimension, parse_quantity};

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

/// The quantities that a column may hold, and what they may be.
const QUANTITIES: &[(&str, &[Dimension])] = &[
    ("speed", &[Dimension::SPEED]),
    ("voltage", &[Dimension::VOLTAGE]),
    ("current", &[Dimension::CURRENT]),
    ("depth", &[Dimension::LENGTH]),
    ("link", &[Dimension::RATIO, Dimension::POWER_LEVEL]),
];

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
    /// where the file has them, each with its unit. `kind` and `format` may be left out of a file that
    /// no repository holds.
    ///
    /// # Errors
    /// Everything that is wrong with the text, each with its line.
    pub fn read(text: &str) -> Result<Self, Vec<String>> {
        let mut sources = Sources::new();
        let source = sources.add("columns", text);
        let at = |span| sources.position(span).line;
        let document = parse(source, text, &ParseLimits::YAML).map_err(|errors| {
            let line = |error: &crate::document::DocumentError| {
                format!("line {}: {}", at(error.span), error.message)
            };
            errors.iter().map(line).collect::<Vec<_>>()
        })?;
        Self::of(&document.root).map_err(|problems| {
            let line =
                |problem: &Problem| format!("line {}: {}", at(problem.span), problem.message);
            problems.iter().map(line).collect()
        })
    }

    /// The columns that a file of this kind states.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn of(root: &Node) -> Result<Self, Vec<Problem>> {
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

struct Reading<'a> {
    problems: &'a RefCell<Vec<Problem>>,
}

impl Reading<'_> {
    fn refuse<T>(&self, node: &Node, text: impl Into<String>) -> Option<T> {
        self.problems
            .borrow_mut()
            .push(Problem::value(node.span, text.into()));
        None
    }

    fn columns(&self, root: &Node) -> Option<Columns> {
        let known: Vec<&str> = [
            "kind",
            "format",
            "delimiter",
            "time",
            "latitude",
            "longitude",
        ]
        .into_iter()
        .chain(QUANTITIES.iter().map(|(name, _)| *name))
        .collect();
        self.only(root, &known)?;
        for (key, due) in [("kind", "track-columns"), ("format", "1")] {
            let stated = root
                .get(key)
                .map(|node| (node, node.as_text().map(str::to_owned)));
            let number = |node: &Node| node.as_number().map(|number| number.to_string());
            if let Some((node, text)) = stated
                && text.or_else(|| number(node)).as_deref() != Some(due)
            {
                self.refuse::<()>(node, format!("`{key}` is `{due}` here"));
            }
        }
        let delimiter = match root.get("delimiter").map(|node| (node, node.as_text())) {
            None => Some(','),
            Some((_, Some(","))) => Some(','),
            Some((_, Some(";"))) => Some(';'),
            Some((_, Some("\t"))) => Some('\t'),
            Some((node, _)) => self.refuse(node, "a delimiter is \",\", \";\" or \"\\t\""),
        };
        let time = self.time(root);
        let latitude = self.place(root, "latitude");
        let longitude = self.place(root, "longitude");
        let mut quantities = Vec::new();
        for (name, dimensions) in QUANTITIES {
            quantities.push(match root.get(name) {
                None => Some(None),
                Some(node) => self.quantity(node, dimensions).map(Some),
            });
        }
        let quantities: Option<Vec<Option<Column>>> = quantities.into_iter().collect();
        let [speed, voltage, current, depth, link]: [Option<Column>; 5] =
            quantities?.try_into().ok()?;
        Some(Columns {
            delimiter: delimiter?,
            time: time?,
            latitude: latitude?,
            longitude: longitude?,
            speed,
            voltage,
            current,
            depth,
            link,
        })
    }

    /// Refuses keys that are not known: a misspelt column would be left out in silence.
    fn only(&self, node: &Node, known: &[&str]) -> Option<()> {
        let Some(entries) = node.as_map() else {
            return self.refuse(node, "a mapping is due here");
        };
        for entry in entries {
            if !known.contains(&entry.key.as_str()) {
                let text = format!(
                    "`{}` is not known; there are {}",
                    printable_line(&entry.key),
                    known.join(", ")
                );
                self.problems
                    .borrow_mut()
                    .push(Problem::value(entry.key_span, text));
            }
        }
        Some(())
    }

    fn text(&self, node: &Node, key: &str) -> Option<String> {
        match node.get(key).map(|value| (value, value.as_text())) {
            Some((_, Some(text))) if !text.trim().is_empty() => Some(text.trim().to_owned()),
            Some((value, _)) => self.refuse(value, format!("`{key}` is a text")),
            None => self.refuse(node, format!("`{key}` is missing")),
        }
    }

    fn place(&self, root: &Node, key: &str) -> Option<String> {
        let Some(node) = root.get(key) else {
            return self.refuse(root, format!("`{key}` is missing"));
        };
        self.only(node, &["column"])?;
        self.text(node, "column")
    }

    fn time(&self, root: &Node) -> Option<(String, Times)> {
        let Some(node) = root.get("time") else {
            return self.refuse(root, "`time` is missing");
        };
        self.only(node, &["column", "written", "offset"])?;
        let heading = self.text(node, "column");
        let written = self.text(node, "written")?;
        let offset = match node.get("offset") {
            None => None,
            Some(value) => Some(self.offset(value)?),
        };
        let times = match (written.as_str(), offset) {
            ("ISO 8601", offset) => Times::Written { offset },
            ("seconds", None) => Times::Seconds,
            ("milliseconds", None) => Times::Milliseconds,
            ("seconds" | "milliseconds", Some(_)) => {
                return self.refuse(node, "times since 1970 are UTC and have no `offset`");
            }
            _ => return self.refuse(node, "`written` is ISO 8601, seconds or milliseconds"),
        };
        Some((heading?, times))
    }

    /// `+01:00`, `-02:00`, `+00:00`.
    fn offset(&self, node: &Node) -> Option<Offset> {
        let read = |text: &str| -> Option<Offset> {
            let (sign, rest) = match text.split_at_checked(1)? {
                ("+", rest) => (1, rest),
                ("-", rest) => (-1, rest),
                _ => return None,
            };
            let (hours, minutes) = rest.split_once(':')?;
            let two = |text: &str| -> Option<i32> {
                let plain = text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit());
                text.parse().ok().filter(|_| plain)
            };
            let (hours, minutes) = (two(hours)?, two(minutes).filter(|minutes| *minutes < 60)?);
            Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).ok()
        };
        node.as_text()
            .and_then(read)
            .or_else(|| self.refuse(node, "an offset is written `+01:00`"))
    }

    fn quantity(&self, node: &Node, dimensions: &[Dimension]) -> Option<Column> {
        self.only(node, &["column", "unit"])?;
        let heading = self.text(node, "column");
        let unit = self.text(node, "unit")?;
        for dimension in dimensions {
            if let Ok(one) = parse_quantity(&format!("1 {unit}"), *dimension) {
                return Some(Column {
                    heading: heading?,
                    dimension: *dimension,
                    factor: one.value,
                });
            }
        }
        let due: Vec<String> = dimensions.iter().map(ToString::to_string).collect();
        let text = format!(
            "`{}` is no unit of {}",
            printable_line(&unit),
            due.join(" or ")
        );
        self.refuse(node.get("unit").unwrap_or(node), text)
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
        let columns = Columns::read(WHOLE).unwrap();
        // A knot is 1852 m an hour (the International Hydrographic Conference of 1929).
        let speed = columns.speed.unwrap();
        assert!((speed.factor - 1852.0 / 3600.0).abs() < 1e-12);
        assert!((columns.voltage.unwrap().factor - 1e-3).abs() < 1e-15);
        assert_eq!(columns.link.unwrap().dimension, Dimension::RATIO);
        let (_, Times::Written { offset }) = columns.time else {
            panic!()
        };
        assert_eq!(offset.unwrap().seconds(), -7200);
        let level = Columns::read(&WHOLE.replace("'%'", "dBm"))
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
            let told = Columns::read(&WHOLE.replacen(from, to, 1)).unwrap_err();
            assert!(
                told.iter().any(|one| one.starts_with(due)),
                "{to}: {told:?}"
            );
        }
        assert!(Columns::read("").is_err());
        assert!(Columns::read("[").is_err());
    }
}
