//! What fetches a disabled boat.

use super::places::at_or_place;
use super::site::Site;
use crate::models::plane::Point;
use crate::schema::{Fields, Stated};
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
    let at = at_or_place(fields, site);
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
