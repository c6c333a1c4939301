//! The command on this machine, in one repository.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::Mutex;

use rayon::prelude::*;

use super::{Blob, Git, GitError, belonging, environment, is_object, named};
use crate::source::printable_line;

/// The most that is read of one answer: a listing of the most files that a tree may have, with paths
/// of three hundred bytes.
const MOST_ANSWER: u64 = 64 << 20;
/// The most that is told of what git says of errors.
const MOST_SAID: u64 = 4 << 10;

/// How many objects are requested before the answers are read. The names have to fit into a pipe
/// of the least size that systems give (a page of 4 KiB), or both sides would wait for each other.
const AT_ONCE: usize = 60;

/// The command on this machine, in one repository.
#[derive(Debug)]
pub struct Repository {
    root: PathBuf,
    bare: bool,
    /// Those that nobody waits for.
    readers: Mutex<Vec<Reader>>,
}

/// A `cat-file --batch` that is kept running.
#[derive(Debug)]
struct Reader {
    child: Child,
    ask: ChildStdin,
    answer: BufReader<ChildStdout>,
}

impl Drop for Reader {
    fn drop(&mut self) {
        // It ends by itself once its input does; nothing is lost where it was gone before.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Repository {
    /// Opens the repository that a folder lies in.
    ///
    /// # Errors
    /// [`GitError::NoRepository`] where there is none, and where the command cannot be run.
    pub fn open(folder: &Path) -> Result<Self, GitError> {
        let at = Self {
            root: folder.to_owned(),
            bare: false,
            readers: Mutex::new(Vec::new()),
        };
        let (root, kept) = match at.of_work_tree() {
            Some(told) => told,
            None => {
                let bare = at
                    .output(&["rev-parse", "--is-bare-repository"])
                    .map_err(|error| belonging::not_opened(error, folder))?;
                if bare.starts_with(b"true") {
                    belonging::bare(&at.path(&["rev-parse", "--absolute-git-dir"])?)?;
                    return Ok(Self { bare: true, ..at });
                }
                (at.path(&["rev-parse", "--show-toplevel"])?, None)
            }
        };
        let found = Self { root, ..at };
        let kept = || kept.map_or_else(|| found.path(&["rev-parse", "--absolute-git-dir"]), Ok);
        belonging::with_work_tree(&found, (&found.root, folder), kept)?;
        Ok(found)
    }

    /// The root of the work tree that the folder lies in, and the folder that git keeps its own files in, where it
    /// would answer the same at the root: what is mostly all that [`open`](Self::open) needs, in one question. `None`
    /// where there is no work tree, or its paths cannot be told apart.
    fn of_work_tree(&self) -> Option<(PathBuf, Option<PathBuf>)> {
        let asked = [
            "rev-parse",
            "--is-bare-repository",
            "--absolute-git-dir",
            "--show-toplevel",
        ];
        let answer = String::from_utf8(self.output(&asked).ok()?).ok()?;
        let lines: Vec<&str> = answer.strip_suffix('\n')?.split('\n').collect();
        // A path may have line breaks in it.
        let ["false", kept, root] = lines.as_slice() else {
            return None;
        };
        let root = PathBuf::from(root);
        let at_root = self.root.canonicalize().ok()? == root.canonicalize().ok()?;
        Some((root, at_root.then(|| PathBuf::from(kept))))
    }

    /// The one path that a command answers with.
    fn path(&self, arguments: &[&str]) -> Result<PathBuf, GitError> {
        let answer = String::from_utf8(self.output(arguments)?).map_err(|_| GitError::Answer {
            what: what(arguments),
            why: "the path of the repository is not UTF-8".to_owned(),
        })?;
        Ok(PathBuf::from(answer.trim_end_matches('\n')))
    }

    /// The root of the work tree; of a bare repository, the repository itself.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Whether a folder is the root of its work tree.
    #[must_use]
    pub fn is_work_tree_of(&self, folder: &Path) -> bool {
        let same = |top: PathBuf| folder.canonicalize().is_ok_and(|folder| folder == top);
        !self.bare && self.root.canonicalize().is_ok_and(same)
    }

    /// Whether it has no work tree.
    #[must_use]
    pub fn is_bare(&self) -> bool {
        self.bare
    }

    /// A command that asks nobody, changes nothing, fetches nothing and takes no detour through
    /// what a repository's own settings would start.
    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = environment::git();
        command
            .args(["--no-pager", "-C"])
            .arg(&self.root)
            .args(["-c", "core.fsmonitor=false", "-c", "core.quotePath=false"])
            // A file beside the objects that tells of commits in their place is not believed.
            .args([
                "-c",
                "core.hooksPath=/dev/null",
                "-c",
                "core.commitGraph=false",
            ])
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    fn reader(&self) -> Result<Reader, GitError> {
        let not_run = |error: std::io::Error| GitError::NoGit(error.to_string());
        let mut child = self
            .command(&["cat-file", "--batch"])
            .stdin(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(not_run)?;
        match (child.stdin.take(), child.stdout.take()) {
            (Some(ask), Some(answer)) => Ok(Reader {
                child,
                ask,
                answer: BufReader::new(answer),
            }),
            _ => Err(GitError::NoGit("it has no streams".to_owned())),
        }
    }
}

fn what(arguments: &[&str]) -> String {
    arguments.first().copied().unwrap_or_default().to_owned()
}

impl Git for Repository {
    fn output(&self, arguments: &[&str]) -> Result<Vec<u8>, GitError> {
        let mut child = self
            .command(arguments)
            .spawn()
            .map_err(|error| GitError::NoGit(error.to_string()))?;
        let failed = |said: String| GitError::Failed {
            what: what(arguments),
            said,
        };
        // What it says of errors is read at the same time: it would wait for a reader otherwise.
        let said = child.stderr.take().map(|stream| {
            std::thread::spawn(move || {
                let mut said = Vec::new();
                let mut stream = stream;
                let _ = (&mut stream).take(MOST_SAID).read_to_end(&mut said);
                let _ = std::io::copy(&mut stream, &mut std::io::sink());
                said
            })
        });
        let mut bytes = Vec::new();
        if let Some(out) = child.stdout.take() {
            out.take(MOST_ANSWER + 1)
                .read_to_end(&mut bytes)
                .map_err(|error| failed(error.to_string()))?;
        }
        if bytes.len() as u64 > MOST_ANSWER {
            let _ = child.kill();
            let _ = child.wait();
            return Err(GitError::Answer {
                what: what(arguments),
                why: "it is larger than the reading limit".to_owned(),
            });
        }
        let status = child.wait().map_err(|error| failed(error.to_string()))?;
        if status.success() {
            return Ok(bytes);
        }
        let said = said.and_then(|thread| thread.join().ok());
        let said = said.unwrap_or_default();
        let said = String::from_utf8_lossy(&said);
        let said = said.trim().trim_start_matches("fatal: ");
        // What it says on several lines is reported on one.
        let said: Vec<&str> = said.split_whitespace().collect();
        Err(failed(printable_line(&said.join(" ")).into_owned()))
    }

    fn blob(&self, object: &str, limit: u64) -> Blob {
        let one = self.ask(&[object], limit).into_iter().next();
        one.unwrap_or_else(|| Err(unclear("there is none")))
    }

    fn named(&self, names: &[String]) -> Result<Vec<Option<String>>, GitError> {
        named::named(self.command(&named::ASKED), names)
    }

    fn blobs(&self, objects: &[&str], limit: u64) -> Vec<Blob> {
        let parts = objects.par_chunks(AT_ONCE);
        parts.flat_map_iter(|part| self.ask(part, limit)).collect()
    }
}

fn unclear(why: &str) -> GitError {
    GitError::Answer {
        what: "cat-file".to_owned(),
        why: why.to_owned(),
    }
}

impl Repository {
    /// Asks for at most [`AT_ONCE`] objects.
    fn ask(&self, objects: &[&str], limit: u64) -> Vec<Blob> {
        let mut answers: Vec<Blob> = Vec::with_capacity(objects.len());
        while let Some(left) = objects.get(answers.len()..).filter(|left| !left.is_empty()) {
            if !is_object(left[0]) {
                answers.push(Err(unclear("the name of an object is none")));
                continue;
            }
            let askable = left.iter().take_while(|name| is_object(name)).count();
            let before = answers.len();
            if let Err(error) = self.ask_reader(&left[..askable], limit, &mut answers) {
                answers.push(Err(error));
            }
            assert!(answers.len() > before, "every turn answers for an object");
        }
        answers
    }

    /// Reads answers as far as one reader gives them; at least one, or an error for the next.
    fn ask_reader(
        &self,
        objects: &[&str],
        limit: u64,
        answers: &mut Vec<Blob>,
    ) -> Result<(), GitError> {
        let broken = |error: std::io::Error| GitError::Failed {
            what: "cat-file".to_owned(),
            said: error.to_string(),
        };
        let mut reader = match self.idle().pop() {
            Some(reader) => reader,
            None => self.reader()?,
        };
        let mut names = objects.join("\n");
        names.push('\n');
        reader.ask.write_all(names.as_bytes()).map_err(broken)?;
        reader.ask.flush().map_err(broken)?;
        for _ in objects {
            let mut head = Vec::new();
            (&mut reader.answer)
                .take(1024)
                .read_until(b'\n', &mut head)
                .map_err(broken)?;
            let head = String::from_utf8_lossy(&head).into_owned();
            let words: Vec<&str> = head.split_whitespace().collect();
            let size = match words.as_slice() {
                [_, "blob", size] => size.parse::<u64>().map_err(|_| unclear("no size"))?,
                [_, "missing"] => {
                    answers.push(Err(unclear("the object is not in this clone")));
                    continue;
                }
                _ => return Err(unclear("the object is no file")),
            };
            if size > limit {
                // The reader is thrown away with what it would still say.
                answers.push(Ok(None));
                return Ok(());
            }
            let length = usize::try_from(size).map_err(|_| unclear("no size"))?;
            let mut bytes = vec![0; length];
            reader.answer.read_exact(&mut bytes).map_err(broken)?;
            let mut end = [0];
            reader.answer.read_exact(&mut end).map_err(broken)?;
            answers.push(Ok(Some(bytes)));
        }
        self.idle().push(reader);
        Ok(())
    }

    fn idle(&self) -> std::sync::MutexGuard<'_, Vec<Reader>> {
        self.readers
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}
