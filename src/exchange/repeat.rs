//! A plan on another day: a mission that repeats it, and states only what belongs to the day.

use super::another_day::{CHARGED, apart, moved};
use crate::document::Node;
use crate::schema::marks::gap;

/// A mission that repeats a plan, begun.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Repeat {
    /// Its id.
    pub id: String,
    /// Its text.
    pub text: String,
    /// How many gaps it has.
    pub gaps: usize,
}

/// Missions that repeat the plan of a mission, one for each launch time. Each is called after the plan and its
/// day, and its clock where several are of one day.
///
/// # Errors
/// In a sentence, where a time is none or not written as the plan's own is.
pub(crate) fn repeats(plan: &str, root: &Node, times: &[String]) -> Result<Vec<Repeat>, String> {
    let mut days = Vec::new();
    for time in times {
        let (at, _) = apart(time)?;
        if days.contains(&at) {
            return Err(format!("`{time}` is given twice"));
        }
        days.push(at);
    }
    let each = times.iter().zip(&days);
    each.map(|(time, at)| {
        let day = at.date();
        let several = days.iter().filter(|other| other.date() == day).count() > 1;
        let name = match several {
            true => at.strftime("%Y-%m-%dT%H%M"),
            false => at.strftime("%Y-%m-%d"),
        };
        repeat(plan, root, &format!("{plan}-{name}"), time)
    })
    .collect()
}

fn repeat(plan: &str, root: &Node, id: &str, time: &str) -> Result<Repeat, String> {
    let (time, back) = moved(root, time)?;
    let mut text =
        format!("kind: mission\nformat: 1\nid: {id}\nrepeats: {plan}\n\nlaunch:\n  time: {time}\n");
    if let Some(back) = back {
        text.push_str(&format!("  latest_return: {back}\n"));
    }
    let mut gaps = 1;
    text.push_str(&gap("charged", CHARGED));
    text.push('\n');
    let conditions = root.get("conditions");
    if conditions.and_then(|one| one.get("wind")).is_none() {
        gaps += 1;
        let told = "The forecast of the day; `offing import forecast` writes one.";
        text.push_str(&format!("\nconditions:\n  {}\n", gap("forecast", told)));
    }
    Ok(Repeat {
        id: id.to_owned(),
        text,
        gaps,
    })
}
