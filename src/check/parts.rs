//! A large tree checked part by part, so that its missions are never held all at once. What comes of it is what
//! comes of all together.

use super::outcome::Outcome;
use super::partition::{MOST_PARTITIONS, Partition};
use crate::finding::sort;
use crate::plan::yaml_size;
use crate::source::{Limits, ReadError, Tree};

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

/// Whether so much of a tree was parsed for its first part that parts are no smaller than the whole, which can
/// be parsed at once: missions that bear on one another are parsed with each part that has one of them.
///
/// # Errors
/// As [`parts`].
pub(super) fn are_no_smaller(tree: &dyn Tree, parsed: u64) -> Result<bool, ReadError> {
    let size = yaml_size(tree)?;
    Ok(size <= Limits::DEFAULT.yaml_together && parsed > size / 2)
}

/// Makes sure that a tree is not parsed over and over, part by part.
///
/// # Errors
/// [`ReadError::TooMuchAtOnce`], and as [`parts`].
pub(super) fn end_sometime(tree: &dyn Tree, parsed: u64) -> Result<(), ReadError> {
    let limit = Limits::DEFAULT.yaml_together;
    match parsed > yaml_size(tree)?.saturating_mul(MOST_TIMES) {
        true => Err(ReadError::TooMuchAtOnce { limit }),
        false => Ok(()),
    }
}

impl Outcome {
    /// Adds what another part of the same whole came to.
    pub(super) fn join(&mut self, other: Self) {
        self.findings.extend(other.findings);
        self.checked.extend(other.checked);
        self.not_checked.extend(other.not_checked);
        self.notes.extend(other.notes);
        self.looser.extend(other.looser);
        for limit in other.in_force {
            if !self.in_force.contains(&limit) {
                self.in_force.push(limit);
            }
        }
        // What all parts read is the same; what they read for one plan may be more.
        if other.sources.len() > self.sources.len() {
            self.sources = other.sources;
        }
    }

    /// Puts everything in its order, each once.
    pub(super) fn whole(mut self) -> Self {
        sort(&mut self.findings, &self.sources);
        // What is wrong in a file that several parts read is found in each of them.
        self.findings.dedup_by(|a, b| {
            a.primary.span == b.primary.span
                && (&a.fingerprint, &a.message) == (&b.fingerprint, &b.message)
        });
        // That one part has no mission does not mean that there is none.
        if !self.checked.is_empty() {
            self.not_checked.retain(|file| file.path != ".");
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
