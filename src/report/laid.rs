//! What missions state otherwise than the files laid under them: the plan that one repeats, its orders.

use crate::check::{MissionResult, Outcome};
use crate::plan::laid::Laid;

/// Most missions of which it is listed what each states otherwise.
const LISTED: usize = 3;

/// A file that may be laid under a mission.
struct Under {
    /// Above a list of what missions state otherwise.
    title: &'static str,
    /// The mission's field that names it.
    field: &'static str,
    /// In a sentence, before its value.
    have: &'static str,
    of: fn(&MissionResult) -> Option<&Laid>,
}

const UNDER: [Under; 2] = [
    Under {
        title: "other than the repeated plan:",
        field: "repeats",
        have: "that plan has",
        of: |mission| mission.repeats.as_ref(),
    },
    Under {
        title: "other than the orders:",
        field: "orders",
        have: "the orders have",
        of: |mission| mission.orders.as_ref(),
    },
];

/// What a mission states otherwise than the files laid under it, each with that file's id.
pub(super) fn otherwise(mission: &MissionResult) -> Vec<String> {
    let all = UNDER.iter().filter_map(|under| {
        let laid = (under.of)(mission)?;
        Some(laid.differs.iter().map(move |one| {
            let sentence = one.sentence(under.have);
            format!("{} {}: {sentence}", under.field, laid.id)
        }))
    });
    all.flatten().collect()
}

/// The same of all missions of a check as lists with their titles, which missions repeat another among them.
pub(super) fn lists(outcome: &Outcome) -> Vec<(&'static str, Vec<String>)> {
    let differing = UNDER
        .iter()
        .map(|under| (under.title, of_all(outcome, under)));
    std::iter::once(("repeats:", repeats(outcome)))
        .chain(differing)
        .collect()
}

fn of_all(outcome: &Outcome, under: &Under) -> Vec<String> {
    let missions = outcome.checked.iter();
    let all: Vec<(&str, &Laid)> = missions
        .filter_map(|one| Some((one.mission.as_str(), (under.of)(one)?)))
        .filter(|(_, laid)| !laid.differs.is_empty())
        .collect();
    if all.len() > LISTED {
        let fields: usize = all.iter().map(|(_, laid)| laid.differs.len()).sum();
        return vec![format!(
            "{} missions, in {fields} fields; `offing check` of one lists them",
            all.len()
        )];
    }
    let each = all.iter().flat_map(|(mission, laid)| {
        let (field, id) = (under.field, &laid.id);
        let of_mission = laid.differs.iter();
        of_mission.map(move |one| format!("{mission} ({field} {id}): {}", one.sentence(under.have)))
    });
    each.collect()
}

/// Which missions repeat another, a few of them.
fn repeats(outcome: &Outcome) -> Vec<String> {
    let missions = outcome.checked.iter();
    let all = missions.filter_map(|one| Some((&one.mission, &one.repeats.as_ref()?.id)));
    let mut all: Vec<String> = all
        .map(|(mission, plan)| format!("{mission} repeats {plan}"))
        .collect();
    if all.len() > LISTED {
        all = vec![format!("{} missions repeat another", all.len())];
    }
    all
}
