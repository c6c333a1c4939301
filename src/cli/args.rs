//! The command line as it is typed.

mod calibrate;
mod debrief;
mod exchange;
mod mission;
mod water;

pub use calibrate::{Calibrate, CalibrateFormat};
pub use debrief::{Debrief, DebriefFormat};
pub use exchange::{Export, ExportForm, Import};
pub use mission::{Brief, Limits, LimitsFormat, Window, WindowFormat};
pub use water::{History, HistoryAction, HistoryFormat, Launch, LaunchFormat, OutcomeWord, Record};

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::check::Partition;

/// Checks plans of small uncrewed survey boats against safety rules.
///
/// Exit status: 0 nothing at or above the failing severity; 1 findings; 2 something could not be
/// read or judged; 64 the command line is off; 74 the output could not be written.
#[derive(Debug, Parser)]
#[command(name = "offing", version, about, disable_help_subcommand = true)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check every mission of a folder, or what one file bears on
    Check(Check),
    /// Judge a mission at other times of launch, and tell when it keeps every rule of severity error
    Window(Window),
    /// Decide on a launch, with the wind and the battery as they are read at the water
    Launch(Launch),
    /// Record a plan that was run
    Record(Record),
    /// List the plans that were run, or hold their records against one another and against git
    History(History),
    /// Fit a vessel's figures to runs, and write a new vessel file beside the old one
    Calibrate(Calibrate),
    /// Tell from each direction the strongest wind in which a mission keeps every rule of severity error
    Limits(Limits),
    /// Put a mission on one page, for the water: map, charts, when to turn back, who does what
    Brief(Brief),
    /// Set a run beside its plan: time, energy, cross-track distance, clearances, depths, link
    Debrief(Debrief),
    /// Say what a change does to the plans, and judge it by the policy that stood before it
    Review(Review),
    /// Join the reports of all partitions of a check or a review into that of the whole
    Merge(Merge),
    /// Record what is found now, so that a repository can begin to be checked
    Baseline(Baseline),
    /// Print the lines that stand for a plan and are signed to approve it
    Digest(Digest),
    /// Say what a rule asks for, why, and how to pass it
    Explain(Explain),
    /// List the rules in force, or run the examples that rule files name
    Rules(Rules),
    /// List the measures that rules can speak of
    Measures,
    /// Print the JSON Schema of a kind of file, or of the JSON report
    Schema(Schema),
    /// Print a chapter of the documentation that is made from the program
    Docs(Docs),
    /// Write the route of a plan that checks clean as GPX, GeoJSON or KML
    Export(Export),
    /// Begin a mission from a route in GPX, GeoJSON or KML
    Import(Import),
}

/// Options of `offing check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Folder, file, or id of a mission
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// Form of the report, with `=FILE` written into a file; may be given several times
    ///
    /// terminal, json, sarif (2.1.0), junit, markdown, github (annotations in a job's log), gitlab
    /// (a Code Quality report)
    #[arg(long, value_name = "FORM[=FILE]", default_value = "terminal")]
    pub format: Vec<Wanted>,
    /// Least severity that makes the check fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
    /// Tell of each finding only the sentence, the line to look at first and the first remedy
    #[arg(long)]
    pub short: bool,
    /// Folder that the figures of each mission are written into, as SVG
    #[arg(long, value_name = "DIR")]
    pub figures: Option<PathBuf>,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
    /// Judge N variations of each mission as well, what is not known drawn by lot, and tell how
    /// often each rule fails
    #[arg(long, value_name = "N", value_parser = variations)]
    pub spread: Option<u32>,
    /// Seed of the variations; the same one gives the same variations everywhere
    #[arg(long, default_value_t = 1, requires = "spread")]
    pub seed: u64,
    /// Judge only the missions that the change since a revision bears on, by the work tree's own
    /// policies
    #[arg(long, value_name = "REV")]
    pub changed_since: Option<String>,
    /// Judge only the K-th of N parts of the missions
    #[arg(long, value_name = "K/N")]
    pub partition: Option<Partition>,
}

/// Reads a number of variations.
fn variations(text: &str) -> Result<u32, String> {
    let number = text.parse().ok();
    let allowed = number.filter(|number| (1..=10_000).contains(number));
    allowed.ok_or_else(|| {
        "a whole number from 1 to 10000 is asked for, such as `--spread 200`".to_owned()
    })
}

/// How a report is drawn.
#[derive(Debug, Args)]
pub struct Drawing {
    /// When to colour the report
    #[arg(long, value_enum, default_value_t = Colour::Auto)]
    pub colour: Colour,
    /// Draw lines and frames with ASCII characters
    #[arg(long)]
    pub ascii: bool,
    /// Width of the report in columns; the terminal's, or 100
    #[arg(long, value_parser = clap::value_parser!(u16).range(40..=400))]
    pub width: Option<u16>,
}

/// Options of `offing review`.
#[derive(Debug, Args)]
pub struct Review {
    /// The revision that the change starts from, such as `origin/main`
    pub base: String,
    /// The revision that it leads to; default: the work tree
    pub head: Option<String>,
    /// A folder in the repository, which is reviewed whole
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Whose policies and rules judge
    ///
    /// `head` is for a change of the policy itself: what the change allows is then allowed.
    #[arg(long, value_enum, default_value_t = PolicyFrom::Base)]
    pub policy_from: PolicyFrom,
    /// Review only the K-th of N parts of the missions
    #[arg(long, value_name = "K/N")]
    pub partition: Option<Partition>,
    /// Form of the report, with `=FILE` written into a file; may be given several times
    #[arg(long, value_name = "FORM[=FILE]", default_value = "terminal")]
    pub format: Vec<Wanted>,
    /// Least severity of a new finding that makes the review fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
    /// Folder that the figures of each mission are written into, as SVG
    #[arg(long, value_name = "DIR")]
    pub figures: Option<PathBuf>,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Whose policies and rules judge.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum PolicyFrom {
    /// Those of the revision that the change starts from
    Base,
    /// The change's own
    Head,
}

/// Options of `offing merge`.
///
/// Exit status: that of the whole.
#[derive(Debug, Args)]
pub struct Merge {
    /// Reports of all partitions, as `--format json` or `--format sarif` wrote them
    #[arg(required = true, value_name = "FILE")]
    pub reports: Vec<PathBuf>,
    /// Form of the joined report, json or sarif, with `=FILE` written into a file; both where
    /// reports of both forms are joined
    #[arg(long, value_name = "FORM[=FILE]", required = true)]
    pub format: Vec<Wanted>,
    /// Least severity that makes the whole fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
}

/// Options of `offing baseline`.
///
/// What it records is accepted, for as long as it is no worse, in missions that are launched by the
/// day of the review. New findings fail all the same.
#[derive(Debug, Args)]
pub struct Baseline {
    /// Folder in the repository
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Day by which it is to be reviewed, such as `2027-03-01`
    #[arg(long)]
    pub review_by: Option<String>,
    /// Who accepts it, by role
    #[arg(long)]
    pub by: Option<String>,
    /// Why
    #[arg(long)]
    pub reason: Option<String>,
    /// File that it is written into; `baseline.yaml` at the root of the repository where none is named
    #[arg(short, long)]
    pub output: Option<PathBuf>,
    /// Write a baseline that is there anew, with everything that is found now
    #[arg(long, conflicts_with = "prune")]
    pub renew: bool,
    /// Take off it what is no longer found, and nothing else
    #[arg(long, conflicts_with_all = ["review_by", "by", "reason", "output"])]
    pub prune: bool,
}

/// Options of `offing digest`.
#[derive(Debug, Args)]
pub struct Digest {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository; all of that is looked through
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy that judges it; the mission's own where none is named
    #[arg(long)]
    pub policy: Option<String>,
    /// Print the one digest of them all
    #[arg(long)]
    pub whole: bool,
}

/// Options of `offing explain`.
#[derive(Debug, Args)]
pub struct Explain {
    /// Id of the rule, or of whatever else a command tells under a name
    pub rule: String,
    /// Folder whose rules and policy apply
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy that applies, where the folder has several
    #[arg(long)]
    pub policy: Option<String>,
}

/// Options of `offing rules`.
#[derive(Debug, Args)]
pub struct Rules {
    /// What to do with the rules; default: list them
    #[command(subcommand)]
    pub action: Option<RulesAction>,
    /// Folder whose rules and policy apply
    #[arg(long, default_value = ".", global = true)]
    pub plans: PathBuf,
    /// Id of the policy that applies, where the folder has several
    #[arg(long)]
    pub policy: Option<String>,
}

/// What to do with the rules.
#[derive(Debug, Subcommand)]
pub enum RulesAction {
    /// Judge the missions that rule files name as examples
    Test,
}

/// Options of `offing schema`.
#[derive(Debug, Args)]
pub struct Schema {
    /// A kind of file, such as `mission`, or one of the JSON outputs: check-output, window-output,
    /// launch-output, review-output
    pub kind: String,
}

/// Options of `offing docs`.
#[derive(Debug, Args)]
pub struct Docs {
    /// Which chapter
    #[arg(value_enum)]
    pub chapter: Chapter,
}

/// Chapters that are made from the program.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Chapter {
    /// The rules
    Rules,
    /// The measures
    Measures,
    /// The files and their fields
    Files,
}

/// Forms of the report.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum Format {
    /// For people
    Terminal,
    /// For programs
    Json,
    /// SARIF 2.1.0, for services that show results beside the lines
    Sarif,
    /// JUnit XML, for services that show tests
    Junit,
    /// Markdown, for a comment on a change
    Markdown,
    /// Annotations in a job's log, as GitHub Actions reads them
    Github,
    /// A Code Quality report, as GitLab reads it
    Gitlab,
}

/// A form of the report, and the file that it goes into; the standard output where none is named.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wanted {
    /// The form.
    pub format: Format,
    /// The file.
    pub file: Option<PathBuf>,
}

impl std::str::FromStr for Wanted {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (format, file) = match text.split_once('=') {
            Some((_, "")) => return Err("a file's name belongs after `=`".to_owned()),
            Some((format, file)) => (format, Some(PathBuf::from(file))),
            None => (text, None),
        };
        let format = Format::from_str(format, false).map_err(|_| {
            let known: Vec<String> = Format::value_variants()
                .iter()
                .filter_map(|known| Some(known.to_possible_value()?.get_name().to_owned()))
                .collect();
            format!(
                "there is no form `{format}`; the forms are {}",
                known.join(", ")
            )
        })?;
        Ok(Self { format, file })
    }
}

/// The least severity that fails.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum FailOn {
    /// Errors only
    Error,
    /// Warnings and errors
    Warning,
    /// Everything
    Advice,
}

/// When to colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless `NO_COLOR` is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}
