//! The demo's season with one bit turned in bytes of every record or a decision, and in bytes of every
//! file that was run. Of so many bytes one is turned, of each record from another one on: sixteen files, of each
//! every sixteenth byte, so that no place of a record is left out. Of a file that was run the digest is what is
//! held, and one byte is as good as another.

use std::collections::{BTreeSet, HashMap};
use std::sync::Mutex;

use offing::door::check::on_large_stacks;
use offing::door::git::{Git, GitError, Repository};
use offing::door::history::{Records, verify};
use offing::door::source::{MemoryTree, WorkTree};
use rayon::prelude::*;
use serde_json::Value as Json;

use super::repo::Repo;
use crate::shared::cases::cases;

type Answer = Result<Vec<u8>, GitError>;

/// Git's answers, remembered, since the repository stays as it is; one object's bytes may be turned.
struct Remembered<'a> {
    git: &'a Repository,
    answers: &'a Mutex<HashMap<Vec<String>, Answer>>,
    names: &'a Mutex<HashMap<String, Option<String>>>,
    blobs: &'a Mutex<HashMap<String, Option<Vec<u8>>>>,
    turned: Option<(String, usize)>,
}

impl Git for Remembered<'_> {
    fn output(&self, arguments: &[&str]) -> Result<Vec<u8>, GitError> {
        let key: Vec<String> = arguments.iter().map(|one| (*one).to_owned()).collect();
        let known = self.answers.lock().unwrap().get(&key).cloned();
        known.unwrap_or_else(|| {
            let answer = self.git.output(arguments);
            self.answers.lock().unwrap().insert(key, answer.clone());
            answer
        })
    }

    fn named(&self, names: &[String]) -> Result<Vec<Option<String>>, GitError> {
        let mut known = self.names.lock().unwrap();
        let new: Vec<String> = names
            .iter()
            .filter(|name| !known.contains_key(*name))
            .cloned()
            .collect();
        let found = self.git.named(&new)?;
        known.extend(new.into_iter().zip(found));
        Ok(names.iter().map(|name| known[name].clone()).collect())
    }

    fn blob(&self, object: &str, limit: u64) -> Result<Option<Vec<u8>>, GitError> {
        let known = self.blobs.lock().unwrap().get(object).cloned();
        let bytes = match known {
            Some(bytes) => bytes,
            None => {
                let bytes = self.git.blob(object, limit)?;
                self.blobs
                    .lock()
                    .unwrap()
                    .insert(object.to_owned(), bytes.clone());
                bytes
            }
        };
        Ok(match (&self.turned, bytes) {
            (Some((turned, at)), Some(mut bytes)) if turned == object => {
                bytes[*at] ^= 1;
                Some(bytes)
            }
            (_, bytes) => bytes,
        })
    }
}

#[test]
#[ignore = "slow"]
fn one_bit_of_any_byte_of_a_record_a_decision_or_an_input_is_found() {
    let repo = Repo::imported("plans/season-2027.fast-export");
    let git = Repository::open(repo.path()).unwrap();
    let (answers, names, blobs) = (Mutex::default(), Mutex::default(), Mutex::default());
    let remembered = |turned| Remembered {
        git: &git,
        answers: &answers,
        names: &names,
        blobs: &blobs,
        turned,
    };
    let mut tree = MemoryTree::default();
    for folder in ["runs", "launches"] {
        for entry in std::fs::read_dir(repo.path().join(folder)).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            let path = format!("{folder}/{name}");
            tree.put(path.clone(), repo.read(&path));
        }
    }
    assert_eq!(tree.files.len(), 16);
    let whole = |tree: &MemoryTree, git: &dyn Git| {
        verify((Records::read(tree).unwrap(), tree), git, None)
            .unwrap()
            .findings
            .is_empty()
    };
    assert!(on_large_stacks(|| whole(&tree, &remembered(None))));
    let paths: Vec<&String> = tree.files.keys().collect();
    let unnoticed: Vec<String> = on_large_stacks(|| {
        paths
            .par_iter()
            .enumerate()
            .flat_map_iter(|(number, path)| {
                let text = tree.files[*path].clone().into_bytes();
                let (tree, remembered) = (&tree, &remembered);
                let every = cases(29, 16);
                (number % every..text.len())
                    .step_by(every)
                    .filter_map(move |at| {
                        let mut turned = text.clone();
                        turned[at] ^= 1;
                        let mut tree = tree.clone();
                        // A file that is no text any more is refused before it is looked at.
                        tree.put((*path).clone(), String::from_utf8(turned).ok()?);
                        whole(&tree, &remembered(None)).then(|| format!("{path}: byte {at}"))
                    })
            })
            .collect()
    });
    assert!(unnoticed.is_empty(), "{unnoticed:?}");
    // Every file that a record names, as it stood in its commit; of geodata, which is long, less.
    let (_, listed) = repo.json(&["history"]);
    let mut objects = BTreeSet::new();
    for run in listed["runs"].as_array().unwrap() {
        let record: Json = run.clone();
        let commit = record["commit"].as_str().unwrap();
        for input in record["inputs"].as_array().unwrap() {
            let path = input["path"].as_str().unwrap();
            let object = repo.git(&["rev-parse", &format!("{commit}:{path}")]);
            objects.insert((object, path.ends_with(".geojson")));
        }
    }
    assert!(objects.len() > 12, "{objects:?}");
    for (object, long) in objects {
        let length = repo.git(&["cat-file", "-s", &object]);
        let length = length.parse::<usize>().unwrap();
        let every = if long {
            cases(1649, 997)
        } else {
            cases(173, 101)
        };
        let unnoticed: Vec<usize> = on_large_stacks(|| {
            (0..length)
                .into_par_iter()
                .step_by(every)
                .filter(|at| whole(&tree, &remembered(Some((object.clone(), *at)))))
                .collect()
        });
        assert!(unnoticed.is_empty(), "{object}: {unnoticed:?}");
    }
    // The tree on disk and that in memory are the same to it.
    let work = WorkTree::open(repo.path()).unwrap();
    assert!(on_large_stacks(|| verify(
        (Records::read(&work).unwrap(), &work),
        &git,
        None
    )
    .unwrap()
    .findings
    .is_empty()));
}
