//! The reading of a file of columns, with everything that is wrong with it.

use std::cell::RefCell;

use jiff::tz::Offset;

use super::{Column, Columns, Times, WindColumns};
use crate::document::Node;
use crate::schema::Problem;
use crate::source::printable_line;
use crate::units::{Dimension, Length, parse_quantity};

/// The quantities that a column may hold, and what they may be.
const QUANTITIES: &[(&str, &[Dimension])] = &[
    ("speed", &[Dimension::SPEED]),
    ("voltage", &[Dimension::VOLTAGE]),
    ("current", &[Dimension::CURRENT]),
    ("depth", &[Dimension::LENGTH]),
    ("link", &[Dimension::RATIO, Dimension::POWER_LEVEL]),
];

/// Reads a file, and keeps what is wrong with it.
pub(super) struct Reading<'a> {
    pub(super) problems: &'a RefCell<Vec<Problem>>,
}

impl Reading<'_> {
    fn refuse<T>(&self, node: &Node, text: impl Into<String>) -> Option<T> {
        self.problems
            .borrow_mut()
            .push(Problem::value(node.span, text.into()));
        None
    }

    pub(super) fn columns(&self, root: &Node) -> Option<Columns> {
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
        .chain(["wind"])
        .collect();
        // What a file of another kind holds is not what is wrong with it.
        if let Some(node) = root.get("kind")
            && let Some(kind) = node.as_text().filter(|kind| *kind != "track-columns")
        {
            let text = format!(
                "this is a file of kind `{}`, not `track-columns`",
                printable_line(kind)
            );
            return self.refuse(node, text);
        }
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
        let wind = match root.get("wind") {
            None => Some(None),
            Some(node) => self.wind(node).map(Some),
        };
        self.each_its_own(root);
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
            wind: wind?,
        })
    }

    /// Refuses a column that is to hold two things: one of them is misspelt.
    fn each_its_own(&self, root: &Node) {
        let names = ["time", "latitude", "longitude"].into_iter();
        let names = names.chain(QUANTITIES.iter().map(|(name, _)| *name));
        let mut all: Vec<(&str, Option<&Node>)> =
            names.map(|name| (name, root.get(name))).collect();
        let wind = root.get("wind");
        all.push(("from", wind.and_then(|wind| wind.get("from"))));
        all.push(("speed of the wind", wind.and_then(|wind| wind.get("speed"))));
        let mut seen: Vec<(&str, &str)> = Vec::new();
        for (name, node) in all {
            let Some(column) = node.and_then(|node| node.get("column")) else {
                continue;
            };
            let Some(heading) = column.as_text().map(str::trim) else {
                continue;
            };
            match seen.iter().find(|(_, other)| *other == heading) {
                Some((other, _)) => {
                    let text = format!(
                        "the column `{}` is already `{other}`, and cannot be `{name}` too",
                        printable_line(heading)
                    );
                    self.refuse::<()>(column, text);
                }
                None => seen.push((name, heading)),
            }
        }
    }

    /// The two columns of the wind, with where and how high it was measured.
    fn wind(&self, node: &Node) -> Option<WindColumns> {
        self.only(node, &["from", "speed", "measured", "height"])?;
        let of = |key: &str, dimension: Dimension| match node.get(key) {
            Some(column) => self.quantity(column, &[dimension]),
            None => self.refuse(node, format!("`{key}` is missing")),
        };
        let from = of("from", Dimension::ANGLE);
        let speed = of("speed", Dimension::SPEED);
        let aboard = match node.get("measured").map(|value| (value, value.as_text())) {
            Some((_, Some("ashore"))) => Some(false),
            Some((_, Some("aboard"))) => Some(true),
            found => self.refuse(
                found.map_or(node, |(value, _)| value),
                "`measured` is ashore or aboard",
            ),
        };
        let height = self.text(node, "height")?;
        let height = match parse_quantity(&height, Dimension::LENGTH) {
            Ok(height) if height.value > 0.0 => Some(Length::metres(height.value)),
            _ => self.refuse(
                node.get("height").unwrap_or(node),
                "`height` is a length above the water, such as `2 m`",
            ),
        };
        Some(WindColumns {
            from: from?,
            speed: speed?,
            aboard: aboard?,
            height: height?,
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
        let of_current = dimensions.contains(&Dimension::CURRENT);
        let known: &[&str] = if of_current {
            &["column", "unit", "flow"]
        } else {
            &["column", "unit"]
        };
        self.only(node, known)?;
        let heading = self.text(node, "column");
        let unit = self.text(node, "unit")?;
        let sign = match node.get("flow").map(|value| (value, value.as_text())) {
            None | Some((_, Some("out of the pack"))) => 1.0,
            Some((_, Some("into the pack"))) => -1.0,
            Some((value, _)) => {
                return self.refuse(value, "`flow` is out of the pack or into the pack");
            }
        };
        for dimension in dimensions {
            if let Ok(one) = parse_quantity(&format!("1 {unit}"), *dimension) {
                return Some(Column {
                    heading: heading?,
                    dimension: *dimension,
                    factor: sign * one.value,
                    stated: node.get("unit").map_or(0..0, |unit| unit.span.range()),
                    unit,
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
