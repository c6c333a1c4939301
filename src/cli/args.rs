//! The command line as it is typed.

mod begin;
mod calibrate;
mod debrief;
mod exchange;
mod format;
mod import;
mod mission;
mod water;

pub(super) use begin::{Init, New, Repeat, Service};
pub(super) use calibrate::{Calibrate, CalibrateFormat};
pub(super) use debrief::{Debrief, DebriefFormat};
pub(super) use exchange::{Export, ExportForm, ImportRoute};
pub(super) use format::Fmt;
pub(super) use import::{
    Depths, Import, ImportArea, ImportForecast, ImportPlaces, ImportShoreline, ImportSoundings,
    ImportTrial, ImportWhat, OfSite, Output,
};
pub(super) use mission::{Brief, Limits, LimitsFormat, Window, WindowFormat};
pub(super) use water::{
    History, HistoryAction, HistoryFormat, Launch, LaunchFormat, OutcomeWord, Record,
};

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::check::Partition;

/// Checks plans of small uncrewed survey boats against safety rules.
///
/// Exit status: 0 nothing at or above the failing severity; 1 findings; 2 something could not be
/// read or judged; 64 a mistake in the command line; 74 the output could not be written.
#[derive(Debug, Parser)]
#[command(name = "offing", version, about, disable_help_subcommand = true)]
pub(super) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Check every mission in a folder, or the missions that one file affects
    Check(Check),
    /// Judge a mission at other launch times, and show when it passes every rule of severity error
    Window(Window),
    /// Decide on a launch, with wind and battery readings taken at the water
    Launch(Launch),
    /// Record a plan that was run
    Record(Record),
    /// List the plans that were run, or verify their records against one another and against git
    History(History),
    /// Fit a vessel's figures to runs, and write a new vessel file beside the old one
    Calibrate(Calibrate),
    /// Show for each direction the strongest wind in which a mission passes every rule of severity error
    Limits(Limits),
    /// Put a mission on one page, for the water: map, charts, when to turn back, who does what
    Brief(Brief),
    /// Compare a run with its plan: time, energy, cross-track distance, clearances, depths, link
    Debrief(Debrief),
    /// Show what a change does to the plans, and judge it by the policy before the change
    Review(Review),
    /// Begin a file, with what it has to say as marked gaps
    New(New),
    /// Begin missions that run a plan again on other days
    Repeat(Repeat),
    /// Begin a team's repository: folders, skeletons, what git and CI need
    Init(Init),
    /// Lay out the files: indentation, spaces, how units and numbers are spelled; values stay
    Fmt(Fmt),
    /// Merge the reports of all partitions of a check or a review into one
    Merge(Merge),
    /// Record the present findings as a baseline, so that checks can begin
    Baseline(Baseline),
    /// Print the digest lines of a plan, which a role signs to approve it
    Digest(Digest),
    /// Explain what a rule requires, why, and how to pass it
    Explain(Explain),
    /// List the rules in force, or run the examples in the rule files
    Rules(Rules),
    /// List the measures that rules can use
    Measures,
    /// Print the JSON Schema of a kind of file, or of the JSON report
    Schema(Schema),
    /// Print a chapter of the documentation that the program generates
    Docs(Docs),
    /// Write the route of a plan that checks clean as GPX, GeoJSON or KML
    Export(Export),
    /// Bring in data of others: a route, a shoreline, soundings, a forecast, an area, places, a trial
    Import(Import),
}

/// Options of `offing check`.
#[derive(Debug, Args)]
pub(super) struct Check {
    /// Folder, file, or id of a mission
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// Format of the report; `FORMAT=FILE` writes it to a file; repeatable
    ///
    /// terminal, json, sarif (2.1.0), junit, markdown, github (annotations in a job's log), gitlab
    /// (a Code Quality report)
    #[arg(long, value_name = "FORM[=FILE]", default_value = "terminal")]
    pub format: Vec<Wanted>,
    /// Lowest severity that makes the check fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
    /// Show for each finding only the sentence, the first line to look at and the first fix
    #[arg(long)]
    pub short: bool,
    /// Folder to write each mission's figures into, as SVG
    #[arg(long, value_name = "DIR")]
    pub figures: Option<PathBuf>,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
    /// Also judge N random variations of each mission's uncertain figures, and show how often each rule fails
    #[arg(long, value_name = "N", value_parser = variations)]
    pub spread: Option<u32>,
    /// Seed of the variations; the same seed gives the same variations on every machine
    #[arg(long, default_value_t = 1, requires = "spread")]
    pub seed: u64,
    /// Judge only the missions affected by the change since a revision, by the work tree's own policies
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
    allowed.ok_or_else(|| "give a whole number from 1 to 10000, such as `--spread 200`".to_owned())
}

/// How a report is drawn.
#[derive(Debug, Args)]
pub(super) struct Drawing {
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
pub(super) struct Review {
    /// The revision that the change starts from, such as `origin/main`
    pub base: String,
    /// The revision that the change ends at; default: the work tree
    pub head: Option<String>,
    /// A folder in the repository, all of which is reviewed
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Whose policies and rules judge
    ///
    /// `head` is for a change of the policy itself: it then allows whatever the change allows.
    #[arg(long, value_enum, default_value_t = PolicyFrom::Base)]
    pub policy_from: PolicyFrom,
    /// Review only the K-th of N parts of the missions
    #[arg(long, value_name = "K/N")]
    pub partition: Option<Partition>,
    /// Format of the report; `FORMAT=FILE` writes it to a file; repeatable
    #[arg(long, value_name = "FORM[=FILE]", default_value = "terminal")]
    pub format: Vec<Wanted>,
    /// Lowest severity of a new finding that makes the review fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
    /// Folder to write each mission's figures into, as SVG
    #[arg(long, value_name = "DIR")]
    pub figures: Option<PathBuf>,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Whose policies and rules judge.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum PolicyFrom {
    /// Those of the revision that the change starts from
    Base,
    /// The change's own
    Head,
}

/// Options of `offing merge`.
///
/// Exit status: that of the whole.
#[derive(Debug, Args)]
pub(super) struct Merge {
    /// Reports of all partitions, as `--format json` or `--format sarif` wrote them
    #[arg(required = true, value_name = "FILE")]
    pub reports: Vec<PathBuf>,
    /// Format of the merged report, json or sarif; `FORMAT=FILE` writes it to a file; both, to merge reports
    /// of both formats
    #[arg(long, value_name = "FORM[=FILE]", required = true)]
    pub format: Vec<Wanted>,
    /// Lowest severity that makes the whole fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
}

/// Options of `offing baseline`.
///
/// A baseline accepts the findings that it records, as long as they get no worse, in missions launched by the
/// day of its review. New findings fail all the same.
#[derive(Debug, Args)]
pub(super) struct Baseline {
    /// Folder in the repository
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Day by which somebody reviews it, such as `2027-03-01`
    #[arg(long)]
    pub review_by: Option<String>,
    /// Who accepts it, by role
    #[arg(long)]
    pub by: Option<String>,
    /// Why
    #[arg(long)]
    pub reason: Option<String>,
    /// File to write; default: `baseline.yaml` at the root of the repository
    #[arg(short, long)]
    pub output: Option<PathBuf>,
    /// Rewrite an existing baseline with everything found now
    #[arg(long, conflicts_with = "prune")]
    pub renew: bool,
    /// Remove from it what is no longer found, and change nothing else
    #[arg(long, conflicts_with_all = ["review_by", "by", "reason", "output"])]
    pub prune: bool,
}

/// Options of `offing digest`.
#[derive(Debug, Args)]
pub(super) struct Digest {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy that judges it; default: the mission's own
    #[arg(long)]
    pub policy: Option<String>,
    /// Print the single digest of all the lines
    #[arg(long)]
    pub whole: bool,
}

/// Options of `offing explain`.
#[derive(Debug, Args)]
pub(super) struct Explain {
    /// Id of the rule, or any other name that a report shows
    pub rule: String,
    /// Folder whose rules and policy apply
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy that applies, if the folder has several
    #[arg(long)]
    pub policy: Option<String>,
}

/// Options of `offing rules`.
#[derive(Debug, Args)]
pub(super) struct Rules {
    /// What to do with the rules; default: list them
    #[command(subcommand)]
    pub action: Option<RulesAction>,
    /// Folder whose rules and policy apply
    #[arg(long, default_value = ".", global = true)]
    pub plans: PathBuf,
    /// Id of the policy that applies, if the folder has several
    #[arg(long)]
    pub policy: Option<String>,
}

/// What to do with the rules.
#[derive(Debug, Subcommand)]
pub(super) enum RulesAction {
    /// Judge the example missions in the rule files
    Test,
}

/// Options of `offing schema`.
#[derive(Debug, Args)]
pub(super) struct Schema {
    /// A kind of file, such as `mission`, or what a command writes as JSON, such as `check-output`;
    /// any other word lists them all
    pub kind: String,
}

/// Options of `offing docs`.
#[derive(Debug, Args)]
pub(super) struct Docs {
    /// Which chapter
    #[arg(value_enum)]
    pub chapter: Chapter,
}

/// Chapters that the program generates.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Chapter {
    /// The rules
    Rules,
    /// The measures
    Measures,
    /// The files and their fields
    Files,
}

/// Forms of the report.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum Format {
    /// For people
    Terminal,
    /// For programs
    Json,
    /// SARIF 2.1.0, for services that show results next to the lines
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
pub(super) struct Wanted {
    /// The form.
    pub format: Format,
    /// The file.
    pub file: Option<PathBuf>,
}

impl std::str::FromStr for Wanted {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (format, file) = match text.split_once('=') {
            Some((_, "")) => return Err("a file name must follow `=`".to_owned()),
            Some((format, file)) => (format, Some(PathBuf::from(file))),
            None => (text, None),
        };
        let format = Format::from_str(format, false).map_err(|_| {
            let known: Vec<String> = Format::value_variants()
                .iter()
                .filter_map(|known| Some(known.to_possible_value()?.get_name().to_owned()))
                .collect();
            format!(
                "there is no format `{format}`; the formats are {}",
                known.join(", ")
            )
        })?;
        Ok(Self { format, file })
    }
}

/// The least severity that fails.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum FailOn {
    /// Errors only
    Error,
    /// Warnings and errors
    Warning,
    /// Everything
    Advice,
}

/// When to colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(super) enum Colour {
    /// On a terminal, unless `NO_COLOR` is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}
