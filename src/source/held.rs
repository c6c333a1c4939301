//! A tree of which each file is read once: what was read stays as it was, whatever becomes of the file.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::error::ReadError;
use super::limits::Limit;
use super::tree::{Entry, Listing, Tree};

/// What came of reading a file, and the limit that it was read within.
type Answer = (Limit, Result<Arc<str>, ReadError>);

/// Another tree, listed once and each file of it read once. A question that takes minutes is answered
/// from it as the tree was when the files were read.
pub(crate) struct Held<'a> {
    tree: &'a dyn Tree,
    listing: Listing,
    read: Mutex<BTreeMap<String, Answer>>,
}

impl<'a> Held<'a> {
    /// Lists a tree.
    ///
    /// # Errors
    /// [`ReadError`] where it cannot be listed.
    pub(crate) fn from_tree(tree: &'a dyn Tree) -> Result<Self, ReadError> {
        Ok(Self {
            tree,
            listing: tree.list()?,
            read: Mutex::new(BTreeMap::new()),
        })
    }

    fn answers(&self) -> MutexGuard<'_, BTreeMap<String, Answer>> {
        self.read.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The answer to a reading that was made before.
    fn known(&self, path: &str, limit: Limit) -> Option<Result<Arc<str>, ReadError>> {
        match self.answers().get(path)? {
            (_, Ok(text)) if text.len() as u64 <= limit.bytes() => Some(Ok(text.clone())),
            (within, Err(error)) if within.bytes() >= limit.bytes() => Some(Err(error.clone())),
            (_, Ok(text)) => Some(Err(ReadError::TooLarge {
                path: path.to_owned(),
                size: text.len() as u64,
                limit: limit.bytes(),
            })),
            // It may have been too large only for the smaller limit.
            (_, Err(_)) => None,
        }
    }

    /// Keeps an answer. Of two readings at once the first counts.
    fn keep(
        &self,
        path: &str,
        limit: Limit,
        answer: Result<Arc<str>, ReadError>,
    ) -> Result<Arc<str>, ReadError> {
        let mut answers = self.answers();
        if let Some((_, Ok(text))) = answers.get(path) {
            return Ok(text.clone());
        }
        answers.insert(path.to_owned(), (limit, answer.clone()));
        answer
    }

    /// Paths of files that are no longer as they were read, and of files that came or went since the
    /// listing, where `counts` says that their path is one that matters; in order.
    ///
    /// # Errors
    /// [`ReadError`] where the tree cannot be listed any more.
    pub(crate) fn changed(&self, counts: impl Fn(&str) -> bool) -> Result<Vec<String>, ReadError> {
        let now = self.tree.list()?;
        let paths = |listing: &Listing| -> BTreeSet<String> {
            let files = listing.files.iter().map(|entry| &entry.path);
            files.filter(|path| counts(path)).cloned().collect()
        };
        let (was, is) = (paths(&self.listing), paths(&now));
        let mut changed: BTreeSet<String> = was.symmetric_difference(&is).cloned().collect();
        for (path, (limit, then)) in self.answers().iter() {
            if self.tree.read(path, *limit) != *then {
                changed.insert(path.clone());
            }
        }
        Ok(changed.into_iter().collect())
    }
}

impl Tree for Held<'_> {
    fn list(&self) -> Result<Listing, ReadError> {
        let Listing { files, refused } = &self.listing;
        // A file that was read is as large as it was then.
        let answers = self.answers();
        let files = files.iter().map(|entry| match answers.get(&entry.path) {
            Some((_, Ok(text))) => Entry {
                path: entry.path.clone(),
                size: text.len() as u64,
            },
            _ => entry.clone(),
        });
        Ok(Listing {
            files: files.collect(),
            refused: refused.clone(),
        })
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        match self.known(path, limit) {
            Some(answer) => answer,
            None => self.keep(path, limit, self.tree.read(path, limit)),
        }
    }

    fn read_all(&self, paths: &[&str], limit: Limit) -> Vec<Result<Arc<str>, ReadError>> {
        let known: Vec<_> = paths.iter().map(|path| self.known(path, limit)).collect();
        let new = paths
            .iter()
            .zip(&known)
            .filter(|(_, known)| known.is_none());
        let new: Vec<&str> = new.map(|(path, _)| *path).collect();
        let mut read = self.tree.read_all(&new, limit).into_iter();
        let all = paths.iter().zip(known).map(|(path, known)| match known {
            Some(answer) => answer,
            None => match read.next() {
                Some(answer) => self.keep(path, limit, answer),
                None => self.read(path, limit),
            },
        });
        all.collect()
    }

    fn object(&self, path: &str) -> Option<&str> {
        self.tree.object(path)
    }

    fn place(&self) -> String {
        self.tree.place()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use super::*;
    use crate::source::WorkTree;

    fn all(_: &str) -> bool {
        true
    }

    #[test]
    fn what_was_read_stays_as_it_was_and_what_changed_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in ["a.yaml", "b.yaml", "c.yaml", "log.txt"] {
            std::fs::write(at(name), "one").unwrap();
        }
        let disk = WorkTree::open(folder.path()).unwrap();
        let held = Held::from_tree(&disk).unwrap();
        let read = |path: &str| held.read(path, Limit::YAML);
        assert_eq!(&*read("a.yaml").unwrap(), "one");
        assert_eq!(&*read("b.yaml").unwrap(), "one");
        assert!(read("d.yaml").is_err());
        assert_eq!(held.changed(all).unwrap(), Vec::<String>::new());
        // A file that is written over, one that goes, one that comes and one that nobody asked for.
        std::fs::write(at("a.yaml"), "other").unwrap();
        std::fs::remove_file(at("b.yaml")).unwrap();
        std::fs::write(at("d.yaml"), "new").unwrap();
        std::fs::write(at("log.txt"), "more").unwrap();
        assert_eq!(&*read("a.yaml").unwrap(), "one");
        assert_eq!(&*read("b.yaml").unwrap(), "one");
        assert!(read("d.yaml").is_err(), "it was not there when it was read");
        let listed = held.list().unwrap().files;
        let listed: Vec<&str> = listed.iter().map(|one| one.path.as_str()).collect();
        assert_eq!(listed, ["a.yaml", "b.yaml", "c.yaml", "log.txt"]);
        let yaml = |path: &str| path.ends_with(".yaml");
        assert_eq!(held.changed(yaml).unwrap(), ["a.yaml", "b.yaml", "d.yaml"]);
        // What is read for the first time now is as it is now, and stays so.
        std::fs::write(at("c.yaml"), "late").unwrap();
        assert_eq!(&*read("c.yaml").unwrap(), "late");
        std::fs::write(at("c.yaml"), "later").unwrap();
        assert_eq!(&*read("c.yaml").unwrap(), "late");
    }

    #[test]
    fn a_limit_holds_for_what_was_read_within_a_larger_one() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("a.yaml"), "0123456789").unwrap();
        let disk = WorkTree::open(folder.path()).unwrap();
        let held = Held::from_tree(&disk).unwrap();
        let small = Limit::from_bytes(4);
        assert!(held.read("a.yaml", small).is_err());
        assert_eq!(&*held.read("a.yaml", Limit::YAML).unwrap(), "0123456789");
        let again = held.read("a.yaml", small);
        assert!(matches!(again, Err(ReadError::TooLarge { size: 10, .. })));
    }
}
