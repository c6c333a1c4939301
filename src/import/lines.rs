//! Lines of a text that is read piece by piece, within bounds, and their cells.

use std::io::{BufRead, Read as _};

use super::fault::{Fault, Place, excerpt};

/// What may part cells.
pub(super) const DELIMITERS: [char; 3] = [',', ';', '\t'];
/// Longest line, in bytes.
const LONGEST: usize = 1 << 20;

/// Lines of a reader, one held at a time.
pub(super) struct Lines<R> {
    reader: R,
    bytes: Vec<u8>,
    /// The number of the line that is held, from 1.
    pub number: usize,
}

impl<R: BufRead> Lines<R> {
    pub(super) fn new(reader: R) -> Self {
        Self {
            reader,
            bytes: Vec::new(),
            number: 0,
        }
    }

    /// The next line without its end; `None` at the end of the file.
    pub(super) fn read(&mut self) -> Result<Option<&str>, Fault> {
        self.bytes.clear();
        self.number += 1;
        let number = self.number;
        let mut bounded = self.reader.by_ref().take(LONGEST as u64 + 1);
        let count = bounded.read_until(b'\n', &mut self.bytes);
        let count = count.map_err(|error| Fault::whole(excerpt(&error.to_string())))?;
        if count == 0 {
            return Ok(None);
        }
        if count > LONGEST {
            let text = format!("the line has more than {LONGEST} bytes");
            return Err(Fault::at(Place::Line(number, 1), text));
        }
        let text = std::str::from_utf8(&self.bytes).map_err(|error| {
            let good = self.bytes.get(..error.valid_up_to()).unwrap_or_default();
            let column = String::from_utf8_lossy(good).chars().count() + 1;
            Fault::at(Place::Line(number, column), "this is no text in UTF-8")
        })?;
        let text = text.trim_end_matches(['\n', '\r']);
        if let Some(at) = text.find('\r') {
            // All lines of such a file would be cells of one, and most of them left out.
            return Err(Fault::at(
                Place::Line(number, text[..at].chars().count() + 1),
                "a line ends here in a carriage return alone; save the file with the line ends of today's systems",
            ));
        }
        let first = number == 1;
        Ok(Some(if first {
            text.trim_start_matches('\u{feff}')
        } else {
            text
        }))
    }
}

/// A number of a cell, which is the whole of it.
pub(super) fn number(cell: &str) -> Option<f64> {
    let cell = cell.trim();
    let plain = cell
        .bytes()
        .all(|byte| byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E'));
    let nan = cell.eq_ignore_ascii_case("nan");
    if plain || nan {
        cell.parse().ok()
    } else {
        None
    }
}

/// The headings of a line behind what is wrong with them, as far as they are worth listing.
pub(super) fn the_headings(cells: &[String]) -> String {
    const LISTED: usize = 8;
    let listed = cells.iter().take(LISTED);
    let listed: Vec<String> = listed
        .map(|cell| format!("`{}`", excerpt(cell.trim())))
        .collect();
    let more = match cells.len().saturating_sub(LISTED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("; the headings are {}{more}", listed.join(", "))
}

/// The column of a cell that is a part of a line; the first where it is a copy.
pub(super) fn column_of(line: &str, cell: &str) -> usize {
    let offset = (cell.as_ptr() as usize).checked_sub(line.as_ptr() as usize);
    let before = offset.and_then(|offset| line.get(..offset));
    before.map_or(1, |before| before.chars().count() + 1)
}

/// The cells of a line: quoted where they hold a delimiter, a quote within quotes doubled.
pub(super) fn split(line: &str, delimiter: Option<char>, cells: &mut Vec<String>) {
    cells.clear();
    let Some(delimiter) = delimiter else {
        cells.extend(line.split_ascii_whitespace().map(str::to_owned));
        return;
    };
    let mut cell = String::new();
    let mut quoted = false;
    let mut characters = line.chars().peekable();
    while let Some(character) = characters.next() {
        match character {
            '"' if quoted && characters.next_if_eq(&'"').is_some() => cell.push('"'),
            '"' if quoted => quoted = false,
            '"' if cell.trim().is_empty() => {
                cell.clear();
                quoted = true;
            }
            one if one == delimiter && !quoted => cells.push(std::mem::take(&mut cell)),
            one => cell.push(one),
        }
    }
    cells.push(cell);
}
