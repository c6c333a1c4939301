//! Joining the reports of all partitions of a check into that of the whole.
//!
//! What is joined was written by this program, but comes from elsewhere: nothing is taken for
//! granted of it.

mod check;
mod sarif;

pub(crate) use check::{check, json_text, status};
pub(crate) use sarif::{sarif, sarif_status};

use std::collections::BTreeSet;

use serde_json::Value;

use crate::check::{MOST_PARTITIONS, Partition};
use crate::source::printable_line;

/// Why reports are not joined.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error("{0}")]
pub(crate) struct NoMerge(String);

impl NoMerge {
    /// With its reason.
    #[must_use]
    pub(crate) fn new(why: impl Into<String>) -> Self {
        Self(why.into())
    }
}

/// A report of one partition.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Part {
    /// The file that it was read from, as it is shown.
    pub name: String,
    /// All of it.
    pub value: Value,
}

/// What a report says of the partition that it is of.
struct Stated<'a> {
    version: &'a str,
    partition: Partition,
    digest: &'a str,
}

/// Brings the reports of all partitions into their order, and makes sure that they are parts of one
/// whole. `pointers` lead to the program's version and to the partition.
fn in_order(parts: &[Part], (version, partition): (&str, &str)) -> Result<Vec<usize>, NoMerge> {
    let mut stated = Vec::new();
    for part in parts {
        stated.push(stated_by(part, (version, partition))?);
    }
    let (Some(first), Some(one)) = (stated.first(), parts.first()) else {
        return Err(NoMerge::new("there is no report to merge"));
    };
    let own = env!("CARGO_PKG_VERSION");
    for (part, said) in parts.iter().zip(&stated) {
        let name = &part.name;
        if said.version != own {
            return Err(NoMerge(format!(
                "{name}: offing {} wrote it, and this is {own}; write and merge all parts with one \
                 version",
                printable_line(said.version)
            )));
        }
        if said.partition.count() != first.partition.count() {
            return Err(NoMerge(format!(
                "{name}: it is partition {}, and {} is {}; they are not parts of one whole",
                said.partition, one.name, first.partition
            )));
        }
        if said.digest != first.digest {
            return Err(NoMerge(format!(
                "{name}: its plans, policies, rules or options differ from those of {}; check all \
                 partitions of one state of the repository, in the same way",
                one.name
            )));
        }
    }
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by_key(|at| stated[*at].partition.number());
    for pair in order.windows(2) {
        if stated[pair[0]].partition == stated[pair[1]].partition {
            return Err(NoMerge(format!(
                "{} and {} are both partition {}",
                parts[pair[0]].name, parts[pair[1]].name, stated[pair[0]].partition
            )));
        }
    }
    let there: BTreeSet<u32> = stated.iter().map(|said| said.partition.number()).collect();
    let of = first.partition.count();
    let missing: Vec<String> = (1..=of)
        .filter(|number| !there.contains(number))
        .map(|number| format!("{number}/{of}"))
        .collect();
    if let Some(count) = missing.len().checked_sub(1) {
        let more = if count < 10 {
            missing.join(", ")
        } else {
            format!(
                "{} and {} others",
                missing[..10].join(", "),
                missing.len() - 10
            )
        };
        return Err(NoMerge(format!("partitions missing: {more}")));
    }
    Ok(order)
}

fn stated_by<'a>(part: &'a Part, at: (&str, &str)) -> Result<Stated<'a>, NoMerge> {
    let strange = |why: &str| NoMerge(format!("{}: {why}", part.name));
    let whole = "it is no partition: it was written without `--partition K/N`";
    let said = part.value.pointer(at.1).filter(|said| !said.is_null());
    let said = said.ok_or_else(|| strange(whole))?;
    let number = |key: &str| -> Option<u32> { said.get(key)?.as_u64()?.try_into().ok() };
    let partition = number("number")
        .zip(number("of"))
        .and_then(|(number, of)| Partition::new(number, of).ok())
        .ok_or_else(|| {
            strange(&format!(
                "its partition is not one of 1 to {MOST_PARTITIONS}"
            ))
        })?;
    let version = part.value.pointer(at.0).and_then(Value::as_str);
    let digest = said.get("digest").and_then(Value::as_str);
    match (version, digest) {
        (Some(version), Some(digest)) => Ok(Stated {
            version,
            partition,
            digest,
        }),
        _ => Err(strange(
            "it does not say which program wrote it, or what it covers",
        )),
    }
}

/// The note of a partition is not one of the whole.
fn is_of_a_part(note: &str, of: u32) -> bool {
    let all = (1..=of).filter_map(|number| Partition::new(number, of).ok());
    let mut notes = all.map(Partition::note);
    notes.any(|known| known == note)
}

/// A finding's place in the order in which findings are shown, as
/// [`sort`](crate::finding::sort) has it.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    not_input: bool,
    accepted: bool,
    severity: u8,
    nature: u8,
    path: Vec<u8>,
    start: (u64, u64),
    rule: String,
    message: String,
    mission: Option<String>,
}

/// The rank of a kind of finding, by its name.
fn nature(name: &str) -> Option<u8> {
    use crate::finding::Nature::{Input, NotEvaluated, Violation};
    let all = [Violation, NotEvaluated, Input].into_iter().zip(0_u8..);
    let mut all = all.map(|(nature, rank)| (nature.name(), rank));
    all.find(|(known, _)| *known == name).map(|(_, rank)| rank)
}
