//! People and the water: what they wear, and who else is on it.

use super::team::team;
use super::{known, named};
use crate::finding::Label;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::people::says_nothing;

fn temperature_line(passage: &Passage<'_>) -> Label {
    let water = &passage.plan.mission.water_temperature;
    evidence::label(water.span(), format!("water at {}", water.value))
}

pub(super) fn temperature(passage: &Passage<'_>) -> Measured {
    let water = &passage.plan.mission.water_temperature;
    let mut known = known(
        evidence::value(water.value),
        "the temperature of the water",
        temperature_line(passage),
        Vec::new(),
    );
    known.assumptions = water.assumption().map(str::to_owned).into_iter().collect();
    known
}

pub(super) fn flotation(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let team = team(passage)?;
    let Some(flotation) = &team.flotation else {
        let mut unknown = unmeasured::lacking(
            passage.plan,
            team.span,
            "the team does not say what those at the water wear to stay afloat and warm",
            "add `flotation` to `team:`, such as buoyancy aids for all and dry suits for the crew \
             of the safety boat",
        );
        unknown.because.push(temperature_line(passage));
        return Err(unknown);
    };
    let mut known = named(
        flotation,
        "what those at the water wear",
        "those at the water wear what keeps them afloat and warm",
        "those at the water wear nothing that keeps them afloat and warm",
    );
    known.because.push(temperature_line(passage));
    Ok(known)
}

pub(super) fn other_users(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let (site, mission) = (&plan.site, &plan.mission);
    let Some(users) = &site.people.other_users else {
        return Err(unmeasured::lacking(
            plan,
            site.id.span(),
            "the site does not say who else uses the water",
            "add `other_users` to the site, `[]` where there is nobody else",
        ));
    };
    if users.is_empty() {
        let primary = evidence::label(site.id.span(), "nobody else uses this water");
        let sentence = "nobody else uses this water";
        return Ok(known(Value::Truth(true), sentence, primary, Vec::new()));
    }
    let mut lines = Vec::new();
    let mut untold = Vec::new();
    for one in users {
        let title = match &one.when {
            Some(when) => format!("{} ({when})", one.title),
            None => one.title.clone(),
        };
        let line = evidence::label(one.id.span(), title);
        let told = mission
            .people
            .told
            .iter()
            .find(|told| told.users.value == one.id.value);
        let Some(told) = told else {
            let mut unknown = unmeasured::lacking(
                plan,
                mission.id.span(),
                &format!("the plan does not say how it notifies `{}`", one.id.value),
                "add them to `other_users_notified`, with `how`",
            );
            unknown.because.push(line);
            return Err(unknown);
        };
        if says_nothing(&told.how.value) {
            untold.push((one.id.value.clone(), told));
        }
        lines.push(line);
    }
    Ok(match untold.first() {
        Some((id, told)) => {
            let primary = evidence::label(told.how.span(), "how they are notified");
            let sentence =
                format!("of the other users of the water, `{id}` are not notified of the mission");
            known(Value::Truth(false), sentence, primary, lines)
        }
        None => {
            let primary = evidence::label(mission.id.span(), "this mission");
            let sentence = "the other users of the water are notified of the mission";
            known(Value::Truth(true), sentence, primary, lines)
        }
    })
}
