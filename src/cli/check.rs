//! `offing check`.

use super::args::Check;
use super::{Failure, output, reports, settings};
use std::os::unix::ffi::OsStrExt as _;
use std::path::Path;

use crate::check::{Sampling, Share, Since, check_folder, check_share};
use crate::report::exit_status;
use crate::review::git::{GitError, Repository, commit};
use crate::review::revision::Revision;
use crate::source::{ReadError, WorkTree, open_argument, printable_bytes, printable_line};

pub(super) fn run(options: &Check) -> Result<u8, Failure> {
    reports::one_to_a_place(&options.format)?;
    let opened = open_argument(&options.path).map_err(unreadable)?;
    if options.partition.is_some() && opened.selected.is_some() {
        let text = "one file is not dealt out; give `--partition` a folder";
        return Err(Failure::Usage(text.to_owned()));
    }
    let since = options.changed_since.as_deref();
    let git = since.map(|_| repository(opened.tree.root())).transpose()?;
    let base = since.zip(git.as_ref()).map(|(revision, git)| {
        let commit = commit(git, revision)?;
        let whole = Revision::open(git, &commit, "")?;
        let part = match opened.within.as_str() {
            "" => None,
            within => Some(Revision::open(git, &commit, within)?),
        };
        Ok((part, whole))
    });
    let base = base.transpose().map_err(refused)?;
    let name = since.map(printable_line);
    let share = Share {
        sampling: options.spread.map(|runs| Sampling {
            runs,
            seed: options.seed,
        }),
        since: name
            .as_deref()
            .zip(base.as_ref())
            .map(|(name, base)| Since {
                name,
                part: base.0.as_ref().unwrap_or(&base.1),
                whole: &base.1,
            }),
        partition: options.partition,
    };
    let checked = match opened.selected.as_deref() {
        Some(file) => check_share(&opened.tree, Some(file), share),
        None => {
            let whole = WorkTree::open(opened.tree.root()).map_err(unreadable)?;
            check_folder(&opened.tree, &whole, &opened.within, share)
        }
    };
    let mut outcome = checked.map_err(unreadable)?;
    for missed in &mut outcome.not_checked {
        // A folder is told under the name by which it was asked for.
        if missed.path == "." {
            missed.path = printable_bytes(options.path.as_os_str().as_bytes());
        }
    }
    for wanted in &options.format {
        let text = reports::of_check(&outcome, wanted, &options.drawing, options.short)?;
        output::deliver(&text, wanted.file.as_deref())?;
    }
    Ok(exit_status(&outcome, settings::failing(options.fail_on)))
}

fn unreadable(error: ReadError) -> Failure {
    Failure::Unreadable(error.to_string())
}

fn refused(error: GitError) -> Failure {
    Failure::Unreadable(error.to_string())
}

/// The repository of which a folder is the root.
fn repository(root: &Path) -> Result<Repository, Failure> {
    let git = Repository::open(root).map_err(refused)?;
    let here = git.root().canonicalize().is_ok_and(|top| top == root);
    if git.is_bare() || !here {
        let root = printable_bytes(root.as_os_str().as_bytes());
        return Err(Failure::Unreadable(format!(
            "{root}: not the root of a work tree of git, so what changed in it cannot be told"
        )));
    }
    Ok(git)
}
