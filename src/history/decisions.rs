//! Decisions on launches, found by their digests: of ten thousand, too, without looking through all of
//! them for each record.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::records::{Launch, Record, Records};
use crate::schema::Stated;

/// Every decision of a history.
pub(super) struct Decisions<'a> {
    by_digest: BTreeMap<&'a str, &'a Launch>,
    /// By the digest of a go, the decisions that say that it was not used, and where.
    said_unused: BTreeMap<&'a str, Vec<(&'a Launch, &'a Stated<String>)>>,
}

impl Records {
    /// The decisions, to be looked up in.
    pub(super) fn decisions(&self) -> Decisions<'_> {
        let mut decisions = Decisions {
            by_digest: BTreeMap::new(),
            said_unused: BTreeMap::new(),
        };
        for launch in &self.launches {
            // Of two files with the same bytes the first counts.
            let of_digest = decisions.by_digest.entry(&launch.sha256);
            of_digest.or_insert(launch);
            for digest in &launch.decided.unused {
                let said = decisions.said_unused.entry(&digest.value).or_default();
                said.push((launch, digest));
            }
        }
        decisions
    }
}

impl<'a> Decisions<'a> {
    /// The one of a digest.
    pub(super) fn find(&self, sha256: &str) -> Option<&'a Launch> {
        self.by_digest.get(sha256).copied()
    }

    /// The one that a record rests on.
    pub(super) fn for_record(&self, record: &Record) -> Option<&'a Launch> {
        self.find(&record.run.decision.as_ref()?.sha256.value)
    }

    /// The one that says of a go that it was not used, and may say so; with where it does.
    pub(super) fn unused(&self, go: &Launch) -> Option<(&'a Launch, &'a Stated<String>)> {
        let said = self.said_unused.get(go.sha256.as_str())?;
        let mut may = said
            .iter()
            .filter(|(launch, _)| launch.decided.may_say_unused(&go.decided));
        may.next().copied()
    }

    /// Digests of the goes of which it was said before a time that they were not used.
    pub(super) fn unused_before(&self, time: Timestamp) -> Vec<String> {
        let told = self.said_unused.iter().filter(|(digest, said)| {
            let go = self.find(digest);
            said.iter().any(|(launch, _)| {
                launch.decided.decided.value < time
                    && go.is_some_and(|go| launch.decided.may_say_unused(&go.decided))
            })
        });
        told.map(|(digest, _)| (*digest).to_owned()).collect()
    }
}
