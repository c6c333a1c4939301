//! Records and decisions of a tree, read.

use crate::check::sha256;
use crate::finding::{Finding, FindingBuilder, Nature, Nowhere, Severity};
use crate::git::GitError;
use crate::plan::decision::{Decided, decided};
use crate::plan::run::{RunRecord, run_record};
use crate::plan::{FileOfKind, gather};
use crate::schema::{Kind, Problem};
use crate::source::{MemoryTree, ReadError, SourceId, Sources, Tree};

/// A record, read.
#[derive(Clone, Debug)]
pub struct Record {
    /// What it says.
    pub run: RunRecord,
    /// Path of its file.
    pub path: String,
    /// Its file.
    pub source: SourceId,
    /// SHA-256 of its bytes.
    pub sha256: String,
}

/// A decision on a launch, read.
#[derive(Clone, Debug)]
pub(crate) struct Launch {
    /// What was decided, and on what.
    pub decided: Decided,
    /// Its file.
    pub source: SourceId,
    /// SHA-256 of its bytes.
    pub sha256: String,
}

/// Every record of a tree.
#[derive(Debug)]
pub struct Records {
    /// Everything that was read.
    pub sources: Sources,
    /// In order of the time that they were recorded.
    pub records: Vec<Record>,
    /// Decisions on launches, in order of path.
    pub(crate) launches: Vec<Launch>,
    /// What is wrong with files of records and decisions.
    pub problems: Vec<Problem>,
}

/// Why a history cannot be looked at.
#[derive(Debug, thiserror::Error)]
pub enum NoHistory {
    /// A tree cannot be listed.
    #[error("{0}")]
    Unreadable(#[from] ReadError),
    /// Git does not answer.
    #[error("{0}")]
    Git(#[from] GitError),
}

impl Records {
    /// Reads every record of a tree.
    ///
    /// # Errors
    /// [`ReadError`] where the tree cannot be listed.
    pub fn read(tree: &dyn Tree) -> Result<Self, ReadError> {
        let mut sources = Sources::new();
        let gathered = gather(tree, &mut sources)?;
        let mut problems = Vec::new();
        let of = |kind: Kind| gathered.of_kind(kind).filter(|file| file.sound);
        let text = |file: &FileOfKind| sources.get(file.source).map_or("", |file| file.text());
        let mut records = Vec::new();
        for file in of(Kind::Run) {
            match run_record(file) {
                Ok(run) => records.push(Record {
                    run,
                    path: sources.path(file.source).to_owned(),
                    source: file.source,
                    sha256: sha256(text(file)),
                }),
                Err(found) => problems.extend(found),
            }
        }
        let mut launches = Vec::new();
        for file in of(Kind::Launch) {
            match decided(file) {
                Ok(decided) => launches.push(Launch {
                    decided,
                    source: file.source,
                    sha256: sha256(text(file)),
                }),
                Err(found) => problems.extend(found),
            }
        }
        records.sort_by(|a, b| {
            let key = |one: &Record| (one.run.recorded.value, one.path.clone());
            key(a).cmp(&key(b))
        });
        // A file that may have been a record and cannot be read is one that is missing.
        let ours: Vec<SourceId> = gathered
            .files
            .iter()
            .filter(|file| matches!(file.kind, Kind::Run | Kind::Launch))
            .map(|file| file.source)
            .chain(gathered.unparsed.iter().copied())
            .collect();
        let of_ours = gathered.problems.into_iter();
        problems.extend(of_ours.filter(|problem| ours.contains(&problem.span.source)));
        Ok(Self {
            sources,
            records,
            launches,
            problems,
        })
    }

    /// Whether a record or a decision that is about to be written can be read again as one.
    ///
    /// # Errors
    /// What of it cannot, in a sentence.
    pub fn reads_back(text: &str) -> Result<(), String> {
        let mut tree = MemoryTree::default();
        tree.put("record.yaml".to_owned(), text.to_owned());
        let read = Self::read(&tree).map_err(|error| error.to_string())?;
        match read.problems.first() {
            Some(problem) => Err(problem.message.clone()),
            None if read.records.len() + read.launches.len() == 1 => Ok(()),
            None => Err("it would not read as a record".to_owned()),
        }
    }

    /// Paths of every record and every decision.
    pub(super) fn paths(&self) -> std::collections::BTreeSet<&str> {
        let records = self.records.iter().map(|record| record.source);
        let launches = self.launches.iter().map(|launch| launch.source);
        let all = records.chain(launches);
        all.map(|source| self.sources.path(source)).collect()
    }

    /// Digests of the records that no other one follows: what the next one names.
    #[must_use]
    pub fn heads(&self) -> Vec<String> {
        let followed: std::collections::BTreeSet<&str> = self
            .records
            .iter()
            .flat_map(|record| &record.run.previous)
            .map(|previous| previous.value.as_str())
            .collect();
        let free = self.records.iter().map(|record| &record.sha256);
        free.filter(|digest| !followed.contains(digest.as_str()))
            .cloned()
            .collect()
    }
}

/// A finding about a record, which says why records matter.
pub(crate) fn begin(code: &str, record: &Record) -> FindingBuilder<Nowhere> {
    Finding::builder(code, Severity::Error, Nature::Violation)
        .subject(&record.run.id.value)
        .why(
            "A history is only as good as its verification. A record that was changed, removed or \
             inserted afterwards tells what somebody wished had happened.",
        )
}
