//! Who does what at the water, and how many they are.

use super::known;
use crate::finding::Label;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::plan::Plan;
use crate::plan::manned::Manned;
use crate::plan::people::{Team, says_nothing};
use crate::schema::Stated;
use crate::units::{Dimension, Quantity};

pub(super) fn team<'a>(passage: &'a Passage<'_>) -> Result<&'a Team, NotMeasured> {
    let plan = passage.plan;
    plan.mission.people.team.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan assigns no roles",
            "add `team:` with a role for each task, never a person's name",
        )
    })
}

/// The roles of a team with what they are called, as far as they are stated.
fn all(team: &Team) -> [(&'static str, &'static str, Option<&Stated<String>>); 4] {
    [
        (
            "person_in_charge",
            "person in charge",
            Some(&team.person_in_charge),
        ),
        (
            "remote_operator",
            "remote operator",
            Some(&team.remote_operator),
        ),
        ("lookout", "lookout", team.lookout.as_ref()),
        (
            "recovery_crew",
            "recovery crew",
            team.recovery_crew.as_ref(),
        ),
    ]
}

fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

pub(super) fn roles(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let team = team(passage)?;
    let roles = all(team);
    let missing = roles.iter().filter(|(_, _, stated)| stated.is_none());
    let (keys, names): (Vec<&str>, Vec<&str>) = missing.map(|(key, name, _)| (*key, *name)).unzip();
    if !keys.is_empty() {
        let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
        let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
        return Err(unmeasured::lacking(
            plan,
            team.span,
            &format!("the team does not say who is {}", listed(&names)),
            &format!("add {} to `team:`, by role", listed(&keys)),
        ));
    }
    if let Some(crew) = &team.recovery_crew
        && !says_nothing(&crew.value)
        && nobody_else(&crew.value, &team.remote_operator.value)
    {
        let sentence = "the team has nobody as recovery crew but the remote operator, who steers";
        let primary = evidence::label(crew.span(), "fetches the boat");
        let because = vec![evidence::label(
            team.remote_operator.span(),
            "steers the boat",
        )];
        return Ok(known(Value::Truth(false), sentence, primary, because));
    }
    let gaps: Vec<_> = roles
        .iter()
        .filter_map(|(_, name, stated)| Some((*name, (*stated)?)))
        .filter(|(_, stated)| says_nothing(&stated.value))
        .collect();
    let names: Vec<&str> = gaps.iter().map(|(name, _)| *name).collect();
    let mut lines = gaps
        .iter()
        .map(|(name, stated)| evidence::label(stated.span(), format!("nobody is {name}")));
    match lines.next() {
        Some(primary) => {
            let sentence = format!("the team has nobody as {}", listed(&names));
            Ok(known(
                Value::Truth(false),
                sentence,
                primary,
                lines.collect(),
            ))
        }
        None => {
            let primary = evidence::label(team.span, "the team");
            let sentence = "every role of the team is assigned";
            Ok(known(Value::Truth(true), sentence, primary, Vec::new()))
        }
    }
}

pub(super) fn at_water(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let team = team(passage)?;
    let Some(people) = &team.at_water else {
        return Err(unmeasured::lacking(
            plan,
            team.span,
            "the team does not say how many people are at the water at launch and recovery",
            "add `at_water` to `team:`",
        ));
    };
    let mission = &plan.mission;
    let away = [&mission.launch.at.value, &mission.recovery.at.value].map(|at| elsewhere(plan, at));
    let [launch, recovery] = away;
    let away = if recovery.len() > launch.len() {
        recovery
    } else {
        launch
    };
    #[expect(clippy::cast_precision_loss, reason = "a site has few stations")]
    let there = (people.value - away.len() as f64).max(0.0);
    let value = Value::Quantity(Quantity::new(there, Dimension::PEOPLE));
    let primary = evidence::label(people.span(), format!("{} at the water", people.value));
    let sentence = "the number of people at the water at launch and recovery";
    let because: Vec<Label> = away
        .iter()
        .map(|one| {
            let text = format!("stays at `{}` throughout", one.station.value);
            evidence::label(one.operator.span(), text)
        })
        .collect();
    let mut known = known(value, sentence, primary, because);
    if !away.is_empty() {
        known.steps = vec![format!(
            "{} at the water, less {} at a station more than {} from there: {there}",
            people.value,
            away.len(),
            evidence::metres(BESIDE)
        )];
    }
    Ok(known)
}

/// Who stands at a station farther than this does not lend a hand at the launch, m. Our own proposal.
const BESIDE: f64 = 100.0;

/// The stations in use whose operators are elsewhere while the boat is launched or recovered at a place.
fn elsewhere<'a>(plan: &'a Plan, place: &Point) -> Vec<&'a Manned> {
    let mission = &plan.mission;
    let apart = |one: &&Manned| one.operator.value.distance(*place) > BESIDE;
    let mut away: Vec<&Manned> = mission.stations.iter().filter(apart).collect();
    // Two stations side by side are manned by one.
    let mut people: Vec<Point> = Vec::new();
    away.retain(|one| {
        let at = one.operator.value;
        let another = people.iter().all(|person| person.distance(at) > BESIDE);
        if another {
            people.push(at);
        }
        another
    });
    away
}

/// Whether one role names nobody but those of another.
fn nobody_else(one: &str, other: &str) -> bool {
    let (one, other) = (plain(one), plain(other));
    !one.is_empty() && one.iter().all(|word| other.contains(word))
}

/// The words of a role, without articles.
fn plain(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty() && !["the", "a", "an"].contains(word))
        .map(str::to_lowercase)
        .collect()
}

/// Whether two roles are given in the same words, or all the words of one are in the other: two that
/// differ by an addition may be one person.
pub(super) fn same(one: &str, other: &str) -> bool {
    let (one, other) = (plain(one), plain(other));
    let within = |less: &[String], more: &[String]| {
        !less.is_empty() && less.iter().all(|word| more.contains(word))
    };
    within(&one, &other) || within(&other, &one)
}

pub(super) fn lookout(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let team = team(passage)?;
    let Some(watch) = &team.lookout else {
        return Err(unmeasured::lacking(
            plan,
            team.span,
            "the team does not say who keeps the lookout",
            "add `lookout` to `team:`, by role",
        ));
    };
    let apart = !same(&watch.value, &team.remote_operator.value);
    let sentence = if apart {
        "the lookout is somebody other than the remote operator"
    } else {
        "the remote operator also keeps the lookout"
    };
    let primary = evidence::label(watch.span(), "keeps the lookout");
    let because = vec![evidence::label(
        team.remote_operator.span(),
        "steers the boat",
    )];
    Ok(known(Value::Truth(apart), sentence, primary, because))
}

#[cfg(test)]
mod tests {
    use super::same;

    #[test]
    fn roles_are_the_same_whatever_their_case_and_article() {
        assert!(same("the Operator", "operator"));
        assert!(same("survey  lead", "survey-lead"));
        assert!(same("the operator on shore", "operator"));
        assert!(same("operator", "operator too"));
        assert!(!same("second helper", "operator"));
        assert!(!same("survey lead", "second lead"));
    }
}
