//! The same plan on another day: what a mission takes from the one that it repeats.
//!
//! Whatever belongs to the plan is taken, whatever belongs to the day is not: a forecast, a battery's charging
//! and a waiver hold for the run that they were stated for.

use super::laid::{Differs, lay_fields};
use crate::document::{Entry, Node, Value};
use crate::schema::Problem;
use crate::source::Span;

/// What of a field a mission that repeats another may state itself.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum OfDay {
    /// All of it.
    All,
    /// These of its fields; the others are the plan's.
    These(&'static [&'static str]),
}

/// Fields that a mission that repeats another may state.
pub(crate) const OF_DAY: &[(&str, OfDay)] = &[
    ("kind", OfDay::All),
    ("format", OfDay::All),
    ("id", OfDay::All),
    ("title", OfDay::All),
    ("purpose", OfDay::All),
    ("repeats", OfDay::All),
    ("launch", OfDay::These(&["time", "delay", "latest_return"])),
    ("charge_at_launch", OfDay::All),
    ("charged", OfDay::All),
    ("conditions", OfDay::All),
    ("other_users_notified", OfDay::All),
    ("waivers", OfDay::All),
];

/// Fields that are never taken, each as a path: the other day's.
const NOT_TAKEN: &[&[&str]] = &[
    &["launch", "time"],
    &["launch", "latest_return"],
    &["charged"],
    &["conditions", "forecast"],
    &["waivers"],
];

/// Whether a field of one of a mission's mappings, by its JSON pointer, may be left to the mission that it
/// repeats; without a name, which one of several it has.
#[must_use]
pub(super) fn may_be_left(pointer: &str, _name: Option<&str>) -> bool {
    matches!(pointer, "" | "/launch" | "/conditions")
}

/// Fields that a mission which repeats another states and may not, each on its key.
#[must_use]
pub(super) fn not_of_day(mission: &Node) -> Vec<Problem> {
    let mut problems = Vec::new();
    let Value::Map(entries) = &mission.value else {
        return problems;
    };
    for entry in entries {
        let of_day = OF_DAY.iter().find(|(field, _)| *field == entry.key);
        match (of_day, &entry.value.value) {
            (None, _) => problems.push(of_plan(&entry.key, entry)),
            (Some((group, OfDay::These(fields))), Value::Map(inner)) => {
                let others = inner.iter();
                let others = others.filter(|one| !fields.contains(&one.key.as_str()));
                problems.extend(others.map(|one| of_plan(&format!("{group}.{}", one.key), one)));
            }
            _ => {}
        }
    }
    problems
}

fn of_plan(field: &str, entry: &Entry) -> Problem {
    let text = format!("`{field}` belongs to the plan that this mission repeats");
    let problem = Problem::new("input-schema", entry.key_span, text).labelled("not of the day");
    problem.help(
        "leave it out, or begin a mission of its own with `offing new mission`, its option `--from` and the \
         repeated mission",
    )
}

/// A mission with what it takes from the one that it repeats, and what it states otherwise.
#[must_use]
pub(super) fn lay_under(mission: &Node, repeated: &Node) -> (Node, Vec<Differs>) {
    let mut differs = Vec::new();
    let mut laid = mission.clone();
    let (Value::Map(own), Value::Map(theirs)) = (&mut laid.value, &repeated.value) else {
        return (laid, differs);
    };
    for entry in theirs.iter().filter(|entry| taken(&[&entry.key])) {
        match own.iter_mut().find(|one| one.key == entry.key) {
            None => own.push(without_the_day(entry)),
            Some(one) => lay_field(one, entry, &mut differs),
        }
    }
    (laid, differs)
}

fn taken(path: &[&str]) -> bool {
    !NOT_TAKEN.contains(&path)
}

/// A field without those of its own that belong to the other day.
fn without_the_day(entry: &Entry) -> Entry {
    let mut entry = entry.clone();
    let key = entry.key.clone();
    if let Value::Map(inner) = &mut entry.value.value {
        inner.retain(|one| taken(&[&key, &one.key]));
    }
    entry
}

fn lay_field(own: &mut Entry, theirs: &Entry, differs: &mut Vec<Differs>) {
    let theirs = without_the_day(theirs);
    match (&mut own.value.value, &theirs.value.value) {
        (Value::Map(mine), Value::Map(others)) => lay_fields(&own.key, mine, others, differs),
        // Names differ on purpose.
        _ if ["kind", "format", "id", "title"].contains(&own.key.as_str()) => {}
        _ => Differs::note((&own.key, &own.value), &theirs.value, differs),
    }
}

/// That a mission repeats one which repeats another.
#[must_use]
pub(super) fn of_a_repeat(span: Span, named: &str, (further, at): (&str, Span)) -> Problem {
    let text = if named == further {
        format!("mission `{named}` repeats itself")
    } else {
        format!("mission `{named}` repeats `{further}` itself")
    };
    let problem = Problem::new("input-reference", span, text).with(at, "and so holds no plan");
    problem.help("name the mission that states the plan")
}
