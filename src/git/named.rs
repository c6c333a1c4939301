//! Which files names such as `HEAD:plans/one.yaml` stand for, all asked for in one go.

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

use super::{GitError, is_object};

/// What git is asked for the names that are then written to it.
pub(super) const ASKED: [&str; 2] = ["cat-file", "--batch-check=%(objectname) %(objecttype)"];

/// The objects of files, each by its name, from a command that is [asked so](ASKED); `None` for a name that is no
/// file's.
pub(super) fn named(
    mut command: Command,
    names: &[String],
) -> Result<Vec<Option<String>>, GitError> {
    let failed = |error: std::io::Error| GitError::Failed {
        what: "cat-file".to_owned(),
        said: error.to_string(),
    };
    // A name on two lines would be taken for two, and is none of a path that is read.
    let askable: Vec<&String> = names.iter().filter(|name| is_one_line(name)).collect();
    if askable.is_empty() {
        return Ok(vec![None; names.len()]);
    }
    let mut child = command
        .stdin(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|error| GitError::NoGit(error.to_string()))?;
    let (Some(mut ask), Some(answer)) = (child.stdin.take(), child.stdout.take()) else {
        return Err(GitError::NoGit("it has no streams".to_owned()));
    };
    // Written beside the reading: each side's pipe would fill up otherwise.
    let answers = std::thread::scope(|scope| {
        let names = &askable;
        scope.spawn(move || {
            // Where git is gone, the answers that are missing tell it.
            let _ = names
                .iter()
                .try_for_each(|name| ask.write_all(format!("{name}\n").as_bytes()));
        });
        let lines = BufReader::new(answer).split(b'\n').take(askable.len());
        lines.collect::<Result<Vec<Vec<u8>>, _>>()
    });
    let ended = child.wait().map_err(failed)?;
    let answers = answers.map_err(failed)?;
    if !ended.success() || answers.len() != askable.len() {
        return Err(GitError::Answer {
            what: "cat-file".to_owned(),
            why: "it answers for other names than requested".to_owned(),
        });
    }
    let mut answers = answers.into_iter();
    let object = |answer: Vec<u8>| {
        let text = String::from_utf8(answer).ok()?;
        let object = text.strip_suffix(" blob")?;
        is_object(object).then(|| object.to_owned())
    };
    let all = names.iter().map(|name| match is_one_line(name) {
        true => answers.next().and_then(object),
        false => None,
    });
    Ok(all.collect())
}

fn is_one_line(name: &str) -> bool {
    !name.is_empty() && !name.contains(['\n', '\0'])
}
