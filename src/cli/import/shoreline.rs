//! `offing import shoreline`.

use super::held::hold;
use super::{bytes, crs, deliver_for_site, distance, length, name, position, refused, usage};
use crate::cli::Failure;
use crate::cli::args::ImportShoreline;
use crate::import::{LARGEST_DRAWING, OpenMark, ShorelineOptions, import_shoreline};
use crate::units::Length;

pub(super) fn run(options: &ImportShoreline) -> Result<u8, Failure> {
    let tolerance = options.tolerance.as_deref();
    let tolerance = tolerance
        .map(|text| distance("--tolerance", text))
        .transpose()?;
    let marks: Result<Vec<OpenMark>, Failure> = options.open.chunks(3).map(mark).collect();
    let keep: Result<Vec<_>, Failure> = options
        .keep
        .iter()
        .map(|text| position("--keep", text))
        .collect();
    let wanted = ShorelineOptions {
        crs: crs(options.crs.as_deref())?,
        tolerance,
        join: distance("--join", &options.join)?,
        open: marks?,
        keep: keep?,
    };
    let read = bytes(&options.file, LARGEST_DRAWING)?;
    let import = import_shoreline(read, &name(&options.file), &wanted)
        .map_err(|faults| refused(&options.file, &faults))?;
    let mut notes = import.notes;
    notes.extend(hold(&options.file, &options.of_site, &import.reach)?);
    let told = (&*import.text, &*import.summary, &*import.site);
    deliver_for_site("shoreline", told, &options.output, &notes)
}

/// An edge as three words mark it.
fn mark(words: &[String]) -> Result<OpenMark, Failure> {
    let [from, to, fetch] = words else {
        return Err(usage("--open", "an edge takes FROM, TO and FETCH"));
    };
    let fetch = match fetch.as_str() {
        "unlimited" => None,
        stated => Some(length("--open", stated)?),
    };
    if fetch.is_some_and(|fetch| fetch <= Length::ZERO) {
        return Err(usage("--open", "a fetch is more than 0 m"));
    }
    Ok(OpenMark {
        from: position("--open", from)?,
        to: position("--open", to)?,
        fetch,
    })
}
