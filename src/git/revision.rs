//! The files of a revision, read straight from git's objects: nothing is checked out.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Blob, Git, GitError};
use crate::source::{
    Entry, Limit, Limits, Listing, ReadError, Tree, check_path, checked_text, printable_bytes,
};

/// A file of a revision.
#[derive(Clone, Debug, PartialEq, Eq)]
struct File {
    object: String,
    size: u64,
}

/// A revision of a repository as a tree of files.
pub struct Revision<'a> {
    git: &'a dyn Git,
    /// The commit, in full.
    commit: String,
    /// Only what lies in this folder is listed.
    within: String,
    files: BTreeMap<String, File>,
    refused: Vec<(String, ReadError)>,
}

impl<'a> Revision<'a> {
    /// Lists a revision by its commit, of which only what lies in a folder is listed later; empty
    /// for the whole.
    ///
    /// # Errors
    /// [`GitError`] where git cannot list it, or the listing is not understood.
    pub fn open(git: &'a dyn Git, commit: &str, within: &str) -> Result<Self, GitError> {
        let answer = git.output(&["ls-tree", "-r", "-z", "-l", "--full-tree", commit])?;
        let mut revision = Self {
            git,
            commit: commit.to_owned(),
            within: within.to_owned(),
            files: BTreeMap::new(),
            refused: Vec::new(),
        };
        for line in answer
            .split(|byte| *byte == 0)
            .filter(|line| !line.is_empty())
        {
            revision.take(line)?;
            if revision.has_too_many() {
                break;
            }
        }
        Ok(revision)
    }

    /// The commit, in full.
    #[must_use]
    pub fn commit(&self) -> &str {
        &self.commit
    }

    /// Whether there is more than is listed; no more of it is kept then.
    fn has_too_many(&self) -> bool {
        self.files.len() + self.refused.len() > Limits::DEFAULT.files
    }

    /// One entry: mode, type, object and size, a tab, the path.
    fn take(&mut self, line: &[u8]) -> Result<(), GitError> {
        let unclear = || GitError::Answer {
            what: "ls-tree".to_owned(),
            why: printable_bytes(line),
        };
        let tab = line
            .iter()
            .position(|byte| *byte == b'\t')
            .ok_or_else(unclear)?;
        let head = std::str::from_utf8(&line[..tab]).map_err(|_| unclear())?;
        let words: Vec<&str> = head.split_whitespace().collect();
        let [mode, kind, object, size] = words[..] else {
            return Err(unclear());
        };
        let Ok(path) = std::str::from_utf8(&line[tab + 1..]) else {
            let path = printable_bytes(&line[tab + 1..]);
            let reason = "the name is not UTF-8";
            self.refused
                .push((path.clone(), ReadError::BadPath { path, reason }));
            return Ok(());
        };
        let path = path.to_owned();
        if !self.lies_within(&path) && kind != "blob" {
            return Ok(());
        }
        let refusal = match (kind, mode) {
            ("commit", _) => Some(ReadError::NestedRepository { path: path.clone() }),
            (_, "120000") => Some(ReadError::IsLink { path: path.clone() }),
            ("blob", _) => check_path(&path, &Limits::DEFAULT).err(),
            _ => return Err(unclear()),
        };
        match refusal {
            Some(refusal) if self.lies_within(&path) => self.refused.push((path, refusal)),
            Some(_) => {}
            None => {
                // The size of a file that this clone does not have cannot be determined.
                let size = match size {
                    "BAD" => return Err(GitError::Partial),
                    size => size.parse().map_err(|_| unclear())?,
                };
                let object = object.to_owned();
                self.files.insert(path, File { object, size });
            }
        }
        Ok(())
    }

    /// A file that may be read.
    fn file(&self, path: &str, limit: Limit) -> Result<&File, ReadError> {
        check_path(path, &Limits::DEFAULT)?;
        let Some(file) = self.files.get(path) else {
            let refused = self.refused.iter().find(|(refused, _)| refused == path);
            return Err(refused.map_or_else(
                || ReadError::NotFound {
                    path: path.to_owned(),
                },
                |(_, why)| why.clone(),
            ));
        };
        if file.size > limit.bytes() {
            return Err(too_large(path, file, limit));
        }
        Ok(file)
    }

    fn lies_within(&self, path: &str) -> bool {
        let rest = path.strip_prefix(self.within.as_str());
        self.within.is_empty() || rest.is_some_and(|rest| rest.starts_with('/'))
    }
}

impl Tree for Revision<'_> {
    fn list(&self) -> Result<Listing, ReadError> {
        let limit = Limits::DEFAULT.files;
        if self.has_too_many() {
            return Err(ReadError::TooMany { limit });
        }
        let files = self.files.iter().filter(|(path, _)| self.lies_within(path));
        let mut refused = self.refused.clone();
        refused.sort_by(|(one, _), (other, _)| one.cmp(other));
        Ok(Listing {
            files: files
                .map(|(path, file)| Entry {
                    path: path.clone(),
                    size: file.size,
                })
                .collect(),
            refused,
        })
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        let file = self.file(path, limit)?;
        as_text(
            path,
            file,
            limit,
            self.git.blob(&file.object, limit.bytes()),
        )
    }

    fn read_all(&self, paths: &[&str], limit: Limit) -> Vec<Result<Arc<str>, ReadError>> {
        let files: Vec<_> = paths.iter().map(|path| self.file(path, limit)).collect();
        let found = files.iter().filter_map(|file| file.as_ref().ok());
        let objects: Vec<&str> = found.map(|file| file.object.as_str()).collect();
        let mut blobs = self.git.blobs(&objects, limit.bytes()).into_iter();
        let answers = paths.iter().zip(files).map(|(path, file)| {
            let file = file?;
            let blob = blobs.next().unwrap_or(Ok(None));
            as_text(path, file, limit, blob)
        });
        answers.collect()
    }

    fn object(&self, path: &str) -> Option<&str> {
        self.files.get(path).map(|file| file.object.as_str())
    }

    fn place(&self) -> String {
        format!("commit {}", self.commit.get(..10).unwrap_or(&self.commit))
    }
}

fn too_large(path: &str, file: &File, limit: Limit) -> ReadError {
    ReadError::TooLarge {
        path: path.to_owned(),
        size: file.size,
        limit: limit.bytes(),
    }
}

fn as_text(path: &str, file: &File, limit: Limit, blob: Blob) -> Result<Arc<str>, ReadError> {
    let bytes = blob.map_err(|error| ReadError::Io {
        path: path.to_owned(),
        reason: error.to_string(),
    })?;
    let bytes = bytes.ok_or_else(|| too_large(path, file, limit))?;
    checked_text(path, &bytes).map(Arc::from)
}
