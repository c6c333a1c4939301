//! Records held against git: none was altered or taken away since it was committed, and what each
//! names stood in its commit.

use std::collections::{BTreeMap, BTreeSet};

use super::inserted;
use super::log::Log;
use super::objects::{digest, once, text};
use super::policies::Judging;
use super::records::{NoHistory, Record, Records, begin};
use crate::check::{recorded, sha256};
use crate::finding::{Finding, FindingBuilder, Nature, Nowhere, Severity};
use crate::git::{Git, GitError};
use crate::plan::is_yaml;
use crate::source::{SourceId, Sources, Span, Tree, is_object, printable_line};

/// What is broken, and what is to be known.
pub(super) fn findings(
    records: &mut Records,
    policies: &[Judging],
    (log, committed): (&Log, &BTreeMap<String, String>),
    git: &dyn Git,
) -> Result<(Vec<Finding>, Vec<String>), GitError> {
    let mut found: Vec<FindingBuilder> = Vec::new();
    let notes = as_committed(records, git, committed, &mut found)?;
    none_hidden(records, git, committed, &mut found)?;
    changed_since(records, log, (git, committed), &mut found)?;
    inserted::findings(records, (log, committed), git, &mut found)?;
    inputs(records, log, git, &mut found)?;
    waivers(records, policies, &mut found);
    let built = found.into_iter();
    let built = built.map(|builder| builder.build(&records.sources));
    Ok((built.collect(), notes))
}

/// Objects of the commit that is checked out, by path.
pub(super) fn committed(git: &dyn Git) -> Result<BTreeMap<String, String>, GitError> {
    let listed = git.output(&["ls-tree", "-r", "-z", "--full-tree", "HEAD"])?;
    let entries = listed
        .split(|byte| *byte == 0)
        .filter_map(|entry| std::str::from_utf8(entry).ok());
    let entries = entries.filter_map(|entry| {
        let (about, path) = entry.split_once('\t')?;
        Some((path.to_owned(), about.split(' ').nth(2)?.to_owned()))
    });
    Ok(entries.collect())
}

/// Objects of those committed files that are read as records or decisions: under another name than one of
/// YAML nothing is.
pub(super) fn readable(committed: &BTreeMap<String, String>) -> impl Iterator<Item = &str> {
    let files = committed.iter().filter(|(path, _)| is_yaml(path));
    files.map(|(_, object)| object.as_str())
}

/// Every record and every decision in the tree is the one that is committed.
fn as_committed(
    records: &mut Records,
    git: &dyn Git,
    committed: &BTreeMap<String, String>,
    found: &mut Vec<FindingBuilder>,
) -> Result<Vec<String>, GitError> {
    let new = |path: &str| !committed.contains_key(path);
    let new_records = records.records.iter().filter(|one| new(&one.path));
    let path = |launch: &super::records::Launch| records.sources.path(launch.source);
    let new_decisions = records.launches.iter().filter(|one| new(path(one)));
    let new = [
        ("record", new_records.count()),
        ("decision", new_decisions.count()),
    ];
    let of_runs = records.records.iter().map(|record| {
        let id = &record.run.id.value;
        (record.source, id.as_str(), format!("record `{id}`"))
    });
    let of_launches = records.launches.iter().map(|launch| {
        let path = records.sources.path(launch.source);
        let id = &launch.decided.id.value;
        (launch.source, path, format!("decision `{id}`"))
    });
    let altered: Vec<(SourceId, String, String)> = of_runs
        .chain(of_launches)
        .filter(|(source, ..)| is_altered(records, *source, committed))
        .map(|(source, subject, what)| (source, subject.to_owned(), what))
        .collect();
    for (source, subject, what) in altered {
        let path = records.sources.path(source).to_owned();
        let then = match committed.get(&path) {
            Some(object) => text(git, object)?,
            None => None,
        };
        let builder = unbound("record-altered", &subject)
            .message(format!("{what} is not as committed"))
            .remedy(format!("bring it back: git checkout HEAD -- {path}"));
        let then = then.map(|then| records.sources.add(format!("HEAD:{path}"), then));
        let (here, there) = parting(&records.sources, source, then);
        let mut builder = builder.primary(here, "as it is");
        if let Some(there) = there {
            builder = builder.related(there, "as it is committed");
        }
        found.push(builder);
    }
    let told = new.into_iter().filter_map(|(what, count)| match count {
        0 => None,
        1 => Some(format!("1 {what} is not committed yet")),
        many => Some(format!("{many} {what}s are not committed yet")),
    });
    Ok(told.collect())
}

/// The first line in which two texts differ, in each of them.
fn parting(sources: &Sources, here: SourceId, there: Option<SourceId>) -> (Span, Option<Span>) {
    let text = |source: SourceId| sources.get(source).map_or("", |file| file.text());
    let Some(other) = there else {
        return (Span::new(here, 0, 0), None);
    };
    let same = text(here)
        .split_inclusive('\n')
        .zip(text(other).split_inclusive('\n'));
    let same = same.take_while(|(a, b)| a == b).map(|(a, _)| a.len()).sum();
    let line = |source: SourceId| {
        let rest = text(source).get(same..).unwrap_or("");
        let line = rest.lines().next().unwrap_or("");
        let place = |at: usize| u32::try_from(at).unwrap_or(0);
        Span::new(source, place(same), place(same + line.len()))
    };
    (line(here), Some(line(other)))
}

/// Whether a file has other bytes than are committed under its path.
fn is_altered(records: &Records, source: SourceId, committed: &BTreeMap<String, String>) -> bool {
    let object = committed.get(records.sources.path(source));
    let text = records.sources.get(source).map_or("", |file| file.text());
    object.is_some_and(|object| !is_object(text, object))
}

/// Records and decisions that are committed and are not here with those bytes, in sentences.
pub(super) fn missing(tree: &dyn Tree, git: &dyn Git) -> Result<Vec<String>, NoHistory> {
    let mut records = Records::read(tree)?;
    let committed = committed(git)?;
    let mut found = Vec::new();
    as_committed(&mut records, git, &committed, &mut found)?;
    none_hidden(&mut records, git, &committed, &mut found)?;
    let found = found.into_iter();
    let built = found.map(|one| one.build(&records.sources));
    Ok(built.map(|one| one.message).collect())
}

/// Every record that is committed is one still: a file whose kind was changed, or that is gone, is none,
/// and would drop out of the chain's end unseen.
fn none_hidden(
    records: &mut Records,
    git: &dyn Git,
    committed: &BTreeMap<String, String>,
    found: &mut Vec<FindingBuilder>,
) -> Result<(), GitError> {
    let paths: BTreeSet<String> = records.paths().into_iter().map(str::to_owned).collect();
    for (path, object) in committed {
        if !is_yaml(path) || paths.contains(path) {
            continue;
        }
        // What is as it is committed was looked at with the rest, and is none.
        let here = records.sources.find(path);
        let here = here.and_then(|source| records.sources.get(source));
        if here.is_some_and(|file| is_object(file.text(), object)) {
            continue;
        }
        let Some(text) = text(git, object)? else {
            continue;
        };
        if recorded(&text).is_none() {
            continue;
        }
        let then = records.sources.add(format!("HEAD:{path}"), text.as_str());
        let builder = unbound("record-altered", path)
            .message(format!(
                "{} is committed as a record, but is none here",
                printable_line(path)
            ))
            .remedy(format!("bring it back: git checkout HEAD -- {path}"));
        let (then, now) = parting(&records.sources, then, records.sources.find(path));
        let mut builder = builder.primary(then, "as it is committed");
        if let Some(now) = now {
            builder = builder.related(now, "as it is");
        }
        found.push(builder);
    }
    Ok(())
}

/// A finding about a file that is no record here.
fn unbound(code: &str, path: &str) -> FindingBuilder<Nowhere> {
    Finding::builder(code, Severity::Error, Nature::Violation)
        .subject(path)
        .why("Nobody changes a record afterwards: whoever reads it relies on that.")
}

/// No record was altered or taken away in any commit that leads here. One that a commit took away and that
/// still lies there is no part of what others have.
fn changed_since(
    records: &mut Records,
    log: &Log,
    (git, committed): (&dyn Git, &BTreeMap<String, String>),
    found: &mut Vec<FindingBuilder>,
) -> Result<(), GitError> {
    let here: BTreeSet<&str> = readable(committed).collect();
    let mut seen = BTreeSet::new();
    for change in &log.changes {
        let (before, path) = (change.before.as_str(), change.path.as_str());
        let nothing = before.bytes().all(|byte| byte == b'0');
        if nothing || here.contains(before) || !seen.insert(before) {
            continue;
        }
        let Some(text) = text(git, before)? else {
            continue;
        };
        let Some(what) = recorded(&text) else {
            continue;
        };
        let taken = change.taken;
        let short: String = change.commit.chars().take(10).collect();
        let shown = format!("{short}^:{path}");
        let source: SourceId = records.sources.add(shown, text.as_str());
        let did = if taken { "takes away" } else { "alters" };
        let code = if taken {
            "record-removed"
        } else {
            "record-altered"
        };
        let builder = unbound(code, path)
            .message(format!(
                "commit {short} {did} a {what}: {}",
                printable_line(path)
            ))
            .remedy(format!("bring it back: git checkout {short}^ -- {path}"));
        let (then, now) = parting(&records.sources, source, records.sources.find(path));
        let mut builder = builder.primary(then, "as it was");
        if let Some(now) = now {
            builder = builder.related(now, "as it is");
        }
        found.push(builder);
    }
    Ok(())
}

/// What each record names stood in its commit, byte for byte, and the commit leads here.
fn inputs(
    records: &Records,
    log: &Log,
    git: &dyn Git,
    found: &mut Vec<FindingBuilder>,
) -> Result<(), GitError> {
    let name = |record: &Record, path: &str| format!("{}:{path}", record.run.commit.value);
    let mut names = BTreeSet::new();
    let mut there: Vec<&Record> = Vec::new();
    for record in &records.records {
        let commit = &record.run.commit;
        if log.leads(&commit.value) {
            let all = record.run.inputs.iter();
            names.extend(all.map(|input| name(record, &input.path.value)));
            there.push(record);
            continue;
        }
        found.push(
            begin("commit-missing", record)
                .message(format!(
                    "the commit that record `{}` was run from does not lead to this one",
                    record.run.id.value
                ))
                .primary(commit.span(), "no commit of this history")
                .remedy("in a shallow clone, `git fetch --unshallow` brings what is missing"),
        );
    }
    // Many records name the same file of the same commit.
    let names: Vec<String> = names.into_iter().collect();
    let objects: BTreeMap<&str, Option<String>> = names
        .iter()
        .map(String::as_str)
        .zip(git.named(&names)?)
        .collect();
    let mut known: BTreeMap<String, Option<String>> = BTreeMap::new();
    for record in there {
        for input in &record.run.inputs {
            let object = objects
                .get(name(record, &input.path.value).as_str())
                .cloned()
                .flatten();
            let digest = match &object {
                None => None,
                Some(object) => once(&mut known, object.clone(), || digest(git, object))?,
            };
            if digest.as_deref() == Some(&input.sha256.value) {
                continue;
            }
            let what = if object.is_some() {
                "holds other bytes"
            } else {
                "has no such file"
            };
            found.push(
                begin("input-differs", record)
                    .message(format!(
                        "record `{}`: its commit {what} of the {} `{}`",
                        record.run.id.value, input.role, input.name
                    ))
                    .primary(input.sha256.span(), "as it was run")
                    .related(record.run.commit.span(), "the commit")
                    .remedy("find out which plan was loaded into the boat"),
            );
        }
        // The digest of the whole is that of its parts.
        let whole = sha256(&crate::check::statement(
            &record.run.policy.value,
            record.run.inputs.iter().map(|input| {
                let (role, name) = (input.role.as_str(), input.name.as_str());
                (input.sha256.value.as_str(), role, name)
            }),
        ));
        if whole != record.run.digest.value {
            found.push(
                begin("input-differs", record)
                    .message(format!(
                        "record `{}`: its digest is not that of its files",
                        record.run.id.value
                    ))
                    .primary(record.run.digest.span(), "the digest")
                    .remedy("find out which of them was changed"),
            );
        }
    }
    Ok(())
}

/// Who waived something might do so, by the policy of that commit.
fn waivers(records: &Records, policies: &[Judging], found: &mut Vec<FindingBuilder>) {
    for (record, judging) in records.records.iter().zip(policies) {
        let run = &record.run;
        for (rule, by) in &run.waived {
            let may = judging
                .policy()
                .and_then(|policy| policy.waivable(&rule.value))
                .is_some_and(|waivable| waivable.may(&by.value));
            if !may {
                found.push(
                    begin("waiver-not-permitted", record)
                        .message(format!(
                            "record `{}`: `{}` waived rule `{}`, which policy `{}` did not let them",
                            run.id.value, by.value, rule.value, run.policy.value
                        ))
                        .primary(by.span(), "waived by")
                        .related(run.policy.span(), "the policy")
                        .remedy("find out who accepted it"),
                );
            }
        }
    }
}
