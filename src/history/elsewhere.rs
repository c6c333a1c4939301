//! Decisions and records that the repository knows and the tree does not hold: those of other branches,
//! those that a commit took away, altered or made something else, those of commits that were thrown away
//! since, and those that its index or another work tree has.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use rayon::prelude::*;

use super::in_git::{committed, readable};
use super::log::Log;
use super::records::NoHistory;
use crate::check::{recorded, sha256};
use crate::git::{Git, GitError, Repository, is_shallow};
use crate::launch::Elsewhere;
use crate::plan::is_yaml;
use crate::source::{Limit, Listing, Tree, WorkTree};

/// Looks through every commit that git still knows by a name. What is in the commit that is checked out
/// and not in the tree is found by [`missing`](super::in_git::missing).
///
/// # Errors
/// [`NoHistory`] where git does not answer, or the tree cannot be listed.
pub(crate) fn elsewhere(tree: &dyn Tree, git: &dyn Git) -> Result<Elsewhere, NoHistory> {
    let log = Log::everything(git)?;
    // Under another name nothing is read as a record: it is here no more.
    let here: BTreeSet<String> = readable(&committed(git)?).map(str::to_owned).collect();
    // Where each object stood; the latest commit that had it comes first in the log.
    let mut stood: BTreeMap<&str, (String, &str)> = BTreeMap::new();
    for change in &log.changes {
        let short = change.commit.get(..10).unwrap_or(&change.commit);
        let sides = [
            (&change.after, short.to_owned()),
            (&change.before, format!("{short}^")),
        ];
        for (object, commit) in sides {
            let nothing = object.bytes().all(|byte| byte == b'0');
            if !nothing && !here.contains(object) {
                let place = (commit, change.path.as_str());
                stood.entry(object).or_insert(place);
            }
        }
    }
    let staged = staged(git)?;
    for (path, object) in &staged {
        if !here.contains(object) {
            let place = ("the index".to_owned(), path.as_str());
            stood.entry(object).or_insert(place);
        }
    }
    let objects: Vec<&str> = stood.keys().copied().collect();
    let texts = git.blobs(&objects, Limit::YAML.bytes());
    let mut files = Vec::new();
    for ((commit, path), text) in stood.values().zip(texts) {
        // What is larger than a file of a team, or no text, is no record.
        let Some(text) = text?.and_then(|bytes| String::from_utf8(bytes).ok()) else {
            continue;
        };
        if recorded(&text).is_some() {
            files.push((format!("{commit}:{path}"), text));
        }
    }
    // Those of the repository first: one that lies beside it as well is told once.
    let there: BTreeSet<String> = files.iter().map(|(_, text)| sha256(text)).collect();
    let beside = beside(git)?.into_iter();
    files.extend(beside.filter(|(_, text)| !there.contains(&sha256(text))));
    // Most often there is none, and the records of the tree, thousands of them, need not be read.
    if !files.is_empty() {
        let known = digests(tree)?;
        files.retain(|(_, text)| !known.contains(&sha256(text)));
    }
    Ok(Elsewhere {
        shallow: is_shallow(git),
        files,
        ..Elsewhere::default()
    })
}

/// SHA-256 of every decision and record of a tree, in order or not: the same bytes are the same.
fn digests(tree: &dyn Tree) -> Result<BTreeSet<String>, NoHistory> {
    let listing = tree.list()?;
    let texts = yaml_texts(tree, &listing).into_par_iter();
    let records = texts.filter(|(_, text)| recorded(text).is_some());
    Ok(records.map(|(_, text)| sha256(&text)).collect())
}

/// The YAML files of a listing that can be read, with their texts.
fn yaml_texts<'l>(tree: &dyn Tree, listing: &'l Listing) -> Vec<(&'l str, Arc<str>)> {
    let paths = listing.files.iter().map(|entry| entry.path.as_str());
    let paths: Vec<&str> = paths.filter(|path| is_yaml(path)).collect();
    let texts = tree.read_all(&paths, Limit::YAML);
    let read = paths.into_iter().zip(texts);
    read.filter_map(|(path, text)| Some((path, text.ok()?)))
        .collect()
}

/// YAML files of the index and their objects: what was added and is committed nowhere yet.
fn staged(git: &dyn Git) -> Result<Vec<(String, String)>, GitError> {
    let listed = git.output(&["ls-files", "--stage", "-z", "--full-name", "--", ":/"])?;
    let entries = listed
        .split(|byte| *byte == 0)
        .filter_map(|entry| std::str::from_utf8(entry).ok());
    let entries = entries.filter_map(|entry| {
        let (about, path) = entry.split_once('\t')?;
        Some((path.to_owned(), about.split(' ').nth(1)?.to_owned()))
    });
    Ok(entries.filter(|(path, _)| is_yaml(path)).collect())
}

/// Decisions and records that lie in the other work trees of the repository or in their indexes, as far as
/// these can be read: of those that are on another disk or gone, nobody can tell.
fn beside(git: &dyn Git) -> Result<Vec<(String, String)>, GitError> {
    let own = git.output(&["rev-parse", "--show-toplevel"])?;
    let own = String::from_utf8_lossy(&own);
    let own = Path::new(own.trim_end_matches('\n')).canonicalize().ok();
    let listed = git.output(&["worktree", "list", "--porcelain", "-z"])?;
    let folders = listed.split(|byte| *byte == 0);
    let folders =
        folders.filter_map(|line| std::str::from_utf8(line).ok()?.strip_prefix("worktree "));
    let mut found = Vec::new();
    for folder in folders {
        let Ok(root) = Path::new(folder).canonicalize() else {
            continue;
        };
        if Some(&root) == own.as_ref() {
            continue;
        }
        let opened = WorkTree::open(&root).ok().zip(Repository::open(&root).ok());
        let Some((tree, other)) = opened else {
            continue;
        };
        let listing = tree.list().unwrap_or_default();
        let texts = yaml_texts(&tree, &listing).into_iter();
        let mut texts: Vec<(String, String)> = texts
            .map(|(path, text)| (format!("{folder}:{path}"), text.to_string()))
            .collect();
        let staged = staged(&other)?;
        let objects: Vec<&str> = staged.iter().map(|(_, object)| object.as_str()).collect();
        let blobs = git.blobs(&objects, Limit::YAML.bytes());
        for ((path, _), blob) in staged.iter().zip(blobs) {
            let text = blob?.and_then(|bytes| String::from_utf8(bytes).ok());
            texts.extend(text.map(|text| (format!("the index of {folder}:{path}"), text)));
        }
        texts.retain(|(_, text)| recorded(text).is_some());
        found.extend(texts);
    }
    Ok(found)
}
