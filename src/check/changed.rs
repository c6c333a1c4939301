//! What a change does to who runs a mission, with what and when: facts that move no waypoint and may
//! move no margin, and that a reviewer has to see all the same.

use std::collections::BTreeMap;

use super::Loaded;
use super::leaves::{Items, Leaf, leaves};
use crate::document::Node;
use crate::schema::Kind;

/// A value of a mission's file that is another one than before.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Told {
    /// Where it stands, in words: `team, person in charge`.
    pub what: String,
    /// As it was written; `None` where it was not stated.
    pub was: Option<String>,
    /// As it is written; `None` where it is no longer stated.
    pub now: Option<String>,
}

/// What of a mission is told of; its route, winds and waivers are told in their own terms.
const FIELDS: &[&str] = &[
    "vessel",
    "site",
    "policy",
    "purpose",
    "team",
    "operator",
    "stations",
    "recovery_craft",
    "launch",
    "recovery",
    "alarm",
    "other_users_told",
    "checklist",
];

/// What became of these values in every mission that both loadings hold, by its id; missions of which
/// nothing is to be told are left out.
#[must_use]
pub fn told_changes(was: &Loaded, now: &Loaded) -> BTreeMap<String, Vec<Told>> {
    let before = roots(was);
    let mut all = BTreeMap::new();
    for (id, now) in roots(now) {
        let Some(was) = before.get(id) else { continue };
        let told: Vec<Told> = FIELDS
            .iter()
            .flat_map(|field| of_field(field, was.get(field), now.get(field)))
            .collect();
        if !told.is_empty() {
            all.insert(id.to_owned(), told);
        }
    }
    all
}

/// The first file of each mission.
fn roots(loaded: &Loaded) -> BTreeMap<&str, &Node> {
    let mut roots = BTreeMap::new();
    for file in loaded.gathered.of(Kind::Mission) {
        if let Some((id, _)) = &file.id {
            roots.entry(id.as_str()).or_insert(&file.document.root);
        }
    }
    roots
}

fn of_field(field: &str, was: Option<&Node>, now: Option<&Node>) -> Vec<Told> {
    let values =
        |node: Option<&Node>| node.map_or_else(Vec::new, |node| leaves(node, Items::Named));
    let (was, now) = (values(was), values(now));
    let find = |of: &[Leaf], path: &[String]| of.iter().find(|leaf| leaf.path == path).cloned();
    let what = |leaf: &Leaf| {
        let field = field.replace('_', " ");
        match leaf.place() {
            place if place.is_empty() => field,
            place => format!("{field}, {place}"),
        }
    };
    let mut told = Vec::new();
    for later in &now {
        let earlier = find(&was, &later.path);
        if earlier
            .as_ref()
            .is_some_and(|earlier| earlier.means == later.means)
        {
            continue;
        }
        told.push(Told {
            what: what(later),
            was: earlier.map(|earlier| earlier.written),
            now: Some(later.written.clone()),
        });
    }
    for earlier in was.iter().filter(|one| find(&now, &one.path).is_none()) {
        told.push(Told {
            what: what(earlier),
            was: Some(earlier.written.clone()),
            now: None,
        });
    }
    told
}
