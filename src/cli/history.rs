//! `offing record` and `offing history`.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use super::args::{History, HistoryAction, HistoryFormat, OutcomeWord, Record};
use super::progress::Progressing;
use super::records::{git_error, opened, readable};
use super::{Failure, committing, output, place, settings};
use crate::finding::Nature;
use crate::git::commit;
use crate::git::signature::Purpose;
use crate::history::{
    Again, Filter, Logged, Records, Said, record as recorded, signature_of, verify,
};
use crate::plan::run::End;
use crate::report::history::{listed_json, listed_text, verified_json, verified_text};
use crate::report::wrapped;
use crate::schema::explain::{first_of, nearest};
use crate::source::{ReadError, printable_line};
use crate::units::{Dimension, Energy, Typed as _, parse_quantity};

/// Where runs are recorded unless another file is named.
const FOLDER: &str = "runs";
/// Width that what is to be known is wrapped at.
const WIDTH: usize = 100;
/// Names that are reported where one is not there.
const NAMED: usize = 20;
/// The largest track whose digest is taken.
const LARGEST: u64 = 1 << 30;

pub(super) fn record(options: &Record) -> Result<u8, Failure> {
    let (git, tree) = opened(&options.plans)?;
    let commit = commit(&git, options.commit.as_deref().unwrap_or("HEAD")).map_err(git_error)?;
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
        launched: options.launched.clone(),
        ended: options.ended.clone(),
        recorded: options.at.clone(),
        clock: Timestamp::now(),
        by: options.by.clone(),
        outcome: end(options.outcome),
        near_misses: options.near_miss.clone(),
        conditions: options.conditions.clone(),
        energy: energy.transpose()?,
        track: logged(options)?,
    };
    let made = recorded(&tree, &git, &said)?;
    readable(&made.text)?;
    let path = match &options.output {
        Some(path) => path.clone(),
        None => tree.root().join(FOLDER).join(format!("{}.yaml", made.id)),
    };
    super::launch::settled(&tree, &path)?;
    if let Some(folder) = path.parent().filter(|_| options.output.is_none()) {
        output::make_folder(folder)?;
    }
    let once = "a run is recorded once and never overwritten; name another file with `--output`";
    output::deliver_new(&made.text, &path, once)?;
    let shown = place::below(tree.root(), &path);
    let mut text = format!("recorded in {}\n", printable_line(&shown));
    if !made.doubts.is_empty() {
        text.push_str("notes:\n");
        for doubt in &made.doubts {
            let line = format!("  - {}: {}", doubt.id, printable_line(&doubt.says));
            text.push_str(&wrapped(&line, WIDTH));
        }
    }
    let mut files = vec![shown.clone()];
    if made.to_be_signed {
        text.push_str(&to_sign(&shown, &said.by));
        files.extend(signature_of(&shown, &said.by));
    }
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let command = committing::command(
        tree.root(),
        &options.plans,
        &files,
        &format!("Record {}", made.id),
        made.commit_to_be_signed,
    );
    text.push_str(&format!("commit it to put it on record:\n  {command}\n"));
    output::print(&text)?;
    Ok(0)
}

/// How a record is signed.
fn to_sign(path: &str, by: &str) -> String {
    let (path, by) = (printable_line(path), printable_line(by));
    match signature_of(&path, &by) {
        Some(signature) => format!(
            "the policy requires the signature of `{by}`:\n  ssh-keygen -Y sign -n {} -f KEY \
             {path}\n  mv {path}.sig {signature}\n",
            Purpose::Record.name()
        ),
        None => format!("the policy requires a signature, and `{by}` is the name of no signer\n"),
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

/// The track: its digest, and when it begins and ends as far as it can be read.
fn logged(options: &Record) -> Result<Logged, Failure> {
    let sha256 = track(&options.track)?;
    let columns = options.columns.as_deref().map(super::track::columns);
    let columns = columns.transpose()?;
    let read = match super::track::track(&options.track, columns.as_ref().map(|of| &of.columns)) {
        Ok(named) if named.track.samples.is_empty() => {
            let shown = options.track.display().to_string();
            Err(format!(
                "{}: it holds no fix with a time",
                printable_line(&shown)
            ))
        }
        Ok(named) => Ok(named.track),
        Err(Failure::Usage(why) | Failure::Unreadable(why)) => Err(why),
        Err(error @ Failure::NotWritten(_)) => return Err(error),
    };
    let kept = match &options.kept {
        Some(kept) => kept.clone(),
        // Bytes that are no text cannot be kept as they are.
        None => match options.track.to_str() {
            Some(path) => path.to_owned(),
            None => {
                return Err(Failure::Usage(format!(
                    "`{}` is not UTF-8, so no record can hold this name; rename the file, or say \
                     where it is stored with `--kept`",
                    printable_line(&options.track.display().to_string())
                )));
            }
        },
    };
    Ok(Logged { sha256, kept, read })
}

/// SHA-256 of a track's bytes.
fn track(path: &Path) -> Result<String, Failure> {
    use sha2::{Digest as _, Sha256};
    let shown = path.display().to_string();
    let unreadable =
        |error: std::io::Error| Failure::Unreadable(ReadError::from_io(&shown, &error).to_string());
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
    Ok(format!("{:x}", hash.finalize()))
}

pub(super) fn history(options: &History) -> Result<u8, Failure> {
    match &options.action {
        None => list(options),
        Some(HistoryAction::Verify { judge }) => verified(options, *judge),
        Some(HistoryAction::Seal { key, by }) => {
            if filter(options)? != Filter::default() || options.format != HistoryFormat::Terminal {
                let text = "seal works on the whole chain, and reports in words only";
                return Err(Failure::Usage(text.to_owned()));
            }
            super::seal::sealed(&options.plans, key, by)
        }
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
    for of in none_of(&records, &filter) {
        output::complain(&of);
    }
    let text = match options.format {
        HistoryFormat::Terminal => listed_text(&listed, &totals),
        HistoryFormat::Json => {
            listed_json(&listed, &totals).map_err(|error| Failure::NotWritten(error.into()))?
        }
    };
    output::print(&text)?;
    Ok(0)
}

/// Of what that is named no run is recorded: nothing listed may be nothing run, or a slip of the pen.
fn none_of(records: &Records, filter: &Filter) -> Vec<String> {
    let runs = || records.records.iter().map(|one| &one.run);
    let missions = runs().map(|run| run.mission.value.as_str());
    let vessels = runs().map(|run| run.vessel.as_str());
    let asked = [
        ("mission", &filter.mission, missions.collect::<Vec<_>>()),
        ("vessel", &filter.vessel, vessels.collect()),
    ];
    let none = asked.into_iter().filter_map(|(what, id, known)| {
        let id = id.as_deref().filter(|id| !known.contains(id))?;
        Some(no_run(what, id, known))
    });
    none.collect()
}

/// That no run of something is recorded, and of what there are some.
fn no_run(what: &str, id: &str, mut known: Vec<&str>) -> String {
    known.sort_unstable();
    known.dedup();
    let hint = match nearest(id, &known) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => "no runs recorded yet".to_owned(),
        None => format!("there are runs of {}", first_of(&known, NAMED)),
    };
    format!("no recorded run of a {what} `{id}`; {hint}")
}

fn filter(options: &History) -> Result<Filter, Failure> {
    let since = day(options.since.as_deref(), "since")?;
    let until = day(options.until.as_deref(), "until")?;
    if let (Some(since), Some(until)) = (since, until)
        && since > until
    {
        return Err(Failure::Usage(format!(
            "--since, {since}, is after --until, {until}, so no run is between them"
        )));
    }
    Ok(Filter {
        mission: options.mission.clone(),
        vessel: options.vessel.clone(),
        outcome: options.outcome.map(end),
        since,
        until,
        near_misses: options.near_misses,
    })
}

fn verified(options: &History, judge: bool) -> Result<u8, Failure> {
    let filter = filter(options)?;
    if !judge && filter != Filter::default() {
        let text = "verify works on the whole chain; list filters go only with `verify --judge`, \
                    and select the launches to decide again";
        return Err(Failure::Usage(text.to_owned()));
    }
    let (git, tree) = opened(&options.plans)?;
    let records = Records::read(&tree);
    let records = records.map_err(|error| Failure::Unreadable(error.to_string()))?;
    if filter.mission.is_some() || filter.vessel.is_some() {
        // To have judged nothing is no answer to a question with a slip in it.
        if let Some(none) = none_of(&records, &filter).into_iter().next() {
            return Err(Failure::Usage(none));
        }
    }
    let progress = Progressing::begin("judging launches");
    let watch = |progressed| progress.tell(progressed);
    let again = judge.then_some(Again {
        of: &filter,
        watch: Some(&watch),
    });
    let verified = verify((records, &tree), &git, again);
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
