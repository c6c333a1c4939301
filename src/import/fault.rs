//! What is wrong with a file that comes in, and where in it.

use crate::source::printable_line;

/// Faults of one kind that are reported; of more only the count.
pub(super) const TOLD: usize = 10;

/// Where in a file something stands.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Place {
    /// Line and column, from 1.
    Line(usize, usize),
    /// The record of a binary file, from 1.
    Record(u32),
    /// The file as a whole.
    Whole,
}

impl Place {
    /// The place of a byte of a text.
    pub(super) fn in_text(text: &str, byte: usize) -> Self {
        let before = text.as_bytes().get(..byte).unwrap_or(text.as_bytes());
        let line = before.iter().filter(|byte| **byte == b'\n').count();
        let begins = before.iter().rposition(|byte| *byte == b'\n');
        let begins = begins.map_or(0, |at| at + 1);
        let column = String::from_utf8_lossy(before.get(begins..).unwrap_or_default());
        Self::Line(line + 1, column.chars().count() + 1)
    }

    /// Behind a sentence's subject: `at line 3, column 7`; nothing for the whole file.
    pub(super) fn behind(self) -> String {
        match self {
            Self::Line(line, column) => format!(" (line {line}, column {column})"),
            Self::Record(record) => format!(" (record {record})"),
            Self::Whole => String::new(),
        }
    }
}

/// What is wrong with a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Fault {
    /// Where.
    pub place: Place,
    /// In a sentence without its full stop, safe to print.
    pub message: String,
}

impl Fault {
    /// A fault of the file as a whole.
    pub(super) fn whole(message: impl Into<String>) -> Self {
        Self {
            place: Place::Whole,
            message: message.into(),
        }
    }

    /// A fault at a place.
    pub(super) fn at(place: Place, message: impl Into<String>) -> Self {
        Self {
            place,
            message: message.into(),
        }
    }

    /// On one line, behind the file's name.
    #[must_use]
    pub(crate) fn shown(&self, file: &str) -> String {
        let file = printable_line(file);
        match self.place {
            Place::Line(line, column) => format!("{file}:{line}:{column}: {}", self.message),
            Place::Record(record) => format!("{file}: record {record}: {}", self.message),
            Place::Whole => format!("{file}: {}", self.message),
        }
    }
}

/// A position in words, to the centimetre or so.
pub(super) fn shown_position(latitude: f64, longitude: f64) -> String {
    format!("[{latitude:.7}, {longitude:.7}]")
}

/// A part of a file's text, short and safe to print.
pub(super) fn excerpt(text: &str) -> String {
    let short: String = text.chars().take(40).collect();
    printable_line(&short).into_owned()
}

/// A number of a file, to the last digit that counts; one with very many digits as a power of ten.
pub(super) fn shown_number(number: f64) -> String {
    let plain = number.abs() <= 0.0 || (1e-9..1e12).contains(&number.abs());
    if plain || !number.is_finite() {
        number.to_string()
    } else {
        format!("{number:e}")
    }
}

/// A count with its noun: `1 ring`, `2 rings`.
pub(super) fn counted(count: usize, one: &str) -> String {
    let more = if count == 1 { "" } else { "s" };
    format!("{count} {one}{more}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_lines_and_characters_from_one() {
        let text = "a\nbäc\n";
        assert_eq!(Place::in_text(text, 0), Place::Line(1, 1));
        assert_eq!(Place::in_text(text, 5), Place::Line(2, 3));
        assert_eq!(Place::in_text(text, 99), Place::Line(3, 1));
        let fault = Fault::at(Place::Line(3, 7), "off");
        assert_eq!(fault.shown("a\u{1b}.csv"), "a\\u{1b}.csv:3:7: off");
    }

    #[test]
    fn a_number_of_hundreds_of_digits_is_shown_as_a_power_of_ten() {
        for (number, shown) in [
            (0.0, "0"),
            (-24.4, "-24.4"),
            (5_797_510.25, "5797510.25"),
            (1e308, "1e308"),
            (-1.5e-300, "-1.5e-300"),
            (f64::INFINITY, "inf"),
        ] {
            assert_eq!(shown_number(number), shown);
        }
    }
}
