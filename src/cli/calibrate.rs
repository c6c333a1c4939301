//! `offing calibrate`.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::args::{Calibrate, CalibrateFormat};
use super::track::{Named, OfColumns, columns, track};
use super::{Failure, output, place, settings};
use crate::calibrate::{
    Anemometer, Calibration, Despite, Run, Wind, Written, against, calibrate, has_wind, written,
};
use crate::check::{Loaded, load, sha256};
use crate::launch::WindRead;
use crate::launch::wind;
use crate::models::wind::BY_HAND;
use crate::plan::run::run_record;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::plan::{FileOfKind, is_yaml};
use crate::report::calibrate::{About, File, by_speed, html, json, text};
use crate::report::counted;
use crate::schema::Kind;
use crate::schema::explain::nearest;
use crate::source::{WorkTree, printable_line};
use crate::track::{Aside, Columns, Plausible, Recorded, Track, set_aside};
use crate::units::{Angle, FromDirection, Speed};

/// Why a vessel that is there is left as it is.
const LEFT: &str = "calibrate overwrites no vessel file";

pub(super) fn run(options: &Calibrate) -> Result<u8, Failure> {
    if !options.wind.is_empty() && options.wind.len() != options.track.len() {
        return Err(Failure::Usage(format!(
            "there are {} and {}; give one `--wind` for each track, in their order",
            counted(options.track.len(), "track", "tracks"),
            counted(options.wind.len(), "wind", "winds")
        )));
    }
    if let Some(path) = &options.output
        && !path.to_str().is_some_and(is_yaml)
    {
        return Err(Failure::Usage(format!(
            "--output: `{}` is no name of a vessel file, which ends in `.yaml`; the report goes to the standard \
             output",
            printable_line(&path.display().to_string())
        )));
    }
    output::has_its_place(options.figure.as_deref())?;
    let tree = place::repository(&options.plans)?;
    let loaded = load(&tree, None).map_err(|error| Failure::Unreadable(error.to_string()))?;
    let (file, vessel) = vessel_of(
        &loaded,
        &place::mission(&tree, &options.plans, &options.vessel),
    )?;
    let columns = options.columns.as_deref().map(columns).transpose()?;
    let mut runs = Vec::new();
    let of_columns = columns.as_ref().map(|of| &of.columns);
    for (number, path) in options.track.iter().enumerate() {
        let given = options.wind.get(number).map(String::as_str);
        runs.push(load_run(path, of_columns, given, &loaded)?);
    }
    let site = site_of(&loaded, options.site.as_deref(), &runs)?;
    let plausible = Plausible::for_vessel(&vessel, &site);
    for (path, run) in options.track.iter().zip(&mut runs) {
        run.aside = sound(path, &mut run.track, columns.as_ref(), &plausible)?;
    }
    let despite = Despite {
        one_run: options.despite_one_run,
        large_gain: options.despite_large_gain,
    };
    let found = calibrate((&vessel, &site), &runs, despite)
        .map_err(|error| Failure::Unreadable(error.to_string()))?;
    let path = loaded.sources.path(file.source);
    let new = if found.changes().next().is_some() {
        let target = target(options, &tree, path, &vessel, &found);
        Some(put(
            options,
            &loaded,
            (file, &vessel, &site),
            &found,
            target,
        )?)
    } else {
        None
    };
    if let Some(path) = &options.figure {
        match by_speed(&found) {
            Some(figure) => {
                let of = format!("vessel {}", vessel.id.value);
                output::deliver(&figure.file(&of), Some(path))?;
            }
            None => output::complain("nothing was fitted, and no figure is drawn"),
        }
    }
    tell(options, (&vessel, path, &site), &found, new.as_ref())
}

fn tell(
    options: &Calibrate,
    (vessel, path, site): (&Vessel, &str, &Site),
    found: &Calibration,
    new: Option<&Put>,
) -> Result<u8, Failure> {
    let file = new.map(|new| File {
        path: &new.shown,
        id: &new.written.id,
        agreement: new.agreement,
        left_alone: &new.written.left_alone,
    });
    let contact = site.people.emergency_contact.as_ref();
    let about = About {
        vessel: &vessel.id.value,
        path,
        site: &site.id.value,
        contact: contact.map(|one| one.value.as_str()),
        written: file.as_ref(),
    };
    let report = match options.format {
        CalibrateFormat::Terminal => text(found, &about, &settings::drawing(&options.drawing)),
        CalibrateFormat::Json => {
            json(found, &about).map_err(|error| Failure::NotWritten(error.into()))?
        }
        CalibrateFormat::Html => html(found, &about),
    };
    output::print(&report)?;
    Ok(u8::from(new.is_none()))
}

/// A file that was written.
struct Put {
    shown: String,
    written: Written,
    agreement: Option<crate::calibrate::Agreement>,
}

/// The name of the new file, and its id.
fn target(
    options: &Calibrate,
    tree: &WorkTree,
    path: &str,
    vessel: &Vessel,
    found: &Calibration,
) -> (PathBuf, String, String) {
    let id = match &options.id {
        Some(id) => id.clone(),
        None => format!("{}-calibrated-{}", vessel.id.value, found.day),
    };
    match &options.output {
        Some(path) => (path.clone(), path.display().to_string(), id),
        None => {
            let beside = Path::new(path).with_extension("");
            let beside = format!("{}.calibrated-{}.yaml", beside.display(), found.day);
            (tree.root().join(&beside), beside, id)
        }
    }
}

fn put(
    options: &Calibrate,
    loaded: &Loaded,
    (file, vessel, site): (&FileOfKind, &Vessel, &Site),
    found: &Calibration,
    (target, shown, id): (PathBuf, String, String),
) -> Result<Put, Failure> {
    let mut others = loaded.gathered.of_kind(Kind::Vessel);
    let taken = |other: &FileOfKind| other.id.as_ref().is_some_and(|(other, _)| *other == id);
    if let Some(other) = others.find(|other| taken(other)) {
        return Err(Failure::Usage(format!(
            "{} has the id `{}` already; give another one with `--id`",
            printable_line(loaded.sources.path(other.source)),
            printable_line(&id)
        )));
    }
    let old = loaded
        .sources
        .get(file.source)
        .map_or("", |file| file.text());
    let made = written(
        (old, &file.document.root, &sha256(old)),
        vessel,
        found,
        (&id, &site.id.value),
    )
    .map_err(|error| match (error, &options.id) {
        (error @ crate::calibrate::NotWritten::Id(_), Some(_)) => {
            Failure::Usage(format!("--id: {error}"))
        }
        (error, _) => Failure::Unreadable(format!(
            "{}: {error}",
            printable_line(loaded.sources.path(file.source))
        )),
    })?;
    let winds: Vec<Wind> = found.runs.iter().map(|run| run.wind).collect();
    let agreement = against(&found.stretches, &winds, (&made.vessel, site))
        .map_err(|error| Failure::Unreadable(error.to_string()))?;
    output::deliver_new(&made.text, &target, LEFT)?;
    Ok(Put {
        shown,
        written: made,
        agreement,
    })
}

fn vessel_of<'a>(
    loaded: &'a Loaded,
    asked: &str,
) -> Result<(&'a FileOfKind, Arc<Vessel>), Failure> {
    let of = |file: &&FileOfKind| {
        let id = file.id.as_ref().map(|(id, _)| id.as_str());
        id == Some(asked) || loaded.sources.path(file.source) == asked
    };
    let mut files = loaded.gathered.of_kind(Kind::Vessel).filter(of);
    let Some(file) = files.next() else {
        let ids: Vec<&str> = loaded.linked.vessels.keys().map(String::as_str).collect();
        return Err(absent("vessel", asked, &ids));
    };
    let path = printable_line(loaded.sources.path(file.source));
    if let Some(other) = files.next() {
        return Err(Failure::Unreadable(format!(
            "{path} and {} have the same id; rename one of them",
            printable_line(loaded.sources.path(other.source))
        )));
    }
    let vessel = file
        .id
        .as_ref()
        .and_then(|(id, _)| loaded.linked.vessels.get(id));
    match vessel.filter(|_| file.sound) {
        Some(vessel) => Ok((file, Arc::clone(vessel))),
        None => Err(Failure::Unreadable(format!(
            "{path} has errors and cannot be calibrated; `offing check` shows them"
        ))),
    }
}

/// The site that is named, or else the one on whose water the first run begins.
fn site_of(loaded: &Loaded, asked: Option<&str>, runs: &[Run]) -> Result<Arc<Site>, Failure> {
    let sites = &loaded.linked.sites;
    let ids: Vec<&str> = sites.keys().map(String::as_str).collect();
    if let Some(id) = asked {
        return sites
            .get(id)
            .map(Arc::clone)
            .ok_or_else(|| absent("site", id, &ids));
    }
    let first = runs.first().and_then(|run| run.track.samples.first());
    let holds = |site: &&Arc<Site>| {
        let point = first.and_then(|first| site.plane.within_limit(first.position).ok());
        point.is_some_and(|point| site.shore.is_water(point))
    };
    let mut holding = sites.values().filter(holds);
    match (holding.next(), holding.next()) {
        (Some(site), None) => Ok(Arc::clone(site)),
        (Some(_), Some(_)) => Err(Failure::Usage(
            "the first run begins on the water of several sites; name one with `--site`".to_owned(),
        )),
        (None, _) => Err(Failure::Usage(format!(
            "the first run begins on the water of no readable site ({}); name one with `--site`",
            if ids.is_empty() {
                "there is none".to_owned()
            } else {
                ids.join(", ")
            }
        ))),
    }
}

fn absent(what: &str, asked: &str, ids: &[&str]) -> Failure {
    let asked_shown = printable_line(asked);
    Failure::Usage(match nearest(asked, ids) {
        Some(near) => format!("there is no {what} `{asked_shown}`; did you mean `{near}`?"),
        None if ids.is_empty() => format!("there is no readable {what} here"),
        None => format!(
            "there is no readable {what} `{asked_shown}`; there are {}",
            ids.join(", ")
        ),
    })
}

/// Puts aside what cannot be of the boat, and refuses a column that a fit rests on and that cannot be as a
/// whole: its figures would go to the vessel's account. What was put aside comes back in words.
fn sound(
    path: &Path,
    track: &mut Track,
    columns: Option<&OfColumns>,
    plausible: &Plausible,
) -> Result<Vec<String>, Failure> {
    let of_columns = columns.map(|of| &of.columns);
    let aside = set_aside(track, of_columns, plausible);
    let rests = |one: &&Aside| {
        one.whole
            && matches!(
                one.quantity,
                Recorded::Voltage | Recorded::Current | Recorded::Wind
            )
    };
    if let Some(one) = aside.iter().find(rests) {
        let place = columns
            .and_then(|of| of.place(one.quantity))
            .unwrap_or_else(|| printable_line(&path.display().to_string()).into_owned());
        return Err(Failure::Unreadable(format!(
            "{place}: in {}, {}",
            printable_line(&path.display().to_string()),
            one.describe(of_columns)
        )));
    }
    let few = aside.iter().filter(|one| !one.whole).map(Aside::few);
    let cut_off = track.told_cut_off().map(str::to_owned);
    Ok(few.chain(cut_off).collect())
}

fn load_run(
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
