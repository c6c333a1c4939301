//! Missions dealt out to several jobs: the same way everywhere, and so that a mission that comes
//! or goes moves no other.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use sha2::{Digest as _, Sha256};

use super::digest::sha256;
use super::load::Loaded;
use crate::finding::Finding;
use crate::plan::{Heading, NotChecked};
use crate::schema::Kind;
use crate::source::Sources;

/// One of so many parts of a repository's missions.
///
/// A mission belongs to the part that the SHA-256 of its id falls into. What belongs to no mission
/// (errors in other files, files that could not be read, what a change takes from the policies)
/// belongs to the first.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Partition {
    number: u32,
    of: u32,
    /// Whether all of them are checked one after the other, for one report.
    of_whole: bool,
}

/// The most parts that there may be.
pub(crate) const MOST_PARTITIONS: u32 = 1000;

/// Why a text is no partition.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum NoPartition {
    /// It has not the form `K/N`.
    #[error("write a partition as K/N, the K-th of N, two whole numbers such as `--partition 1/4`")]
    Form,
    /// There are none, or too many.
    #[error("there can be 1 to {MOST_PARTITIONS} partitions")]
    Count,
    /// It is not among them.
    #[error("partitions count from 1: the first of {0} is 1/{0}, the last {0}/{0}")]
    Number(u32),
}

impl Partition {
    /// The part with this number, counted from 1.
    ///
    /// # Errors
    /// [`NoPartition`] where there is none such.
    pub fn new(number: u32, of: u32) -> Result<Self, NoPartition> {
        if !(1..=MOST_PARTITIONS).contains(&of) {
            return Err(NoPartition::Count);
        }
        if !(1..=of).contains(&number) {
            return Err(NoPartition::Number(of));
        }
        Ok(Self {
            number,
            of,
            of_whole: false,
        })
    }

    /// The same as one of those that are checked one after the other, for one report.
    #[must_use]
    pub(super) fn of_whole(self) -> Self {
        Self {
            of_whole: true,
            ..self
        }
    }

    /// Whether it is such a one.
    #[must_use]
    pub(super) fn is_of_whole(self) -> bool {
        self.of_whole
    }

    /// Its number, from 1.
    #[must_use]
    pub fn number(self) -> u32 {
        self.number
    }

    /// How many there are.
    #[must_use]
    pub fn count(self) -> u32 {
        self.of
    }

    /// Whether a mission belongs to it.
    #[must_use]
    pub fn holds(self, mission: &str) -> bool {
        let digest = Sha256::digest(mission.as_bytes());
        let (first, _) = digest.split_at(8);
        let number = first
            .iter()
            .fold(0_u64, |number, byte| number << 8 | u64::from(*byte));
        number % u64::from(self.of) == u64::from(self.number - 1)
    }

    /// Whether what belongs to no mission is told by it.
    #[must_use]
    pub fn is_first(self) -> bool {
        self.number == 1
    }

    /// What a report of it notes.
    #[must_use]
    pub fn note(self) -> String {
        format!(
            "partition {self} only: the other partitions judge the other missions, and `offing \
             merge` joins their reports"
        )
    }
}

impl fmt::Display for Partition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.number, self.of)
    }
}

impl FromStr for Partition {
    type Err = NoPartition;

    fn from_str(text: &str) -> Result<Self, NoPartition> {
        let (number, of) = text.split_once('/').ok_or(NoPartition::Form)?;
        let whole = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        if !(whole(number) && whole(of)) {
            return Err(NoPartition::Form);
        }
        // What does not fit is too large all the same.
        let of = of.parse().map_err(|_| NoPartition::Count)?;
        Self::new(number.parse().unwrap_or(u32::MAX), of)
    }
}

/// Which part of a whole an outcome is, so that the parts can be joined again.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartOf {
    /// The part.
    pub partition: Partition,
    /// A digest of what all parts have in common: every file that was read, built-in ones too,
    /// and what was requested.
    pub digest: String,
    /// How many findings stand ahead of those that are in order.
    pub ahead: usize,
}

/// Which mission each file is one of, by path.
pub(super) type Owners = BTreeMap<String, String>;

impl Loaded {
    /// Which mission each file is one of.
    #[must_use]
    pub fn owners(&self) -> Owners {
        let missions = self.gathered.of_kind(Kind::Mission).filter_map(|file| {
            let path = self.sources.path(file.source).to_owned();
            Some((path, file.id.as_ref()?.0.clone()))
        });
        // One that cannot be parsed is the same mission's by its heading.
        let broken = self.gathered.unparsed.iter().filter_map(|source| {
            let file = self.sources.get(*source)?;
            Some((file.path().to_owned(), Heading::parse(file.text())?.id))
        });
        missions.chain(broken).collect()
    }

    /// A digest of every file that was read and of what was requested.
    #[must_use]
    pub fn digest(&self, asked: &str) -> String {
        let mut files: Vec<(&str, String)> = self
            .sources
            .iter()
            .map(|(_, file)| (file.path(), sha256(file.text())))
            .collect();
        files.sort();
        let mut text = format!("{asked}\n");
        for (path, digest) in files {
            text.push_str(&format!("{digest}  {path}\n"));
        }
        sha256(&text)
    }
}

impl Partition {
    /// Whether it tells what is about a mission, or about a file.
    fn tells(self, mission: Option<&str>, path: &str, owners: &Owners) -> bool {
        match mission.or_else(|| owners.get(path).map(String::as_str)) {
            Some(mission) => self.holds(mission),
            None => self.is_first(),
        }
    }

    /// Leaves the findings that it tells.
    pub fn keep(self, findings: &mut Vec<Finding>, sources: &Sources, owners: &Owners) {
        findings.retain(|finding| {
            let path = sources.path(finding.primary.span.source);
            // What is wrong in a file by what a mission says stands with that mission.
            let related = || {
                let paths = finding.related.iter();
                let mut paths = paths.map(|label| sources.path(label.span.source));
                paths.find_map(|path| owners.get(path))
            };
            let of_none = finding.mission.is_none() && !owners.contains_key(path);
            let mission = finding.mission.as_ref();
            let mission = mission.or_else(|| related().filter(|_| of_none));
            self.tells(mission.map(String::as_str), path, owners)
        });
    }

    /// Leaves the unchecked files that it tells.
    pub fn keep_files(self, files: &mut Vec<NotChecked>, owners: &Owners) {
        files.retain(|file| self.tells(None, &file.path, owners));
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_PARTITIONS, NoPartition, Partition};

    #[test]
    fn every_mission_belongs_to_one_part_whatever_else_there_is() {
        for of in [1, 2, 3, 7, MOST_PARTITIONS] {
            let mut counts = vec![0; of as usize];
            for mission in 0..2000 {
                let id = format!("lines-{mission}");
                let holding: Vec<u32> = (1..=of)
                    .filter(|number| Partition::new(*number, of).is_ok_and(|p| p.holds(&id)))
                    .collect();
                assert_eq!(holding.len(), 1, "{id} of {of}");
                counts[holding[0] as usize - 1] += 1;
            }
            if of < 10 {
                let even = 2000 / of as usize;
                let apart = counts
                    .iter()
                    .map(|count: &usize| count.abs_diff(even))
                    .max();
                assert!(apart.is_some_and(|apart| apart < even / 4), "{counts:?}");
            }
        }
    }

    /// FIPS 180-4: the SHA-256 of `abc` begins ba7816bf8f01cfea (from memory), which is 2 modulo 4.
    #[test]
    fn the_part_is_the_same_on_every_machine() {
        let third = 0xba78_16bf_8f01_cfea_u64 % 4 + 1;
        for number in 1..=4_u32 {
            let part: Partition = format!("{number}/4").parse().expect("one of four");
            assert_eq!(part.holds("abc"), u64::from(number) == third);
        }
    }

    #[test]
    fn what_is_no_partition_is_refused() {
        let form = [
            "", "1", "a/b", "1/", "/2", "1/2/3", "-1/2", "+1/2", "1 / 2", "1.0/2",
        ];
        for text in form {
            assert_eq!(text.parse::<Partition>(), Err(NoPartition::Form), "{text}");
        }
        for text in ["1/0", "0/0", "1/1001", "1/100000", "1/99999999999999999999"] {
            assert_eq!(text.parse::<Partition>(), Err(NoPartition::Count), "{text}");
        }
        for text in ["0/3", "4/3", "99999999999999999999/3"] {
            assert_eq!(
                text.parse::<Partition>(),
                Err(NoPartition::Number(3)),
                "{text}"
            );
        }
        assert!("1000/1000".parse::<Partition>().is_ok() && "1/1".parse::<Partition>().is_ok());
    }
}
