//! `offing check`.

use super::args::{Check, Format};
use super::{Failure, output, settings};
use crate::check::{Sampling, check_and_sample};
use crate::report::{exit_status, json, terminal};
use crate::source::open_argument;

pub(super) fn run(options: &Check) -> Result<u8, Failure> {
    let opened = open_argument(&options.path).map_err(|e| Failure::Unreadable(e.to_string()))?;
    let sampling = options.spread.map(|runs| Sampling {
        runs,
        seed: options.seed,
    });
    let outcome = check_and_sample(&opened.tree, opened.selected.as_deref(), sampling)
        .map_err(|e| Failure::Unreadable(e.to_string()))?;
    let text = match options.format {
        Format::Terminal => terminal(&outcome, &settings::drawing(&options.drawing)),
        Format::Json => json(&outcome).map_err(|e| Failure::NotWritten(e.into()))?,
    };
    output::print(&text)?;
    Ok(exit_status(&outcome, settings::failing(options)))
}
