//! The list of measures.

use super::reading::{Lever, Measure, Reading, Scope, Type};
use super::{
    adrift, battery, bearing, clearance, configuration, contingency, depth, ending, energy,
    headway, link, people, response, seaway, soundings, time, upwind, wind_planned,
};
use crate::passage::Passage;

/// A measure with the function that reads it off a passage.
pub struct Entry {
    /// What it is.
    pub measure: Measure,
    /// Reads it, one reading a subject.
    pub read: fn(&Passage<'_>) -> Vec<Reading>,
}

/// A measure of the mission as a whole that nothing is solved for.
pub(super) const fn entry(
    name: &'static str,
    of: Type,
    title: &'static str,
    meaning: &'static str,
    needs: &'static str,
    read: fn(&Passage<'_>) -> Vec<Reading>,
) -> Entry {
    let measure = Measure {
        name,
        scope: Scope::Mission,
        of,
        title,
        meaning,
        needs,
        levers: &[],
    };
    Entry { measure, read }
}

impl Entry {
    /// The same measure, solved for by these.
    pub(super) const fn solved_by(self, levers: &'static [Lever]) -> Self {
        let measure = Measure {
            levers,
            ..self.measure
        };
        Self { measure, ..self }
    }

    /// The same measure, of something within the mission.
    pub(super) const fn within(self, scope: Scope) -> Self {
        let measure = Measure {
            scope,
            ..self.measure
        };
        Self { measure, ..self }
    }
}

/// Every measure, in the order in which the documentation lists them.
pub static CATALOGUE: &[Entry] = &[
    energy::RESERVE_AT_TURNAROUND,
    energy::ENERGY_OVER_WAY_HOME,
    time::IN_HAND,
    time::AT_LAUNCH,
    time::LEFT,
    time::IN_THE_DARK,
    time::CARRIES,
    time::ENOUGH,
    time::VISIBILITY,
    time::HAS_FORECAST,
    time::AGE,
    time::VALIDITY_LEFT,
    time::PERMISSION_LEFT,
    time::SINCE_CHARGE,
    battery::LOW_BATTERY_MARGIN,
    battery::GAUGE_ERROR,
    upwind::LENGTH,
    upwind::TIME,
    upwind::ENERGY,
    wind_planned::BLOWING,
    wind_planned::MEAN,
    wind_planned::GUST_FACTOR,
    wind_planned::SPREAD,
    headway::IN_GUSTS,
    seaway::WIND,
    seaway::GUST,
    seaway::WAVE_HEIGHT,
    seaway::HIGHEST_WAVE,
    seaway::STEEPNESS,
    seaway::ROLL_IN_STEP,
    seaway::SURF_RIDING,
    seaway::WAVE_GROUPS,
    seaway::ON_THE_BEAM,
    link::MARGIN,
    clearance::SHORELINE,
    clearance::LANDING_ZONE,
    clearance::HAZARD,
    clearance::KEEP_OUT,
    depth::KNOWN,
    depth::SOUNDED,
    depth::UNDER_KEEL,
    depth::UNKNOWN,
    depth::SOUNDINGS_AGE,
    depth::LEVEL_AGE,
    adrift::WEIR_TIME,
    adrift::WEIR_SHARE,
    adrift::CLOSED_TIME,
    adrift::SHORE_SHARE,
    adrift::CRAFT_WIND,
    response::LOST_LINK,
    response::LOST_LINK_DELAY,
    response::LOST_POSITION,
    response::LOW_BATTERY,
    contingency::LOST_PROPULSION,
    contingency::RESTS_AT_HOME,
    contingency::RESPONSES_AGREE,
    contingency::TAKEOVER_TIME,
    contingency::TAKEOVER_RUN_ON,
    contingency::LOST_POSITION_RUN_ON,
    contingency::LOST_LINK_HOLDS,
    contingency::HOLDING_TIME,
    contingency::CHARGE_ABOVE_TRIGGER,
    people::ROLES,
    people::AT_WATER,
    people::LOOKOUT,
    people::FLOTATION,
    people::WATER_TEMPERATURE,
    people::OTHER_USERS,
    people::ALARM_MEANS,
    people::CONTACT,
    people::OVERDUE,
    people::ASHORE,
    people::CHECKLIST,
    ending::COMES_TO_REST,
    ending::RUN_ON,
    ending::STAND_OFF,
    ending::APPROACH_SPEED,
    ending::OFF_WIND,
    ending::STRAIGHT_LENGTH,
    ending::DEPTH_UNDER_KEEL,
    ending::OPERATOR_DISTANCE,
    ending::OPERATOR_IN_SIGHT,
    ending::DRIFT_TIME_ASHORE,
    bearing::OFF_BEARING,
    configuration::CUT_OFF_MARGIN,
    configuration::FULL_POWER,
    configuration::STEERAGE,
    configuration::CAPACITY_TEST_AGE,
    configuration::TRIAL_AGE,
    soundings::CLAIMED,
    soundings::COME_HOME,
    soundings::RECORD_TIME,
    soundings::DEEPEST,
    soundings::SHALLOWEST,
    soundings::PING_RATE,
    soundings::ALONG_TRACK,
    soundings::SOUND_SPEED,
    soundings::VERTICAL,
    soundings::HORIZONTAL,
    soundings::COVER,
    soundings::LINE_SPACING,
    soundings::TURN,
];

/// The entry of a measure.
#[must_use]
pub fn find(name: &str) -> Option<&'static Entry> {
    CATALOGUE.iter().find(|entry| entry.measure.name == name)
}

/// Reads a measure by name; nothing where there is no such measure.
#[must_use]
pub fn read(name: &str, passage: &Passage<'_>) -> Vec<Reading> {
    find(name).map_or_else(Vec::new, |entry| (entry.read)(passage))
}
