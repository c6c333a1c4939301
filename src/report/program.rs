//! What wrote a report.

use serde::Serialize;

/// What wrote a report.
#[derive(Serialize)]
pub(super) struct Program {
    name: &'static str,
    version: &'static str,
}

/// This program.
pub(super) const PROGRAM: Program = Program {
    name: "offing",
    version: env!("CARGO_PKG_VERSION"),
};
