//! `offing check`.

use super::args::Check;
use super::{Failure, output, reports, settings};
use std::os::unix::ffi::OsStrExt as _;
use std::path::Path;

use crate::check::{Extent, Reading, Sampling, Share, Since, check_folder, check_share};
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
    let extent = options
        .changed_since
        .as_deref()
        .map(|revision| extent(opened.tree.root(), revision))
        .transpose()?;
    let name = options.changed_since.as_deref().map(printable_line);
    let share = Share {
        sampling: options.spread.map(|runs| Sampling {
            runs,
            seed: options.seed,
        }),
        since: name
            .as_deref()
            .zip(extent.as_ref())
            .map(|(name, extent)| Since { name, extent }),
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

/// How far the change reaches that leads from a revision to the work tree.
fn extent(root: &Path, revision: &str) -> Result<Extent, Failure> {
    let refused = |error: GitError| Failure::Unreadable(error.to_string());
    let git = Repository::open(root).map_err(refused)?;
    let here = git.root().canonicalize().is_ok_and(|top| top == root);
    if git.is_bare() || !here {
        let root = printable_bytes(root.as_os_str().as_bytes());
        let text = format!(
            "{root}: not the root of a work tree of git, so what changed in it cannot be told"
        );
        return Err(Failure::Unreadable(text));
    }
    let commit = commit(&git, revision).map_err(refused)?;
    let base = Revision::open(&git, &commit, "").map_err(refused)?;
    let head = WorkTree::open(root).map_err(unreadable)?;
    Extent::of(&base, &head, Reading::Headings).map_err(unreadable)
}
