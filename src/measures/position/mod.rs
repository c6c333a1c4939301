//! Where things lie and who stands where: figures of the files that have to agree with the water
//! and with one another.

mod clock;
mod manned;
mod sight;
mod water;

use super::entry::{Entry, entry};
use super::evidence;
use super::reading::Type;
use crate::units::Dimension;

const LENGTH: Type = Type::Quantity(Dimension::LENGTH);

pub(super) const OFF_WATER: Entry = entry(
    "mission.off_water",
    LENGTH,
    "Greatest distance of a hazard, keep-out area or current from the water",
    "Zero for one with any part in the water. The site's hazards, keep-out areas and currents, \
     whether or not the route comes near.",
    &["shoreline", "hazards", "keep-out areas", "currents"],
    |passage| evidence::of_mission(Ok(water::off_water(passage))),
);

pub(super) const LAUNCH_SITE: Entry = entry(
    "mission.launch_site_from_waterline",
    LENGTH,
    "Greatest distance of a launch site from the waterline",
    "From the stated place, on land or on the water, to the nearest edge of the shoreline. All \
     launch sites of the site count, since a boat adrift may come ashore at any of them.",
    &["shoreline", "launch sites"],
    |passage| evidence::of_mission(Ok(water::launch_site(passage))),
);

pub(super) const STATION: Entry = entry(
    "mission.station_from_water",
    LENGTH,
    "Greatest distance of a shore station from the water",
    "Zero for one on the water. All stations of the site, in use or not.",
    &["shoreline", "stations"],
    |passage| evidence::of_mission(Ok(water::station(passage))),
);

pub(super) const SOUNDINGS: Entry = entry(
    "mission.soundings_off_water",
    LENGTH,
    "Greatest distance of a sounding from the water",
    "Zero where every sounding lies within the shoreline, or the site has none.",
    &["shoreline", "soundings"],
    |passage| evidence::of_mission(Ok(water::soundings(passage))),
);

pub(super) const SHORE_AWAY: Entry = entry(
    "mission.route_from_shore",
    LENGTH,
    "Greatest distance of the route from the shoreline",
    "From every sample of the route to the nearest edge of the shoreline.",
    &["shoreline", "route"],
    |passage| evidence::of_mission(Ok(water::shore_away(passage))),
);

pub(super) const STATION_OPERATOR: Entry = entry(
    "mission.station_operator_distance",
    LENGTH,
    "Greatest distance from a station in use to its operator",
    "Over the stations that the mission names.",
    &["stations in use and where their operators stand"],
    |passage| evidence::of_mission(manned::station_operator(passage)),
);

pub(super) const OPERATOR_TO_CONTROLS: Entry = entry(
    "mission.operator_to_controls",
    LENGTH,
    "Distance from the remote operator to the nearest station in use for the control link",
    "From the mission's `operator` to the nearest of its stations in use with a radio for the control \
     link that the boat hears.",
    &["operator", "stations in use"],
    |passage| evidence::of_mission(manned::operator_to_controls(passage)),
);

pub(super) const OPERATOR_TO_LAUNCH: Entry = entry(
    "mission.operator_to_launch",
    LENGTH,
    "Distance from the launch point to the nearest operator",
    "The remote operator, or the operator of a station in use.",
    &["operator or stations in use", "launch point"],
    |passage| evidence::of_mission(manned::operator_to_launch(passage)),
);

pub(super) const IN_SIGHT: Entry = entry(
    "mission.route_in_sight",
    Type::Quantity(Dimension::RATIO),
    "Share of the route on which an operator has the boat in sight",
    "No land lies between the boat and the remote operator or the operator of a station in use, \
     except up to 50 m where that person stands. Steps of the route with an end out of sight do \
     not count. Another measure covers how far a person can make out a hull.",
    &["operator or stations in use", "route", "shoreline"],
    |passage| evidence::of_mission(sight::in_sight(passage)),
);

pub(super) const BOAT_AWAY: Entry = entry(
    "mission.operator_to_boat",
    LENGTH,
    "Greatest distance of the boat from the nearest operator who has it in sight",
    "Where nobody has it in sight, from the nearest operator.",
    &["operator or stations in use", "route", "shoreline"],
    |passage| evidence::of_mission(sight::boat_away(passage)),
);

pub(super) const CLOCK: Entry = entry(
    "mission.clock_off_sun",
    Type::Quantity(Dimension::TIME),
    "Difference between the site's clock at the launch and the time of its longitude",
    "The offset from UTC that the site's time zone has at the launch, less an hour for every 15° \
     of longitude east, either way; a difference of a whole day is zero. Where the site states no \
     time zone, the offset of the launch time counts; a launch in UTC then shows no clock.",
    &["time zone", "shoreline", "launch"],
    |passage| evidence::of_mission(Ok(clock::off_sun(passage))),
);
