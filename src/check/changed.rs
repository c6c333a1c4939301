//! What a change does to who runs a mission, with what and when: facts that move no waypoint and may
//! move no margin, and that a reviewer has to see all the same.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::Loaded;
use super::leaves::{Items, Leaf, leaves};
use crate::document::Node;
use crate::plan::site::Site;
use crate::schema::Kind;

/// A value of a mission's file, or of its site's, that is another one than before.
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
    "orders",
    "repeats",
    "purpose",
    "team",
    "operator",
    "stations",
    "safety_boat",
    "launch",
    "recovery",
    "alarm",
    "other_users_notified",
    "checklist",
    "charge_at_launch",
    "charged",
    "links",
    "antennas",
    "soundings",
    "return_leg",
    "at_end",
    "on_lost_link",
    "on_low_battery",
    "on_lost_position",
    "on_lost_propulsion",
    "manual_override",
];

/// What of a mission's site is reported: what it says is dangerous, and what it knows.
const OF_SITE: &[&str] = &[
    "hazards",
    "keep_out",
    "currents",
    "launch_sites",
    "soundings",
    "water_level",
    "least_depth",
    "other_users",
    "permissions",
];

/// What became of these values in every mission that both loadings hold, by its id; missions of which
/// nothing is to be reported are left out.
#[must_use]
pub(crate) fn told_changes(was: &Loaded, now: &Loaded) -> BTreeMap<String, Vec<Told>> {
    let before = roots(was, Kind::Mission);
    let sites = (Sites::from_loaded(was), Sites::from_loaded(now));
    let mut all = BTreeMap::new();
    for (id, now) in roots(now, Kind::Mission) {
        let Some(was) = before.get(id) else { continue };
        let told = FIELDS
            .iter()
            .flat_map(|field| of_field("", field, was.get(field), now.get(field)));
        let told: Vec<Told> = told.chain(of_site(&sites, was, now)).collect();
        if !told.is_empty() {
            all.insert(id.to_owned(), told);
        }
    }
    all
}

/// The sites of a loading, as they are written and as they are read.
struct Sites<'a> {
    written: BTreeMap<&'a str, &'a Node>,
    read: &'a BTreeMap<String, Arc<Site>>,
}

impl<'a> Sites<'a> {
    fn from_loaded(loaded: &'a Loaded) -> Self {
        Self {
            written: roots(loaded, Kind::Site),
            read: &loaded.linked.sites,
        }
    }

    /// How many soundings a site has.
    fn soundings(&self, id: &str) -> Option<usize> {
        let soundings = self.read.get(id)?.depths.soundings.as_ref()?;
        Some(soundings.bed.soundings())
    }
}

/// What became of a mission's site, where it is the same one in both.
fn of_site((before, after): &(Sites<'_>, Sites<'_>), was: &Node, now: &Node) -> Vec<Told> {
    let id = |mission: &Node| Some(mission.get("site")?.as_text()?.to_owned());
    let Some(id) = id(was).filter(|was| id(now).as_ref() == Some(was)) else {
        return Vec::new();
    };
    let sites = (before.written.get(&*id), after.written.get(&*id));
    let (Some(was), Some(now)) = sites else {
        return Vec::new();
    };
    let fields = OF_SITE.iter();
    let told = fields.flat_map(|field| of_field("site, ", field, was.get(field), now.get(field)));
    let (was, now) = (before.soundings(&id), after.soundings(&id));
    let fewer = (was != now).then(|| Told {
        what: "site, number of soundings".to_owned(),
        was: was.map(|count| count.to_string()),
        now: now.map(|count| count.to_string()),
    });
    told.chain(fewer).collect()
}

/// The first file of each id of a kind.
fn roots(loaded: &Loaded, kind: Kind) -> BTreeMap<&str, &Node> {
    let mut roots = BTreeMap::new();
    for file in loaded.gathered.of_kind(kind) {
        if let Some((id, _)) = &file.id {
            roots.entry(id.as_str()).or_insert(file.whole());
        }
    }
    roots
}

fn of_field(of: &str, field: &str, was: Option<&Node>, now: Option<&Node>) -> Vec<Told> {
    let values =
        |node: Option<&Node>| node.map_or_else(Vec::new, |node| leaves(node, Items::Named));
    let (was, now) = (values(was), values(now));
    let find = |of: &[Leaf], path: &[String]| of.iter().find(|leaf| leaf.path == path).cloned();
    let what = |leaf: &Leaf| {
        let field = field.replace('_', " ");
        match leaf.place() {
            place if place.is_empty() => format!("{of}{field}"),
            place => format!("{of}{field}, {place}"),
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
