//! A large tree checked part by part, so that its missions are never held all at once. What comes of it is what
//! comes of all together.

use std::collections::BTreeSet;

use super::judged::{MOST_PROBLEMS, NO_MISSION, untold_errors};
use super::load::{self, Loaded};
use super::outcome::Outcome;
use super::partition::{MOST_PARTITIONS, Partition};
use crate::finding::{Finding, Nature, sort};
use crate::plan::{Gathered, NotChecked, Reader, yaml_size};
use crate::source::{Limits, ReadError, Span, Tree};

/// Size of the YAML files that are checked together, bytes: some 2,400 missions of 60 legs, in 400 MB.
const TOGETHER: u64 = 16 << 20;
/// Size of the YAML files of a part, where there are more, bytes. A mission that is parsed and made into a plan takes
/// four times the room of one that was judged.
const PART: u64 = 4 << 20;
/// How many times over a tree is parsed at most.
const MOST_TIMES: u64 = 4;

/// Whether a tree has more YAML files than are parsed at once.
///
/// # Errors
/// [`ReadError`] where it cannot be listed, or is larger than what is read.
pub(super) fn is_large(tree: &dyn Tree) -> Result<bool, ReadError> {
    Ok(yaml_size(tree)? > Limits::DEFAULT.yaml_together)
}

/// The parts that a tree is checked in, where it has more YAML files than are checked together.
///
/// # Errors
/// [`ReadError`] where it cannot be listed, or is larger than what is read.
pub(super) fn parts(tree: &dyn Tree) -> Result<Option<Vec<Partition>>, ReadError> {
    let size = yaml_size(tree)?;
    if size <= TOGETHER {
        return Ok(None);
    }
    let of = u32::try_from(size.div_ceil(PART)).unwrap_or(MOST_PARTITIONS);
    let of = of.min(MOST_PARTITIONS);
    let parts = (1..=of).filter_map(|number| Partition::new(number, of).ok());
    Ok(Some(parts.map(Partition::of_whole).collect()))
}

/// Whether a part has the records. They bear on no plan: of parts that are checked one after the other the first does.
fn has_records(partition: Partition) -> bool {
    partition.is_first() || !partition.is_of_whole()
}

/// The files of a part.
///
/// # Errors
/// As [`parts`].
pub(super) fn gather_part(
    tree: &dyn Tree,
    partition: Partition,
    reader: &mut Reader,
) -> Result<Gathered, ReadError> {
    reader.gather_part(tree, &|id| partition.holds(id), has_records(partition))
}

/// The same, loaded.
///
/// # Errors
/// As [`parts`].
pub(super) fn load_part(
    tree: &dyn Tree,
    partition: Partition,
    reader: &mut Reader,
) -> Result<Loaded, ReadError> {
    let records = has_records(partition);
    load::load_part(tree, &|id| partition.holds(id), records, reader)
}

/// Whether so much of a tree was parsed for its first part that parts are no smaller than the whole, which can
/// be parsed at once: missions that bear on one another are parsed with each part that has one of them.
pub(super) fn are_no_smaller(size: u64, parsed: u64) -> bool {
    size <= Limits::DEFAULT.yaml_together && parsed > size / 2
}

/// Whether a tree is parsed over and over, part by part, so that parts are no way to check it. One that is too large
/// to be parsed at once is refused then.
pub(super) fn go_on_and_on(size: u64, parsed: u64) -> bool {
    parsed > size.saturating_mul(MOST_TIMES)
}

impl Outcome {
    /// The same without what is told of all parts together in the end.
    pub(super) fn one_of_several(mut self) -> Self {
        let untold = untold_errors(self.untold, ".");
        self.not_checked
            .retain(|file| file.why != NO_MISSION && Some(file) != untold.as_ref());
        self
    }

    /// Adds what another part of the same whole came to.
    pub(super) fn join(&mut self, other: Self) {
        self.join_findings(other.findings);
        self.checked.extend(other.checked);
        self.not_checked.extend(other.not_checked);
        self.untold += other.untold;
        self.notes.extend(other.notes);
        self.looser.extend(other.looser);
        // What one policy asks for is the same in every part.
        let known: BTreeSet<String> = self.in_force.iter().map(|one| one.policy.clone()).collect();
        let more = other.in_force.into_iter();
        self.in_force
            .extend(more.filter(|limit| !known.contains(&limit.policy)));
    }

    /// Adds findings; of the errors of files no more than are told, each once.
    fn join_findings(&mut self, others: Vec<Finding>) {
        let of_file = |finding: &&Finding| finding.nature == Nature::Input;
        let known: BTreeSet<_> = self.findings.iter().filter(of_file).map(key).collect();
        let mut room = MOST_PROBLEMS.saturating_sub(known.len());
        for finding in others {
            if !of_file(&&finding) {
                self.findings.push(finding);
            } else if !known.contains(&key(&finding)) {
                match room.checked_sub(1) {
                    Some(left) => {
                        room = left;
                        self.findings.push(finding);
                    }
                    None => self.untold += 1,
                }
            }
        }
    }

    /// Puts everything in its order, each once.
    pub(super) fn whole(mut self) -> Self {
        sort(&mut self.findings, &self.sources);
        self.not_checked.extend(untold_errors(self.untold, "."));
        if self.checked.is_empty() && self.not_checked.is_empty() {
            self.not_checked.push(NotChecked {
                path: ".".to_owned(),
                why: NO_MISSION.to_owned(),
            });
        }
        self.checked.sort_by(|a, b| a.path.cmp(&b.path));
        self.not_checked
            .sort_by(|a, b| (&a.path, &a.why).cmp(&(&b.path, &b.why)));
        self.not_checked.dedup();
        self.notes.sort();
        self.notes.dedup();
        self.looser.sort_by(|a, b| a.says.cmp(&b.says));
        self.looser.dedup();
        // By policy, each with its rules as they stood.
        self.in_force.sort_by(|a, b| a.policy.cmp(&b.policy));
        self
    }
}

/// What makes an error of a file the same, found in several parts that read it: its lines, those of the mission that
/// it is about among them, and what it says.
fn key(finding: &Finding) -> (Span, Vec<Span>, String) {
    let related = finding.related.iter().map(|label| label.span);
    (
        finding.primary.span,
        related.collect(),
        finding.message.clone(),
    )
}
