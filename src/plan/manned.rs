//! The shore stations that a mission uses, each with where its operator stands.

use super::laid_out::point_or;
use super::operator::Operator;
use super::site::{Site, Station};
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated, explain};

/// A station in use on a mission. A station that no mission names serves no link: its radio may be
/// switched off, or nobody may be there to hear it.
#[derive(Clone, Debug)]
pub struct Manned {
    /// Id of the station, on the line that names it.
    pub station: Stated<String>,
    /// Its index among the site's stations.
    pub index: usize,
    /// Where its operator stands.
    pub operator: Stated<Point>,
}

/// Reads the stations in use; `None` where one of them is malformed, unknown or named twice. Where an item does
/// not say where its operator stands, it is the remote operator.
pub(super) fn parse(
    file: Fields<'_>,
    site: &Site,
    remote: Option<&Operator>,
) -> Option<Vec<Manned>> {
    let mut all: Vec<Manned> = Vec::new();
    let mut sound = true;
    for item in file.maps("stations") {
        let station = item.required_text("station");
        let operator = point_or(&site.plane, item, "operator_at", || {
            remote.map(|remote| remote.at.clone())
        });
        let (Some(station), Some(operator)) = (station.clone(), operator) else {
            // An `operator` that is malformed was reported where it stands.
            if let Some(station) = station
                && item.get("operator_at").is_none()
                && file.get("operator").is_none()
            {
                item.problem(unmanned(&station));
            }
            sound = false;
            continue;
        };
        let found = site
            .stations
            .iter()
            .position(|one| one.id.value == station.value);
        let Some(index) = found else {
            item.problem(unknown(site, &station));
            sound = false;
            continue;
        };
        if let Some(first) = all.iter().find(|one| one.index == index) {
            let text = format!("station `{}` is named twice", station.value);
            item.problem(
                Problem::value(station.span(), text).with(first.station.span(), "named here first"),
            );
            sound = false;
            continue;
        }
        all.push(Manned {
            station,
            index,
            operator,
        });
    }
    sound.then_some(all)
}

/// The problem of a station of which nobody says where its operator stands.
fn unmanned(station: &Stated<String>) -> Problem {
    let text = format!(
        "where the operator of station `{}` stands is not stated",
        station.value
    );
    Problem::value(station.span(), text)
        .help("state `operator_at` here, or the mission's `operator`, who then serves it")
}

/// The problem of a station that the site does not have.
pub(super) fn unknown(site: &Site, station: &Stated<String>) -> Problem {
    let stations = site.stations.iter();
    let known: Vec<&str> = stations.map(|s| s.id.value.as_str()).collect();
    let text = format!(
        "`{}` is not a station of site `{}`",
        station.value, site.id.value
    );
    let problem =
        Problem::new("input-reference", station.span(), text).with(site.id.span(), "this site");
    match explain::nearest(&station.value, &known) {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None if known.is_empty() => problem.help("it has none"),
        None => problem.help(format!("it has {}", known.join(", "))),
    }
}

/// The station that an item of a list names, where it is one of the site's and in use.
pub(super) fn in_use<'s>(
    item: Fields<'_>,
    station: &Stated<String>,
    site: &'s Site,
    manned: &[Manned],
) -> Option<&'s Station> {
    let Some(found) = site.stations.iter().find(|s| s.id.value == station.value) else {
        item.problem(unknown(site, station));
        return None;
    };
    if !manned.iter().any(|one| one.station.value == station.value) {
        let text = format!("station `{}` is not in use on this mission", station.value);
        item.problem(
            Problem::value(station.span(), text)
                .labelled("pointed, and nobody mans it")
                .help(format!(
                    "add `- {{ station: {}, operator_at: [latitude, longitude] }}` to the \
                     mission's `stations`, or leave this out",
                    station.value
                )),
        );
        return None;
    }
    Some(found)
}
