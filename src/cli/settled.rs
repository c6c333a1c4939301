//! What the files of a repository settle of a file that is begun there.

use std::path::Path;

use crate::document::{Document, Node, ParseLimits, Value, parse};
use crate::plan::{FileOfKind, Gathered, gather};
use crate::schema::Kind;
use crate::schema::skeleton::Settled;
use crate::source::{Sources, open_repository};

/// Places that a mission, or orders, have at a launch site.
const PLACES: [&str; 4] = [
    "launch.place",
    "recovery.place",
    "safety_boat.place",
    "operator.place",
];

/// The files that there is only one of in a repository, and that a file begun there will mean.
#[derive(Default)]
pub(super) struct OnlyOnes {
    files: Vec<FileOfKind>,
}

impl OnlyOnes {
    /// Those of a repository; none where it cannot be read.
    pub(super) fn in_repository(plans: &Path) -> Self {
        let mut sources = Sources::new();
        let gathered = open_repository(plans).and_then(|tree| gather(&tree, &mut sources));
        gathered.map_or_else(|_| Self::default(), |gathered| Self::of_files(&gathered))
    }

    /// Those of what was gathered of a repository.
    pub(super) fn of_files(gathered: &Gathered) -> Self {
        let kinds = [Kind::Vessel, Kind::Site, Kind::Orders, Kind::Policy];
        let only = |kind: Kind| {
            let mut files = gathered.of_kind(kind).filter(|file| file.id.is_some());
            let file = files.next()?;
            files.next().is_none().then(|| file.clone())
        };
        Self {
            files: kinds.into_iter().filter_map(only).collect(),
        }
    }

    /// Without the site, unless it is the one that is meant.
    pub(super) fn at_site(mut self, id: &str) -> Self {
        let meant = |file: &FileOfKind| file.id.as_ref().is_some_and(|(of, _)| of == id);
        self.files
            .retain(|file| file.kind != Kind::Site || meant(file));
        self
    }

    /// The id of the only file of a kind.
    pub(super) fn id(&self, kind: Kind) -> Option<&str> {
        let file = self.files.iter().find(|file| file.kind == kind)?;
        file.id.as_ref().map(|(id, _)| id.as_str())
    }

    fn of_kind(&self, kind: Kind) -> Option<&Node> {
        let file = self.files.iter().find(|file| file.kind == kind)?;
        Some(&file.document.root)
    }

    /// What they settle of a field of a file of a kind, by its path.
    pub(super) fn settled(&self, kind: Kind, path: &str) -> Option<Settled> {
        let site = self.of_kind(Kind::Site);
        match kind {
            Kind::Mission => {
                let named = self.files.iter().find(|file| file.kind.name() == path);
                if let Some((id, _)) = named.and_then(|file| file.id.as_ref()) {
                    return Some(Settled::Known(id.clone()));
                }
                let orders = self.of_kind(Kind::Orders);
                if orders.is_some_and(|orders| is_stated(orders, path)) {
                    return Some(Settled::Elsewhere);
                }
                place(site?, path).map(Settled::Known)
            }
            Kind::Orders => in_orders(site?, path),
            Kind::Site => in_site(self.id(Kind::Vessel)?, path),
            _ => None,
        }
    }
}

/// The launch site that a field means, where the site has only one.
fn place(site: &Node, path: &str) -> Option<String> {
    let there = PLACES.contains(&path);
    there.then(|| only_id(site, "launch_sites")).flatten()
}

/// A site that is begun, as it reads.
pub(super) fn site_begun(text: &str) -> Option<Document> {
    let mut sources = Sources::new();
    let source = sources.add("site.yaml", text.to_owned());
    parse(source, text, &ParseLimits::YAML).ok()
}

/// What the only vessel settles of a site: radios are often sold in pairs.
pub(super) fn in_site(vessel: &str, path: &str) -> Option<Settled> {
    (path == "stations[].radios[].as").then(|| Settled::Proposed(vessel.to_owned()))
}

/// What is settled of a site that is begun with the rest of a repository: the id of its launch site too, under
/// which a station and the orders name it.
pub(super) fn in_site_begun(launch_site: &str, vessel: &str, path: &str) -> Option<Settled> {
    match path {
        "launch_sites[].id" | "stations[].place" => Some(Settled::Proposed(launch_site.to_owned())),
        path => in_site(vessel, path),
    }
}

/// What a site settles of orders: a proposal, since orders are given for several missions.
pub(super) fn in_orders(site: &Node, path: &str) -> Option<Settled> {
    let value = match path {
        "stations[].station" => only_id(site, "stations"),
        "other_users_notified[].users" => only_id(site, "other_users"),
        "other_users_notified" => is_empty(site, "other_users").then(|| "[]".to_owned()),
        path => place(site, path),
    };
    value.map(Settled::Proposed)
}

fn items<'a>(node: &'a Node, list: &str) -> Option<&'a [Node]> {
    match &node.get(list)?.value {
        Value::List(items) => Some(items),
        _ => None,
    }
}

fn is_empty(node: &Node, list: &str) -> bool {
    items(node, list).is_some_and(<[Node]>::is_empty)
}

/// The id of the only item of a list.
fn only_id(node: &Node, list: &str) -> Option<String> {
    let [only] = items(node, list)? else {
        return None;
    };
    only.get("id")?.as_text().map(str::to_owned)
}

/// Whether a file states a field, by its path; of a list, whether it states the list. A group of fields, at the
/// margin, may be stated in part.
fn is_stated(node: &Node, path: &str) -> bool {
    let mut keys = path.split('.').map(|key| key.trim_end_matches("[]"));
    let stated = keys.try_fold(node, |node, key| node.get(key));
    // What names the file itself is its own.
    let own = ["kind", "format", "id", "title"].contains(&path);
    let group = |node: &Node| matches!(node.value, Value::Map(_)) && !path.contains('.');
    !own && stated.is_some_and(|node| node.value != Value::Null && !group(node))
}
