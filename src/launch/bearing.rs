//! Which records of a history may bear on a launch: of thousands of runs a few, told by their headings.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use super::first_id;
use super::instruments::is_short;
use super::readings::Readings;
use crate::check::{LoadedMission, NoAnswer, sha256};
use crate::plan::calendar::later;
use crate::plan::out::UNTIL_SAID;
use crate::plan::record_heading::RecordHeading;
use crate::plan::{Gathered, Plan};
use crate::schema::Kind;
use crate::source::{Sources, Tree};

/// Decisions on launches nearer to one another than this are reported beside one another, s: those of one
/// day and of the one before it.
pub(super) const NEAR: i64 = 24 * 3600;

/// The records of a tree that may bear on a launch, and whatever else was parsed.
///
/// # Errors
/// [`NoAnswer`] where one of them cannot be read.
pub(super) fn records(
    found: &mut LoadedMission,
    tree: &dyn Tree,
    readings: &Readings,
) -> Result<(Gathered, Sources), NoAnswer> {
    // The first digits of a digest may be those of any plan that was decided on or run.
    if readings.digest.as_deref().is_some_and(is_short) {
        return found.records(tree, &|_, _| true);
    }
    let digest = {
        let mut digester = found.loaded.digester();
        digester.plan(&found.plan, &found.policy).whole
    };
    let longest = found.longest_out().into_iter();
    let longest: BTreeMap<String, Option<i64>> =
        longest.map(|(id, out)| (id.to_owned(), out)).collect();
    let plan = found.plan.clone();
    let asked = OfLaunch {
        id: first_id(&plan.mission.id.value, readings.at),
        plan: &plan,
        digest,
        at: readings.at,
        clock: readings.clock,
        longest,
    };
    let taken = RefCell::new(BTreeSet::new());
    let (mut gathered, mut sources) = found.records(tree, &|heading, text| {
        let takes = asked.is_met_by(heading, text);
        if takes {
            taken.borrow_mut().insert(sha256(text));
        }
        takes
    })?;
    let decisions = gathered.of_kind(Kind::Launch);
    let decisions = decisions.filter_map(|file| sources.get(file.source));
    taken
        .borrow_mut()
        .extend(decisions.map(|file| sha256(file.text())));
    let elsewhere = readings.elsewhere.files.iter();
    taken
        .borrow_mut()
        .extend(elsewhere.map(|(_, text)| sha256(text)));
    // What rests on one of them, or says of one that it was not used, may be of any time.
    loop {
        let known = taken.borrow().clone();
        if known.is_empty() {
            return Ok((gathered, sources));
        }
        let before = taken.borrow().len();
        (gathered, sources) = found.records(tree, &|_, text| {
            let takes = text.contains('\\') || digests(text).any(|one| known.contains(one));
            if takes {
                taken.borrow_mut().insert(sha256(text));
            }
            takes
        })?;
        if taken.borrow().len() == before {
            return Ok((gathered, sources));
        }
    }
}

/// Digits of a digest.
const DIGITS: usize = 64;

/// What in a text may be the digest of a file.
fn digests(text: &str) -> impl Iterator<Item = &str> {
    let words = text.split(|c: char| !c.is_ascii_hexdigit());
    words.filter(|word| word.len() == DIGITS)
}

/// A launch, as far as a record can have to do with it.
struct OfLaunch<'a> {
    plan: &'a Plan,
    digest: String,
    /// What the ids of decisions on it begin with.
    id: String,
    at: Timestamp,
    clock: Timestamp,
    /// How long other missions have their boats out at most, where that is known.
    longest: BTreeMap<String, Option<i64>>,
}

impl OfLaunch<'_> {
    /// Whether a record is about the plan, or about the same launch or one near it, or may have the boat out
    /// meanwhile, or comes from a clock that is ahead.
    fn is_met_by(&self, heading: &RecordHeading, text: &str) -> bool {
        let launch = &self.plan.mission.launch;
        let delayed = later(launch.time.value, launch.delay.value.get());
        let of_mission = heading.mission == self.plan.mission.id.value;
        let apart = heading.from.duration_since(self.at).as_secs().abs();
        let same =
            of_mission && (apart <= NEAR || (launch.time.value..=delayed).contains(&heading.from));
        let until = later(self.at, self.plan.out_for());
        let back = heading.to.map_or_else(|| self.back_of(heading), Some);
        let out = heading.from < until && back.is_none_or(|back| self.at < back);
        // Escapes may stand for anything.
        let written = |what: &str| text.contains(what) || text.contains('\\');
        same || out || heading.made > self.clock || written(&self.digest) || written(&self.id)
    }

    /// By when a boat is back at the latest of which only the decision is known.
    fn back_of(&self, heading: &RecordHeading) -> Option<Timestamp> {
        #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
        let longest = match self.longest.get(&heading.mission) {
            Some(known) => (*known)? as f64,
            None => 0.0,
        };
        Some(later(heading.from, longest.max(UNTIL_SAID)))
    }
}
