//! `offing record` and `offing history`.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use super::args::{History, HistoryAction, HistoryFormat, OutcomeWord, Record};
use super::progress::Progressing;
use super::{Failure, output, place, settings};
use crate::finding::Nature;
use crate::history::report::{listed_json, listed_text, verified_json, verified_text};
use crate::history::{Again, Filter, Records, Said, record as recorded, signature_of, verify};
use crate::plan::flight::End;
use crate::review::git::{GitError, Repository, commit};
use crate::signature::Purpose;
use crate::source::{WorkTree, printable_line};
use crate::units::{Dimension, Energy, Typed as _, parse_quantity};

/// Where runs are recorded unless another file is named.
const FOLDER: &str = "flights";
/// The largest track whose digest is taken.
const LARGEST: u64 = 1 << 30;

fn git_error(error: GitError) -> Failure {
    Failure::Unreadable(error.to_string())
}

/// The repository that a folder lies in, and its files.
fn opened(plans: &Path) -> Result<(Repository, WorkTree), Failure> {
    let folder = plans
        .canonicalize()
        .map_err(|error| Failure::Unreadable(format!("{}: {error}", plans.display())))?;
    let git = Repository::open(&folder).map_err(git_error)?;
    if git.is_bare() {
        let text = "the repository is bare and has no work tree that records could stand in";
        return Err(Failure::Usage(text.to_owned()));
    }
    let tree = WorkTree::open(git.root());
    let tree = tree.map_err(|error| Failure::Unreadable(error.to_string()))?;
    Ok((git, tree))
}

pub(super) fn record(options: &Record) -> Result<u8, Failure> {
    let (git, tree) = opened(&options.plans)?;
    let commit = commit(&git, options.commit.as_deref().unwrap_or("HEAD")).map_err(git_error)?;
    let time = |text: &str, option: &str| {
        text.parse::<Timestamp>().map_err(|_| {
            Failure::Usage(format!(
                "--{option}: `{text}` is not a point in time with its offset; write \
                 `2026-05-12T09:05+01:00`"
            ))
        })
    };
    let recorded_at = match &options.at {
        Some(text) => time(text, "at")?,
        None => Timestamp::now(),
    };
    let energy = options.energy.as_deref().map(|text| {
        let read = parse_quantity(text, Dimension::ENERGY);
        let read = read.map_err(|error| Failure::Usage(format!("--energy: {error}")))?;
        if read.value < 0.0 {
            return Err(Failure::Usage(format!(
                "--energy: {text} is less than nothing"
            )));
        }
        Ok(Energy::from_stored(read.value))
    });
    if options.by.trim().is_empty() {
        return Err(Failure::Usage("--by names nobody".to_owned()));
    }
    let said = Said {
        mission: place::mission(&tree, &options.plans, &options.mission),
        commit,
        decision: options.decision.clone(),
        launched: options
            .launched
            .as_deref()
            .map(|text| time(text, "launched"))
            .transpose()?,
        ended: time(&options.ended, "ended")?,
        recorded: recorded_at,
        by: options.by.clone(),
        outcome: end(options.outcome),
        near_misses: options.near_miss.clone(),
        conditions: options.conditions.clone(),
        energy: energy.transpose()?,
        track: track(&options.track)?,
        kept: match &options.kept {
            Some(kept) => kept.clone(),
            None => options.track.display().to_string(),
        },
    };
    let made = recorded(&tree, &git, &said)?;
    let path = match &options.output {
        Some(path) => path.clone(),
        None => tree.root().join(FOLDER).join(format!("{}.yaml", made.id)),
    };
    super::launch::settled(&tree, &path)?;
    if let Some(folder) = path.parent().filter(|_| options.output.is_none()) {
        output::make_folder(folder)?;
    }
    let once = "a run is recorded once and never written over; name another file with `--output`";
    output::deliver_new(&made.text, &path, once)?;
    let shown = path
        .strip_prefix(tree.root())
        .unwrap_or(&path)
        .display()
        .to_string();
    let mut text = format!("recorded in {}\n", printable_line(&shown));
    if made.to_be_signed {
        text.push_str(&to_sign(&shown, &said.by));
    }
    output::print(&text)?;
    Ok(0)
}

/// How a record is signed.
fn to_sign(path: &str, by: &str) -> String {
    let (path, by) = (printable_line(path), printable_line(by));
    match signature_of(&path, &by) {
        Some(signature) => format!(
            "the policy asks that `{by}` signs it:\n  ssh-keygen -Y sign -n {} -f KEY {path}\n  mv \
             {path}.sig {signature}\n",
            Purpose::Record.name()
        ),
        None => format!("the policy asks that it is signed, and `{by}` is the name of no signer\n"),
    }
}

fn end(word: OutcomeWord) -> End {
    match word {
        OutcomeWord::Completed => End::Completed,
        OutcomeWord::Aborted => End::Aborted,
        OutcomeWord::Recovered => End::Recovered,
        OutcomeWord::Lost => End::Lost,
    }
}

/// SHA-256 of a track's bytes.
fn track(path: &Path) -> Result<String, Failure> {
    use sha2::{Digest as _, Sha256};
    let unreadable =
        |error: std::io::Error| Failure::Unreadable(format!("{}: {error}", path.display()));
    let about = std::fs::metadata(path).map_err(unreadable)?;
    if !about.is_file() || about.len() > LARGEST {
        return Err(Failure::Unreadable(format!(
            "{}: a track is a file of at most {LARGEST} bytes",
            path.display()
        )));
    }
    let mut file = std::fs::File::open(path).map_err(unreadable)?;
    let mut hash = Sha256::new();
    std::io::copy(&mut file, &mut hash).map_err(unreadable)?;
    Ok(hash
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

pub(super) fn history(options: &History) -> Result<u8, Failure> {
    match options.action {
        None => list(options),
        Some(HistoryAction::Verify { judge }) => verified(options, judge),
    }
}

fn day(text: Option<&str>, option: &str) -> Result<Option<Date>, Failure> {
    text.map(|text| settings::day(text, option)).transpose()
}

fn list(options: &History) -> Result<u8, Failure> {
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    let tree = place::repository(&options.plans)?;
    let records = Records::read(&tree).map_err(unreadable)?;
    if let Some(problem) = records.problems.first() {
        let at = records.sources.position(problem.span);
        let path = records.sources.path(problem.span.source);
        return Err(Failure::Unreadable(format!(
            "{path}:{}: {}; `offing history verify` shows more",
            at.line, problem.message
        )));
    }
    let filter = filter(options)?;
    let (listed, totals) = records.listed(&filter);
    let text = match options.format {
        HistoryFormat::Terminal => listed_text(&listed, &totals),
        HistoryFormat::Json => {
            listed_json(&listed, &totals).map_err(|error| Failure::NotWritten(error.into()))?
        }
    };
    output::print(&text)?;
    Ok(0)
}

fn filter(options: &History) -> Result<Filter, Failure> {
    Ok(Filter {
        mission: options.mission.clone(),
        vessel: options.vessel.clone(),
        outcome: options.outcome.map(end),
        since: day(options.since.as_deref(), "since")?,
        until: day(options.until.as_deref(), "until")?,
        near_misses: options.near_misses,
    })
}

fn verified(options: &History, judge: bool) -> Result<u8, Failure> {
    let filter = filter(options)?;
    if !judge && filter != Filter::default() {
        let text = "a chain is verified as a whole; what narrows a list goes with `verify --judge` only, and \
                    says which launches are decided again";
        return Err(Failure::Usage(text.to_owned()));
    }
    let (git, tree) = opened(&options.plans)?;
    let progress = Progressing::begin("judging launches");
    let watch = |progressed| progress.tell(progressed);
    let again = judge.then_some(Again {
        of: &filter,
        watch: Some(&watch),
    });
    let verified = verify(&tree, &git, again);
    drop(progress);
    let verified = verified.map_err(|error| Failure::Unreadable(error.to_string()))?;
    let unreadable = verified
        .findings
        .iter()
        .any(|finding| finding.nature != Nature::Violation);
    let whole = verified.findings.is_empty();
    let text = match options.format {
        HistoryFormat::Terminal => verified_text(verified, &settings::drawing(&options.drawing)),
        HistoryFormat::Json => {
            verified_json(verified).map_err(|error| Failure::NotWritten(error.into()))?
        }
    };
    output::print(&text)?;
    Ok(match (unreadable, whole) {
        (true, _) => 2,
        (false, false) => 1,
        (false, true) => 0,
    })
}
