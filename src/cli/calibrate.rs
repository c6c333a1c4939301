//! `offing calibrate`.

mod asked;
mod run;

use std::path::{Path, PathBuf};

use super::args::{Calibrate, CalibrateFormat};
use super::track::{OfColumns, columns};
use super::{Failure, output, place, settings};
use crate::calibrate::{Calibration, Despite, Wind, Written, against, calibrate, written};
use crate::check::{Loaded, load, sha256};
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::plan::{FileOfKind, is_yaml};
use crate::report::calibrate::{About, File, by_speed, html, json, text};
use crate::report::counted;
use crate::schema::Kind;
use crate::source::{WorkTree, printable_line};
use crate::track::{Aside, Plausible, Recorded, Track, set_aside};
use asked::{site_of, vessel_of};
use run::load_run;

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
