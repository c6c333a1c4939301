//! What every commit that leads here did to YAML files.

use std::collections::BTreeMap;

use crate::git::{Git, GitError};
use crate::plan::is_yaml;

/// One file that a commit changed, against one of its parents.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Change {
    /// The commit.
    pub commit: String,
    /// The file.
    pub path: String,
    /// The object that it was; zeros where there was none.
    pub before: String,
    /// The object that it became; zeros where it is gone.
    pub after: String,
    /// Whether it was taken away.
    pub taken: bool,
}

/// All of them, the latest commit first.
#[derive(Debug, Default)]
pub(super) struct Log {
    pub changes: Vec<Change>,
    /// How many parents each commit has.
    parents: BTreeMap<String, usize>,
}

impl Log {
    /// Reads the log of what leads to the commit that is checked out.
    pub(super) fn load_head(git: &dyn Git) -> Result<Self, GitError> {
        Self::load(git, &["HEAD"])
    }

    /// Reads the log of every commit that the repository still knows by a name: of branches and tags, here
    /// and as remotes have them, and of where these and the work trees pointed before.
    pub(super) fn everything(git: &dyn Git) -> Result<Self, GitError> {
        Self::load(git, &["--all", "--reflog", "HEAD"])
    }

    /// Whatever the settings of a repository or of its user, merges are told against each of their
    /// parents, and the first commit against nothing.
    fn load(git: &dyn Git, which: &[&str]) -> Result<Self, GitError> {
        let mut asked = vec![
            "-c",
            "log.showRoot=true",
            "-c",
            "log.showSignature=false",
            "log",
            "--diff-merges=separate",
            "--no-relative",
            "-z",
            "--raw",
            "-r",
            "--no-renames",
            "--no-abbrev",
            "--format=%x01%H %P",
        ];
        asked.extend(which);
        asked.push("--");
        let answer = git.output(&asked)?;
        let mut log = Self::default();
        let mut commit = String::new();
        let mut fields = answer.split(|byte| *byte == 0).map(String::from_utf8_lossy);
        while let Some(field) = fields.next() {
            let field = field.trim_start_matches('\n');
            if let Some(names) = field.strip_prefix('\u{1}') {
                let mut names = names.split_whitespace();
                names.next().unwrap_or_default().clone_into(&mut commit);
                log.parents.insert(commit.clone(), names.count());
                continue;
            }
            let Some(change) = field.strip_prefix(':') else {
                continue;
            };
            let words: Vec<&str> = change.split(' ').collect();
            let ([_, _, before, after, sign], Some(path)) = (&words[..], fields.next()) else {
                continue;
            };
            // To pick them out here is four times as fast as to have git do so.
            if !is_yaml(&path) {
                continue;
            }
            log.changes.push(Change {
                commit: commit.clone(),
                path: path.into_owned(),
                before: (*before).to_owned(),
                after: (*after).to_owned(),
                taken: sign.starts_with('D'),
            });
        }
        Ok(log)
    }

    /// Whether a commit leads here: it is told of, whatever it changed.
    pub(super) fn leads(&self, commit: &str) -> bool {
        self.parents.contains_key(commit)
    }

    /// The commits that brought each file as it is, by path and object: a merge only where none of its
    /// parents had it.
    pub(super) fn brought(&self) -> BTreeMap<(&str, &str), Vec<&str>> {
        let mut told: BTreeMap<(&str, &str), BTreeMap<&str, usize>> = BTreeMap::new();
        for change in self.changes.iter().filter(|change| !change.taken) {
            let by = told.entry((&change.path, &change.after)).or_default();
            *by.entry(change.commit.as_str()).or_default() += 1;
        }
        let against_all = |(commit, times): (&'_ str, usize)| {
            let parents = self.parents.get(commit).copied().unwrap_or(0);
            times >= parents
        };
        told.into_iter()
            .map(|(file, by)| {
                let by = by.into_iter().filter(|one| against_all(*one));
                (file, by.map(|(commit, _)| commit).collect())
            })
            .collect()
    }
}
