//! `offing check`.

use super::args::Check;
use super::{Failure, output, reports, settings};
use crate::check::{Sampling, check_and_sample};
use crate::report::exit_status;
use crate::source::open_argument;

pub(super) fn run(options: &Check) -> Result<u8, Failure> {
    reports::one_to_a_place(&options.format)?;
    let opened = open_argument(&options.path).map_err(|e| Failure::Unreadable(e.to_string()))?;
    let sampling = options.spread.map(|runs| Sampling {
        runs,
        seed: options.seed,
    });
    let outcome = check_and_sample(&opened.tree, opened.selected.as_deref(), sampling)
        .map_err(|e| Failure::Unreadable(e.to_string()))?;
    for wanted in &options.format {
        let text = reports::of_check(&outcome, wanted, &options.drawing)?;
        output::deliver(&text, wanted.file.as_deref())?;
    }
    Ok(exit_status(&outcome, settings::failing(options.fail_on)))
}
