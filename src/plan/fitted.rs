//! Sites as they are for the vessel that is out there: the radios of stations that are the same as those aboard.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::alike::Alike;
use super::radio::Radio;
use super::site::{Site, Station};
use super::vessel::Vessel;
use crate::schema::{Fields, Problem};

/// Sites with the radios of their stations, for each vessel that is out there.
pub(super) type Fitted = BTreeMap<(String, String), Arc<Site>>;

/// A site as it is for a vessel: the radios that are the same as those aboard have their figures. Where no
/// radio is, it is the site itself.
pub(super) fn fitted(site: &Arc<Site>, vessel: &Vessel) -> Arc<Site> {
    if site.stations.iter().all(|one| one.alike.is_empty()) {
        return Arc::clone(site);
    }
    let mut with = Site::clone(site);
    for station in &mut with.stations {
        let known = |one: &Alike| Some(one.fitted(one.aboard(vessel)?));
        let radios: Vec<Radio> = station.alike.iter().filter_map(known).collect();
        station.radios.extend(radios);
    }
    Arc::new(with)
}

/// Tells of every radio of a station in use that is the same as one which the mission's boat does not have. A
/// station that is not in use serves other boats.
pub(super) fn tell_unlike(mission: Fields<'_>, site: &Site, vessel: &Vessel) {
    let used: Vec<String> = mission
        .maps("stations")
        .filter_map(|item| item.get("station")?.as_text().map(str::to_owned))
        .collect();
    let in_use = |station: &&Station| used.contains(&station.id.value);
    for station in site.stations.iter().filter(in_use) {
        for one in &station.alike {
            if one.aboard(vessel).is_some() {
                continue;
            }
            let link = one.link.value.name();
            let (id, named) = (&vessel.id, &one.vessel.value);
            let own = id.value == *named || vessel.of_boat().is_some_and(|of| of.value == *named);
            let text = if own {
                format!(
                    "the {link} radio of `{}` is the one aboard `{named}`, which has none for that link",
                    station.id.value
                )
            } else {
                format!(
                    "the {link} radio of `{}` is the one aboard `{named}`, and this mission's boat is `{}`",
                    station.id.value, id.value
                )
            };
            // On the mission's own line: other missions at the site may have the boat that is meant.
            let here = mission.get("vessel").map_or(id.span(), |node| node.span);
            mission.problem(
                Problem::new("input-reference", here, text)
                    .labelled("this mission's boat")
                    .with(one.vessel.span(), "whose radio it is")
                    .help("state the radio's own figures in place of `as`"),
            );
        }
    }
}
