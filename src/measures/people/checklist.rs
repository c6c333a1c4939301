//! What a policy demands to be ticked off before a mission.

use jiff::tz::TimeZone;

use super::known;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::people::{Item, says_nothing};

/// Days before the launch that an item may have been done: what was tried earlier may have changed
/// since. Our own proposal.
const OLDEST: i64 = 2;

/// Why an item does not count as done; `None` where it does.
fn amiss(passage: &Passage<'_>, item: &Item) -> Option<String> {
    let plan = passage.plan;
    let Some(done) = &item.done else {
        return Some("not done".to_owned());
    };
    match &item.by {
        None => return Some("done, but nobody signed for it".to_owned()),
        Some(by) if says_nothing(&by.value) => {
            return Some("done, but nobody signed for it".to_owned());
        }
        Some(_) => {}
    }
    // A day without a place: the site's own, or the latest that it can be anywhere.
    let launch = plan.mission.launch.time.value;
    let day = match &plan.site.time_zone {
        Some(zone) => zone.to_datetime(launch).date(),
        None => TimeZone::fixed(jiff::tz::offset(14))
            .to_datetime(launch)
            .date(),
    };
    if done.value > day {
        return Some(format!("done on {}, after the launch", done.value));
    }
    let days = done.value.duration_until(day).as_hours() / 24;
    (days > OLDEST).then(|| format!("done {days} days before the launch"))
}

pub(super) fn done(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let demanded = &passage.demanded.0;
    let list = &plan.mission.people.checklist;
    let find = |id: &str| list.iter().find(|item| item.id.value == id);
    let mut missing = demanded.iter().filter(|one| find(&one.value).is_none());
    if let Some(first) = missing.next() {
        let mut names = vec![format!("`{}`", first.value)];
        let mut because = vec![evidence::label(first.span(), "the policy requires it")];
        for one in missing {
            names.push(format!("`{}`", one.value));
            because.push(evidence::label(one.span(), "the policy requires it"));
        }
        let known: Vec<&str> = list.iter().map(|item| item.id.value.as_str()).collect();
        let remedy = match crate::schema::explain::nearest(&first.value, &known) {
            Some(near) => format!("the list has `{near}`: did you mean `{}`?", first.value),
            None => {
                "add an `item` to `checklist`, with `done` and `by`, once it is done".to_owned()
            }
        };
        let reason = format!(
            "the checklist lacks items that the policy requires: {}",
            names.join(", ")
        );
        let mut unknown = unmeasured::lacking(plan, plan.mission.id.span(), &reason, &remedy);
        unknown.because = because;
        return Err(unknown);
    }
    let faults: Vec<_> = demanded
        .iter()
        .filter_map(|one| {
            let item = find(&one.value)?;
            Some((one, item, amiss(passage, item)?))
        })
        .collect();
    let Some((_, first, why)) = faults.first() else {
        let sentence = match demanded.len() {
            0 => "the policy requires no checklist items".to_owned(),
            count => format!("all {count} items that the policy requires are done"),
        };
        let primary = evidence::label(plan.mission.id.span(), "this mission");
        return Ok(known(Value::Truth(true), sentence, primary, Vec::new()));
    };
    let primary = evidence::label(first.id.span(), why.clone());
    let mut because: Vec<_> = faults[1..]
        .iter()
        .map(|(_, item, why)| evidence::label(item.id.span(), why.clone()))
        .collect();
    because.extend(
        faults
            .iter()
            .map(|(one, _, _)| evidence::label(one.span(), "the policy requires it")),
    );
    let names: Vec<String> = faults
        .iter()
        .map(|(_, item, why)| format!("`{}` ({why})", item.id.value))
        .collect();
    let sentence = format!(
        "of the {} items that the policy requires, {} not in order: {}",
        demanded.len(),
        match faults.len() {
            1 => "one is".to_owned(),
            count => format!("{count} are"),
        },
        names.join(", ")
    );
    Ok(known(Value::Truth(false), sentence, primary, because))
}
