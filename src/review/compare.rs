//! What a change does to each mission, in the plan's own terms.

use std::collections::{BTreeMap, BTreeSet};

use crate::check::{Inputs, MissionResult, Outcome, RuleResult, Told, Verdict, Waypoint};
use crate::units::{Length, Quantity, Towards};

/// What became of a mission.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Change {
    /// It is new.
    Added,
    /// It is gone.
    Removed,
    /// Its file is there, and is no mission any more.
    Unchecked,
    /// Something that it is made of, or is judged by, is another.
    Changed,
}

/// A figure of the passage in both revisions.
#[derive(Clone, PartialEq, Debug)]
pub struct Figure {
    /// Its name.
    pub name: &'static str,
    /// Before; nothing where it could not be determined.
    pub was: Option<Quantity>,
    /// After.
    pub now: Option<Quantity>,
}

/// A margin in both revisions.
#[derive(Clone, PartialEq, Debug)]
pub struct Margin {
    /// The rule.
    pub rule: String,
    /// The subject within the mission.
    pub subject: String,
    /// The value before.
    pub was: Quantity,
    /// The value after.
    pub now: Quantity,
    /// The limit, `at least 30 %`.
    pub limit: String,
    /// Whether it is nearer to its limit than before, or farther past it.
    pub worse: bool,
}

/// A waypoint at another place.
#[derive(Clone, PartialEq, Debug)]
pub struct Moved {
    /// Its id.
    pub id: String,
    /// How far.
    pub by: Length,
    /// Whereto.
    pub towards: Towards,
    /// Latitude and longitude in degrees where it was.
    pub from: (f64, f64),
}

/// What became of the waypoints.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Waypoints {
    /// New ones.
    pub added: Vec<String>,
    /// Those that are gone.
    pub removed: Vec<String>,
    /// Those at another place; a survey by where its last line ends.
    pub moved: Vec<Moved>,
    /// Those come to at another speed: id, before, after.
    pub speeds: Vec<(String, String, String)>,
    /// Surveys of another number of lines: id, before, after.
    pub lines: Vec<(String, usize, usize)>,
    /// Whether those that stay are come to in another order.
    pub reordered: bool,
}

/// What a change does to one mission.
#[derive(Clone, PartialEq, Debug)]
pub struct MissionChange {
    /// Its id.
    pub mission: String,
    /// What became of it.
    pub change: Change,
    /// Its files that differ, by path.
    pub files: Vec<String>,
    /// Figures that differ.
    pub figures: Vec<Figure>,
    /// Who runs it, with what and when, where that differs.
    pub told: Vec<Told>,
    /// What became of its waypoints.
    pub waypoints: Waypoints,
    /// Margins that differ, the worse ones first.
    pub margins: Vec<Margin>,
}

/// What of a mission that is no longer there stays.
pub(super) struct Stays<'a> {
    /// Missions whose file is still there, by id.
    pub missions: BTreeSet<String>,
    /// Whether a file is in both revisions, and the same.
    pub alike: &'a dyn Fn(&str) -> bool,
}

/// What a change does to every mission that it bears on.
pub(super) fn changes(
    (was, before): (&Outcome, &BTreeMap<String, Inputs>),
    (now, after): (&Outcome, &BTreeMap<String, Inputs>),
    affected: &BTreeSet<String>,
    (stays, mut told): (&Stays<'_>, BTreeMap<String, Vec<Told>>),
) -> Vec<MissionChange> {
    let by_id = |outcome: &Outcome| -> BTreeMap<String, usize> {
        // Backwards, so that the first of those under one id is kept.
        let checked = outcome.checked.iter().enumerate().rev();
        checked.map(|(at, one)| (one.mission.clone(), at)).collect()
    };
    let (was_at, now_at) = (by_id(was), by_id(now));
    affected
        .iter()
        .map(|id| {
            let was = was_at.get(id).map(|at| &was.checked[*at]);
            let now = now_at.get(id).map(|at| &now.checked[*at]);
            let change = match (before.contains_key(id), after.contains_key(id)) {
                (false, _) => Change::Added,
                (_, false) if stays.missions.contains(id) => Change::Unchecked,
                (_, false) => Change::Removed,
                _ => Change::Changed,
            };
            let (margins, figures, waypoints) = match (was, now) {
                (Some(was), Some(now)) => {
                    (margins(was, now), figures(was, now), waypoints(was, now))
                }
                _ => Default::default(),
            };
            MissionChange {
                mission: id.clone(),
                change,
                files: match change {
                    Change::Removed | Change::Unchecked => {
                        let files = files(before.get(id), None).into_iter();
                        files.filter(|path| !(stays.alike)(path)).collect()
                    }
                    _ => files(before.get(id), after.get(id)),
                },
                told: told.remove(id).unwrap_or_default(),
                figures,
                waypoints,
                margins,
            }
        })
        .collect()
}

fn files(was: Option<&Inputs>, now: Option<&Inputs>) -> Vec<String> {
    let none = Inputs::new();
    let (was, now) = (was.unwrap_or(&none), now.unwrap_or(&none));
    let all: BTreeSet<&String> = was.keys().chain(now.keys()).collect();
    all.into_iter()
        .filter(|path| was.get(*path) != now.get(*path))
        .cloned()
        .collect()
}

/// Shown alike, they are the same to whoever reads them.
fn differ(was: Option<Quantity>, now: Option<Quantity>) -> bool {
    let shown = |one: Option<Quantity>| one.map(|one| one.to_string());
    shown(was) != shown(now)
}

fn figures(was: &MissionResult, now: &MissionResult) -> Vec<Figure> {
    let find = |of: &MissionResult, name: &str| {
        let mut all = of.figures.iter();
        all.find(|(known, _)| *known == name)
            .map(|(_, value)| *value)
    };
    let mut names: Vec<&'static str> = now.figures.iter().map(|(name, _)| *name).collect();
    for (name, _) in &was.figures {
        if !names.contains(name) {
            names.push(name);
        }
    }
    names
        .into_iter()
        .map(|name| Figure {
            name,
            was: find(was, name),
            now: find(now, name),
        })
        .filter(|figure| differ(figure.was, figure.now))
        .collect()
}

/// How far a value is inside its limit.
fn inside(judged: &RuleResult) -> Option<f64> {
    let (measured, limit) = (judged.measured?, judged.limit?);
    Some(judged.side?.margin(measured.value, limit.value))
}

fn margins(was: &MissionResult, now: &MissionResult) -> Vec<Margin> {
    let mut all = Vec::new();
    for later in now
        .judged
        .iter()
        .filter(|one| one.verdict != Verdict::NotApplicable)
    {
        let same = was
            .judged
            .iter()
            .find(|one| one.rule == later.rule && one.subject == later.subject);
        let Some(earlier) = same else { continue };
        let (Some(before), Some(after), Some(limit), Some(side)) =
            (earlier.measured, later.measured, later.limit, later.side)
        else {
            continue;
        };
        if !differ(Some(before), Some(after)) {
            continue;
        }
        let worse = match (inside(earlier), inside(later)) {
            (Some(before), Some(after)) => after < before,
            _ => false,
        };
        all.push(Margin {
            rule: later.rule.to_string(),
            subject: later.subject.to_string(),
            was: before,
            now: after,
            limit: format!("{} {limit}", side.label()),
            worse,
        });
    }
    all.sort_by(|a, b| (b.worse, &a.rule, &a.subject).cmp(&(a.worse, &b.rule, &b.subject)));
    all
}

fn waypoints(was: &MissionResult, now: &MissionResult) -> Waypoints {
    let find = |of: &'_ [Waypoint], id: &str| of.iter().position(|one| one.id == id);
    let mut all = Waypoints::default();
    for one in &now.outline {
        let Some(at) = find(&was.outline, &one.id) else {
            all.added.push(one.id.clone());
            continue;
        };
        let earlier = &was.outline[at];
        let (by, towards) = earlier.moved_to(one);
        // A hand's breadth is what a sixth decimal is worth.
        if by >= Length::metres(0.1) {
            all.moved.push(Moved {
                id: one.id.clone(),
                by,
                towards,
                from: earlier.position,
            });
        }
        let [before, after] = [earlier, one].map(Waypoint::speed_in_words);
        if before != after {
            all.speeds.push((one.id.clone(), before, after));
        }
        if earlier.lines != one.lines {
            all.lines.push((one.id.clone(), earlier.lines, one.lines));
        }
    }
    for one in &was.outline {
        if find(&now.outline, &one.id).is_none() {
            all.removed.push(one.id.clone());
        }
    }
    let order = |of: &[Waypoint], among: &[Waypoint]| -> Vec<String> {
        of.iter()
            .filter(|one| find(among, &one.id).is_some())
            .map(|one| one.id.clone())
            .collect()
    };
    all.reordered = order(&was.outline, &now.outline) != order(&now.outline, &was.outline);
    all
}
