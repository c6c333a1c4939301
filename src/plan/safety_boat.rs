//! What fetches a disabled boat.

use super::laid_out::point;
use super::site::Site;
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated, explain};
use crate::units::{Speed, Time};

/// A craft that waits for the boat to need it.
#[derive(Clone, Debug)]
pub struct SafetyBoat {
    /// Where it waits.
    pub at: Stated<Point>,
    /// Speed through the water that it keeps up.
    pub speed: Stated<Speed>,
    /// Time from the call until it is under way.
    pub ready_within: Stated<Time>,
    /// Strongest gust at 10 m that it goes out in, where stated.
    pub wind_limit: Option<Stated<Speed>>,
}

/// Fastest that a craft counts on its way to a boat, seen or not seen, in waves: our own
/// proposal.
const FASTEST: Speed = Speed::metres_per_second(6.0);

impl SafetyBoat {
    /// Speed that counts: as stated, and at most 6 m/s.
    #[must_use]
    pub fn calculated(&self) -> Speed {
        self.speed.value.min(FASTEST)
    }
}

/// Reads the craft of a mission. Outside `None` where something is malformed, inside where the
/// mission states none.
pub(super) fn parse(file: Fields<'_>, site: &Site) -> Option<Option<SafetyBoat>> {
    let Some(fields) = file.map("safety_boat") else {
        return Some(None);
    };
    let at = if fields.get("place").is_some() {
        at_place(fields, site)
    } else {
        point(&site.plane, fields, "at")
    };
    let speed = fields.required("speed");
    let ready_within = fields.required("ready_within");
    let wind_limit = fields.quantity("wind_limit");
    Some(Some(SafetyBoat {
        at: at?,
        speed: speed?,
        ready_within: ready_within?,
        wind_limit,
    }))
}

fn at_place(fields: Fields<'_>, site: &Site) -> Option<Stated<Point>> {
    let place = fields.required_text("place")?;
    if let Some(found) = site.launch_site(&place.value) {
        return Some(place.map(|_| found.at));
    }
    let known: Vec<&str> = site
        .launch_sites
        .iter()
        .map(|p| p.id.value.as_str())
        .collect();
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
