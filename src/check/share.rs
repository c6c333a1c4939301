//! A share of a check: what changed since a revision, one of several partitions, or both.

use std::collections::BTreeSet;

use super::extent::{ChangeImpact, Reading, Side};
use super::extras::CheckOptions;
use super::judged::{NO_MISSION, between, judged_watched};
use super::load::{Loaded, load_about, load_on, reader};
use super::outcome::Outcome;
use super::partition::Partition;
use super::parts::{are_no_smaller, gather_part, go_on_and_on, is_large, load_part, parts};
use super::plural::plural;
use super::scope::{narrow_to_folder, restrict_to};
use super::spread::Sampling;
use super::twice::out_twice;
use super::watch::{Progress, Watch};
use crate::finding::Finding;
use crate::plan::{About, FileOfKind, Gathered, Reader, yaml_size};
use crate::schema::Kind;
use crate::source::{Held, ReadError, Tree};

/// What of a tree is checked, and how.
#[derive(Clone, Copy, Default)]
pub struct CheckScope<'a> {
    /// Variations of each plan that are judged as well.
    pub sampling: Option<Sampling>,
    /// Only what a change bears on.
    pub since: Option<Since<'a>>,
    /// Only one part of the missions.
    pub partition: Option<Partition>,
    /// The picture of each plan, for figures.
    pub pictures: bool,
    /// Told of each plan and each variation that is judged.
    pub watch: Option<Watch<'a>>,
}

/// A revision that is looked back on.
#[derive(Clone, Copy)]
pub struct Since<'a> {
    /// As it is shown.
    pub name: &'a str,
    /// Its files, of which as many are listed as of the tree that is checked.
    pub part: &'a dyn Tree,
    /// All of them.
    pub whole: &'a dyn Tree,
}

/// Checks a share of a tree's plans, or of those that one file bears on.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed, or the one file not be read.
pub fn check_share(
    tree: &dyn Tree,
    selected: Option<&str>,
    share: CheckScope<'_>,
) -> Result<Outcome, ReadError> {
    check_share_on(tree, selected, share, reader())
}

/// As [`check_share`], of a tree that a reader may have read some of.
///
/// # Errors
/// As [`check_share`].
pub(crate) fn check_share_on(
    tree: &dyn Tree,
    selected: Option<&str>,
    share: CheckScope<'_>,
    of_tree: Reader,
) -> Result<Outcome, ReadError> {
    let mut readers = [reader(), of_tree];
    let held = share.held(tree)?;
    let tree = held.as_ref().map_or(tree, |held| held);
    let extent = share.extent(|since| since.part, tree, &mut readers)?;
    let left_out = |path: &&str| {
        extent
            .as_ref()
            .is_some_and(|extent| extent.leaves_out(path))
    };
    let unaffected = selected.filter(left_out);
    let read = selected.filter(|_| unaffected.is_none());
    let mut loaded = share.of_file(tree, read, extent.as_ref(), &mut readers[1])?;
    let twice = share.twice(&loaded);
    if unaffected.is_some() {
        let Loaded {
            linked, problems, ..
        } = &mut loaded;
        linked.plans.clear();
        linked.not_checked.clear();
        problems.clear();
        loaded.gathered.refused.clear();
        loaded.gathered.passed_over.clear();
    } else {
        restrict_to(selected, &mut loaded);
    }
    Ok(share.judged((loaded, twice), selected, extent.as_ref(), ""))
}

/// Checks a share of the missions of a folder that lies in a repository. Where it holds missions but
/// no vessel or no site, these are looked for in the whole repository, as are policies and rules;
/// `part` lists the folder, `whole` the repository, and `within` is the one's path in the other.
///
/// # Errors
/// [`ReadError`] where a tree cannot be listed.
pub fn check_folder(
    part: &dyn Tree,
    whole: &dyn Tree,
    within: &str,
    share: CheckScope<'_>,
) -> Result<Outcome, ReadError> {
    let mut readers = [reader(), reader()];
    let held = share.held(part)?;
    let part = held.as_ref().map_or(part, |held| held);
    let extent = share.extent(|since| since.part, part, &mut readers)?;
    // Of a large tree a part tells what there is beside its missions.
    let (asked, in_parts) = (share, share.parts(part)?);
    let first = in_parts.as_ref().and_then(|parts| parts.first().copied());
    let share = CheckScope {
        partition: asked.partition.or(first),
        ..asked
    };
    let by_itself = within.is_empty() || {
        let files = match &extent {
            Some(extent) => readers[1].gather(&extent.within(part, Side::Head), None)?,
            None => share.gathered(part, &mut readers[1])?,
        };
        let lacks = |kind| files.of_kind(kind).next().is_none();
        let left = &files.left;
        let orders = |file: &FileOfKind| file.named("orders").is_some();
        let named = files.of_kind(Kind::Mission).any(orders);
        let lacks_orders =
            lacks(Kind::Orders) && (named || left.iter().any(|one| one.orders.is_some()));
        // A plan of another folder is not in this one.
        let unlaid = |file: &FileOfKind| file.named("repeats").is_some() && file.repeats.is_none();
        let lacks_plan = files.of_kind(Kind::Mission).any(unlaid);
        let none = lacks(Kind::Mission) && left.is_empty();
        let no_mission = none && left_out(extent.as_ref(), "") == 0;
        no_mission || !(lacks(Kind::Vessel) || lacks(Kind::Site) || lacks_orders || lacks_plan)
    };
    if by_itself {
        if let Some(parts) = in_parts {
            return asked.in_parts(&parts, (part, within), false, &mut readers[1]);
        }
        let of_part = share.loaded(part, extent.as_ref(), &mut readers[1])?;
        let twice = share.twice(&of_part);
        return Ok(share.judged((of_part, twice), None, extent.as_ref(), within));
    }
    if let Some(parts) = asked.parts(whole)? {
        return asked.in_parts(&parts, (whole, within), true, &mut readers[1]);
    }
    let share = asked;
    let extent = share.extent(|since| since.whole, whole, &mut readers)?;
    let mut loaded = share.loaded(whole, extent.as_ref(), &mut readers[1])?;
    let twice = share.twice(&loaded);
    narrow_to_folder(within, &mut loaded);
    Ok(share.judged((loaded, twice), None, extent.as_ref(), within))
}

fn loaded(
    tree: &dyn Tree,
    selected: Option<&str>,
    extent: Option<&ChangeImpact>,
    reader: &mut Reader,
) -> Result<Loaded, ReadError> {
    match extent {
        Some(extent) => load_on(&extent.within(tree, Side::Head), selected, reader),
        None => load_on(tree, selected, reader),
    }
}

/// How many missions of a folder are left out.
fn left_out(extent: Option<&ChangeImpact>, within: &str) -> usize {
    extent.map_or(0, |extent| extent.ids(within).len())
}

impl<'a> CheckScope<'a> {
    /// The parts that a tree is checked in, one after the other, where it is large and not a part already.
    fn parts(&self, tree: &dyn Tree) -> Result<Option<Vec<Partition>>, ReadError> {
        match self.since.is_none() && self.partition.is_none() {
            true => parts(tree),
            false => Ok(None),
        }
    }

    /// Checks a tree part by part; of a folder in it, where it is `narrowed` to that.
    fn in_parts(
        &self,
        parts: &[Partition],
        (tree, within): (&dyn Tree, &str),
        narrowed: bool,
        reader: &mut Reader,
    ) -> Result<Outcome, ReadError> {
        // What several parts need, such as a shoreline, is read once.
        let held = Held::from_tree(tree)?;
        let tree: &dyn Tree = &held;
        let size = yaml_size(tree)?;
        let whole_at_once = |reader: &mut Reader| {
            let loaded = load_on(tree, None, reader)?;
            Ok(self.of_part(loaded, (within, narrowed), None))
        };
        if let Some(first) = parts.first() {
            gather_part(tree, *first, reader)?;
        }
        if are_no_smaller(size, reader.parsed_in_all()) {
            return whole_at_once(reader);
        }
        let mut whole: Option<Outcome> = None;
        let watch = self.watch.unwrap_or(&|_| {});
        for (before, partition) in parts.iter().enumerate() {
            let told = |progress: Progress| watch(progress.of_whole(before, parts.len()));
            let share = CheckScope {
                watch: Some(&told),
                ..*self
            };
            let loaded = load_part(tree, *partition, reader)?;
            if go_on_and_on(size, reader.parsed_in_all()) {
                drop(loaded);
                return whole_at_once(reader);
            }
            let outcome = share.of_part(loaded, (within, narrowed), Some(*partition));
            let outcome = outcome.one_of_several();
            reader.let_go();
            match &mut whole {
                Some(whole) => whole.join(outcome),
                None => whole = Some(outcome),
            }
        }
        match whole {
            Some(whole) => Ok(whole.whole()),
            None => Err(ReadError::TooMany { limit: parts.len() }),
        }
    }

    /// What a part comes to.
    fn of_part(
        &self,
        mut loaded: Loaded,
        (within, narrowed): (&str, bool),
        partition: Option<Partition>,
    ) -> Outcome {
        let twice = self.twice(&loaded);
        if narrowed {
            narrow_to_folder(within, &mut loaded);
        }
        if let Some(partition) = partition {
            let plans = &mut loaded.linked.plans;
            plans.retain(|plan| partition.holds(&plan.mission.id.value));
        }
        self.judged((loaded, twice), None, None, within)
    }

    /// The files of a tree; of one that is large only the missions of the part that is checked, and what may
    /// bear on them.
    fn gathered(&self, tree: &dyn Tree, reader: &mut Reader) -> Result<Gathered, ReadError> {
        match self.partition {
            Some(partition) if partition.is_of_whole() || is_large(tree)? => {
                gather_part(tree, partition, reader)
            }
            _ => reader.gather(tree, None),
        }
    }

    /// The same, loaded; where a change is looked back on, with what that bears on.
    fn loaded(
        &self,
        tree: &dyn Tree,
        extent: Option<&ChangeImpact>,
        reader: &mut Reader,
    ) -> Result<Loaded, ReadError> {
        match self.partition.filter(|_| extent.is_none()) {
            Some(partition) if is_large(tree)? => load_part(tree, partition, reader),
            _ => loaded(tree, None, extent, reader),
        }
    }

    /// Loads what one file is judged with; of other missions than one that is asked for only those that may
    /// bear on it.
    fn of_file(
        &self,
        tree: &dyn Tree,
        selected: Option<&str>,
        extent: Option<&ChangeImpact>,
        reader: &mut Reader,
    ) -> Result<Loaded, ReadError> {
        let whole = extent.is_none() && self.partition.is_none();
        if let Some(path) = selected.filter(|_| whole) {
            let about = About {
                path: Some(path),
                id: None,
                others: &BTreeSet::new(),
            };
            if let Some(loaded) = load_about(tree, about, reader)? {
                return Ok(loaded);
            }
        }
        loaded(tree, selected, extent, reader)
    }

    /// A tree that is looked at for a change first, held so that the check does not read it again.
    fn held<'t>(&self, tree: &'t dyn Tree) -> Result<Option<Held<'t>>, ReadError> {
        self.since.map(|_| Held::from_tree(tree)).transpose()
    }

    /// How far the change reaches that is looked back on.
    fn extent(
        &self,
        base: impl Fn(Since<'a>) -> &'a dyn Tree,
        head: &dyn Tree,
        readers: &mut [Reader; 2],
    ) -> Result<Option<ChangeImpact>, ReadError> {
        let Some(since) = self.since else {
            return Ok(None);
        };
        let base = Held::from_tree(base(since))?;
        ChangeImpact::between_with_readers(&base, head, Reading::Headings, readers).map(Some)
    }

    /// Missions that have one boat out at one time. Where some are left out that nothing bears on, a check
    /// of all of them tells.
    fn twice(&self, loaded: &Loaded) -> Vec<(String, Finding)> {
        match self.since {
            None => out_twice(&loaded.linked, &loaded.sources),
            Some(_) => Vec::new(),
        }
    }

    fn judged(
        &self,
        (mut loaded, twice): (Loaded, Vec<(String, Finding)>),
        selected: Option<&str>,
        extent: Option<&ChangeImpact>,
        within: &str,
    ) -> Outcome {
        let owners = loaded.owners();
        let digest = self.partition.map(|partition| {
            let since = self.since.map(|since| since.name);
            let of = partition.count();
            loaded.digest(&format!(
                "check {within:?} {:?} {since:?} {of}",
                self.sampling
            ))
        });
        let plans = loaded.linked.plans.len() + loaded.gathered.left.len();
        if let Some(partition) = self.partition {
            let all = &mut loaded.linked.plans;
            all.retain(|plan| partition.holds(&plan.mission.id.value));
        }
        let extras = CheckOptions {
            sampling: self.sampling,
            pictures: self.pictures,
            ..CheckOptions::default()
        };
        let watch = self.watch.unwrap_or(&|_| {});
        let mut outcome = judged_watched(&loaded, selected, extras, watch);
        between(&mut outcome, twice);
        let left_out = left_out(extent, within);
        // That none of those looked at is there does not mean that there is none.
        if left_out > 0 || (self.partition.is_some() && plans > 0) {
            outcome.not_checked.retain(|file| file.why != NO_MISSION);
        }
        if let (Some(since), Some(extent)) = (self.since, extent) {
            outcome.notes.push(since.note(left_out, extent.judging()));
        }
        // In an order that does not depend on which missions were judged together.
        outcome.notes.sort();
        if let (Some(partition), Some(digest)) = (self.partition, digest) {
            partition.take(&mut outcome, &owners, digest);
        }
        outcome
    }
}

impl Since<'_> {
    fn note(&self, left_out: usize, judging: bool) -> String {
        let name = self.name;
        if left_out > 0 {
            let missions = plural(left_out, "mission");
            return format!("{left_out} {missions} left out: no change since {name} affects them");
        }
        let why = if judging {
            "what judges them changed"
        } else {
            "the change affects all of them"
        };
        format!("no mission left out: since {name} {why}")
    }
}

/// Checks every plan of a tree, or those that one file bears on.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed, or the one file not be read.
pub fn check(tree: &dyn Tree, selected: Option<&str>) -> Result<Outcome, ReadError> {
    check_share(tree, selected, CheckScope::default())
}
