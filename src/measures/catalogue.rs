//! The list of measures.

use super::entry::Entry;
use super::input::Input::{Depths, LaunchTime, Radios};
use super::input::{
    BEING_FETCHED, BEING_OUT, EVERYTHING, NOTHING, RUNNING_ON, THE_BATTERY, THE_CURRENTS,
    THE_DELAY, THE_OPERATOR, THE_RETURN_LEG, THE_RUN, THE_SPEEDS, THE_WIND,
};
use super::reading::{Cost, Measurement};
use super::{
    adrift, battery, bearing, believable, charted, clearance, configuration, contingency,
    craft_wind, depth, ending, energy, headway, link, people, position, response, seaway,
    soundings, straight, time, upwind, wind_planned,
};
use crate::passage::Passage;

/// Every measure, in the order in which the documentation lists them, with what it follows from. One that
/// does not say so here follows from everything.
pub static CATALOGUE: &[Entry] = &[
    energy::RESERVE_AT_TURNAROUND.moved_by(THE_RUN),
    energy::RETURN_ENERGY_RATIO.moved_by(THE_RUN),
    time::IN_HAND.moved_by(BEING_OUT),
    time::AT_LAUNCH.moved_by(NOTHING.and(LaunchTime)),
    time::LEFT.moved_by(BEING_OUT).costing(Cost::Light),
    time::IN_THE_DARK.moved_by(BEING_OUT).costing(Cost::Light),
    time::CARRIES.moved_by(NOTHING),
    time::ENOUGH.moved_by(NOTHING),
    time::VISIBILITY.moved_by(NOTHING),
    time::HAS_FORECAST.moved_by(NOTHING),
    time::AGE.moved_by(THE_DELAY),
    time::VALIDITY_LEFT.moved_by(BEING_OUT),
    time::PERMISSION_LEFT.moved_by(BEING_OUT),
    time::SINCE_CHARGE.moved_by(THE_DELAY),
    battery::LOW_BATTERY_MARGIN.moved_by(THE_RUN),
    battery::GAUGE_ERROR.moved_by(THE_BATTERY),
    upwind::LENGTH.moved_by(THE_RUN),
    upwind::TIME.moved_by(THE_RUN),
    upwind::ENERGY.moved_by(THE_RUN),
    wind_planned::BLOWING.moved_by(THE_WIND),
    wind_planned::MEAN.moved_by(THE_WIND),
    wind_planned::GUST_FACTOR.moved_by(THE_WIND),
    wind_planned::SPREAD.moved_by(THE_WIND),
    headway::IN_GUSTS.moved_by(THE_RUN),
    seaway::WIND.moved_by(THE_WIND).costing(Cost::Stated),
    seaway::GUST.moved_by(THE_WIND).costing(Cost::Stated),
    seaway::WAVE_HEIGHT.moved_by(THE_RUN).costing(Cost::Sea),
    seaway::HIGHEST_WAVE.moved_by(THE_RUN).costing(Cost::Sea),
    seaway::STEEPNESS.moved_by(THE_RUN).costing(Cost::Sea),
    seaway::SYNCHRONOUS_ROLL.moved_by(THE_RUN),
    seaway::SURF_RIDING.moved_by(THE_RUN),
    seaway::WAVE_GROUPS.moved_by(THE_RUN),
    seaway::ON_THE_BEAM.moved_by(THE_RUN),
    link::MARGIN.moved_by(NOTHING.and(Radios)),
    believable::BEAM_ABOARD.moved_by(NOTHING.and(Radios)),
    believable::BEAM_ASHORE.moved_by(NOTHING.and(Radios)),
    believable::MAST_ABOARD.moved_by(NOTHING.and(Radios)),
    believable::MAST_ASHORE.moved_by(NOTHING.and(Radios)),
    believable::RADIATED.moved_by(NOTHING.and(Radios)),
    clearance::SHORELINE.moved_by(THE_RETURN_LEG),
    clearance::LAUNCH_SITE.moved_by(THE_RETURN_LEG),
    clearance::HAZARD.moved_by(THE_RETURN_LEG),
    clearance::KEEP_OUT.moved_by(EVERYTHING),
    depth::KNOWN.moved_by(NOTHING.and(Depths)),
    depth::SOUNDED.moved_by(NOTHING.and(Depths)),
    depth::UNDER_KEEL
        .moved_by(THE_RUN.and(Depths))
        .costing(Cost::Depth),
    depth::UNKNOWN.moved_by(THE_RETURN_LEG.and(Depths)),
    depth::SOUNDINGS_AGE.moved_by(NOTHING.and(LaunchTime).and(Depths)),
    depth::LEVEL_AGE.moved_by(NOTHING.and(LaunchTime).and(Depths)),
    position::OFF_WATER.moved_by(NOTHING),
    position::LAUNCH_SITE.moved_by(NOTHING),
    position::STATION.moved_by(NOTHING),
    position::SOUNDINGS.moved_by(NOTHING.and(Depths)),
    position::SHORE_AWAY.moved_by(NOTHING),
    position::STATION_OPERATOR.moved_by(NOTHING),
    position::OPERATOR_TO_CONTROLS.moved_by(NOTHING),
    position::OPERATOR_TO_LAUNCH.moved_by(NOTHING),
    position::IN_SIGHT.moved_by(NOTHING),
    position::BOAT_AWAY.moved_by(NOTHING),
    position::CLOCK.moved_by(NOTHING),
    charted::LEVEL.moved_by(NOTHING.and(Depths)),
    charted::MEAN.moved_by(NOTHING.and(Depths)),
    charted::EXPECTED.moved_by(NOTHING.and(Depths)),
    charted::EXPECTED_LEAST.moved_by(NOTHING.and(Depths)),
    charted::LEAST.moved_by(NOTHING.and(Depths)),
    charted::LAUNCH_SITE.moved_by(THE_RETURN_LEG.and(Depths)),
    charted::OFFSHORE.moved_by(NOTHING.and(Depths)),
    charted::CASTS.moved_by(NOTHING.and(Depths)),
    adrift::WEIR_TIME
        .moved_by(BEING_FETCHED)
        .costing(Cost::Drift),
    adrift::WEIR_SHARE.moved_by(THE_RUN).costing(Cost::Drift),
    adrift::CLOSED_TIME
        .moved_by(EVERYTHING)
        .costing(Cost::Drift),
    adrift::SHORE_SHARE
        .moved_by(BEING_FETCHED)
        .costing(Cost::Drift),
    straight::UPWIND.moved_by(THE_WIND),
    straight::ELSEWHERE.moved_by(THE_WIND),
    adrift::OPEN_TIME
        .moved_by(BEING_FETCHED)
        .costing(Cost::Drift),
    adrift::OPEN_SHARE.moved_by(THE_RUN).costing(Cost::Drift),
    craft_wind::CRAFT_WIND
        .moved_by(THE_WIND)
        .costing(Cost::Stated),
    response::LOST_LINK.moved_by(NOTHING),
    response::LOST_LINK_DELAY.moved_by(NOTHING),
    response::LOST_POSITION.moved_by(NOTHING),
    response::LOW_BATTERY.moved_by(NOTHING),
    contingency::LOST_PROPULSION.moved_by(NOTHING),
    contingency::STOPS_AFTER_RETURN.moved_by(NOTHING),
    contingency::CONTINGENCIES_CONSISTENT.moved_by(NOTHING),
    contingency::OVERRIDE_TIME.moved_by(THE_OPERATOR),
    contingency::OVERRIDE_OVERRUN.moved_by(EVERYTHING),
    contingency::LOST_POSITION_OVERRUN.moved_by(EVERYTHING),
    contingency::LOST_LINK_HOLDS.moved_by(NOTHING),
    contingency::HOLDING_TIME
        .moved_by(THE_RUN)
        .costing(Cost::Search),
    contingency::CHARGE_ABOVE_TRIGGER.moved_by(THE_RUN),
    people::ROLES.moved_by(NOTHING),
    people::AT_WATER.moved_by(NOTHING),
    people::LOOKOUT.moved_by(NOTHING),
    people::FLOTATION.moved_by(NOTHING),
    people::WATER_TEMPERATURE.moved_by(NOTHING),
    people::OTHER_USERS.moved_by(NOTHING),
    people::ALARM_MEANS.moved_by(NOTHING),
    people::CONTACT.moved_by(NOTHING),
    people::OVERDUE.moved_by(NOTHING),
    people::ASHORE.moved_by(NOTHING),
    ending::COMES_TO_REST.moved_by(NOTHING),
    ending::OVERRUN.moved_by(RUNNING_ON),
    ending::STAND_OFF.moved_by(NOTHING),
    ending::APPROACH_SPEED.moved_by(THE_CURRENTS),
    ending::OFF_WIND.moved_by(THE_WIND),
    ending::LEAST_OFF_WIND.moved_by(THE_WIND),
    ending::STRAIGHT_LENGTH.moved_by(NOTHING),
    ending::DEPTH_UNDER_KEEL.moved_by(NOTHING.and(Depths)),
    ending::OPERATOR_DISTANCE.moved_by(NOTHING),
    ending::OPERATOR_IN_SIGHT.moved_by(NOTHING),
    ending::DRIFT_TIME_ASHORE
        .moved_by(BEING_FETCHED)
        .costing(Cost::Search),
    bearing::OFF_BEARING.moved_by(NOTHING.and(Radios)),
    configuration::CUT_OFF_MARGIN.moved_by(NOTHING),
    configuration::FULL_POWER.moved_by(THE_BATTERY),
    configuration::STEERAGEWAY.moved_by(THE_SPEEDS),
    configuration::CAPACITY_TEST_AGE.moved_by(THE_DELAY),
    configuration::TRIAL_AGE.moved_by(THE_DELAY),
    believable::CAPACITY.moved_by(NOTHING),
    believable::HEALTH.moved_by(NOTHING),
    believable::RESISTANCE_LEAST.moved_by(NOTHING),
    believable::RESISTANCE_MOST.moved_by(NOTHING),
    believable::FRICTION.moved_by(NOTHING),
    believable::HULL_SPEED.moved_by(NOTHING),
    believable::EFFICIENCY.moved_by(NOTHING),
    believable::TRIAL_OF_PACK.moved_by(NOTHING),
    believable::HOTEL.moved_by(NOTHING),
    believable::CREW.moved_by(THE_OPERATOR),
    soundings::ORDER_STATED.moved_by(NOTHING),
    soundings::RECORDED.moved_by(NOTHING),
    soundings::RECORD_TIME.moved_by(BEING_OUT),
    soundings::DEEPEST.moved_by(NOTHING),
    soundings::SHALLOWEST.moved_by(NOTHING),
    soundings::PING_RATE.moved_by(NOTHING),
    soundings::ALONG_TRACK.moved_by(THE_CURRENTS),
    soundings::SOUND_SPEED.moved_by(NOTHING),
    soundings::VERTICAL.moved_by(THE_RUN),
    soundings::HORIZONTAL.moved_by(THE_CURRENTS),
    soundings::COVERAGE.moved_by(NOTHING),
    soundings::LINE_SPACING.moved_by(NOTHING),
    soundings::TURN.moved_by(NOTHING),
];

/// The entry of a measure.
#[must_use]
pub fn find(name: &str) -> Option<&'static Entry> {
    CATALOGUE.iter().find(|entry| entry.measure.name == name)
}

/// Reads a measure by name; nothing where there is no such measure.
#[must_use]
pub fn evaluate(name: &str, passage: &Passage<'_>) -> Vec<Measurement> {
    find(name).map_or_else(Vec::new, |entry| entry.readings(passage))
}
