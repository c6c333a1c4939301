//! `offing import places`.

use super::held::hold;
use super::{bytes, deliver, name, refused};
use crate::cli::Failure;
use crate::cli::args::ImportPlaces;
use crate::import::{LARGEST_PLACES, import_places};
use crate::plan::site::HazardKind;

pub(super) fn run(options: &ImportPlaces) -> Result<u8, Failure> {
    let read = bytes(&options.file, LARGEST_PLACES)?;
    let hazards: Vec<_> = HazardKind::proposals().collect();
    let import = import_places(read, &name(&options.file), &hazards)
        .map_err(|fault| refused(&options.file, &[fault]))?;
    let mut notes = import.notes;
    notes.extend(hold(&options.file, &options.of_site, &import.reach)?);
    let told = format!("{}.\n", import.summary);
    deliver(&import.text, &options.output, &notes, &told, false)
}
