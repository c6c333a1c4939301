//! Values as JSON text.

use std::borrow::Cow;
use std::io::{self, Write};

use serde::Serialize;

use crate::source::{acts, printable};

/// A value as the JSON text of a report, as [`write`] has it.
///
/// # Errors
/// Those of the serializer.
pub(crate) fn text<T: Serialize + ?Sized>(of: &T) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::new();
    write(of, &mut bytes).map_err(serde_json::Error::io)?;
    String::from_utf8(bytes).map_err(|error| serde_json::Error::io(io::Error::other(error)))
}

/// Writes a value as the JSON text of a report, piece by piece, so that a long one is never held whole.
/// Characters that a terminal or log would act on are written as JSON escapes, so that a reader gets them
/// unchanged and a terminal does not.
///
/// # Errors
/// Those of the serializer, and of what it is written to.
pub(crate) fn write<T: Serialize + ?Sized>(of: &T, to: &mut dyn Write) -> io::Result<()> {
    let mut lines = Lines {
        to,
        held: Vec::new(),
    };
    serde_json::to_writer_pretty(&mut lines, of)?;
    lines.held.push(b'\n');
    lines.pass_on(lines.held.len())
}

/// How much is held before it is passed on, bytes.
const PIECE: usize = 1 << 16;

/// Passes on whole lines, without what a terminal or log would act on. What acts does so by what stands before
/// it in its line.
struct Lines<'a> {
    to: &'a mut dyn Write,
    held: Vec<u8>,
}

impl Lines<'_> {
    /// Passes on what is held up to the end of a line.
    fn pass_on(&mut self, end: usize) -> io::Result<()> {
        let lines = self.held.get(..end).unwrap_or_default();
        let lines = std::str::from_utf8(lines).map_err(io::Error::other)?;
        match printable(lines) {
            Cow::Owned(_) => self.to.write_all(escaped(lines).as_bytes())?,
            Cow::Borrowed(_) => self.to.write_all(lines.as_bytes())?,
        }
        self.held.drain(..end);
        Ok(())
    }
}

impl Write for Lines<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.held.extend_from_slice(bytes);
        // A line break stands only between values: within one it is written as an escape.
        if self.held.len() >= PIECE
            && let Some(last) = memchr::memrchr(b'\n', bytes)
        {
            self.pass_on(self.held.len() - bytes.len() + last + 1)?;
        }
        Ok(bytes.len())
    }

    /// What is held is no whole line as yet.
    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

/// Escapes what acts on a terminal or log. Such characters stand only inside strings: the serializer
/// itself writes none but line feeds.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 64);
    for (at, character) in text.char_indices() {
        let before = text.get(..at).unwrap_or_default();
        if character != '\n' && acts(before, character) {
            for unit in character.encode_utf16(&mut [0; 2]) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(character);
        }
    }
    out
}
