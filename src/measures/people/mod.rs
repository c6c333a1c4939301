//! The people of a mission: roles filled, enough of them, afloat, heard of by others, able to call
//! for help, and done with what had to be done beforehand.

mod alarm;
mod team;
mod water;

use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Change, Measured, Type, Value, known};
use crate::plan::people::says_nothing;
use crate::schema::Stated;
use crate::units::Dimension;

pub(super) const ROLES: Entry = entry(
    "mission.roles_assigned",
    Type::Truth,
    "Whether there are a person in charge, a remote operator, a lookout and a recovery crew",
    "False where one of them is missing or a text that names nobody, or where the recovery crew is \
     the remote operator alone.",
    &["team"],
    |passage| evidence::of_mission(team::roles(passage)),
);

pub(super) const AT_WATER: Entry = entry(
    "mission.people_at_water",
    Type::Quantity(Dimension::PEOPLE),
    "Number of people at the water at launch and recovery",
    "As the plan states it, less everybody at a station in use more than 100 m from the launch \
     point or the recovery point, whichever excludes more people.",
    &["team: at_water", "stations"],
    |passage| evidence::of_mission(team::at_water(passage)),
);

pub(super) const LOOKOUT: Entry = entry(
    "mission.dedicated_lookout",
    Type::Truth,
    "Whether the lookout is somebody other than the remote operator",
    "False where both roles are given in the same words, or all the words of one are in the other.",
    &["team: remote_operator", "team: lookout"],
    |passage| evidence::of_mission(team::lookout(passage)),
);

pub(super) const FLOTATION: Entry = entry(
    "mission.flotation_attested",
    Type::Truth,
    "Whether those at the water wear what keeps them afloat and warm",
    "True where the plan says what it is.",
    &["team: flotation"],
    |passage| evidence::of_mission(water::flotation(passage)),
);

pub(super) const WATER_TEMPERATURE: Entry = entry(
    "mission.water_temperature",
    Type::Quantity(Dimension::TEMPERATURE),
    "Temperature of the water",
    "As the plan states it; −2 °C where it does not.",
    &["conditions: water_temperature"],
    |passage| evidence::of_mission(Ok(water::temperature(passage))),
);

pub(super) const OTHER_USERS: Entry = entry(
    "mission.other_users_notified",
    Type::Truth,
    "Whether other users of the water are notified of the mission",
    "True where the plan says how it notifies each of the site's other users, or where the site \
     says that there are none.",
    &["the site's other_users", "other_users_notified"],
    |passage| evidence::of_mission(water::other_users(passage)),
);

pub(super) const ALARM_MEANS: Entry = entry(
    "mission.alarm_can_be_raised",
    Type::Truth,
    "Whether those at the water have the means to call for help",
    "True where the plan says by what means.",
    &["alarm: means"],
    |passage| evidence::of_mission(alarm::means(passage)),
);

pub(super) const CONTACT: Entry = entry(
    "mission.emergency_contact_stated",
    Type::Truth,
    "Whether the site names an emergency contact",
    "True where it names somebody, by role.",
    &["the site's emergency_contact"],
    |passage| evidence::of_mission(alarm::contact(passage)),
);

pub(super) const OVERDUE: Entry = entry(
    "mission.overdue_after",
    Type::Quantity(Dimension::TIME),
    "Time from the latest return to the alarm, if nobody has reported back",
    "As the plan states it.",
    &["alarm: overdue", "launch: latest_return"],
    |passage| evidence::of_mission(alarm::overdue(passage)),
)
.solved_by(&[Change::Overdue]);

pub(super) const ASHORE: Entry = entry(
    "mission.shore_contact",
    Type::Truth,
    "Whether the shore contact who raises the alarm is not one of the team",
    "False where one of the team's roles names the shore contact.",
    &["alarm: shore_contact", "team"],
    |passage| evidence::of_mission(alarm::elsewhere(passage)),
);

/// A text that must name something: true or false by whether it does, each with its sentence.
fn named(stated: &Stated<String>, label: &str, yes: &str, no: &str) -> Measured {
    let names = !says_nothing(&stated.value);
    let sentence = if names { yes } else { no };
    let primary = evidence::label(stated.span(), label);
    known(Value::Truth(names), sentence, primary, Vec::new())
}
