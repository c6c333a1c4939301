//! Positions that are named by a launch site of the site in place of being stated.

use super::laid_out::point_or;
use super::site::{LaunchSite, Site};
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated, explain};

/// The launch site that `place` names; a problem where the site has none of that id.
pub(super) fn launch_site<'s>(
    fields: Fields<'_>,
    site: &'s Site,
) -> Option<(Stated<String>, &'s LaunchSite)> {
    let place = fields.required_text("place")?;
    if let Some(found) = site.launch_site(&place.value) {
        return Some((place, found));
    }
    let known = site.launch_sites.iter();
    let known: Vec<&str> = known.map(|one| one.id.value.as_str()).collect();
    let text = format!(
        "`{}` is not a launch site of site `{}`",
        place.value, site.id.value
    );
    let problem = Problem::new("input-reference", place.span(), text);
    let problem = problem.with(site.id.span(), "this site");
    fields.problem(match explain::nearest(&place.value, &known) {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None => problem.help(format!("it has {}", known.join(", "))),
    });
    None
}

/// A position that is stated as `at`, or else that of the launch site which `place` names.
pub(super) fn at_or_place(fields: Fields<'_>, site: &Site) -> Option<Stated<Point>> {
    point_or(&site.plane, fields, "at", || {
        let (place, found) = launch_site(fields, site)?;
        Some(place.map(|_| found.at))
    })
}
