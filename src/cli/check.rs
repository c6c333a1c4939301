//! `offing check`.

use super::args::{Check, Format};
use super::progress::Progressing;
use super::{Failure, figures, output, reports, settings};
use std::path::Path;

use crate::check::{
    CheckScope, Outcome, Sampling, Since, check_folder, check_share_on, file_of, reader,
};
use crate::git::revision::Revision;
use crate::git::{GitError, Repository, commit};
use crate::plan::Reader;
use crate::report::{exit_status, write_json};
use crate::schema::is_id;
use crate::source::{Opened, ReadError, WorkTree, open_argument, printable_line, printable_path};

pub(super) fn run(options: &Check) -> Result<u8, Failure> {
    reports::one_to_a_place(&options.format)?;
    let (opened, read) = opened(&options.path)?;
    if options.partition.is_some() && opened.selected.is_some() {
        let text = "one file cannot be partitioned; give `--partition` a folder";
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
    let progress = Progressing::begin("checking");
    let watch = |progressed| progress.tell(progressed);
    let share = CheckScope {
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
        pictures: options.figures.is_some(),
        watch: Some(&watch),
    };
    let checked = match opened.selected.as_deref() {
        Some(file) => check_share_on(&opened.tree, Some(file), share, read),
        None => {
            let whole = WorkTree::open(opened.tree.root()).map_err(unreadable)?;
            check_folder(&opened.tree, &whole, &opened.within, share)
        }
    };
    drop(progress);
    let mut outcome = checked.map_err(unreadable)?;
    for missed in &mut outcome.not_checked {
        // A folder is told under the name by which it was asked for.
        if missed.path == "." {
            missed.path = printable_path(&options.path);
        }
    }
    if !opened.in_repository && names_what_is_not_there(&outcome) {
        outcome.notes.push(OUTSIDE.to_owned());
    }
    let folder = options.figures.as_deref();
    if let Some(folder) = folder {
        figures::write(&outcome, folder)?;
    }
    for wanted in &options.format {
        if wanted.format == Format::Json {
            output::deliver_by(wanted.file.as_deref(), |to| write_json(&outcome, to))?;
            continue;
        }
        let mut text = reports::of_check(&outcome, wanted, &options.drawing, options.short)?;
        text.push_str(&reports::links(&outcome, wanted, folder));
        output::deliver(&text, wanted.file.as_deref())?;
    }
    reports::caution(&options.format);
    Ok(exit_status(&outcome, settings::failing(options.fail_on)))
}

/// What is said where a file names one that may lie beside the only folder that was looked through.
const OUTSIDE: &str = "outside a git repository, offing searches only the named folder, or the one \
                       that holds the file: give `offing check` the folder that also holds \
                       vessels, sites and policies, or run `git init` there";

fn names_what_is_not_there(outcome: &Outcome) -> bool {
    let mut findings = outcome.findings.iter();
    findings.any(|finding| finding.rule == "input-reference")
}

/// What a path stands for; where there is none, the mission of that id in the repository worked in. With it
/// comes what was read to find it.
fn opened(path: &Path) -> Result<(Opened, Reader), Failure> {
    let absent = match open_argument(path) {
        Err(ReadError::NotFound { .. }) => path,
        other => return Ok((other.map_err(unreadable)?, reader())),
    };
    let Some(id) = absent.to_str().filter(|text| is_id(text)) else {
        let path = printable_path(path);
        return Err(Failure::Unreadable(format!("{path}: not found")));
    };
    let here = open_argument(Path::new(".")).map_err(unreadable)?;
    let tree = WorkTree::open(here.tree.root()).map_err(unreadable)?;
    let mut reader = reader();
    let file = file_of(&tree, id, &mut reader).map_err(|why| {
        Failure::Unreadable(format!("{id}: neither a file nor a folder, and {why}"))
    })?;
    let opened = Opened {
        tree,
        selected: Some(file),
        within: String::new(),
        in_repository: here.in_repository,
    };
    Ok((opened, reader))
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
    if !git.is_work_tree_of(root) {
        let root = printable_path(root);
        return Err(Failure::Unreadable(format!(
            "{root}: not the root of a git work tree, so the changes in it are unknown"
        )));
    }
    Ok(git)
}
