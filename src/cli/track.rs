//! Tracks that were named on the command line, and the files that say what their columns hold.

use std::path::Path;

use super::Failure;
use crate::source::{Limit, Sources, Span, Tree as _, open_argument, printable_line};
use crate::track::{Columns, LARGEST, Recorded, Track, read_csv, read_gpx};

/// A track that was read.
pub(super) struct Named {
    pub track: Track,
    /// Its path from the root that it was found in.
    pub path: String,
    pub text: String,
}

/// A file's path from its root, and its text, read within bounds.
fn named(file: &Path, limit: Limit) -> Result<(String, String), Failure> {
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    let opened = open_argument(file).map_err(unreadable)?;
    let Some(path) = opened.selected else {
        return Err(off(file, "this is a folder"));
    };
    let text = opened.tree.read(&path, limit).map_err(unreadable)?;
    Ok((path, text.to_string()))
}

/// What is wrong with a file, behind its path as it was typed.
fn off(file: &Path, what: &str) -> Failure {
    let shown = file.display().to_string();
    Failure::Unreadable(format!("{}: {what}", printable_line(&shown)))
}

/// A file of columns that was read.
pub(super) struct OfColumns {
    pub columns: Columns,
    /// Its path from the root that it was found in, and as it was typed.
    pub path: String,
    typed: String,
    pub text: String,
}

impl OfColumns {
    /// Path, line and column at which the unit of a quantity is stated.
    pub(super) fn place(&self, quantity: Recorded) -> Option<String> {
        let stated = self.columns.of_quantity(quantity)?.stated.start;
        let mut sources = Sources::new();
        let file = sources.add(self.typed.clone(), self.text.clone());
        let byte = u32::try_from(stated).ok()?;
        let at = sources.position(Span::new(file, byte, byte));
        Some(format!(
            "{}:{}:{}",
            printable_line(&self.typed),
            at.line,
            at.column
        ))
    }
}

/// What the columns of a track hold.
pub(super) fn columns(file: &Path) -> Result<OfColumns, Failure> {
    let (path, text) = named(file, Limit::YAML)?;
    let columns = Columns::parse(&text).map_err(|errors| off(file, &errors.join("; ")))?;
    Ok(OfColumns {
        columns,
        path,
        typed: file.display().to_string(),
        text,
    })
}

/// A track: GPX by the ending of its name, and otherwise CSV, whose columns have to be known.
pub(super) fn track(file: &Path, columns: Option<&Columns>) -> Result<Named, Failure> {
    let shown = file.display().to_string();
    let usage = |what: &str| Failure::Usage(format!("{}: {what}", printable_line(&shown)));
    let gpx = file
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("gpx"));
    let columns = match (columns, gpx) {
        (None, false) => {
            return Err(usage(
                "a track that is not GPX counts as CSV; say with `--columns FILE` what its columns \
                 hold",
            ));
        }
        (Some(_), true) => {
            return Err(usage("a GPX file has no columns; leave `--columns` out"));
        }
        (columns, _) => columns,
    };
    let (path, text) = named(file, LARGEST)?;
    let read = match columns {
        None => read_gpx(&text),
        Some(columns) => read_csv(&text, columns),
    };
    let track = read.map_err(|error| off(file, &error))?;
    if track.is_back_to_front() {
        return Err(off(
            file,
            "its times run backwards: the last fix comes first; sort the rows by time",
        ));
    }
    Ok(Named { track, path, text })
}
