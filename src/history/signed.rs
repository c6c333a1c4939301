//! Signatures on records and on their commits, where the policy that a plan was run under asks for them.

use std::collections::BTreeMap;

use jiff::Timestamp;
use rayon::prelude::*;

use super::log::Log;
use super::objects::{once, text};
use super::policies::Judging;
use super::records::{Record, Records, begin};
use crate::check::principal;
use crate::finding::FindingBuilder;
use crate::git::signature::{self, Purpose, VerifyRequest};
use crate::git::{Git, GitError};
use crate::rules::Approvals;
use crate::source::{Limit, Span, Tree, printable_line, resolve};

/// What the name of a signature on a record ends with: `runs/one.survey-lead.signature` lies beside
/// `runs/one.yaml`.
const SIGNATURE: &str = "signature";
/// The largest signature that is read.
const SMALL: Limit = Limit::from_bytes(64 << 10);

/// What the policy of a record asks for.
struct Demand {
    approvals: Approvals,
    /// Text of the file of signers, or why there is none.
    signers: Result<String, String>,
}

/// Path of the signature of a role on a record; `None` where the role's words are the name of no signer.
#[must_use]
pub(crate) fn beside(record: &str, role: &str) -> Option<String> {
    let stem = record.rsplit_once('.').map_or(record, |(stem, _)| stem);
    Some(format!("{stem}.{}.{SIGNATURE}", principal(role)?))
}

/// What is not signed that was to be.
pub(super) fn findings(
    (records, policies): (&Records, &[Judging]),
    (log, committed): (&Log, &BTreeMap<String, String>),
    (tree, git): (&dyn Tree, &dyn Git),
    found: &mut Vec<FindingBuilder>,
) -> Result<(), GitError> {
    let demands = demands(records, policies, git)?;
    if demands.iter().all(Option::is_none) {
        return Ok(());
    }
    let brought = log.brought();
    let asked: Vec<(&Record, &Demand)> = records
        .records
        .iter()
        .zip(&demands)
        .filter_map(|(record, demand)| Some((record, demand.as_ref()?)))
        .collect();
    let sources = &records.sources;
    let all: Result<Vec<_>, GitError> = asked
        .par_iter()
        .map(|(record, demand)| {
            let mut found: Vec<FindingBuilder> = Vec::new();
            let text = sources.get(record.source).map_or("", |file| file.text());
            found.extend(record_unsigned((record, text), demand, tree));
            // Of one that is not committed yet there is no commit to look at, which is noted.
            let object = committed.get(&record.path);
            let brought = object.map(|object| {
                let file = (record.path.as_str(), object.as_str());
                brought.get(&file).map_or(&[][..], Vec::as_slice)
            });
            found.extend(commits_unsigned(record, demand, (git, brought))?);
            Ok(found)
        })
        .collect();
    found.extend(all?.into_iter().flatten());
    Ok(())
}

/// What is requested, for each record: the signers are those of its own commit.
fn demands(
    records: &Records,
    policies: &[Judging],
    git: &dyn Git,
) -> Result<Vec<Option<Demand>>, GitError> {
    // What is requested, and where the signers stand, of the records of which something is.
    let asking: Vec<Option<(Approvals, Result<String, String>)>> = policies
        .iter()
        .map(|judging| {
            let approvals = judging.policy()?.approvals.clone()?;
            approvals.signed_records.or(approvals.signed_commits)?;
            let from = judging.path(approvals.signers.span().source);
            let path = resolve(from, &approvals.signers.value);
            Some((approvals, path.map_err(|error| error.to_string())))
        })
        .collect();
    let asked = records.records.iter().zip(&asking);
    let names: Vec<String> = asked
        .filter_map(|(record, asked)| {
            let path = asked.as_ref()?.1.as_ref().ok()?;
            Some(format!("{}:{path}", record.run.commit.value))
        })
        .collect();
    let mut found = git.named(&names)?.into_iter();
    let mut texts = BTreeMap::new();
    let mut demand = |(approvals, path): (Approvals, Result<String, String>)| {
        let signers = match path {
            Err(why) => Err(why),
            Ok(path) => {
                let read = match found.next().flatten() {
                    None => None,
                    Some(object) => once(&mut texts, object.clone(), || text(git, &object))?,
                };
                let path = printable_line(&path);
                read.ok_or_else(|| format!("the file of signers, {path}, is not in its commit"))
            }
        };
        Ok(Demand { approvals, signers })
    };
    let all = asking.into_iter();
    all.map(|asked| asked.map(&mut demand).transpose())
        .collect()
}

fn record_unsigned(
    (record, text): (&Record, &str),
    demand: &Demand,
    tree: &dyn Tree,
) -> Option<FindingBuilder> {
    demand.approvals.signed_records?;
    let run = &record.run;
    let why = (|| -> Result<(), String> {
        let signers = demand.signers.as_ref().map_err(Clone::clone)?;
        let path = beside(&record.path, &run.by)
            .ok_or_else(|| format!("no role that could sign is called `{}`", run.by))?;
        let signature = tree.read(&path, SMALL).map_err(|error| error.to_string())?;
        let principal = principal(&run.by).unwrap_or_default();
        signature::verify(&VerifyRequest {
            purpose: Purpose::Record,
            signers,
            principal: &principal,
            at: run.recorded.value,
            statement: text.as_bytes(),
            signature: &signature,
        })
    })()
    .err()?;
    Some(
        begin("record-unsigned", record)
            .message(format!(
                "record `{}` has no valid signature of `{}`, who recorded it: {why}",
                run.id.value, run.by
            ))
            .primary(run.id.span(), "this record")
            .related(run.policy.span(), "the policy that requires it")
            .remedy(format!(
                "have it signed: ssh-keygen -Y sign -n {} -f KEY {}",
                Purpose::Record.name(),
                printable_line(&record.path)
            )),
    )
}

fn commits_unsigned(
    record: &Record,
    demand: &Demand,
    (git, brought): (&dyn Git, Option<&[&str]>),
) -> Result<Vec<FindingBuilder>, GitError> {
    if demand.approvals.signed_commits.is_none() {
        return Ok(Vec::new());
    }
    let run = &record.run;
    let mut found = Vec::new();
    if brought.is_some_and(<[&str]>::is_empty) {
        found.push(
            begin("commit-unsigned", record)
                .message(format!("no known commit added record `{}`", run.id.value))
                .primary(Span::new(record.source, 0, 0), "this record")
                .remedy("in a shallow clone, `git fetch --unshallow` brings what is missing"),
        );
    }
    let brought = brought.unwrap_or_default().iter();
    let brought = brought.map(|commit| (*commit, "came with", run.recorded.value));
    let from = (
        run.commit.value.as_str(),
        "was run from",
        run.launched.value,
    );
    for (commit, what, at) in std::iter::once(from).chain(brought) {
        let why = match &demand.signers {
            Err(why) => why.clone(),
            Ok(signers) => match commit_signed(git, commit, (signers, at))? {
                Ok(()) => continue,
                Err(why) => why,
            },
        };
        let short: String = commit.chars().take(10).collect();
        found.push(
            begin("commit-unsigned", record)
                .message(format!(
                    "commit {short}, which record `{}` {what}, has no valid signature: {why}",
                    run.id.value
                ))
                .primary(
                    match what {
                        "was run from" => run.commit.span(),
                        _ => Span::new(record.source, 0, 0),
                    },
                    "this commit",
                )
                .related(run.policy.span(), "the policy that requires it")
                .remedy(
                    "commit with `git commit -S` and a key of the signers; earlier commits \
                         stay as they are",
                ),
        );
    }
    Ok(found)
}

/// Whether a commit is signed by somebody whom the signers name, at a time.
fn commit_signed(
    git: &dyn Git,
    commit: &str,
    (signers, at): (&str, Timestamp),
) -> Result<Result<(), String>, GitError> {
    let raw = match git.output(&["cat-file", "commit", commit]) {
        Ok(raw) => raw,
        // That it is missing is a finding of its own.
        Err(GitError::Failed { .. }) => return Ok(Err("it is not here".to_owned())),
        Err(error) => return Err(error),
    };
    let (statement, signature) = parted(&raw);
    Ok((|| {
        let signature = signature.ok_or("it carries none")?;
        let text = String::from_utf8(signature).unwrap_or_default();
        if !text.starts_with("-----BEGIN SSH SIGNATURE-----") {
            return Err("it carries one not made with an SSH key".to_owned());
        }
        signed_by_one((signers, at), &statement, &text).map(|_| ())
    })())
}

/// Which of the signers signed something that git has signed, at a time.
pub(super) fn signed_by_one(
    (signers, at): (&str, Timestamp),
    statement: &[u8],
    signature: &str,
) -> Result<String, String> {
    let roles = signature::principals(signers, signature, at)?;
    let mut why = "its key belongs to no signer".to_owned();
    for principal in roles {
        let asked = VerifyRequest {
            purpose: Purpose::Commit,
            signers,
            principal: &principal,
            at,
            statement,
            signature,
        };
        match signature::verify(&asked) {
            Ok(()) => return Ok(principal),
            Err(other) => why = other,
        }
    }
    Err(why)
}

/// A commit without its signature, which is what was signed, and the signature (git's documentation:
/// signature format, commit signatures).
fn parted(raw: &[u8]) -> (Vec<u8>, Option<Vec<u8>>) {
    let mut statement = Vec::with_capacity(raw.len());
    let mut signature: Option<Vec<u8>> = None;
    let (mut in_head, mut within) = (true, false);
    for line in raw.split_inclusive(|byte| *byte == b'\n') {
        if in_head {
            in_head = line != b"\n";
            let begins = line
                .strip_prefix(b"gpgsig ")
                .or_else(|| line.strip_prefix(b"gpgsig-sha256 "));
            if let Some(first) = begins {
                within = true;
                signature.get_or_insert_default().extend_from_slice(first);
                continue;
            }
            within = within && line.starts_with(b" ");
            if within {
                signature
                    .get_or_insert_default()
                    .extend_from_slice(&line[1..]);
                continue;
            }
        }
        statement.extend_from_slice(line);
    }
    (statement, signature)
}

#[cfg(test)]
mod tests {
    use super::parted;

    #[test]
    fn a_commit_is_parted_from_its_signature_and_nothing_else() {
        let raw = b"tree t\nauthor a\ngpgsig one\n two\n \n three\nencoding x\n\ngpgsig not this\n more\n";
        let (statement, signature) = parted(raw);
        assert_eq!(
            statement,
            b"tree t\nauthor a\nencoding x\n\ngpgsig not this\n more\n"
        );
        assert_eq!(signature.as_deref(), Some(&b"one\ntwo\n\nthree\n"[..]));
        let plain = b"tree t\n\ntext\n";
        assert_eq!(parted(plain), (plain.to_vec(), None));
    }
}
