//! What of an outcome a part of the missions tells.

use super::outcome::Outcome;
use super::partition::{Owners, PartOf, Partition};

impl Partition {
    /// Leaves of an outcome what it tells, and notes that it is a part.
    pub fn take(self, outcome: &mut Outcome, owners: &Owners, digest: String) {
        let Outcome {
            sources,
            findings,
            not_checked,
            notes,
            part_of,
            ..
        } = outcome;
        self.keep(findings, sources, owners);
        self.keep_files(not_checked, owners);
        notes.push(self.note());
        *part_of = Some(PartOf {
            partition: self,
            digest,
            ahead: 0,
        });
    }
}
