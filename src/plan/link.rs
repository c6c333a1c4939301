//! Bringing missions together with the vessel and the site that they name.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::agree;
use super::fitted::{self, Fitted};
use super::gathered::{FileOfKind, Gathered};
use super::geodata::Geodata;
use super::mission::{self, LinkUse, Mission};
use super::site::{self, Site};
use super::vessel::{self, Vessel};
use super::{Plan, together};
use crate::schema::{Fields, Form, Kind, Problem, Stated, explain};
use crate::source::{Sources, Span, Tree};

/// A mission that was not checked, and why.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NotChecked {
    /// Path of the file.
    pub path: String,
    /// Why not.
    pub why: String,
}

/// Every plan of a repository.
#[derive(Debug, Default)]
pub struct Linked {
    /// Plans in order of their files.
    pub plans: Vec<Plan>,
    /// What is wrong.
    pub problems: Vec<Problem>,
    /// Missions that could not be made into plans.
    pub not_checked: Vec<NotChecked>,
    /// Vessels that were read well, by id, whether or not a mission names them.
    pub vessels: BTreeMap<String, Arc<Vessel>>,
    /// Sites that were read well, by id.
    pub sites: BTreeMap<String, Arc<Site>>,
}

/// Something that a mission names by id: read well, or known to be unreadable.
type Known<T> = BTreeMap<String, Option<Arc<T>>>;

/// Makes plans of everything gathered. Geodata is read through the tree.
#[must_use]
pub(crate) fn link(gathered: &Gathered, tree: &dyn Tree, sources: &mut Sources) -> Linked {
    let mut linked = Linked::default();
    // Policies and rules of one id are told of where they are read.
    for kind in [Kind::Mission, Kind::Vessel, Kind::Site, Kind::Orders] {
        linked.problems.extend(twice(gathered, kind, sources));
    }
    let vessels = read_vessels(gathered, &mut linked.problems);
    let sites = read_sites(gathered, tree, sources, &mut linked.problems);
    let orders = known(gathered, Kind::Orders);
    let plans = known(gathered, Kind::Mission);
    let shared: &Sources = sources;
    let missions: Vec<&FileOfKind> = gathered.of_kind(Kind::Mission).collect();
    let unread = gathered.unread(sources);
    let of_vessels = fit_sites(&missions, &vessels, &sites);
    let read: Vec<_> = missions
        .into_par_iter()
        .map(|file| {
            let named = (&vessels, &sites, &of_vessels);
            read_mission(file, named, (&orders, &plans), &unread, shared)
        })
        .collect();
    for (plan, problems, why) in read {
        linked.problems.extend(problems);
        linked.plans.extend(plan);
        linked.not_checked.extend(why);
    }
    for source in &gathered.unparsed {
        let path = sources.path(*source).to_owned();
        linked.not_checked.push(NotChecked {
            path,
            why: "it cannot be read".to_owned(),
        });
    }
    linked.vessels = read_well(vessels);
    linked.sites = read_well(sites);
    linked
}

fn read_well<T>(known: Known<T>) -> BTreeMap<String, Arc<T>> {
    let read = known.into_iter();
    read.filter_map(|(id, one)| Some((id, one?))).collect()
}

/// Two files of one kind under one id: which one is meant cannot be determined.
fn twice(gathered: &Gathered, kind: Kind, sources: &Sources) -> Vec<Problem> {
    let text = |span: Span| sources.get(span.source).map(|file| file.text());
    let mut first: BTreeMap<&str, Span> = BTreeMap::new();
    let mut problems = Vec::new();
    for (id, span) in gathered.of_kind(kind).filter_map(|file| file.id.as_ref()) {
        match first.get(id.as_str()) {
            Some(other) => {
                let problem = Problem::new(
                    "input-reference",
                    *span,
                    format!("two {kind} files have the id `{id}`"),
                )
                .with(*other, "the first one");
                problems.push(if text(*other) == text(*span) {
                    problem.help(
                        "these two files hold the same bytes: was the folder copied into itself? delete one \
                         of the two",
                    )
                } else {
                    problem.help("give one of the two another id")
                });
            }
            None => {
                first.insert(id, *span);
            }
        }
    }
    problems
}

fn read_vessels(gathered: &Gathered, problems: &mut Vec<Problem>) -> Known<Vessel> {
    let mut known = Known::new();
    for file in gathered.of_kind(Kind::Vessel) {
        let found = RefCell::new(Vec::new());
        let fields = Fields::root(&file.document.root, &found, Form::for_kind(file.kind));
        let vessel = if file.sound {
            vessel::parse(fields)
        } else {
            None
        };
        let clean = found.borrow().is_empty();
        problems.extend(found.into_inner());
        remember(&mut known, file, vessel.filter(|_| clean));
    }
    known
}

fn read_sites(
    gathered: &Gathered,
    tree: &dyn Tree,
    sources: &mut Sources,
    problems: &mut Vec<Problem>,
) -> Known<Site> {
    let mut known = Known::new();
    let mut geodata = Geodata::default();
    for file in gathered.of_kind(Kind::Site) {
        let found = RefCell::new(Vec::new());
        let fields = Fields::root(&file.document.root, &found, Form::for_kind(file.kind));
        let mut site = None;
        if file.sound
            && let Some((shoreline, soundings)) =
                geodata.of_site((fields, file.source), tree, sources)
        {
            site = site::parse(fields, shoreline, soundings);
        }
        let clean = found.borrow().is_empty();
        problems.extend(found.into_inner());
        remember(&mut known, file, site.filter(|_| clean));
    }
    known
}

/// Each site that a mission names, as it is for the vessel that is out there: made once for the two.
fn fit_sites(missions: &[&FileOfKind], vessels: &Known<Vessel>, sites: &Known<Site>) -> Fitted {
    let mut all = Fitted::new();
    for file in missions {
        let named = |key: &str| file.whole().get(key)?.as_text();
        let (Some(site), Some(vessel)) = (named("site"), named("vessel")) else {
            continue;
        };
        let of = (site.to_owned(), vessel.to_owned());
        if let (Some(Some(site)), Some(Some(vessel))) = (sites.get(site), vessels.get(vessel)) {
            all.entry(of)
                .or_insert_with(|| fitted::fitted(site, vessel));
        }
    }
    all
}

/// Which files of a kind there are, and whether they can be used; what they state is read with the missions.
fn known(gathered: &Gathered, kind: Kind) -> Known<()> {
    let mut known = Known::new();
    for file in gathered.of_kind(kind) {
        remember(&mut known, file, file.sound.then_some(()));
    }
    known
}

/// Keeps what a file holds under its id. Of two files with one id neither is used.
fn remember<T>(known: &mut Known<T>, file: &FileOfKind, value: Option<T>) {
    if let Some((id, _)) = &file.id {
        let taken = known.contains_key(id);
        known.insert(id.clone(), value.map(Arc::new).filter(|_| !taken));
    }
}

/// A link that the boat has a radio for, and of which the mission does not say what it is for, is taken as
/// needed. A mission that speaks of no link at all is told of by the rules about links.
fn with_every_link(mut mission: Mission, vessel: &Vessel) -> Mission {
    let Some(near) = mission.links.first().map(|(_, stated)| stated.span()) else {
        return mission;
    };
    for radio in &vessel.radios {
        let link = radio.link.value;
        if mission.link_use(link).is_none() {
            let text = format!(
                "the {} link counts as needed (`links` does not say what it is for)",
                link.name()
            );
            let needed = Stated::assumed(LinkUse::Needed, near, text);
            mission.links.push((link, needed));
        }
    }
    mission
}

type ReadMission = (Option<Plan>, Vec<Problem>, Option<NotChecked>);

fn read_mission(
    file: &FileOfKind,
    (vessels, sites, of_vessels): (&Known<Vessel>, &Known<Site>, &Fitted),
    (orders, plans): (&Known<()>, &Known<()>),
    unread: &[String],
    sources: &Sources,
) -> ReadMission {
    let path = sources.path(file.source).to_owned();
    let not_checked = |why: &str| {
        Some(NotChecked {
            path: path.clone(),
            why: why.to_owned(),
        })
    };
    if !file.sound {
        return (None, Vec::new(), not_checked("it does not fit its schema"));
    }
    let found = RefCell::new(Vec::new());
    let fields = Fields::root(file.whole(), &found, Form::for_kind(file.kind));
    // Without the plan that it repeats, a mission names nothing else.
    if fields.get("repeats").is_some() && file.repeats.is_none() {
        let why = match named(fields, "repeats", Kind::Mission, plans, unread) {
            Named::Broken(id) => format!("mission `{id}`, which it repeats, cannot be used"),
            Named::Unknown | Named::Read(_) => "it names something that does not exist".to_owned(),
        };
        return (None, found.into_inner(), not_checked(&why));
    }
    let vessel = named(fields, "vessel", Kind::Vessel, vessels, unread);
    let site = named(fields, "site", Kind::Site, sites, unread);
    let orders = match fields.get("orders") {
        Some(_) => named(fields, "orders", Kind::Orders, orders, unread),
        None => Named::Read(Arc::default()),
    };
    let mut why = None;
    let mut plan = None;
    match (vessel, site, orders) {
        (Named::Read(vessel), Named::Read(site), Named::Read(_)) => {
            fitted::tell_unlike(fields, &site, &vessel);
            let of = (site.id.value.clone(), vessel.id.value.clone());
            let site = of_vessels.get(&of).map_or(site, Arc::clone);
            let mission = mission::parse(fields, &site);
            let mission = mission.map(|mission| with_every_link(mission, &vessel));
            if let Some(mission) = &mission {
                agree::soundings_are_recorded(fields, mission, &vessel);
                agree::threshold_is_the_packs(fields, mission, &vessel);
                together::of_mission(fields, mission, &site, &vessel);
            }
            if found.borrow().is_empty() {
                plan = mission.map(|mission| Plan {
                    mission,
                    vessel,
                    site,
                    policy: fields.text("policy"),
                    path: path.clone(),
                    orders: file.orders.clone(),
                    repeats: file.repeats.clone(),
                    floored: Vec::new(),
                });
            }
            if plan.is_none() {
                why = not_checked("it has errors");
            }
        }
        (Named::Unknown, ..) | (_, Named::Unknown, _) | (.., Named::Unknown) => {
            why = not_checked("it names something that does not exist")
        }
        (Named::Broken(id), ..) => why = not_checked(&format!("its vessel `{id}` cannot be used")),
        (_, Named::Broken(id), _) => why = not_checked(&format!("its site `{id}` cannot be used")),
        (.., Named::Broken(id)) => why = not_checked(&format!("its orders `{id}` cannot be used")),
    }
    (plan, found.into_inner(), why)
}

/// What a mission's reference leads to.
enum Named<T> {
    Read(Arc<T>),
    Broken(String),
    Unknown,
}

fn named<T>(
    mission: Fields<'_>,
    key: &str,
    kind: Kind,
    known: &Known<T>,
    unread: &[String],
) -> Named<T> {
    let Some(id): Option<Stated<String>> = mission.required_text(key) else {
        return Named::Unknown;
    };
    match known.get(&id.value) {
        Some(Some(value)) => Named::Read(Arc::clone(value)),
        Some(None) => {
            mission.problem(
                Problem::new(
                    "input-reference",
                    id.span(),
                    format!(
                        "the {kind} `{}` cannot be used: its file has errors",
                        id.value
                    ),
                )
                .labelled("not checked against it"),
            );
            Named::Broken(id.value)
        }
        None => {
            let names: Vec<&str> = known.keys().map(String::as_str).collect();
            let problem = Problem::new(
                "input-reference",
                id.span(),
                format!("no {kind} file has the id `{}`", id.value),
            );
            mission.problem(match explain::nearest(&id.value, &names) {
                // Of missions only those are known that are looked at.
                _ if kind == Kind::Mission => problem.help("name a mission by its `id`"),
                Some(near) => problem.help(format!("did you mean `{near}`?")),
                None if !unread.is_empty() => problem.help(format!(
                    "it may be in a file that cannot be read: {}",
                    unread.join(", ")
                )),
                None if names.is_empty() => problem.help(format!("there is no {kind} file here")),
                None if names.len() == 1 => {
                    problem.help(format!("the only one here is `{}`", names.join(", ")))
                }
                None => problem.help(format!("those here are {}", names.join(", "))),
            });
            Named::Unknown
        }
    }
}
