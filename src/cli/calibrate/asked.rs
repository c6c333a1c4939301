//! The vessel and the site that a calibration is of.

use std::sync::Arc;

use crate::calibrate::Run;
use crate::check::Loaded;
use crate::cli::Failure;
use crate::plan::FileOfKind;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::schema::Kind;
use crate::schema::explain::nearest;
use crate::source::printable_line;

/// The vessel that is asked for by its id or its path, with its file.
pub(super) fn vessel_of<'a>(
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
pub(super) fn site_of(
    loaded: &Loaded,
    asked: Option<&str>,
    runs: &[Run],
) -> Result<Arc<Site>, Failure> {
    let sites = &loaded.linked.sites;
    let ids: Vec<&str> = sites.keys().map(String::as_str).collect();
    if let Some(id) = asked {
        return sites
            .get(id)
            .map(Arc::clone)
            .ok_or_else(|| absent("site", id, &ids));
    }
    let run = runs.first();
    let first = run.and_then(|run| run.track.samples.first());
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
        (None, _) => Err(Failure::Usage(match swapped_on(run, loaded) {
            Some(site) => format!(
                "the first run would begin on the site `{site}` with latitude and longitude swapped: check which \
                 column is which"
            ),
            None => format!(
                "the first run begins on the water of no readable site ({}); name one with `--site`",
                match ids.is_empty() {
                    true => "there is none".to_owned(),
                    false => ids.join(", "),
                }
            ),
        })),
    }
}

/// The site that a run lies on only with latitude and longitude swapped.
fn swapped_on<'l>(run: Option<&Run>, loaded: &'l Loaded) -> Option<&'l str> {
    let mut sites = loaded.linked.sites.values();
    let site = sites.find(|site| run.is_some_and(|run| run.track.is_swapped_on(&site.plane)))?;
    Some(&site.id.value)
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
