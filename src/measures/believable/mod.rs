//! Figures of a boat and its radios that no such boat has, by geometry and physics.

mod battery;
mod crew;
mod hull;
mod load;
mod radio;

use super::entry::{Entry, quantity};
use super::evidence;
use super::reading::Scope;
use crate::units::Dimension;

pub(super) const CAPACITY: Entry = quantity(
    "mission.capacity_over_nominal",
    Dimension::RATIO,
    "Capacity that the plan uses, as a share of the nominal capacity",
    "The measured capacity, or the nominal one times the state of health, over the nominal capacity.",
    &[
        "battery: nominal_capacity",
        "battery: measured_capacity",
        "battery: state_of_health",
    ],
    |passage| evidence::of_mission(Ok(battery::over_nominal(passage))),
);

pub(super) const HEALTH: Entry = quantity(
    "agreement.health_error",
    Dimension::RATIO,
    "Difference between the stated state of health and the measured capacity",
    "The size of: measured capacity over nominal capacity, less the state of health. No reading where \
     only one of the two is stated.",
    &["battery: nominal_capacity", "battery: measured_capacity", "battery: state_of_health"],
    battery::health,
)
.within(Scope::Agreement);

pub(super) const RESISTANCE_LEAST: Entry = quantity(
    "mission.resistance_over_least",
    Dimension::RATIO,
    "Internal resistance as a share of the least for such a pack",
    "The stated resistance over the least product of resistance and capacity known of a cell of its \
     chemistry (0.008 Ω Ah; lead-acid 0.015 Ω Ah), times the cells in series, over the capacity.",
    &[
        "battery: internal_resistance",
        "battery: cells_in_series",
        "battery: capacity",
        "battery: chemistry",
    ],
    |passage| evidence::of_mission(Ok(battery::over_least(passage))),
);

pub(super) const RESISTANCE_MOST: Entry = quantity(
    "mission.resistance_over_most",
    Dimension::RATIO,
    "Internal resistance as a share of the greatest for such a pack",
    "As `mission.resistance_over_least`, with the greatest product (0.5 Ω Ah; lead-acid 0.3 Ω Ah).",
    &[
        "battery: internal_resistance",
        "battery: cells_in_series",
        "battery: capacity",
        "battery: chemistry",
    ],
    |passage| evidence::of_mission(Ok(battery::over_most(passage))),
);

pub(super) const FRICTION: Entry = quantity(
    "mission.thrust_over_friction",
    Dimension::RATIO,
    "Resistance by trial or model as a share of the friction on the hull alone, at its least",
    "At each speed of the trial up to a Froude number of 0.6, or over the range of the model: power \
     times the stated efficiencies over the speed, as a share of the ITTC 1957 friction on the wetted \
     surface, which is at least that of half a slender spheroid of the same length and volume.",
    &[
        "propulsion: trial or resistance",
        "propulsion: efficiencies",
        "hull",
    ],
    |passage| evidence::of_mission(hull::friction(passage)),
);

pub(super) const HULL_SPEED: Entry = quantity(
    "mission.speed_over_hull_speed",
    Dimension::RATIO,
    "Greatest speed of the trial as a share of the hull speed",
    "The greatest speed that power is stated for, over √(g L / 2π) with the waterline length.",
    &["propulsion: trial or resistance", "hull: waterline_length"],
    |passage| evidence::of_mission(Ok(hull::speed(passage))),
);

pub(super) const EFFICIENCY: Entry = quantity(
    "mission.propulsion_efficiency",
    Dimension::RATIO,
    "Thrust power per electrical power",
    "Propulsive efficiency times motor efficiency.",
    &[
        "propulsion: propulsive_efficiency",
        "propulsion: motor_efficiency",
    ],
    |passage| evidence::of_mission(Ok(hull::efficiency(passage))),
);

pub(super) const TRIAL_OF_PACK: Entry = quantity(
    "agreement.trial_over_pack",
    Dimension::RATIO,
    "Greatest power of the trial as a share of the full battery's",
    "The greatest power of the trial and the hotel load together, over the power that brings the full \
     battery down to its cut-off voltage, or to half of its voltage where that is more.",
    &["propulsion: trial", "hotel_load", "battery"],
    battery::trial,
)
.within(Scope::Agreement);

pub(super) const HOTEL: Entry = quantity(
    "mission.hotel_load_in_hand",
    Dimension::POWER,
    "Hotel load beyond the least that the parts aboard draw",
    "The stated hotel load less 1 W for a computer with its receivers, 0.5 W for an echo sounder \
     where there is one, and what the radios radiate: a transmitter at half efficiency that is on \
     half the time draws just that.",
    &["hotel_load", "radios: transmit_power", "sonar"],
    |passage| evidence::of_mission(Ok(load::in_hand(passage))),
);

pub(super) const CREW: Entry = quantity(
    "mission.figures_over_floor",
    Dimension::RATIO,
    "Reaction, readiness, manual override and stopping as stated, as a share of their floors, at the least",
    "The operator's reaction time, the safety boat's readiness, the manual override's time and the \
     stopping distance as stated, each over the policy's floor where the floor is more. Everything \
     else is calculated with the floor. 100 % where none is below its floor.",
    &[
        "operator: reaction_time",
        "safety_boat: ready_within",
        "manual_override: within",
        "propulsion: stopping_distance",
        "the policy's floors",
    ],
    |passage| evidence::of_mission(Ok(crew::over_floor(passage))),
);

pub(super) const RADIATED: Entry = quantity(
    "agreement.radiated_power",
    Dimension::POWER_LEVEL,
    "Greatest power that an antenna radiates along its axis (EIRP)",
    "Transmit power less cable losses plus gain, of every radio aboard and ashore. Losses that are \
     not stated count as zero.",
    &["radios and antennas of the vessel and of the site's stations"],
    radio::radiated,
)
.within(Scope::Agreement);

pub(super) const BEAM_ABOARD: Entry = quantity(
    "link.beam_height_aboard",
    Dimension::ANGLE,
    "Vertical beamwidth of the antenna aboard, by its gain",
    "By Kraus's directivity where a beamwidth is stated, by McDonald's for an omnidirectional \
     antenna.",
    &[
        "links",
        "the vessel's radios: antenna: gain",
        "the vessel's radios: antenna: beamwidth",
    ],
    |passage| radio::of_links(passage, radio::beam_aboard),
)
.within(Scope::Link);

pub(super) const BEAM_ASHORE: Entry = quantity(
    "link.beam_height_ashore",
    Dimension::ANGLE,
    "Vertical beamwidth of the station's antenna, by its gain and its width; the narrowest",
    "As `link.beam_height_aboard`, of every station that has a radio for the link.",
    &[
        "links",
        "the site's stations: antenna: gain",
        "the site's stations: antenna: beamwidth",
    ],
    |passage| radio::of_links(passage, radio::beam_ashore),
)
.within(Scope::Link);

pub(super) const MAST_ABOARD: Entry = quantity(
    "link.mast_aboard",
    Dimension::RATIO,
    "Height of the antenna aboard as a share of the boat's length",
    "The antenna's height above the water over the length overall.",
    &[
        "links",
        "the vessel's radios: antenna: height",
        "hull: length_overall",
    ],
    |passage| radio::of_links(passage, radio::mast_aboard),
)
.within(Scope::Link);

pub(super) const MAST_ASHORE: Entry = quantity(
    "link.mast_ashore",
    Dimension::LENGTH,
    "Height of the station's antenna above the ground that it stands on, the highest",
    "The antenna's height above the water less the `ground_height` of the station, 0 m where that is not \
     stated, of every station that has a radio for the link.",
    &["links", "the site's stations: antenna: height", "the site's stations: ground_height"],
    |passage| radio::of_links(passage, radio::mast_ashore),
)
.within(Scope::Link);
