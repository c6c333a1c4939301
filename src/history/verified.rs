//! A history held against itself and against git.

use super::again::{self, Again};
use super::records::{NoHistory, Records};
use super::{boats, chain, in_git, log, policies, sealed, signed, unused};
use crate::finding::{Concern, Finding, Nature, concern, sort};
use crate::git::{Git, is_shallow};
use crate::source::{Sources, Tree};

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
    notes.extend(sealed::findings(&mut records, &policies, git, &mut more)?);
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
