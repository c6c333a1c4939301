//! Records that were put in beside others: committed when these were there already, and following none of
//! them.

use std::collections::BTreeMap;

use super::log::Log;
use super::records::{Record, Records, begin};
use crate::finding::FindingBuilder;
use crate::git::{Git, GitError};
use crate::source::Span;

/// Whoever records follows the ends of the chain, so that of two records which follow the same one each
/// was made where the other was not: in two clones or on two branches. A commit that brings one of them
/// where the other is already does what neither of them did.
pub(super) fn findings(
    records: &Records,
    (log, committed): (&Log, &BTreeMap<String, String>),
    git: &dyn Git,
    found: &mut Vec<FindingBuilder>,
) -> Result<(), GitError> {
    let mut followers: BTreeMap<&str, Vec<&Record>> = BTreeMap::new();
    for record in &records.records {
        let previous = record.run.previous.iter();
        let mut previous: Vec<&str> = previous.map(|one| one.value.as_str()).collect();
        if previous.is_empty() {
            // The beginnings of a chain follow nothing alike.
            previous.push("");
        }
        for before in previous {
            followers.entry(before).or_default().push(record);
        }
    }
    let beside: Vec<(&Record, &Record)> = followers
        .values()
        .filter(|group| group.len() > 1)
        .flat_map(|group| {
            let pairs = group
                .iter()
                .flat_map(|one| group.iter().map(move |other| (*one, *other)));
            pairs.filter(|(one, other)| one.source != other.source)
        })
        .collect();
    if beside.is_empty() {
        return Ok(());
    }
    let brought = log.brought();
    let mut told: Vec<Span> = Vec::new();
    for (late, there) in beside {
        // A record that is there twice is told as that.
        let Some(object) = committed
            .get(&there.path)
            .filter(|_| late.sha256 != there.sha256)
        else {
            continue;
        };
        let with = match committed.get(&late.path) {
            // Not committed yet, it would be on top of all that is.
            None => true,
            Some(own) => {
                let commits = brought.get(&(late.path.as_str(), own.as_str()));
                let commits = commits.map_or(&[][..], Vec::as_slice).iter();
                let names: Vec<String> = commits
                    .flat_map(|commit| (1..=2).map(move |parent| (commit, parent)))
                    .map(|(commit, parent)| format!("{commit}^{parent}:{}", there.path))
                    .collect();
                let parents = git.named(&names)?;
                parents.iter().any(|one| one.as_ref() == Some(object))
            }
        };
        if !with || told.contains(&late.run.id.span()) {
            continue;
        }
        told.push(late.run.id.span());
        let order = match late.run.recorded.value < there.run.recorded.value {
            true => "says that it was recorded before it",
            false => "does not follow it",
        };
        found.push(
            begin("record-inserted", late)
                .message(format!(
                    "record `{}` came after `{}` was already there, and {order}: somebody inserted \
                     it afterwards, or rebased or squashed its branch",
                    late.run.id.value, there.run.id.value
                ))
                .primary(late.run.id.span(), "inserted next to the other one")
                .related(there.run.id.span(), "there already")
                .remedy(
                    "find out who recorded it and when; merge a branch that recorded something, \
                     never rebase it",
                ),
        );
    }
    Ok(())
}
