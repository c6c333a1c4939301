//! What people need at the water: who does what, what happens when something fails, what is ticked
//! off, when help is called.

use super::along::AlongRoute;
use super::contingencies::{Contingency, Duty, contingencies, recovery_crew};
use super::radio::{HandOver, Pointing, antennas, hand_overs};
use jiff::Timestamp;

use crate::passage::Passage;
use crate::plan::Plan;
use crate::plan::calendar::{civil, later, shown};
use crate::plan::people::People;
use crate::rules::EffectivePolicy;
use crate::units::Time;

/// The duty of whoever raises the alarm.
pub(crate) const RAISER: &str = "raises the alarm";

/// Something stated, with a name: both in words.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fact {
    /// What it is.
    pub name: String,
    /// What is stated of it.
    pub text: String,
}

/// An item of the checklist.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ToSeeTo {
    /// Its name.
    pub item: String,
    /// What is to be seen to, in the words of the policy or else of the mission, where stated.
    pub text: Option<String>,
    /// The words of the mission, where the policy has others.
    pub own: Option<String>,
}

/// Times of a mission. All are of the day and the offset from UTC of the launch; one of another day
/// says which, and one of another offset says that too.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Times {
    /// The day of the launch.
    pub day: String,
    /// The offset, `UTC−02:00`.
    pub offset: String,
    /// Planned launch.
    pub launch: String,
    /// The latest launch, where a delay is planned for.
    pub latest_launch: Option<String>,
    /// The latest return, where stated.
    pub latest_return: Option<String>,
    /// When help is called, where that is stated.
    pub overdue: Option<String>,
}

/// What people need at the water.
#[derive(Clone, PartialEq, Debug)]
pub struct Orders {
    /// Title of the mission; its id where it has none.
    pub title: String,
    /// What it is for, where stated.
    pub purpose: Option<String>,
    /// The boat.
    pub vessel: String,
    /// The water.
    pub site: String,
    /// When what is to happen.
    pub times: Times,
    /// Who does what.
    pub duties: Vec<Duty>,
    /// Whom to call when the boat is overdue, as the site states it.
    pub contact: Option<String>,
    /// What help is called with, where stated.
    pub alarm_by: Option<String>,
    /// What else is stated of people and day.
    pub facts: Vec<Fact>,
    /// What happens when something fails.
    pub contingencies: Vec<Contingency>,
    /// Who acts when the boat is disabled.
    pub fetches: Duty,
    /// What is ticked off.
    pub checklist: Vec<ToSeeTo>,
    /// The stations in use, each to be manned.
    pub manned: Vec<String>,
    /// Where the antennas point.
    pub antennas: Vec<Pointing>,
    /// Where links go over from one station to another.
    pub hand_overs: Vec<HandOver>,
    /// Dangers of the site by kind, for the cautions.
    pub kinds: Vec<&'static str>,
    /// Temperature of the water, in words.
    pub water: String,
}

/// The orders of a passage.
pub(super) fn orders(
    passage: &Passage<'_>,
    policy: &EffectivePolicy,
    along: &AlongRoute,
) -> Orders {
    let plan = passage.plan;
    let (mission, site, vessel) = (&plan.mission, &plan.site, &plan.vessel);
    let named = |title: &Option<String>, id: &str| title.clone().unwrap_or_else(|| id.to_owned());
    let mut kinds: Vec<&'static str> = site.hazards.iter().map(|h| h.kind.value.word()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    Orders {
        title: named(&mission.title, &mission.id.value),
        purpose: mission.purpose.clone(),
        vessel: named(&vessel.title, &vessel.id.value),
        site: named(&site.title, &site.id.value),
        times: times(plan),
        duties: duties(plan),
        contact: site
            .people
            .emergency_contact
            .as_ref()
            .map(|one| one.value.clone()),
        alarm_by: mission
            .people
            .alarm
            .as_ref()
            .and_then(|alarm| alarm.means.as_ref())
            .map(|one| one.value.clone()),
        facts: facts(plan),
        contingencies: contingencies(plan),
        fetches: recovery_crew(plan),
        checklist: mission
            .people
            .to_see_to(&policy.checklist)
            .map(|item| to_see_to(&item.value, &mission.people, policy))
            .collect(),
        manned: mission
            .stations
            .iter()
            .map(|one| one.station.value.clone())
            .collect(),
        antennas: antennas(passage),
        hand_overs: hand_overs(along),
        kinds,
        water: mission.water_temperature.value.to_string(),
    }
}

fn to_see_to(item: &str, people: &People, policy: &EffectivePolicy) -> ToSeeTo {
    let mut listed = people.checklist.iter();
    let own = listed
        .find(|one| one.id.value == item)
        .and_then(|one| one.text.as_ref())
        .map(|text| text.value.clone());
    // What the policy requires, a mission may put in words of its own, but not in their place.
    let (text, own) = match words_of(policy, item) {
        Some(words) => {
            let own = own.filter(|own| *own != words);
            (Some(words), own)
        }
        None => (own, None),
    };
    ToSeeTo {
        item: item.to_owned(),
        text,
        own,
    }
}

/// What a policy says of an item.
fn words_of(policy: &EffectivePolicy, item: &str) -> Option<String> {
    policy.words_of(item).map(|one| one.words.clone())
}

fn times(plan: &Plan) -> Times {
    let zone = plan.site.time_zone.as_ref();
    let launch = &plan.mission.launch;
    let first = civil(launch.time.value, zone);
    let at = |moment: Timestamp| {
        let here = civil(moment, zone);
        if here.offset != first.offset {
            shown(moment, zone)
        } else if here.day != first.day {
            format!("{} {}", here.day, here.clock)
        } else {
            here.clock
        }
    };
    let delay = launch.delay.value;
    let back = launch.latest_return.as_ref().map(|back| back.value);
    let alarm = plan.mission.people.alarm.as_ref();
    let overdue = alarm.and_then(|alarm| Some((back?, alarm.overdue.as_ref()?.value)));
    Times {
        launch: at(launch.time.value),
        latest_launch: (delay > Time::ZERO).then(|| at(later(launch.time.value, delay.get()))),
        latest_return: back.map(at),
        overdue: overdue.map(|(back, after)| at(later(back, after.get()))),
        day: first.day,
        offset: first.offset,
    }
}

fn duties(plan: &Plan) -> Vec<Duty> {
    let mut duties = Vec::new();
    let team = plan.mission.people.team.as_ref();
    let mut one = |duty: &'static str, role: Option<&String>| {
        duties.push(Duty {
            duty,
            role: role.cloned().unwrap_or_default(),
        });
    };
    one(
        "person in charge",
        team.map(|team| &team.person_in_charge.value),
    );
    one(
        "remote operator",
        team.map(|team| &team.remote_operator.value),
    );
    let optional = |stated: Option<&crate::schema::Stated<String>>| stated.map(|s| s.value.clone());
    let keeper = team.and_then(|team| optional(team.lookout.as_ref()));
    one("lookout", keeper.as_ref());
    let crew = team.and_then(|team| optional(team.recovery_crew.as_ref()));
    one("recovery crew", crew.as_ref());
    let alarm = plan.mission.people.alarm.as_ref();
    let raiser = alarm.and_then(|alarm| optional(alarm.shore_contact.as_ref()));
    one(RAISER, raiser.as_ref());
    duties
}

fn facts(plan: &Plan) -> Vec<Fact> {
    let mut facts = Vec::new();
    let mut fact = |name: &str, text: Option<String>| {
        facts.extend(text.map(|text| Fact {
            name: name.to_owned(),
            text,
        }));
    };
    let mission = &plan.mission;
    let people = &mission.people;
    let team = people.team.as_ref();
    let at_water = team.and_then(|team| team.at_water.as_ref());
    fact("people", at_water.map(|count| count.value.to_string()));
    fact(
        "kept afloat by",
        team.and_then(|t| t.flotation.as_ref())
            .map(|s| s.value.clone()),
    );
    let craft = mission.safety_boat.as_ref().map(|craft| {
        let limit = craft.wind_limit.as_ref();
        let limit = limit.map_or_else(String::new, |wind| {
            format!(", in gusts up to {}", wind.value)
        });
        format!(
            "under way within {}, {}{limit}",
            craft.ready_within.value, craft.speed.value
        )
    });
    fact("safety boat", craft);
    for told in &people.told {
        let users = plan.site.people.other_users.iter().flatten();
        let mut users = users.filter(|users| users.id.value == told.users.value);
        let name = users.next().map_or(&told.users.value, |users| &users.title);
        fact(
            "others notified",
            Some(format!("{name}: {}", told.how.value)),
        );
    }
    let users = plan.site.people.other_users.iter().flatten();
    for users in users {
        if people
            .told
            .iter()
            .any(|told| told.users.value == users.id.value)
        {
            continue;
        }
        let when = users
            .when
            .as_ref()
            .map_or_else(String::new, |when| format!(", {when}"));
        fact("other users", Some(format!("{}{when}", users.title)));
    }
    let manual_override = mission
        .contingencies
        .manual_override
        .as_ref()
        .map(|manual_override| {
            format!(
                "over {} within {}",
                manual_override.over.value.name(),
                manual_override.within.value
            )
        });
    fact("manual override", manual_override);
    let visibility = mission.day.visibility.as_ref();
    fact(
        "visibility",
        visibility.map(|visibility| visibility.value.to_string()),
    );
    facts
}
