//! Calling for help: by what means, whom, and who does it when the team cannot.

use super::team::{same, team};
use super::{known, named};
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::people::{Alarm, says_nothing};
use crate::schema::Stated;

/// A part of the alarm, which must be stated.
fn part<'a, T>(
    passage: &'a Passage<'_>,
    of: impl Fn(&'a Alarm) -> Option<&'a Stated<T>>,
    reason: &str,
    remedy: &str,
) -> Result<&'a Stated<T>, NotMeasured> {
    let plan = passage.plan;
    let alarm = plan.mission.people.alarm.as_ref();
    alarm
        .and_then(of)
        .ok_or_else(|| unmeasured::lacking(plan, plan.mission.id.span(), reason, remedy))
}

pub(super) fn means(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let means = part(
        passage,
        |alarm| alarm.means.as_ref(),
        "the plan does not say how those at the water call for help",
        "add `alarm:` with `means`, such as a telephone with coverage, or a radio",
    )?;
    Ok(named(
        means,
        "how help is called",
        "those at the water have the means to call for help",
        "those at the water have no means to call for help",
    ))
}

pub(super) fn contact(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let site = &passage.plan.site;
    let Some(contact) = &site.people.emergency_contact else {
        return Err(unmeasured::lacking(
            passage.plan,
            site.id.span(),
            "the site names no emergency contact",
            "add `emergency_contact` to the site, by role",
        ));
    };
    Ok(named(
        contact,
        "whom to call",
        "the site says whom to call in an emergency",
        "the site names nobody to call in an emergency",
    ))
}

pub(super) fn overdue(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let overdue = part(
        passage,
        |alarm| alarm.overdue.as_ref(),
        "the plan does not say how long after the latest return the shore contact raises the alarm",
        "add `overdue` to `alarm:`",
    )?;
    let Some(back) = &plan.mission.launch.latest_return else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.launch.time.span(),
            "the plan states no latest return",
            "add `latest_return` under `launch`",
        ));
    };
    let primary = evidence::label(overdue.span(), "then the alarm is raised");
    let because = vec![evidence::label(back.span(), "back by this time")];
    let sentence = "the time from the latest return to the alarm, if nobody has reported back,";
    Ok(known(
        evidence::value(overdue.value),
        sentence,
        primary,
        because,
    ))
}

/// Whether one role's text speaks of another: as the whole, or as one of several.
fn speaks_of(text: &str, role: &str) -> bool {
    let parts = text.split([',', ';']).flat_map(|part| part.split(" and "));
    same(text, role) || parts.into_iter().any(|part| same(part, role))
}

pub(super) fn elsewhere(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let shore_contact = part(
        passage,
        |alarm| alarm.shore_contact.as_ref(),
        "the plan names no shore contact",
        "add `shore_contact` to `alarm:`, by role: somebody who is not at the water",
    )?;
    let team = team(passage)?;
    let primary = evidence::label(shore_contact.span(), "raises the alarm");
    if says_nothing(&shore_contact.value) {
        let sentence = "nobody raises the alarm when the team has not reported back";
        return Ok(known(Value::Truth(false), sentence, primary, Vec::new()));
    }
    let roles = [
        Some(&team.person_in_charge),
        Some(&team.remote_operator),
        team.lookout.as_ref(),
        team.recovery_crew.as_ref(),
    ];
    let own = roles
        .into_iter()
        .flatten()
        .find(|role| speaks_of(&role.value, &shore_contact.value));
    Ok(match own {
        Some(role) => {
            let sentence = "the shore contact is one of the team, and as overdue as the rest";
            let because = vec![evidence::label(role.span(), "one of the team")];
            known(Value::Truth(false), sentence, primary, because)
        }
        None => {
            let sentence = "the shore contact is not one of the team";
            known(Value::Truth(true), sentence, primary, Vec::new())
        }
    })
}

#[cfg(test)]
mod tests {
    use super::speaks_of;

    #[test]
    fn a_role_is_found_among_several() {
        assert!(speaks_of(
            "survey lead and second helper, with the boat",
            "second helper"
        ));
        assert!(speaks_of("Operator", "the operator"));
        assert!(speaks_of("operator", "duty operator ashore"));
        assert!(!speaks_of("operator", "desk officer ashore"));
    }
}
