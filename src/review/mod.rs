//! Reviewing a change: two revisions of a repository, told apart in a plan's own terms.
//!
//! The later one is judged by the policies and rules of the earlier one, so that a change cannot
//! loosen what judges it.

mod compare;
pub mod git;
pub mod merge;
mod overlay;
pub(crate) mod records;
pub mod report;
pub mod revision;

use std::collections::{BTreeMap, BTreeSet};

use compare::Stays;
pub use compare::{Change, Figure, Margin, MissionChange, Moved, Waypoints};

use crate::check::{
    Extent, Extras, Inputs, Loaded, Outcome, Partition, Reading, Side, guard, judged, load,
    problems_of, sha256,
};
use crate::finding::{Finding, Nature, sort};
use crate::source::{Limit, ReadError, Tree};
use overlay::UnderPolicy;

/// Whose policies and rules judge.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum PolicyFrom {
    /// The earlier revision's.
    Base,
    /// The later revision's own: for a change of the policy itself.
    Head,
}

/// What a review comes to.
#[derive(Debug)]
pub struct Review {
    /// The earlier revision, as it is shown.
    pub base: String,
    /// The later one.
    pub head: String,
    /// Whose policies and rules judged.
    pub policy_from: PolicyFrom,
    /// How many missions the later revision holds.
    pub missions: usize,
    /// The missions that the change bears on, by id.
    pub changes: Vec<MissionChange>,
    /// The later revision judged: the missions that the change bears on, with the findings that
    /// the earlier revision did not have.
    pub outcome: Outcome,
    /// The findings that it did have.
    pub still: Vec<Finding>,
    /// New findings that the change's own policies and rules would not have: fingerprints.
    pub only_under_change: Vec<String>,
    /// What the earlier revision had and the later one does not.
    pub fixed: Vec<Fixed>,
}

/// A finding that is gone.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Fixed {
    /// The mission, where it was about one.
    pub mission: Option<String>,
    /// The rule.
    pub rule: String,
    /// What it said.
    pub message: String,
}

/// Reviews a change from one tree to another. Missions that it cannot bear on are not parsed: what
/// is wrong in their files was so before, is the same after, and is for a check to tell.
///
/// # Errors
/// [`ReadError`] where one of them cannot be listed.
pub fn review(
    base: (&dyn Tree, &str),
    head: (&dyn Tree, &str),
    policy_from: PolicyFrom,
) -> Result<Review, ReadError> {
    review_as(base, head, Asked::by(policy_from))
}

/// What is asked of a review.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Asked {
    /// Whose policies and rules judge.
    pub policy_from: PolicyFrom,
    /// Only one part of the missions.
    pub partition: Option<Partition>,
    /// The picture of each mission that is looked at, for figures.
    pub pictures: bool,
    /// How it is told what need not be parsed; what comes of it is the same.
    pub reading: Reading,
}

impl Asked {
    /// A whole review by the policies and rules of one side.
    #[must_use]
    pub fn by(policy_from: PolicyFrom) -> Self {
        Self {
            policy_from,
            partition: None,
            pictures: false,
            reading: Reading::Headings,
        }
    }
}

/// Reviews as [`review`] does, in the way that is asked for.
///
/// # Errors
/// As [`review`].
pub fn review_as(
    (base, base_name): (&dyn Tree, &str),
    (head, head_name): (&dyn Tree, &str),
    asked: Asked,
) -> Result<Review, ReadError> {
    let policy_from = asked.policy_from;
    let label = format!("{base_name}:");
    let extent = Extent::of(base, head, asked.reading)?;
    let loaded = |tree: &dyn Tree, side: Side| match asked.reading {
        Reading::Headings => load(&extent.within(tree, side), None),
        Reading::Everything => load(tree, None),
    };
    let (was, own) = rayon::join(|| loaded(base, Side::Base), || loaded(head, Side::Head));
    let (mut was, own) = (was?, own?);
    let judging = was.judging() != own.judging();
    let foreign = judging && policy_from == PolicyFrom::Base;
    let dropped = unjudging(&own, &was);
    let under = UnderPolicy {
        head,
        base,
        label: &label,
        dropped: dropped.clone(),
        taken: paths(&was),
    };
    let laid_over = if foreign {
        Some(load(&under, None)?)
    } else {
        None
    };
    let now = laid_over.as_ref().unwrap_or(&own);
    let (before, after) = (was.inputs(), now.inputs());
    let mut affected = affected(&before, &after, judging);
    let mut owners = now.owners();
    for (path, mission) in was.owners() {
        owners.entry(path).or_insert(mission);
    }
    if let Some(partition) = asked.partition {
        affected.retain(|mission| partition.holds(mission));
    }
    let ids: BTreeSet<&str> = after.keys().map(String::as_str).collect();
    let missions = ids.union(&extent.ids("")).count();
    let unread = was.linked.not_checked.clone();
    let mut sources = now.sources.clone();
    let mut guarded = guard((&was, &own), head, &label, &mut sources);
    guarded.extend(records::changed(
        (base, &label),
        head,
        &extent,
        &mut sources,
    ));
    let part = asked.partition.map(|partition| {
        let asked = format!(
            "review {base_name} {head_name} {policy_from:?} {}",
            partition.of()
        );
        let digest = sha256(&format!("{}{}", was.digest(&asked), own.digest(&asked)));
        // What guards belongs to no mission.
        guarded.retain(|_| partition.is_first());
        (partition, digest)
    });
    // What is wrong with policies and rules that do not judge is wrong all the same.
    let own_problems = if foreign {
        problems_of(&own, &dropped, &mut sources)
    } else {
        Vec::new()
    };
    // Where the change's own policies and rules do not judge, what they would say is told as well.
    let (mut now, under_change) = match laid_over {
        Some(now) => {
            let mut own = own;
            own.retain(&affected);
            let findings = judged(own, None, None).findings;
            let said: BTreeSet<_> = findings.iter().map(identity).collect();
            (now, Some(said))
        }
        None => (own, None),
    };
    now.sources = sources;
    let stays = Stays {
        missions: lying(&was, head),
        alike: &|path| {
            let [was, now] = [base, head].map(|tree| tree.read(path, Limit::GEODATA));
            matches!((was, now), (Ok(was), Ok(now)) if was == now)
        },
    };
    was.retain(&affected);
    now.retain(&affected);
    let mut was = judged(was, None, None);
    let extras = Extras {
        pictures: asked.pictures,
        ..Extras::default()
    };
    let mut outcome = judged(now, None, extras);
    outcome.notes.sort();
    // What was not checked before either is no news.
    outcome.not_checked.retain(|file| !unread.contains(file));
    // That none of those looked at is there does not mean that there is none.
    if missions > 0 {
        outcome.not_checked.retain(|file| file.path != ".");
    }
    outcome.findings.extend(own_problems);
    sort(&mut outcome.findings, &outcome.sources);
    if let Some((partition, digest)) = part {
        partition.keep(&mut was.findings, &was.sources, &owners);
        partition.take(&mut outcome, &owners, digest);
    }
    let (new, mut fixed) = told_apart(&was, &outcome);
    let changes = compare::changes((&was, &before), (&outcome, &after), &affected, &stays);
    let mut still = Vec::new();
    let mut only_under_change = Vec::new();
    let all = std::mem::take(&mut outcome.findings).into_iter().zip(new);
    // What judges comes before what is judged.
    if let Some(part) = &mut outcome.part_of {
        part.ahead = guarded.len();
    }
    outcome.findings = guarded;
    for (finding, new) in all {
        if new {
            let passes = under_change.as_ref().is_some_and(|own| {
                finding.nature != Nature::Input && !own.contains(&identity(&finding))
            });
            if passes {
                only_under_change.push(finding.fingerprint.clone());
            }
            outcome.findings.push(finding);
        } else if !extent.leaves_out(outcome.sources.path(finding.primary.span.source)) {
            still.push(finding);
        }
    }
    still.sort_by(|a, b| told_as(a).cmp(&told_as(b)));
    fixed.sort();
    Ok(Review {
        base: base_name.to_owned(),
        head: head_name.to_owned(),
        policy_from,
        missions,
        changes,
        outcome,
        still,
        only_under_change,
        fixed,
    })
}

/// The missions of a loading whose files lie in a later tree too, by id.
fn lying(was: &Loaded, head: &dyn Tree) -> BTreeSet<String> {
    let missions = was.missions();
    let lying = missions.filter(|(_, path)| head.read(path, Limit::YAML).is_ok());
    lying.map(|(id, _)| id.to_owned()).collect()
}

/// What a finding that is no news is told as, in the order of telling.
fn told_as(finding: &Finding) -> (&Option<String>, &str, &str) {
    (&finding.mission, &finding.rule, &finding.message)
}

/// Paths at which the later revision has, or the earlier one had, a policy or a rule.
fn unjudging(own: &Loaded, was: &Loaded) -> BTreeSet<String> {
    paths(own).union(&paths(was)).cloned().collect()
}

/// Paths of a revision's policies and rules.
fn paths(loaded: &Loaded) -> BTreeSet<String> {
    loaded.judging().into_keys().collect()
}

/// The missions that a change bears on: those whose files differ, that came or went; all of them
/// where what judges them differs.
fn affected(
    before: &BTreeMap<String, Inputs>,
    after: &BTreeMap<String, Inputs>,
    judging: bool,
) -> BTreeSet<String> {
    let all = before.keys().chain(after.keys());
    all.filter(|id| judging || before.get(*id) != after.get(*id))
        .cloned()
        .collect()
}

/// What makes a finding the same in two revisions: the rule and the plan's own names, whichever
/// file they stand in.
fn identity(finding: &Finding) -> (String, &'static str, Option<String>, String) {
    let about = match finding.nature {
        Nature::Input => finding.fingerprint.clone(),
        Nature::Violation | Nature::NotEvaluated => finding.subject.clone(),
    };
    (
        finding.rule.clone(),
        finding.nature.name(),
        finding.mission.clone(),
        about,
    )
}

/// Which findings of the later outcome are new, and which of the earlier one are gone.
fn told_apart(was: &Outcome, now: &Outcome) -> (Vec<bool>, Vec<Fixed>) {
    let mut left: BTreeMap<_, usize> = BTreeMap::new();
    for finding in &was.findings {
        *left
            .entry((identity(finding), finding.stands()))
            .or_default() += 1;
    }
    let mut found = |finding: &Finding, stood: bool| match left.get_mut(&(identity(finding), stood))
    {
        Some(count) if *count > 0 => {
            *count -= 1;
            true
        }
        _ => false,
    };
    let new = now
        .findings
        .iter()
        .map(|finding| {
            let as_it_was = found(finding, finding.stands());
            // What was accepted and no longer is counts anew.
            let accepted_since = !as_it_was && found(finding, !finding.stands());
            !(as_it_was || accepted_since && !finding.stands())
        })
        .collect();
    let mut fixed = Vec::new();
    for finding in &was.findings {
        if let Some(count) = left.get_mut(&(identity(finding), finding.stands()))
            && *count > 0
        {
            *count -= 1;
            fixed.push(Fixed {
                rule: finding.rule.clone(),
                mission: finding.mission.clone(),
                message: finding.message.clone(),
            });
        }
    }
    (new, fixed)
}
