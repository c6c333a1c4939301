//! Figures of a mission and of what it names that cannot be true together: one of them is a slip.

use jiff::civil::Date;

use super::mission::Mission;
use super::site::Site;
use super::vessel::Vessel;
use crate::models::constants::Water;
use crate::schema::{Fields, Problem, Stated};
use crate::units::Ratio;

/// Fresh water has less salt than this, as a share of its mass (from memory; common practice, no source).
const FRESH: f64 = 0.0005;
/// A survey of longer ago is a slip, years: from before there were positions by satellite, in another
/// datum. Our own proposal.
const OLDEST: i16 = 40;

/// What a mission says against its site and its vessel.
pub(super) fn of_mission(file: Fields<'_>, mission: &Mission, site: &Site, vessel: &Vessel) {
    water(file, mission, site);
    days(file, mission, site, vessel);
}

/// Salt of the water, and the least depth of all of it against the least that is expected.
fn water(file: Fields<'_>, mission: &Mission, site: &Site) {
    let Some(claim) = &mission.soundings else {
        return;
    };
    let fresh = site.water.value == Water::Fresh && site.water.assumption().is_none();
    if let Some(salinity) = claim.salinity.as_ref().filter(|_| fresh)
        && salinity.value > Ratio::fraction(FRESH)
    {
        let text = format!(
            "`salinity` is {}, and the water of site `{}` is fresh",
            salinity.value, site.id.value
        );
        let problem = Problem::value(salinity.span(), text);
        file.problem(problem.with(site.water.span(), "fresh water"));
    }
    if let (Some(least), Some(expected)) = (&site.depths.least, &claim.depths)
        && expected.least.value < least.value
    {
        let text = format!(
            "the least depth expected is {}, and the site has {} at least everywhere",
            expected.least.value, least.value
        );
        let problem = Problem::value(expected.least.span(), text);
        file.problem(problem.with(least.span(), "the site's least depth"));
    }
}

/// What was surveyed, measured or tried lies before the run, and not a lifetime before it.
fn days(file: Fields<'_>, mission: &Mission, site: &Site, vessel: &Vessel) {
    let time = &mission.launch.time;
    // A day's room, since each day is by its own clock.
    let zone = site.time_zone.clone().unwrap_or(jiff::tz::TimeZone::UTC);
    let Ok(latest) = zone.to_datetime(time.value).date().tomorrow() else {
        return;
    };
    let soundings = site.depths.soundings.as_ref();
    let stated: [(&str, Option<&Stated<Date>>); 5] = [
        ("the shoreline was surveyed", site.surveyed.as_ref()),
        ("the bed was sounded", soundings.map(|one| &one.surveyed)),
        ("the speed trial was run", vessel.propulsion.tried.as_ref()),
        ("the capacity was measured", vessel.battery.tested.as_ref()),
        (
            "the water level was read",
            site.depths.level.as_ref().map(|level| &level.read),
        ),
    ];
    let casts = site.depths.casts.iter();
    let casts = casts.map(|cast| ("this depth was measured", &cast.day));
    let stated = stated
        .into_iter()
        .filter_map(|(what, day)| Some((what, day?)));
    for (what, day) in stated.chain(casts) {
        let text = if day.value > latest {
            format!("{what} on {}, after the launch", day.value)
        } else if i32::from(day.value.year()) + i32::from(OLDEST) < i32::from(latest.year()) {
            format!(
                "{what} on {}, more than {OLDEST} years before the launch",
                day.value
            )
        } else {
            continue;
        };
        let problem = Problem::value(day.span(), text);
        file.problem(problem.with(time.span(), "the launch"));
    }
}
