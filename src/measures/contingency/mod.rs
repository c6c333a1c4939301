//! What happens when something fails: that it is stated, comes early enough, leads nowhere
//! dangerous and ends at rest.

mod holding;
mod stated;
mod straight_on;

use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Change, Type, known};
use crate::units::Dimension;

const LENGTH: Type = Type::Quantity(Dimension::LENGTH);
const TIME: Type = Type::Quantity(Dimension::TIME);

pub(super) const LOST_PROPULSION: Entry = entry(
    "mission.lost_propulsion_answered",
    Type::Truth,
    "Whether people act when the boat has lost its propulsion",
    "True where the plan says what people do then. Drifting or at anchor, the boat itself can do no \
     more.",
    &["on_lost_propulsion: action", "on_lost_propulsion: then"],
    |passage| evidence::of_mission(stated::lost_propulsion(passage)),
);

pub(super) const STOPS_AFTER_RETURN: Entry = entry(
    "mission.stops_after_return",
    Type::Truth,
    "Whether the boat holds its place or stops once a contingency has brought it home",
    "True where it does, or where no contingency sends it home. Default: as at the end of the \
     route.",
    &["return_leg: at_end", "at_end", "contingencies"],
    |passage| evidence::of_mission(stated::stops_after_return(passage)),
);

pub(super) const CONTINGENCIES_CONSISTENT: Entry = entry(
    "mission.contingencies_consistent",
    Type::Truth,
    "Whether the response to one failure leaves the response to another possible",
    "False where the manual override needs a link that the mission does not use, and where the \
     boat waits on a lost link and no response brings it home when its battery runs low.",
    &["manual_override", "links", "on_lost_link", "on_low_battery"],
    |passage| evidence::of_mission(stated::agree(passage)),
);

pub(super) const OVERRIDE_TIME: Entry = entry(
    "mission.override_time",
    TIME,
    "Time from seeing that something is amiss to a boat that obeys the operator",
    "The operator's reaction time plus the time from the command until the boat obeys.",
    &["manual_override: within", "operator: reaction_time"],
    |passage| evidence::of_mission(stated::override_time(passage)),
);

pub(super) const OVERRIDE_OVERRUN: Entry = entry(
    "mission.override_overrun_clearance",
    LENGTH,
    "Clearance of a missed turn before the operator has stopped the boat",
    "Each leg but the last continues straight on by the distance made until the boat obeys the \
     manual override, and by the stopping distance. Its least clearance from land, hazards (less \
     their stand-off) and keep-out areas, less the corridor. Inside the zones of launch and \
     recovery only land counts.",
    &[
        "manual_override",
        "operator",
        "stopping distance",
        "speeds",
        "shoreline",
        "hazards",
    ],
    |passage| evidence::of_mission(straight_on::manual_override(passage)),
);

pub(super) const LOST_POSITION_OVERRUN: Entry = entry(
    "mission.lost_position_overrun_clearance",
    LENGTH,
    "Clearance of a boat that goes straight on until it notices its lost position",
    "Each leg but the last continues straight on by the distance made until the boat notices the \
     loss, and by the stopping distance. Its least clearance from land, hazards (less their \
     stand-off) and keep-out areas, less the corridor. Inside the zones of launch and recovery \
     only land counts.",
    &[
        "on_lost_position: after",
        "stopping distance",
        "speeds",
        "shoreline",
        "hazards",
    ],
    |passage| evidence::of_mission(straight_on::lost_position(passage)),
);

pub(super) const LOST_LINK_HOLDS: Entry = entry(
    "mission.lost_link_holds",
    Type::Truth,
    "Whether the boat holds its place when its control link is lost",
    "As the plan states it.",
    &["on_lost_link: action"],
    |passage| evidence::of_mission(holding::holds(passage)),
);

pub(super) const HOLDING_TIME: Entry = entry(
    "mission.lost_link_holding_time",
    TIME,
    "Shortest time for which the boat can hold its place on a lost link",
    "At every sample of the route: how long the charge above the low-battery trigger lasts while \
     holding against the sustained wind, its waves and the current. Zero where battery and motors \
     cannot hold against the gust. The least over all winds.",
    &[
        "on_lost_link",
        "on_low_battery",
        "wind",
        "gust",
        "propulsion",
        "battery",
        "route",
    ],
    |passage| evidence::of_mission(holding::time(passage)),
);

pub(super) const CHARGE_ABOVE_TRIGGER: Entry = entry(
    "mission.charge_above_trigger",
    Type::Quantity(Dimension::RATIO),
    "Least charge at the end of the route, above the low-battery trigger",
    "The state of charge at the end of the whole route, less that at which the low-battery action \
     fires; the least over all winds. Negative where the action breaks off a run that goes as \
     planned.",
    &[
        "on_low_battery",
        "battery and its gauge",
        "wind",
        "propulsion",
        "route",
    ],
    |passage| evidence::of_mission(holding::above_trigger(passage)),
)
.solved_by(&[Change::Charge]);
