//! Figures of a site that cannot be true together: one of them is a slip.

use super::{LaunchSite, Station};
use crate::models::geometry::Shore;
use crate::plan::depths::Cast;
use crate::schema::{Fields, Problem, Stated};
use crate::units::Length;

/// Depths of a site: the mean of all lies above none that holds everywhere, nor below one at a bank.
pub(super) fn depths(
    file: Fields<'_>,
    mean: &Stated<Length>,
    least: Option<&Stated<Length>>,
    launch_sites: Option<&[LaunchSite]>,
) {
    let launch_sites = launch_sites.unwrap_or_default().iter();
    let launch_sites = launch_sites.filter_map(|place| place.depth.as_ref());
    let stated = least.map(|least| ("least_depth", least));
    let stated = stated
        .into_iter()
        .chain(launch_sites.map(|depth| ("depth", depth)));
    for (key, depth) in stated.filter(|(_, depth)| depth.value > mean.value) {
        let text = format!(
            "`{key}` is {}, more than the mean depth of the whole water, {}",
            depth.value, mean.value
        );
        let problem = Problem::value(depth.span(), text);
        file.problem(problem.with(mean.span(), "the mean depth"));
    }
}

/// A cast is taken from a boat.
pub(super) fn casts_on_water(
    file: Fields<'_>,
    casts: &[Cast],
    shore: &Shore,
    error: &Stated<Length>,
) {
    for cast in casts {
        let inland = -shore.signed_distance(cast.at);
        if inland > error.value.get() {
            let text = format!(
                "this depth is {} inland, more than the error of the shoreline, {}",
                Length::metres(inland),
                error.value
            );
            let problem = Problem::value(cast.depth.span(), text);
            file.problem(problem.with(error.span(), "error of the shoreline"));
        }
    }
}

/// No station stands higher than the land.
pub(super) fn grounds(file: Fields<'_>, stations: &[Station], land: &Stated<Length>) {
    let higher = stations
        .iter()
        .map(|station| &station.ground)
        .filter(|ground| ground.value > land.value);
    for ground in higher {
        let text = format!(
            "`ground_height` is {}, and the land is {} high",
            ground.value, land.value
        );
        let problem = Problem::value(ground.span(), text);
        file.problem(problem.with(land.span(), "the land"));
    }
}
