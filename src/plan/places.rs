//! Positions that are named by a launch site of the site in place of being stated.

use super::laid_out::point_or;
use super::site::{LaunchSite, Site, named};
use crate::models::plane::Point;
use crate::schema::{Fields, Stated};

/// The launch site that `place` names; a problem where the site has none of that id.
pub(super) fn launch_site<'s>(
    fields: Fields<'_>,
    site: &'s Site,
) -> Option<(Stated<String>, &'s LaunchSite)> {
    let place = fields.required_text("place")?;
    let of = format!("site `{}`", site.id.value);
    match named(&site.launch_sites, &place, &of) {
        Ok(found) => Some((place, found)),
        Err(problem) => {
            fields.problem(problem.with(site.id.span(), "this site"));
            None
        }
    }
}

/// A position that is stated as `at`, or else that of the launch site which `place` names.
pub(super) fn at_or_place(fields: Fields<'_>, site: &Site) -> Option<Stated<Point>> {
    point_or(&site.plane, fields, "at", || {
        let (place, found) = launch_site(fields, site)?;
        Some(place.map(|_| found.at))
    })
}
