//! `offing import soundings`.

use super::held::hold;
use super::{crs, deliver_for_site, length, name, open, refused, usage};
use crate::cli::args::{Depths, ImportSoundings};
use crate::cli::{Failure, track};
use crate::import::{
    LARGEST_SOUNDINGS, Sign, SoundingColumns, SoundingsOptions, import_soundings, is_of_a_form,
};
use crate::source::printable_line;
use crate::units::{Dimension, Length, parse_quantity};

/// The least side of a cell, m: below it a cell holds one sounding of a boat anyhow.
const LEAST_CELL: Length = Length::metres(0.1);

pub(super) fn run(options: &ImportSoundings) -> Result<u8, Failure> {
    let (mut file, _) = open(&options.file, LARGEST_SOUNDINGS)?;
    // What cannot be read is told before anything is asked about it.
    is_of_a_form(&mut file).map_err(|fault| refused(&options.file, &[fault]))?;
    let wanted = SoundingsOptions {
        crs: crs(options.crs.as_deref())?,
        sign: sign(options)?,
        unit: options.unit.as_deref().map(metres).transpose()?,
        datum: datum(options)?,
        cell: options.cell.as_deref().map(cell).transpose()?,
        no_data: options.no_data,
        columns: columns(options)?,
        property: options.z.clone().filter(|_| options.x.is_none()),
    };
    let import = import_soundings(file, &name(&options.file), &wanted)
        .map_err(|fault| refused(&options.file, &[fault]))?;
    let mut notes = import.notes;
    notes.extend(hold(&options.file, &options.of_site, &import.reach)?);
    let told = (&*import.text, &*import.summary, &*import.site);
    deliver_for_site("soundings", told, &options.output, &notes)
}

/// What the numbers are; what is missing is said, with what to add.
fn sign(options: &ImportSoundings) -> Result<Sign, Failure> {
    let height = options.datum_height.as_deref();
    let height = height
        .map(|text| length("--datum-height", text))
        .transpose()?;
    match (options.depths, height) {
        (None, _) => Err(Failure::Usage(
            "the sign of the numbers is not stated; add `--depths positive-down` for depths, or `--depths elevations` \
             for heights"
                .to_owned(),
        )),
        (Some(Depths::PositiveDown), None) => Ok(Sign::PositiveDown),
        (Some(Depths::PositiveDown), Some(_)) => Err(Failure::Usage(
            "`--datum-height` is for `--depths elevations`: depths are below their datum already".to_owned(),
        )),
        (Some(Depths::Elevations), Some(datum)) => Ok(Sign::Elevations { datum }),
        (Some(Depths::Elevations), None) => Err(Failure::Usage(
            "the height of the datum among the elevations is not stated; add `--datum-height`, such as \
             `--datum-height \"41.35 m\"`, or `\"0 m\"` where elevations are above the datum itself"
                .to_owned(),
        )),
    }
}

fn datum(options: &ImportSoundings) -> Result<String, Failure> {
    let datum = options.datum.as_deref().map(str::trim).unwrap_or_default();
    if datum.is_empty() {
        return Err(Failure::Usage(
            "the datum is not stated; add `--datum` with the level that depths are below, such as `--datum \"the \
             crest of the spillway\"`"
                .to_owned(),
        ));
    }
    if datum.chars().count() > 200 {
        return Err(usage("--datum", "a name has at most 200 characters"));
    }
    Ok(datum.to_owned())
}

/// Metres in a unit of length.
fn metres(unit: &str) -> Result<f64, Failure> {
    let read = parse_quantity(&format!("1 {unit}"), Dimension::LENGTH);
    let read = read.map_err(|_| usage("--unit", &format!("`{unit}` is no unit of length")))?;
    Ok(read.value)
}

fn cell(text: &str) -> Result<Length, Failure> {
    let read = length("--cell", text)?;
    if read < LEAST_CELL {
        return Err(usage(
            "--cell",
            &format!("a cell is {LEAST_CELL} wide or more"),
        ));
    }
    Ok(read)
}

fn columns(options: &ImportSoundings) -> Result<Option<SoundingColumns>, Failure> {
    if let Some(file) = &options.columns {
        let read = track::columns(file)?;
        let columns = SoundingColumns::from_track(&read.columns);
        let shown = file.display().to_string();
        let off = |why: String| Failure::Unreadable(format!("{}: {why}", printable_line(&shown)));
        return columns.map(Some).map_err(off);
    }
    Ok(match (&options.x, &options.y, &options.z) {
        (Some(x), Some(y), Some(z)) => Some(SoundingColumns {
            delimiter: None,
            x: x.trim().to_owned(),
            y: y.trim().to_owned(),
            z: z.trim().to_owned(),
            unit: None,
            degrees: false,
        }),
        _ => None,
    })
}
