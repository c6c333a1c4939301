//! A file of GeoJSON, whatever it is read for.

use super::fault::{Fault, Place};
use crate::document::{Document, ParseLimits, parse};
use crate::source::Sources;

/// Parses it; the first thing that is wrong with it, at its place, where it is none.
pub(super) fn geodata(text: &str) -> Result<Document, Fault> {
    let mut sources = Sources::new();
    let source = sources.add("the file", text.to_owned());
    parse(source, text, &ParseLimits::GEODATA).map_err(|errors| {
        errors.first().map_or_else(
            || Fault::whole("the file cannot be read"),
            |error| {
                let at = error.span.range().start;
                Fault::at(Place::in_text(text, at), error.message.to_string())
            },
        )
    })
}
