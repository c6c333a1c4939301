//! A reader at a shell: a copy of the repository, the program on the path, one command after
//! another.

use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use tempfile::TempDir;

use super::root;
use crate::shared::kept::Kept;

/// What a command of a document may begin with. Nothing else is run.
const PROGRAMS: &[&str] = &["git", "offing", "cp", "sed", "mkdir", "head", "rm", "echo"];

/// When a commit is made, so that its name is the same on every run.
const COMMITTED: &str = "2026-11-02T08:00:00Z";

/// A copy of the repository to work in.
pub struct Session {
    /// Holds the copy, and whatever a command writes beside it.
    folder: TempDir,
    /// Where the next command is run.
    here: RefCell<PathBuf>,
    path: String,
}

impl Session {
    pub fn new() -> Self {
        static CLONED: LazyLock<Kept> = LazyLock::new(|| Kept::of(Session::cloned().folder.path()));
        Self::within(CLONED.lay_out())
    }

    /// A session in a folder that holds the copy.
    fn within(folder: TempDir) -> Self {
        let program = Path::new(env!("CARGO_BIN_EXE_offing"));
        assert_eq!(program.file_name().unwrap(), "offing");
        let folder_of_program = program.parent().unwrap().to_str().unwrap();
        Self {
            path: format!("{folder_of_program}:/usr/local/bin:/usr/bin:/bin"),
            here: RefCell::new(folder.path().join("offing")),
            folder,
        }
    }

    /// One with the copy made, and everything committed as in a clone.
    fn cloned() -> Self {
        let folder = crate::shared::scratch::folder().unwrap();
        let copy = folder.path().join("offing");
        for part in [
            "README.md",
            "DEVELOPERS.md",
            "docs",
            "plans",
            "rules",
            "schemas",
        ] {
            copy_all(&root().join(part), &copy.join(part));
        }
        let session = Self::within(folder);
        let begun = session.run(
            "git init -q --template= && git add --all && git -c user.name=team -c user.email=team@example.com \
             commit -qm \"As cloned\"",
        );
        assert_eq!(begun, "");
        session
    }

    /// Writes a file that a document shows.
    pub fn write(&self, path: &str, text: &str) {
        let path = self.here.borrow().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    /// The text of a file where the commands are run, if there is one.
    pub fn read(&self, path: &str) -> Option<String> {
        std::fs::read_to_string(self.here.borrow().join(path)).ok()
    }

    /// Runs a command and gives what it writes to both streams. A command that changes the folder does so
    /// for those after it.
    pub fn run(&self, command: &str) -> String {
        let program = command.split_whitespace().next().unwrap_or_default();
        assert!(
            PROGRAMS.contains(&program),
            "`{program}` is not run: {command}"
        );
        let left_in = self.folder.path().join("left-in");
        let here = self.here.borrow().clone();
        let output = Command::new("sh")
            .arg("-c")
            .arg(format!("{{ {command}\n}} 2>&1\npwd > \"$LEFT_IN\""))
            .current_dir(here)
            .env_clear()
            .env("PATH", &self.path)
            .env("LC_ALL", "C.UTF-8")
            .env("LEFT_IN", &left_in)
            .env("GIT_AUTHOR_DATE", COMMITTED)
            .env("GIT_COMMITTER_DATE", COMMITTED)
            .output()
            .unwrap();
        let left = std::fs::read_to_string(left_in).unwrap();
        *self.here.borrow_mut() = PathBuf::from(left.trim_end());
        String::from_utf8(output.stdout).unwrap()
    }
}

fn copy_all(from: &Path, to: &Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.unwrap();
        let target = to.join(entry.path().strip_prefix(from).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(target).unwrap();
        } else {
            std::fs::create_dir_all(to.parent().unwrap()).unwrap();
            let target = if from.is_file() {
                to.to_owned()
            } else {
                target
            };
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// Whether lines are as a document shows them; its line `…` stands for any lines, or none.
pub fn matches(shown: &[&str], found: &[&str]) -> bool {
    match shown.split_first() {
        None => found.is_empty(),
        Some((&"…", rest)) => (0..=found.len()).any(|skipped| matches(rest, &found[skipped..])),
        Some((line, rest)) => found
            .split_first()
            .is_some_and(|(first, others)| line == first && matches(rest, others)),
    }
}

#[test]
fn an_elision_stands_for_lines_and_for_nothing_else() {
    assert!(matches(&["a", "…", "d"], &["a", "b", "c", "d"]));
    assert!(matches(&["a", "…", "b"], &["a", "b"]));
    assert!(matches(&["…"], &[]));
    assert!(!matches(&["a", "…", "d"], &["a", "b", "c"]));
    assert!(!matches(&["a"], &["a", "b"]));
    assert!(!matches(&["a", "b"], &["a"]));
    assert!(!matches(&["a…"], &["ab"]));
}
