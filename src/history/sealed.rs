//! Seals that were made, held against the records.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use super::objects::{once, text};
use super::policies::Judging;
use super::records::{Record, Records};
use super::signed::signed_by_one;
use crate::finding::{Finding, FindingBuilder, Nature, Nowhere, Severity};
use crate::git::signature;
use crate::git::{Git, GitError};
use crate::source::{SourceId, Span, printable_line, resolve};

/// First line of what a seal says.
pub(super) const TITLE: &str = "offing seal 1";
/// How its lines begin.
pub(super) const COUNT: &str = "records: ";
pub(super) const END: &str = "end: ";
pub(super) const DECISION: &str = "decision: ";
/// How a signature in a tag begins.
const SIGNATURE: &str = "-----BEGIN SSH SIGNATURE-----";

/// A seal that was made, parted.
struct Made {
    /// Full name of its tag.
    name: String,
    /// What was signed: all but the signature.
    statement: String,
    signature: Option<String>,
    /// When it was made, by whoever made it.
    at: Option<Timestamp>,
}

/// Every tag that says that it is a seal, whatever it is called.
fn made(git: &dyn Git) -> Result<Vec<Made>, GitError> {
    let listed = git.output(&[
        "for-each-ref",
        "--format=%(objecttype) %(objectname) %(refname) %(contents:subject)",
        "refs/tags/",
    ])?;
    let listed = String::from_utf8_lossy(&listed).into_owned();
    let mut all = Vec::new();
    for line in listed.lines() {
        let mut words = line.splitn(4, ' ');
        let (Some("tag"), Some(object), Some(name), Some(TITLE)) =
            (words.next(), words.next(), words.next(), words.next())
        else {
            continue;
        };
        let raw = git.output(&["cat-file", "tag", object])?;
        let raw = String::from_utf8_lossy(&raw).into_owned();
        let mut head = raw.lines().take_while(|line| !line.is_empty());
        let tagger = head.find(|line| line.starts_with("tagger "));
        let seconds = tagger.and_then(|line| line.rsplit(' ').nth(1)?.parse().ok());
        let (statement, signature) = match raw.find(SIGNATURE) {
            Some(at) => (raw[..at].to_owned(), Some(raw[at..].to_owned())),
            None => (raw.clone(), None),
        };
        all.push(Made {
            name: name.to_owned(),
            statement,
            signature,
            at: seconds.and_then(|seconds| Timestamp::from_second(seconds).ok()),
        });
    }
    Ok(all)
}

/// Seals that do not hold any more, and how many do.
pub(super) fn findings(
    records: &mut Records,
    policies: &[Judging],
    git: &dyn Git,
    found: &mut Vec<FindingBuilder>,
) -> Result<Vec<String>, GitError> {
    let mut notes = Vec::new();
    let mut texts = BTreeMap::new();
    for seal in made(git)? {
        let source = records
            .sources
            .add(seal.name.clone(), seal.statement.as_str());
        let before = found.len();
        let sealed = held(records, &seal, source, found);
        let of = sealed.and_then(|at| Some((records.records.get(at)?, policies.get(at)?)));
        let signers = match of {
            None => None,
            Some((record, judging)) => signers(record, judging, git, &mut texts)?,
        };
        let name = printable_line(&seal.name).into_owned();
        match signature_of(&seal, signers.as_deref()) {
            Ok(by) if found.len() == before => notes.push(match by {
                Some(by) => format!("seal {name} of {} holds", printable_line(&by)),
                None => format!(
                    "seal {name} holds, but no policy says whose signature counts: anybody may \
                     have made it"
                ),
            }),
            Ok(_) => {}
            Err(why) => found.push(
                begin("seal-unsigned", &seal.name)
                    .message(format!("seal {name} has no valid signature: {why}"))
                    .primary(Span::new(source, 0, 0), "this seal")
                    .remedy("ask whoever made it for theirs; remove a tag that nobody stands for"),
            ),
        }
    }
    Ok(notes)
}

fn begin(code: &str, name: &str) -> FindingBuilder<Nowhere> {
    Finding::builder(code, Severity::Error, Nature::Violation)
        .subject(name)
        .why(
            "No later record names the end of a chain. A seal in somebody else's hands is what \
             verifies it.",
        )
}

/// Holds what a seal says against the records; the place of the last record that it names and that is
/// here.
fn held(
    records: &Records,
    seal: &Made,
    source: SourceId,
    found: &mut Vec<FindingBuilder>,
) -> Option<usize> {
    let by_digest: BTreeMap<&str, usize> = records
        .records
        .iter()
        .enumerate()
        .map(|(at, record)| (record.sha256.as_str(), at))
        .collect();
    let decisions: BTreeSet<&str> = records
        .launches
        .iter()
        .map(|launch| launch.sha256.as_str())
        .collect();
    let name = printable_line(&seal.name).into_owned();
    let mut broken = |at: Span, message: String, remedy: &str| {
        let builder = begin("seal-broken", &seal.name).message(format!("seal {name}: {message}"));
        found.push(builder.primary(at, "sealed so").remedy(remedy));
    };
    let back = "bring it back as it was sealed: git has it, or whoever else has the seal";
    let mut sealed = Vec::new();
    let mut count = None;
    let mut offset = 0;
    for line in seal.statement.split_inclusive('\n') {
        let place = |at: usize| u32::try_from(at).unwrap_or(0);
        let span = Span::new(source, place(offset), place(offset + line.trim_end().len()));
        offset += line.len();
        let line = line.trim_end();
        if let Some(number) = line.strip_prefix(COUNT) {
            count = number.parse::<usize>().ok().map(|number| (number, span));
        } else if let Some(rest) = line.strip_prefix(END) {
            let (digest, id) = rest.split_once(' ').unwrap_or((rest, ""));
            match by_digest.get(digest) {
                Some(at) => sealed.push(*at),
                None => {
                    let id = printable_line(id);
                    let message = format!("record `{id}` is missing or differs from the seal");
                    broken(span, message, back);
                }
            }
        } else if let Some(rest) = line.strip_prefix(DECISION) {
            let (digest, id) = rest.split_once(' ').unwrap_or((rest, ""));
            if !decisions.contains(digest) {
                let id = printable_line(id);
                let message = format!("decision `{id}` is missing or differs from the seal");
                broken(span, message, back);
            }
        }
    }
    let last = sealed.iter().copied().max();
    let all_there = !sealed.is_empty();
    // Everything that leads to the ends.
    let mut reached: BTreeSet<usize> = BTreeSet::new();
    while let Some(at) = sealed.pop() {
        if reached.insert(at) {
            let previous = records.records[at].run.previous.iter();
            sealed.extend(previous.filter_map(|one| by_digest.get(one.value.as_str())));
        }
    }
    match count {
        Some((count, span)) if all_there && count != reached.len() => {
            let message = format!(
                "it seals {count} records, and {} lead to its end",
                reached.len()
            );
            broken(span, message, back);
        }
        None => {
            let message = "it does not say how many records it seals".to_owned();
            broken(
                Span::new(source, 0, 0),
                message,
                "ask whoever made it for theirs",
            );
        }
        Some(_) => {}
    }
    last
}

/// Text of the signers of the policy that a record was judged by, where it names some.
fn signers(
    record: &Record,
    judging: &Judging,
    git: &dyn Git,
    texts: &mut BTreeMap<String, Option<String>>,
) -> Result<Option<String>, GitError> {
    let approvals = judging
        .policy()
        .and_then(|policy| policy.approvals.as_ref());
    let path = approvals.and_then(|approvals| {
        let from = judging.path(approvals.signers.span().source);
        resolve(from, &approvals.signers.value).ok()
    });
    let Some(path) = path else {
        return Ok(None);
    };
    let name = format!("{}:{path}", record.run.commit.value);
    let object = git.named(&[name])?.into_iter().next().flatten();
    match object {
        // A file that is named and is not there lets nobody sign.
        None => Ok(Some(String::new())),
        Some(object) => once(texts, object.clone(), || text(git, &object))
            .map(|text| Some(text.unwrap_or_default())),
    }
}

/// Who signed a seal, where that is known of anybody.
fn signature_of(seal: &Made, signers: Option<&str>) -> Result<Option<String>, String> {
    let signature = seal.signature.as_ref().ok_or("it carries none")?;
    let statement = seal.statement.as_bytes();
    match signers {
        None => signature::intact(signature::Purpose::Commit, statement, signature).map(|()| None),
        Some(signers) => {
            let at = seal.at.ok_or("it does not say when it was made")?;
            signed_by_one((signers, at), statement, signature).map(Some)
        }
    }
}
