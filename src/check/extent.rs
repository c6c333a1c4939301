//! How far a change reaches: which missions it cannot bear on, told before anything is made into
//! plans, so that these are neither parsed nor judged.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

use super::named::{LeftOut, Named};
use super::reader;
use super::repeated::{repeats, take_over, with_repeated};
use crate::plan::{FileOfKind, Gathered, Heading, Reader, SIGNATURE, is_yaml};
use crate::schema::Kind;
use crate::source::{
    Entry, Limit, Listing, ReadError, SourceId, Sources, Tree, is_object, resolve,
};

/// How many texts are held at a time while the headings of missions are looked for.
const AT_ONCE: usize = 2000;

/// How it is told what the files of a tree are.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Reading {
    /// By their headings, where these are certain.
    Headings,
    /// By parsing every one: slow, and what the other way is held against.
    Everything,
}

/// Missions that a change cannot bear on: their files are the same in both trees, and so are those
/// of their vessel and site and the signatures beside them; no file that differs has their id; and
/// nothing that judges differs: policies, rules, the baseline, the signers.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct ChangeImpact {
    /// They, by path.
    left_out: BTreeMap<String, LeftOut>,
    /// Whether what judges differs, so that the change bears on all missions.
    judging: bool,
    /// YAML files that are the same in both.
    same: BTreeSet<String>,
    /// What else there is in the earlier tree and in the later one.
    listings: [Listing; 2],
}

/// One of the two trees.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Side {
    /// The one that the change starts from.
    Base,
    /// The one that it leads to.
    Head,
}

impl ChangeImpact {
    /// Works out how far the change from one tree to another reaches.
    ///
    /// # Errors
    /// [`ReadError`] where one of them cannot be listed.
    pub fn between(base: &dyn Tree, head: &dyn Tree, reading: Reading) -> Result<Self, ReadError> {
        Self::between_with_readers(base, head, reading, &mut [reader(), reader()])
    }

    /// As [`between`](Self::between), with what is read of each tree kept in a reader of its own.
    ///
    /// # Errors
    /// As [`between`](Self::between).
    pub(crate) fn between_with_readers(
        base: &dyn Tree,
        head: &dyn Tree,
        reading: Reading,
        [of_base, of_head]: &mut [Reader; 2],
    ) -> Result<Self, ReadError> {
        let (was, now) = rayon::join(|| base.list(), || head.list());
        let mut listings = [was?, now?];
        let mut same = Same::between((base, &listings[0]), (head, &listings[1]));
        let certain = match reading {
            Reading::Headings => std::mem::take(&mut same.headings),
            Reading::Everything => BTreeMap::new(),
        };
        let gathered = |tree, listing: &Listing, reader: &mut Reader| {
            let mut listing = listing.clone();
            listing
                .files
                .retain(|entry| !certain.contains_key(&entry.path));
            let part = Listed {
                tree,
                listing: Cow::Borrowed(&listing),
            };
            reader.gather(&part, None)
        };
        let (was, now) = rayon::join(
            || gathered(base, &listings[0], of_base),
            || gathered(head, &listings[1], of_head),
        );
        let sides = [(was?, &of_base.sources), (now?, &of_head.sources)];
        let differs =
            |source: SourceId, sources: &Sources| !same.paths.contains(sources.path(source));
        let mut changed: BTreeSet<String> = BTreeSet::new();
        let mut used: BTreeSet<(Kind, String)> = BTreeSet::new();
        for (gathered, sources) in &sides {
            for file in &gathered.files {
                let differs = differs(file.source, sources)
                    || named(file, sources).any(|path| !same_text(base, head, &path));
                if !differs {
                    continue;
                }
                match (file.kind, &file.id) {
                    (Kind::Policy | Kind::Rule | Kind::Baseline, _) => {
                        return Ok(Self {
                            left_out: BTreeMap::new(),
                            judging: true,
                            same: same.paths,
                            listings,
                        });
                    }
                    (Kind::Mission, Some((id, _))) => {
                        changed.insert(id.clone());
                    }
                    (kind, Some((id, _))) => {
                        used.insert((kind, id.clone()));
                    }
                    (_, None) => {}
                }
            }
        }
        let (gathered, sources) = &sides[1];
        let mut unchanged: Vec<Named> = certain.into_iter().map(Named::certain).collect();
        unchanged.extend(parsed(gathered, sources).filter(|one| same.paths.contains(&one.path)));
        let uses = |kind: Kind, id: &Option<String>| {
            id.as_ref()
                .is_some_and(|id| used.contains(&(kind, id.clone())))
        };
        take_over(&mut unchanged);
        let signed = same.signed();
        for one in &unchanged {
            let signed = signed.contains(stem(&one.path));
            let mission = &one.mission;
            let bears = uses(Kind::Vessel, &mission.vessel)
                || uses(Kind::Site, &mission.site)
                || uses(Kind::Orders, &mission.orders);
            if signed || bears {
                changed.insert(mission.id.clone());
            }
        }
        let repeats = sides.iter().flat_map(|(gathered, _)| repeats(gathered));
        with_repeated(&mut changed, repeats, &unchanged);
        let left_out: BTreeMap<String, LeftOut> = unchanged
            .into_iter()
            .filter(|one| !changed.contains(&one.mission.id))
            .map(|one| (one.path, one.mission))
            .collect();
        for listing in &mut listings {
            listing
                .files
                .retain(|entry| !left_out.contains_key(&entry.path));
        }
        Ok(Self {
            left_out,
            judging: false,
            same: same.paths,
            listings,
        })
    }

    /// Ids of the missions of a folder that are left out; of all where it is the root, the empty
    /// path.
    #[must_use]
    pub fn ids(&self, within: &str) -> BTreeSet<&str> {
        let inside = |path: &str| {
            let rest = path.strip_prefix(within);
            within.is_empty() || rest.is_some_and(|rest| rest.starts_with('/'))
        };
        let all = self.left_out.iter().filter(|(path, _)| inside(path));
        all.map(|(_, one)| one.id.as_str()).collect()
    }

    /// The missions that are left out.
    pub fn left_out(&self) -> impl Iterator<Item = &LeftOut> {
        self.left_out.values()
    }

    /// Whether a path of either tree begins so.
    #[must_use]
    pub fn has_path_from(&self, beginning: &str) -> bool {
        let mut all = self.listings.iter().flat_map(|listing| &listing.files);
        all.any(|entry| entry.path.starts_with(beginning))
            || self.left_out.keys().any(|path| path.starts_with(beginning))
    }

    /// YAML files of one of the trees that the other does not have with the same bytes at the same
    /// path.
    pub fn differing(&self, side: Side) -> impl Iterator<Item = &str> {
        let [was, now] = &self.listings;
        let listing = if side == Side::Base { was } else { now };
        let paths = listing.files.iter().map(|entry| entry.path.as_str());
        paths.filter(|path| is_yaml(path) && !self.same.contains(*path))
    }

    /// Whether what judges differs, so that the change bears on every mission.
    #[must_use]
    pub fn judging(&self) -> bool {
        self.judging
    }

    /// Whether the file at a path is one of them.
    #[must_use]
    pub fn leaves_out(&self, path: &str) -> bool {
        self.left_out.contains_key(path)
    }

    /// One of the two trees without their files, listed as it was then.
    #[must_use]
    pub fn within<'a>(&'a self, tree: &'a dyn Tree, side: Side) -> impl Tree + 'a {
        let [was, now] = &self.listings;
        Listed {
            tree,
            listing: Cow::Borrowed(if side == Side::Base { was } else { now }),
        }
    }
}

impl ChangeImpact {
    /// One of the two trees with those of the missions that are left out which a test takes, and with those that
    /// these repeat.
    pub fn with_left_out<'a>(
        &self,
        (tree, side): (&'a dyn Tree, Side),
        takes: &dyn Fn(&LeftOut) -> bool,
    ) -> impl Tree + use<'a> {
        let [was, now] = &self.listings;
        let mut listing = if side == Side::Base { was } else { now }.clone();
        let taken = self.left_out.values().filter(|one| takes(one));
        let repeated: BTreeSet<&str> = taken.filter_map(|one| one.repeats.as_deref()).collect();
        let taken = self.left_out.iter();
        let taken = taken.filter(|(_, one)| takes(one) || repeated.contains(one.id.as_str()));
        listing.files.extend(taken.map(|(path, _)| Entry {
            path: path.clone(),
            size: 0,
        }));
        listing.files.sort();
        Listed {
            tree,
            listing: Cow::Owned(listing),
        }
    }
}

/// Missions among files that were parsed, or could not be and plainly are missions.
fn parsed<'a>(gathered: &'a Gathered, sources: &'a Sources) -> impl Iterator<Item = Named> + 'a {
    let read = gathered.of_kind(Kind::Mission).filter_map(|file| {
        // Of a repeated mission that was not parsed itself, its heading tells these.
        let named = |key: &str| file.named(key).map(str::to_owned);
        Some(Named {
            path: sources.path(file.source).to_owned(),
            mission: LeftOut {
                id: file.id.as_ref()?.0.clone(),
                vessel: named("vessel"),
                site: named("site"),
                policy: named("policy"),
                orders: named("orders"),
                repeats: named("repeats"),
                out: None,
            },
        })
    });
    let broken = gathered.unparsed.iter().filter_map(|source| {
        let heading = Heading::parse(sources.get(*source)?.text())?;
        Some(Named::certain((sources.path(*source).to_owned(), heading)))
    });
    read.chain(broken)
}

/// Paths of the files that a file names and that bear on plans with it: the geodata of a site, the
/// signers of a policy.
fn named(file: &FileOfKind, sources: &Sources) -> impl Iterator<Item = String> {
    let from = sources.path(file.source);
    let fields: &[(&str, &str)] = match file.kind {
        Kind::Site => &[("shoreline", "file"), ("soundings", "file")],
        Kind::Policy => &[("approvals", "signers")],
        _ => &[],
    };
    fields.iter().filter_map(move |(group, field)| {
        let group = file.document.root.get(group);
        let named = group.and_then(|group| group.get(field)?.as_text());
        resolve(from, named?).ok()
    })
}

/// The path of a mission without its ending: what the names of its signatures begin with.
fn stem(path: &str) -> &str {
    path.rsplit_once('.').map_or(path, |(stem, _)| stem)
}

fn same_text(base: &dyn Tree, head: &dyn Tree, path: &str) -> bool {
    if let (Some(was), Some(now)) = (base.object(path), head.object(path)) {
        return was == now;
    }
    let now = head.read(path, Limit::GEODATA);
    match (base.object(path), now) {
        (Some(was), Ok(now)) => is_object(&now, was),
        (_, now) => base.read(path, Limit::GEODATA) == now,
    }
}

/// What is the same in two trees.
struct Same {
    /// YAML files and signatures of the same bytes.
    paths: BTreeSet<String>,
    /// Signatures that differ, come or go.
    signatures: BTreeSet<String>,
    /// Those of them that have a heading.
    headings: BTreeMap<String, Heading>,
}

impl Same {
    fn between((base, was): (&dyn Tree, &Listing), (head, now): (&dyn Tree, &Listing)) -> Self {
        let sizes: BTreeMap<&str, u64> = was
            .files
            .iter()
            .map(|entry| (entry.path.as_str(), entry.size))
            .collect();
        let common: Vec<&str> = now
            .files
            .iter()
            .filter(|entry| is_yaml(&entry.path) || entry.path.ends_with(SIGNATURE))
            .filter(|entry| sizes.get(entry.path.as_str()) == Some(&entry.size))
            .map(|entry| entry.path.as_str())
            .filter(|path| match (base.object(path), head.object(path)) {
                (Some(was), Some(now)) => was == now,
                _ => true,
            })
            .collect();
        let mut same = Self {
            paths: BTreeSet::new(),
            signatures: BTreeSet::new(),
            headings: BTreeMap::new(),
        };
        for some in common.chunks(AT_ONCE) {
            same.take(some, base, head);
        }
        let all = was.files.iter().chain(&now.files);
        let signatures = all.filter(|entry| entry.path.ends_with(SIGNATURE));
        let differ = signatures.filter(|entry| !same.paths.contains(&entry.path));
        same.signatures = differ.map(|entry| entry.path.clone()).collect();
        same
    }

    /// What the missions beside which signatures differ may be called, without their ending: a
    /// signature is called as its mission, then as a role, and both may have points in them.
    fn signed(&self) -> BTreeSet<&str> {
        let of_one = |path: &'_ str| {
            let points = path.match_indices('.');
            points.map(|(at, _)| at).collect::<Vec<_>>()
        };
        let all = self.signatures.iter();
        all.flat_map(|path| of_one(path).into_iter().map(|at| &path[..at]))
            .collect()
    }

    /// Looks at files that both trees have, in the same size.
    fn take(&mut self, paths: &[&str], base: &dyn Tree, head: &dyn Tree) {
        let texts = head.read_all(paths, Limit::YAML);
        // Read only where git has no name to hold the other's bytes against.
        let unnamed: Vec<&str> = paths
            .iter()
            .filter(|path| base.object(path).is_none())
            .copied()
            .collect();
        let others = base.read_all(&unnamed, Limit::YAML);
        let others: BTreeMap<&str, _> = unnamed.into_iter().zip(others).collect();
        let found: Vec<_> = paths
            .par_iter()
            .zip(texts)
            .filter_map(|(path, text)| {
                let text = text.ok()?;
                let same = match (base.object(path), head.object(path)) {
                    (Some(was), Some(now)) => was == now,
                    (Some(was), None) => is_object(&text, was),
                    (None, _) => others
                        .get(path)
                        .is_some_and(|other| other.as_ref().is_ok_and(|other| *other == text)),
                };
                let heading = || Heading::parse(&text).filter(|_| is_yaml(path));
                same.then(|| ((*path).to_owned(), heading()))
            })
            .collect();
        for (path, heading) in found {
            if let Some(heading) = heading {
                self.headings.insert(path.clone(), heading);
            }
            self.paths.insert(path);
        }
    }
}

/// A tree of which less is listed. The rest can still be read.
struct Listed<'a> {
    tree: &'a dyn Tree,
    listing: Cow<'a, Listing>,
}

impl Tree for Listed<'_> {
    fn list(&self) -> Result<Listing, ReadError> {
        Ok(self.listing.clone().into_owned())
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        self.tree.read(path, limit)
    }

    fn read_all(&self, paths: &[&str], limit: Limit) -> Vec<Result<Arc<str>, ReadError>> {
        self.tree.read_all(paths, limit)
    }

    fn object(&self, path: &str) -> Option<&str> {
        self.tree.object(path)
    }

    fn place(&self) -> String {
        self.tree.place()
    }
}
