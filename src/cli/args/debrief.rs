//! Options of what is told of a run beside its plan.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Drawing, FailOn};

/// Options of `offing debrief`.
///
/// Exit status: 0 the plan's figures held, 1 some did not, 2 something could not be judged.
#[derive(Debug, Args)]
pub(crate) struct Debrief {
    /// Id of the mission, or path of its file from the root of the repository
    pub mission: String,
    /// What the boat recorded: GPX 1.1, or CSV with `--columns`
    #[arg(long, value_name = "FILE")]
    pub track: PathBuf,
    /// File of kind `track-columns` that says what the columns of a CSV file hold
    #[arg(long, value_name = "FILE")]
    pub columns: Option<PathBuf>,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy to judge by; default: the mission's own
    #[arg(long)]
    pub policy: Option<String>,
    /// Format of the report
    #[arg(long, value_enum, default_value_t = DebriefFormat::Terminal)]
    pub format: DebriefFormat,
    /// File to write; default: the standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Lowest severity that makes the command fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of a debrief.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum DebriefFormat {
    /// For people at a terminal
    Terminal,
    /// For programs
    Json,
    /// For a comment, or the team's notes
    Markdown,
    /// A self-contained page, with a map and charts
    Html,
}
