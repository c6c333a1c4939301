//! `offing check`.

use super::args::Check;
use super::progress::Progressing;
use super::{Failure, figures, output, reports, settings};
use std::os::unix::ffi::OsStrExt as _;

use crate::check::{Extras, Sampling, check_and_sample, check_folder};
use crate::report::exit_status;
use crate::source::{ReadError, WorkTree, open_argument, printable_bytes};

pub(super) fn run(options: &Check) -> Result<u8, Failure> {
    reports::one_to_a_place(&options.format)?;
    let opened = open_argument(&options.path).map_err(|e| Failure::Unreadable(e.to_string()))?;
    let extras = Extras {
        sampling: options.spread.map(|runs| Sampling {
            runs,
            seed: options.seed,
        }),
        pictures: options.figures.is_some(),
    };
    let unreadable = |e: ReadError| Failure::Unreadable(e.to_string());
    let progress = Progressing::begin("checking");
    let watch = |progressed| progress.tell(progressed);
    let checked = match opened.selected.as_deref() {
        Some(file) => check_and_sample(&opened.tree, Some(file), extras, &watch),
        None => {
            let whole = WorkTree::open(opened.tree.root()).map_err(unreadable)?;
            check_folder(&opened.tree, &whole, &opened.within, extras, &watch)
        }
    };
    drop(progress);
    let mut outcome = checked.map_err(unreadable)?;
    for missed in &mut outcome.not_checked {
        // A folder is told under the name by which it was asked for.
        if missed.path == "." {
            missed.path = printable_bytes(options.path.as_os_str().as_bytes());
        }
    }
    let folder = options.figures.as_deref();
    if let Some(folder) = folder {
        figures::write(&outcome, folder)?;
    }
    for wanted in &options.format {
        let mut text = reports::of_check(&outcome, wanted, &options.drawing, options.short)?;
        text.push_str(&reports::links(&outcome, wanted, folder));
        output::deliver(&text, wanted.file.as_deref())?;
    }
    Ok(exit_status(&outcome, settings::failing(options.fail_on)))
}
