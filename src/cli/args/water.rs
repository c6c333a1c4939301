//! Options of what is done at the water and after: deciding on a launch, recording a run, the history.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::Drawing;

/// Options of `offing launch`.
///
/// Exit status: 0 go, 1 no go. The decision is recorded either way.
#[derive(Debug, Args)]
pub(crate) struct Launch {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// The wind reading, such as `240° 6 m/s gust 9 m/s at 2 m` or `WSW 6 m/s`
    ///
    /// The direction it comes from, the mean, the strongest gust, and the height of the anemometer over the
    /// water. Default height: 2 m.
    #[arg(long, allow_hyphen_values = true)]
    pub wind: Option<String>,
    /// Voltage of the pack at rest, such as `15.9 V`
    #[arg(long, allow_hyphen_values = true)]
    pub battery: Option<String>,
    /// Charge that a counter shows, such as `92 %`
    #[arg(long, allow_hyphen_values = true)]
    pub charge: Option<String>,
    /// Who decides, by role: the plan's person in charge
    #[arg(long)]
    pub by: Option<String>,
    /// Checklist items that are done
    #[arg(long, value_delimiter = ',', value_name = "ITEM")]
    pub ticked: Vec<String>,
    /// Digest of the plan on paper or aboard, or at least its first eight digits
    #[arg(long)]
    pub digest: Option<String>,
    /// When the boat is launched, such as `2026-05-12T09:05` in the site's time, or with an offset from UTC,
    /// `2026-05-12T09:05+01:00`; default: now
    #[arg(long)]
    pub at: Option<String>,
    /// When the instruments were read, in the same form; default: now
    #[arg(long)]
    pub read: Option<String>,
    /// The time now by a watch that is right, in the same form, if this computer's clock is wrong
    ///
    /// The record holds both.
    #[arg(long)]
    pub now: Option<String>,
    /// Why the boat stayed ashore after an earlier go for this launch, which this decision replaces
    #[arg(long, value_name = "WHY")]
    pub again: Option<String>,
    /// Decide although the plan is in no git repository, so that nothing can be verified later
    #[arg(long)]
    pub without_git: bool,
    /// File to record the decision in; default: one in `launches` at the root of the repository
    #[arg(short, long)]
    pub output: Option<PathBuf>,
    /// Format of the answer
    #[arg(long, value_enum, default_value_t = LaunchFormat::Terminal)]
    pub format: LaunchFormat,
    /// Answer in at most 24 lines of 80 columns: what decides, and how much more there is to read
    #[arg(long)]
    pub short: bool,
    /// How the answer is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of a decision.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum LaunchFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
}

/// Options of `offing record`.
///
/// The plan comes from the commit that was run, which the record names.
#[derive(Debug, Args)]
pub(crate) struct Record {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// The logged track, GPX 1.1 or CSV; the record holds its digest
    #[arg(long)]
    pub track: PathBuf,
    /// File that says what the columns of a CSV track hold
    #[arg(long, value_name = "FILE")]
    pub columns: Option<PathBuf>,
    /// Where the track is stored; default: its file
    #[arg(long)]
    pub kept: Option<String>,
    /// How the run ended
    #[arg(long, value_enum)]
    pub outcome: OutcomeWord,
    /// When the boat was back or given up, such as `2026-05-12T10:05` in the site's time, or with an offset
    /// from UTC, `2026-05-12T10:05+01:00`
    #[arg(long)]
    pub ended: String,
    /// When it was launched, in the same form; default: as decided
    #[arg(long)]
    pub launched: Option<String>,
    /// Who records, by a role that the mission or its policy names
    #[arg(long)]
    pub by: String,
    /// Energy used, such as `31 Wh`
    #[arg(long, allow_hyphen_values = true)]
    pub energy: Option<String>,
    /// What wind and water were like, in words
    #[arg(long)]
    pub conditions: Option<String>,
    /// Something that nearly went wrong, without blame; repeatable
    #[arg(long)]
    pub near_miss: Vec<String>,
    /// The commit that was run; default: the one that is checked out
    #[arg(long)]
    pub commit: Option<String>,
    /// Id of the decision on the launch; default: the one about this plan
    #[arg(long)]
    pub decision: Option<String>,
    /// When this is recorded, in the site's time or with an offset; default: now
    #[arg(long)]
    pub at: Option<String>,
    /// File to record it in; default: one in `runs` at the root of the repository
    #[arg(short, long)]
    pub output: Option<PathBuf>,
}

/// How a run ended.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum OutcomeWord {
    /// As planned
    Completed,
    /// Broken off
    Aborted,
    /// The boat was fetched
    Recovered,
    /// The boat was not seen again
    Lost,
}

/// Options of `offing history`.
///
/// Exit status of `verify`: 0 the chain is whole, 1 it is broken, 2 a record cannot be read.
#[derive(Debug, Args)]
pub(crate) struct History {
    /// What to do with the records; default: list them
    #[command(subcommand)]
    pub action: Option<HistoryAction>,
    /// Folder in the repository
    #[arg(long, default_value = ".", global = true)]
    pub plans: PathBuf,
    /// Only runs of this mission
    #[arg(long, global = true)]
    pub mission: Option<String>,
    /// Only runs of this vessel
    #[arg(long, global = true)]
    pub vessel: Option<String>,
    /// Only runs that ended this way
    #[arg(long, value_enum, global = true)]
    pub outcome: Option<OutcomeWord>,
    /// Only runs on this day or later, in UTC
    #[arg(long, global = true)]
    pub since: Option<String>,
    /// Only runs on this day or earlier
    #[arg(long, global = true)]
    pub until: Option<String>,
    /// Only runs with a near miss
    #[arg(long, global = true)]
    pub near_misses: bool,
    /// Format of the report
    #[arg(long, value_enum, default_value_t = HistoryFormat::Terminal, global = true)]
    pub format: HistoryFormat,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// What to do with records.
#[derive(Clone, Debug, Subcommand)]
pub(crate) enum HistoryAction {
    /// Verify every record against the others, the decisions and git, and name the first break
    Verify {
        /// Also decide each launch again, from its commit and its readings: a go must come out as a go. This
        /// takes as long as judging the plans; limit it by days and missions, as for a list
        #[arg(long)]
        judge: bool,
    },
    /// Seal the end of the chain with a signed tag for somebody else to hold
    ///
    /// No other record names the last one, nor a decision without a run; the seal names them. `verify` holds
    /// the chain to every seal that it finds.
    Seal {
        /// SSH key to sign with: the private one or, with an agent, the public one
        #[arg(long)]
        key: PathBuf,
        /// Who seals, by role
        #[arg(long)]
        by: String,
    },
}

/// Forms of a history.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum HistoryFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
}
