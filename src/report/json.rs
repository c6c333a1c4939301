//! The report for other programs.

use std::io::{self, Write};

use serde_json::Value;

use super::output::{self, Output as _};
use super::records::Report;
use crate::check::Outcome;

/// What the JSON output calls itself.
pub(crate) const FORMAT: &str = Report::FORMAT;

/// The JSON Schema of the JSON output.
#[must_use]
pub fn schema() -> Value {
    output::schema::<Report<'_>>()
}

/// The report of a check as JSON text, as its schema ([`schema`]) describes it. Characters that a
/// terminal or log would act on are written as JSON escapes, so that a reader gets them unchanged
/// and a terminal does not.
///
/// # Errors
/// Those of the serializer; no outcome is known to cause one.
pub fn json(outcome: &Outcome) -> Result<String, serde_json::Error> {
    output::text(&Report::from_outcome(outcome))
}

/// Writes the same piece by piece: that of thousands of missions is never held whole.
///
/// # Errors
/// As [`json`], and those of what it is written to.
pub(crate) fn write_json(outcome: &Outcome, to: &mut dyn Write) -> io::Result<()> {
    output::write(&Report::from_outcome(outcome), to)
}
