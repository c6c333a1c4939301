//! `offing import`.

mod area;
mod forecast;
mod held;
mod places;
mod shoreline;
mod soundings;
mod trial;

use clap::Subcommand as _;
use std::ffi::OsString;
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use clap::error::ErrorKind;

use super::args::{Import, ImportWhat, Output};
use super::{Failure, exchange, output};
use crate::import::{Crs, Fault};
use crate::models::geodesy::Position;
use crate::schema::explain::nearest;
use crate::schema::marks::gap;
use crate::source::{Limit, ReadError, open_argument, printable_line};
use crate::units::{Dimension, Length, parse_quantity, position as chart_position};

/// Why a file that is there is left as it is.
const LEFT: &str = "`--replace` writes over it";

pub(super) fn run(options: &Import) -> Result<u8, Failure> {
    match &options.what {
        ImportWhat::Route(options) => exchange::run_import_route(options),
        ImportWhat::Shoreline(options) => shoreline::run(options),
        ImportWhat::Soundings(options) => soundings::run(options),
        ImportWhat::Forecast(options) => forecast::run(options),
        ImportWhat::Places(options) => places::run(options),
        ImportWhat::Area(options) => area::run(options),
        ImportWhat::Trial(options) => trial::run(options),
    }
}

/// What to say of a call of a route's import as it was before other things came in too.
pub(super) fn renamed(
    error: &clap::Error,
    arguments: impl Iterator<Item = OsString>,
) -> Option<&'static str> {
    let kinds = [ErrorKind::InvalidSubcommand, ErrorKind::UnknownArgument];
    let mut words = arguments.skip(1);
    let is_import = words.next().is_some_and(|word| word == "import");
    let named = words
        .next()
        .is_some_and(|word| word.to_str().is_some_and(ImportWhat::has_subcommand));
    (is_import && !named && kinds.contains(&error.kind()))
        .then_some("`offing import FILE` is now `offing import route FILE`")
}

/// What is wrong with a file, behind its name as it was typed.
fn refused(file: &Path, faults: &[Fault]) -> Failure {
    let shown = file.display().to_string();
    let lines: Vec<String> = faults.iter().map(|fault| fault.shown(&shown)).collect();
    Failure::Unreadable(lines.join("\n"))
}

/// What is wrong with an option.
fn usage(option: &str, why: &str) -> Failure {
    Failure::Usage(format!("{option}: {}", printable_line(why)))
}

/// A file that was named, open, with its size.
fn open(file: &Path, limit: Limit) -> Result<(File, u64), Failure> {
    let unreadable = |error: ReadError| Failure::Unreadable(error.to_string());
    let opened = open_argument(file).map_err(unreadable)?;
    let Some(path) = opened.selected else {
        let shown = file.display().to_string();
        let text = format!("{}: this is a folder", printable_line(&shown));
        return Err(Failure::Unreadable(text));
    };
    opened.tree.open_file(&path, limit).map_err(unreadable)
}

/// All bytes of a file that was named.
fn bytes(file: &Path, limit: Limit) -> Result<Vec<u8>, Failure> {
    let (opened, size) = open(file, limit)?;
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or_default());
    let read = opened.take(limit.bytes()).read_to_end(&mut bytes);
    read.map_err(|error| {
        let shown = file.display().to_string();
        Failure::Unreadable(format!("{}: {error}", printable_line(&shown)))
    })?;
    Ok(bytes)
}

/// The name of a file without its folder.
fn name(file: &Path) -> String {
    file.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

fn crs(stated: Option<&str>) -> Result<Option<Crs>, Failure> {
    let read = stated.map(Crs::parse).transpose();
    read.map_err(|why| usage("--crs", &why))
}

fn length(option: &str, text: &str) -> Result<Length, Failure> {
    let read = parse_quantity(text, Dimension::LENGTH);
    let read = read.map_err(|error| usage(option, &error.to_string()))?;
    Ok(Length::metres(read.value))
}

/// That there is no site of an id; which one may be meant.
fn no_site<'a>(id: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    let known: Vec<&str> = known.collect();
    let meant = nearest(id, &known).map_or_else(String::new, |meant| {
        format!("did you mean `{}`? ", printable_line(meant))
    });
    Failure::Usage(format!(
        "--site: there is no site `{}` here; {meant}`--plans` names another folder",
        printable_line(id)
    ))
}

/// A length that is not negative.
fn distance(option: &str, text: &str) -> Result<Length, Failure> {
    let read = length(option, text)?;
    if read < Length::ZERO {
        return Err(usage(option, "a distance is not negative"));
    }
    Ok(read)
}

/// A position as LAT,LON in degrees, or as on a chart.
fn position(option: &str, text: &str) -> Result<Position, Failure> {
    let numbers: Vec<f64> = text
        .split(',')
        .filter_map(|number| number.trim().parse().ok())
        .collect();
    let on_earth =
        |latitude: f64, longitude: f64| latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
    match numbers[..] {
        [latitude, longitude] if text.split(',').count() == 2 && on_earth(latitude, longitude) => {
            Ok(Position::from_degrees(latitude, longitude))
        }
        _ => match chart_position(text) {
            Ok(at) => Ok(Position::from_degrees(at.latitude, at.longitude)),
            Err(_) => Err(usage(
                option,
                &format!(
                    "`{text}` is no position; write latitude and longitude as `52.4011,-24.2853`"
                ),
            )),
        },
    }
}

/// Writes geodata of a site, and says which fields of its file name them: `site` is what stands below their `file`.
fn deliver_for_site(
    group: &str,
    (text, summary, site): (&str, &str, &str),
    to: &Output,
    notes: &[String],
) -> Result<u8, Failure> {
    let file = to.output.as_deref().map(name).map_or_else(
        || gap("file", "path of the file that this is written to"),
        |file| format!("file: {}", printable_line(&file)),
    );
    let told = format!("{summary}.\nFields of the site's file:\n{group}:\n  {file}\n{site}");
    deliver(text, to, notes, &told, true)
}

/// Writes what came in, and says what there is to say. Where the text itself goes to the standard output, only what is
/// to be copied into another file is said beside it.
fn deliver(
    text: &str,
    to: &Output,
    notes: &[String],
    told: &str,
    is_to_be_copied: bool,
) -> Result<u8, Failure> {
    for note in notes {
        output::complain(note);
    }
    let Some(path) = output::no_stream(to.output.as_deref()) else {
        output::print(text)?;
        if is_to_be_copied {
            output::complain(told.trim_end());
        }
        return Ok(0);
    };
    if to.replace {
        output::deliver_over(text, path)?;
    } else {
        output::deliver_new(text, path, LEFT)?;
    }
    let shown = path.display().to_string();
    output::print(&format!("{}: {told}", printable_line(&shown)))?;
    Ok(0)
}
