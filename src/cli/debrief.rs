//! `offing debrief`.

use std::path::Path;

use super::args::{Debrief, DebriefFormat};
use super::{Failure, output, place, settings};
use crate::check::{Extras, asked, judged, sha256};
use crate::debrief::report::{self, Told};
use crate::debrief::{Asked, debrief};
use crate::source::{Limit, Tree as _, open_argument, printable_line};
use crate::track::{Columns, LARGEST, Track, read_csv, read_gpx};

/// A file that was named on the command line: its path from its root, and its text.
fn named(file: &Path, limit: Limit) -> Result<(String, String), Failure> {
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    let opened = open_argument(file).map_err(unreadable)?;
    let Some(path) = opened.selected else {
        let shown = file.display().to_string();
        return Err(Failure::Unreadable(format!(
            "{}: this is a folder",
            printable_line(&shown)
        )));
    };
    let text = opened.tree.read(&path, limit).map_err(unreadable)?;
    Ok((path, text.to_string()))
}

/// The track, with its path and its text.
fn track(options: &Debrief) -> Result<(Track, String, String), Failure> {
    let gpx = options
        .track
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("gpx"));
    match (&options.columns, gpx) {
        (None, false) => {
            return Err(Failure::Usage(
                "a track that is not GPX is read as CSV, and `--columns FILE` says what its columns hold"
                    .to_owned(),
            ));
        }
        (Some(_), true) => {
            return Err(Failure::Usage(
                "a GPX file has no columns; leave `--columns` out".to_owned(),
            ));
        }
        _ => {}
    }
    let columns = match &options.columns {
        None => None,
        Some(file) => {
            let (path, text) = named(file, Limit::YAML)?;
            let columns = Columns::read(&text).map_err(|errors| {
                let errors: Vec<String> = errors
                    .iter()
                    .map(|error| format!("{}: {error}", printable_line(&path)))
                    .collect();
                Failure::Unreadable(errors.join("\n"))
            })?;
            Some(columns)
        }
    };
    let (path, text) = named(&options.track, LARGEST)?;
    let read = match &columns {
        None => read_gpx(&text),
        Some(columns) => read_csv(&text, columns),
    };
    let track =
        read.map_err(|error| Failure::Unreadable(format!("{}: {error}", printable_line(&path))))?;
    Ok((track, path, text))
}

pub(super) fn run(options: &Debrief) -> Result<u8, Failure> {
    let (track, path, text) = track(options)?;
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let found = asked(&tree, &mission, options.policy.as_deref())?;
    let (plan, policy) = (found.plan, found.policy);
    let extras = Extras {
        pictures: true,
        ..Extras::default()
    };
    let mut outcome = judged(found.loaded, Some(&plan.path), extras);
    let digest = sha256(&text);
    let file = outcome.sources.add(path.clone(), text);
    let picture = outcome
        .checked
        .iter()
        .find_map(|one| one.picture.as_deref());
    let Some(picture) = picture else {
        return Err(Failure::Unreadable(
            "the mission could not be judged; `offing check` tells why".to_owned(),
        ));
    };
    let made = debrief(&Asked {
        plan: &plan,
        policy: &policy,
        picture,
        sources: &outcome.sources,
        track: &track,
        file,
    })
    .map_err(|why| Failure::Unreadable(format!("{}: {why}", printable_line(&path))))?;
    let told = Told::of(
        made,
        outcome,
        (path, digest),
        found.notes,
        plan.site.time_zone.as_ref(),
    );
    let text = match options.format {
        DebriefFormat::Text => report::text(&told, &settings::drawing(&options.drawing)),
        DebriefFormat::Json => report::json(&told).map_err(|e| Failure::NotWritten(e.into()))?,
        DebriefFormat::Markdown => report::markdown(&told),
        DebriefFormat::Html => report::html(&told),
    };
    output::deliver(&text, options.output.as_deref())?;
    Ok(report::exit_status(
        &told,
        settings::failing(options.fail_on),
    ))
}
