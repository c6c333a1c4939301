//! Reviewing a change: two revisions of a repository, told apart in a plan's own terms.
//!
//! The later one is judged by the policies and rules of the earlier one, so that a change cannot
//! loosen what judges it.

mod compare;
mod known;
mod overlay;
pub(crate) mod records;

use std::collections::{BTreeMap, BTreeSet};

use compare::Stays;
pub(crate) use compare::{Change, Figure, Margin, MissionChange, Moved, Waypoints};

use crate::check::{
    ChangeImpact, CheckOptions, Inputs, Loaded, Outcome, Partition, Reading, Side, guard, judged,
    load, load_on, out_twice_among, problems_of, reader, sha256, told_changes,
};
use crate::finding::{Finding, Nature, sort};
use crate::plan::Reader;
use crate::source::{Held, Limit, ReadError, Sources, Tree};
use known::{News, identity};
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
    /// Those of the new findings that the earlier revision had too, with a better value.
    pub worse: Vec<Worse>,
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

/// A finding that was there before and is worse now.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Worse {
    /// Its fingerprint.
    pub fingerprint: String,
    /// The mission, where it is about one.
    pub mission: Option<String>,
    /// The rule.
    pub rule: String,
    /// The value before, or the severity where that was raised.
    pub was: String,
    /// The value now, or the severity.
    pub now: String,
}

impl Worse {
    fn from_news(finding: &Finding, news: &News) -> Option<Self> {
        let News::Worse { was, now } = news else {
            return None;
        };
        Some(Self {
            fingerprint: finding.fingerprint.clone(),
            mission: finding.mission.clone(),
            rule: finding.rule.clone(),
            was: was.clone(),
            now: now.clone(),
        })
    }
}

/// What is asked of a review.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ReviewOptions {
    /// Whose policies and rules judge.
    pub policy_from: PolicyFrom,
    /// Only one part of the missions.
    pub partition: Option<Partition>,
    /// The picture of each mission that is looked at, for figures.
    pub pictures: bool,
    /// How it is told what need not be parsed; what comes of it is the same.
    pub reading: Reading,
}

impl ReviewOptions {
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

/// Reviews as [`review`] does, in the way that is requested.
///
/// # Errors
/// As [`review`].
pub fn review_as(
    (base, base_name): (&dyn Tree, &str),
    (head, head_name): (&dyn Tree, &str),
    asked: ReviewOptions,
) -> Result<Review, ReadError> {
    let policy_from = asked.policy_from;
    // What is looked at twice is read once.
    let (base, head) = (Held::from_tree(base)?, Held::from_tree(head)?);
    let (base, head): (&dyn Tree, &dyn Tree) = (&base, &head);
    let mut readers = [reader(), reader()];
    let extent = ChangeImpact::between_with_readers(base, head, asked.reading, &mut readers)?;
    let [of_base, of_head] = &mut readers;
    let label = label(base_name, &extent);
    let loaded = |tree: &dyn Tree, side: Side, reader: &mut Reader| match asked.reading {
        Reading::Headings => load_on(&extent.within(tree, side), None, reader),
        Reading::Everything => load_on(tree, None, reader),
    };
    let (was, own) = rayon::join(
        || loaded(base, Side::Base, of_base),
        || loaded(head, Side::Head, of_head),
    );
    let (mut was, own) = (was?, own?);
    let judging = was.judging() != own.judging();
    let foreign = judging && policy_from == PolicyFrom::Base;
    let dropped = unjudging(&own, &was);
    let under = UnderPolicy {
        head,
        base,
        label: &label,
        dropped: dropped.clone(),
        taken: was.judging_files(),
        signers: was.signers_files(),
    };
    let laid_over = if foreign {
        Some(load(&under, None)?)
    } else {
        None
    };
    let now = laid_over.as_ref().unwrap_or(&own);
    let (before, after) = (was.inputs(), now.inputs());
    let mut bears_on = affected(&before, &after, judging);
    let mut owners = now.owners();
    for (path, mission) in was.owners() {
        owners.entry(path).or_insert(mission);
    }
    if let Some(partition) = asked.partition {
        bears_on.retain(|mission| partition.holds(mission));
    }
    let ids: BTreeSet<&str> = after.keys().map(String::as_str).collect();
    let missions = ids.union(&extent.ids("")).count();
    let unread = was.linked.not_checked.clone();
    let touched = touched(&own, (&before, &after), &extent);
    let mut sources = now.sources.clone();
    let mut guarded = guard((&was, &own), (head, &extent), &label, &mut sources);
    let told = told_changes(&was, &own);
    guarded.extend(records::changed(
        (base, base_name, &label),
        head,
        &extent,
        &mut sources,
    ));
    // Of the missions that the change touches; what only judges otherwise has no boat out.
    let mut differ = affected(&before, &after, false);
    differ.retain(|mission| bears_on.contains(mission));
    let twice_before = out_twice_among(
        &differ,
        (base, &extent, Side::Base),
        (&was, &label),
        of_base,
        &mut Sources::new(),
    )?;
    let twice_now = out_twice_among(
        &differ,
        (head, &extent, Side::Head),
        (&own, ""),
        of_head,
        &mut sources,
    )?;
    let part = asked.partition.map(|partition| {
        let asked = format!(
            "review {base_name} {head_name} {policy_from:?} {}",
            partition.count()
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
    let own_sound = sound_paths(&was, &own);
    // Where the change's own policies and rules do not judge, what they would say is told as well.
    let (mut now, under_change) = match laid_over {
        Some(now) => {
            let mut own = own;
            own.retain(&bears_on);
            let findings = judged(&own, None, CheckOptions::findings_alone()).findings;
            let said: BTreeSet<_> = findings.iter().map(identity).collect();
            (now, Some(said))
        }
        None => (own, None),
    };
    now.sources = sources;
    let stays = Stays {
        missions: lying(&was, &own_sound, head),
        alike: &|path| {
            let [was, now] = [base, head].map(|tree| tree.read(path, Limit::GEODATA));
            matches!((was, now), (Ok(was), Ok(now)) if was == now)
        },
    };
    was.retain(&bears_on);
    now.retain(&bears_on);
    let mut was = judged(&was, None, CheckOptions::findings_alone());
    let extras = CheckOptions {
        pictures: asked.pictures,
        ..CheckOptions::default()
    };
    let mut outcome = judged(&now, None, extras);
    outcome.notes.sort();
    // What was not checked before either is no news, as long as the change leaves it alone.
    outcome
        .not_checked
        .retain(|file| touched.contains(&file.path) || !unread.contains(file));
    // That none of those looked at is there does not mean that there is none.
    if missions > 0 {
        outcome.not_checked.retain(|file| file.path != ".");
    }
    was.findings.extend(twice_before);
    outcome.findings.extend(twice_now);
    outcome.findings.extend(own_problems);
    sort(&mut outcome.findings, &outcome.sources);
    if let Some((partition, digest)) = part {
        partition.keep(&mut was.findings, &was.sources, &owners);
        partition.take(&mut outcome, &owners, digest);
    }
    let (news, mut fixed) = known::told_apart(&was, &mut outcome);
    let changes = compare::changes(
        (&was, &before),
        (&outcome, &after),
        &bears_on,
        (&stays, told),
    );
    let mut still = Vec::new();
    let mut only_under_change = Vec::new();
    let mut worse = Vec::new();
    let all = std::mem::take(&mut outcome.findings).into_iter().zip(news);
    // What judges comes before what is judged.
    if let Some(part) = &mut outcome.part_of {
        part.ahead = guarded.len();
    }
    outcome.findings = guarded;
    for (finding, news) in all {
        if news != News::Known {
            worse.extend(Worse::from_news(&finding, &news));
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
    worse.sort_by(|a: &Worse, b| {
        (&a.mission, &a.rule, &a.fingerprint).cmp(&(&b.mission, &b.rule, &b.fingerprint))
    });
    Ok(Review {
        base: base_name.to_owned(),
        head: head_name.to_owned(),
        policy_from,
        missions,
        changes,
        outcome,
        still,
        only_under_change,
        worse,
        fixed,
    })
}

/// What stands before the paths of what is taken from the earlier revision, and before no path of
/// either: a file that is called so would be read as the earlier revision's.
fn label(base_name: &str, extent: &ChangeImpact) -> String {
    let mut label = format!("{base_name}:");
    while extent.has_path_from(&label) {
        label.insert(0, '~');
    }
    label
}

/// Paths of missions of the earlier revision at which the later one has a file in order, of whichever
/// kind.
fn sound_paths(was: &Loaded, own: &Loaded) -> BTreeSet<String> {
    let missions = was.missions();
    let sound = missions.filter(|(_, path)| own.sound_at(path));
    sound.map(|(_, path)| path.to_owned()).collect()
}

/// The missions of a loading whose files lie in a later tree too and are no file in order there, by id.
fn lying(was: &Loaded, sound: &BTreeSet<String>, head: &dyn Tree) -> BTreeSet<String> {
    let missions = was.missions();
    let lying =
        missions.filter(|(_, path)| !sound.contains(*path) && head.read(path, Limit::YAML).is_ok());
    lying.map(|(id, _)| id.to_owned()).collect()
}

/// What a finding that is no news is told as, in the order of telling.
fn told_as(finding: &Finding) -> (&Option<String>, &str, &str) {
    (&finding.mission, &finding.rule, &finding.message)
}

/// Paths of the later revision's own policies, rules and baselines, told by what they are there; and of
/// what cannot be read where the earlier one had one of these. A mission that was put in the place of a
/// rule is a mission.
fn unjudging(own: &Loaded, was: &Loaded) -> BTreeSet<String> {
    let mut paths = own.judging_files();
    let unread = own.gathered.may_hold_anything(&own.sources);
    let judged = was.judging_files();
    paths.extend(unread.into_iter().filter(|path| judged.contains(path)));
    paths
}

/// Paths of the later tree that the change itself touches: files that differ, and missions of which some
/// file does.
fn touched(
    own: &Loaded,
    (before, after): (&BTreeMap<String, Inputs>, &BTreeMap<String, Inputs>),
    extent: &ChangeImpact,
) -> BTreeSet<String> {
    let missions = own.missions();
    let differing = missions.filter(|(id, _)| before.get(*id) != after.get(*id));
    let files = extent.differing(Side::Head).map(str::to_owned);
    files
        .chain(differing.map(|(_, path)| path.to_owned()))
        .collect()
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
