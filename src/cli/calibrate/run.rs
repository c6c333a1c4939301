//! A run that figures are fitted to: its track, and the wind of it.

use std::path::Path;

use crate::calibrate::{Anemometer, Run, Wind, has_wind};
use crate::check::{Loaded, sha256};
use crate::cli::Failure;
use crate::cli::track::{Named, track};
use crate::launch::{WindRead, wind};
use crate::models::wind::BY_HAND;
use crate::plan::FileOfKind;
use crate::plan::run::run_record;
use crate::schema::Kind;
use crate::source::printable_line;
use crate::track::Columns;
use crate::units::{Angle, FromDirection, Speed};

/// A run from its track, with the wind that is given for it, that it has of its own, or that a record knows.
pub(super) fn load_run(
    path: &Path,
    columns: Option<&Columns>,
    given: Option<&str>,
    loaded: &Loaded,
) -> Result<Run, Failure> {
    let shown = path.display().to_string();
    let refused = |text: String| Failure::Unreadable(format!("{}: {text}", printable_line(&shown)));
    let Named { track, text, .. } = track(path, columns)?;
    let powered = track
        .samples
        .iter()
        .any(|one| one.voltage.is_some() && one.current.is_some());
    if !powered {
        return Err(refused(
            "the track holds no voltage with a current, so the power is unknown; give a CSV file \
             with `voltage` and `current` among its columns"
                .to_owned(),
        ));
    }
    let sha256 = sha256(&text);
    let of_track = columns.and_then(|columns| columns.wind.as_ref());
    let of_track = of_track.filter(|_| has_wind(&track));
    if let Some(wind) = of_track {
        if given.is_some() {
            return Err(Failure::Usage(format!(
                "{}: the track has a wind of its own, in the column `{}`; leave `--wind` out, or `wind` out of \
                 the columns",
                printable_line(&shown),
                printable_line(&wind.speed.heading)
            )));
        }
        let (place, of) = if wind.aboard {
            ("aboard", "the mean of its movement over the ground")
        } else {
            ("ashore", "the mean of its movement")
        };
        return Ok(Run {
            file: named_last(path)?,
            sha256,
            track,
            aside: Vec::new(),
            // Each stretch has its own.
            wind: Wind {
                from: FromDirection::new(Angle::ZERO),
                mean: Speed::ZERO,
                height: wind.height,
            },
            known: format!("as recorded {place}, {of}"),
            anemometer: Some(Anemometer {
                aboard: wind.aboard,
                height: wind.height,
            }),
        });
    }
    let (wind, known) = match given {
        Some(text) => {
            let read = wind::wind(text);
            let read = read.map_err(|why| Failure::Usage(format!("--wind: {why}")))?;
            (read, "as given".to_owned())
        }
        None => recorded(&sha256, loaded).map_err(|why| {
            Failure::Usage(format!(
                "{}: {why}; give it with `--wind \"240° 6 m/s at 2 m\"`, one for each track",
                printable_line(&shown)
            ))
        })?,
    };
    Ok(Run {
        file: named_last(path)?,
        sha256,
        track,
        aside: Vec::new(),
        wind: Wind {
            from: wind.from,
            mean: wind.mean,
            height: wind.height.unwrap_or(BY_HAND),
        },
        known: match wind.height {
            Some(_) => known,
            None => format!("{known}, height assumed {BY_HAND}"),
        },
        anemometer: None,
    })
}

/// The name of a file without its folders, which the new file keeps.
fn named_last(path: &Path) -> Result<String, Failure> {
    let name = path.file_name().unwrap_or_default();
    name.to_str().map(str::to_owned).ok_or_else(|| {
        Failure::Usage(format!(
            "`{}` is not UTF-8, so no file can hold this name; rename the track",
            printable_line(&path.display().to_string())
        ))
    })
}

/// The wind that was read at the launch of the run whose record names a track, and where it stands.
fn recorded(track: &str, loaded: &Loaded) -> Result<(WindRead, String), String> {
    let sound = |kind| loaded.gathered.of_kind(kind).filter(|file| file.sound);
    let mut runs = sound(Kind::Run).filter_map(|file| run_record(file).ok());
    let Some(run) = runs.find(|run| run.track.value == track) else {
        return Err("the wind is unknown: no record of a run names this track".to_owned());
    };
    let id = printable_line(&run.id.value).into_owned();
    let Some(decision) = &run.decision else {
        return Err(format!(
            "the wind is unknown: the record `{id}` names no decision on the launch"
        ));
    };
    let text_of = |file: &FileOfKind| {
        loaded
            .sources
            .get(file.source)
            .map_or("", |file| file.text())
    };
    let mut launches = sound(Kind::Launch);
    let Some(launch) = launches.find(|file| sha256(text_of(file)) == decision.sha256.value) else {
        return Err(format!(
            "the wind is unknown: the decision that the record `{id}` names is not here"
        ));
    };
    let path = loaded.sources.path(launch.source);
    let readings = launch.document.root.get("readings");
    let typed = readings.and_then(|readings| readings.get("wind"));
    let typed = typed.and_then(|wind| wind.as_text()).unwrap_or("");
    let read = wind::wind(typed).map_err(|why| format!("{}: {why}", printable_line(path)))?;
    Ok((read, format!("as read at the launch, {path}")))
}
