//! The history of plans that were run: records that form a chain, each naming the bytes of the ones
//! before it and of everything that was run, and held against git.

mod again;
mod boats;
mod chain;
mod decisions;
mod doubts;
mod elsewhere;
mod in_git;
mod inserted;
mod listing;
mod log;
mod policies;
mod record;
mod sailed;
mod seal;
mod signed;
mod standing;
mod unused;

pub(crate) use again::Again;
pub(crate) use elsewhere::elsewhere;
pub(crate) use listing::{Filter, Totals, Within};
pub(crate) use record::{Logged, Said, record};
pub(crate) use seal::seal;
pub(crate) use signed::beside as signature_of;
pub(crate) use standing::{Judged, committed, committed_after, named_commit, reviewed};

use crate::check::sha256;
use crate::finding::{Concern, Finding, Nature, Severity, concern, sort};
use crate::git::{Git, GitError, is_shallow};
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

    /// SHA-256 of every record and every decision.
    fn digests(&self) -> impl Iterator<Item = &str> {
        let records = self.records.iter().map(|record| record.sha256.as_str());
        records.chain(self.launches.iter().map(|launch| launch.sha256.as_str()))
    }

    /// Paths of every record and every decision.
    fn paths(&self) -> std::collections::BTreeSet<&str> {
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

/// What came of holding a history against itself and against git.
#[derive(Debug)]
pub struct Verified {
    /// How many records there are.
    pub records: usize,
    /// Of how many the launch was decided again; `None` where that was not asked for.
    pub again: Option<usize>,
    /// Everything that is broken, the first break of the chain first.
    pub findings: Vec<Finding>,
    /// Things to know, such as a record that is not committed yet.
    pub notes: Vec<String>,
    /// What is not committed yet, as the notes say it.
    pub uncommitted: Vec<String>,
    /// Everything that was read.
    pub sources: Sources,
}

/// Holds every record against the others, against the decisions, and against git. Where it is asked for,
/// launches are decided again too, which takes as long as to judge their plans. The tree is the one that
/// the records were read from.
///
/// # Errors
/// [`NoHistory`] where git cannot be read.
pub fn verify(
    (mut records, tree): (Records, &dyn Tree),
    git: &dyn Git,
    again: Option<Again<'_>>,
) -> Result<Verified, NoHistory> {
    let decisions = records.decisions();
    let boats = boats::for_records(&records, git)?;
    let mut findings = chain::findings(&records, &decisions, &boats);
    findings.extend(unused::findings(&records, &decisions));
    let log = log::Log::load_head(git)?;
    let committed = in_git::committed(git)?;
    let policies = policies::for_records(&records, &log, git)?;
    let history = (&log, &committed);
    let (in_git, uncommitted) = in_git::findings(&mut records, &policies, history, git)?;
    let mut notes = uncommitted.clone();
    findings.extend(in_git);
    if is_shallow(git) {
        notes.push(
            "this clone lacks the beginning of its history, so changes and removals there cannot \
             be seen"
                .to_owned(),
        );
    }
    let mut more = Vec::new();
    notes.extend(seal::findings(&mut records, &policies, git, &mut more)?);
    policies::findings(&records, &policies, &mut more);
    let again = again.map(|again| {
        let (found, decided) = again::findings(&records, again, (&log, git));
        more.extend(found);
        decided
    });
    signed::findings((&records, &policies), history, (tree, git), &mut more)?;
    let built = more.into_iter();
    findings.extend(built.map(|builder| builder.build(&records.sources)));
    let problems = std::mem::take(&mut records.problems).into_iter();
    findings.extend(problems.map(|problem| problem.finding(&records.sources)));
    sort(&mut findings, &records.sources);
    // In the order of the chain, so that what follows from a break stands behind it.
    let place: std::collections::BTreeMap<&str, usize> = records
        .records
        .iter()
        .enumerate()
        .map(|(at, record)| (record.run.id.value.as_str(), at))
        .collect();
    findings.sort_by_key(|finding| {
        let at = place.get(finding.subject.as_str());
        let breaks = concern(&finding.rule) == Concern::Record;
        (
            finding.nature != Nature::Input,
            at.copied().unwrap_or(0),
            !breaks,
        )
    });
    Ok(Verified {
        records: records.records.len(),
        again,
        findings,
        notes,
        uncommitted,
        sources: records.sources,
    })
}

/// A finding about a record, which says why records matter.
pub(crate) fn begin(
    code: &str,
    record: &Record,
) -> crate::finding::FindingBuilder<crate::finding::Nowhere> {
    Finding::builder(code, Severity::Error, Nature::Violation)
        .subject(&record.run.id.value)
        .why(
            "A history is only as good as its verification. A record that was changed, removed or \
             inserted afterwards tells what somebody wished had happened.",
        )
}
