//! Options of what is asked about one mission: its launch window, its wind limits, its page.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Drawing, FailOn};

/// Options of `offing window`.
///
/// Exit status: 0 the planned launch passes every rule of severity error; 1 it does not.
#[derive(Debug, Args)]
pub(crate) struct Window {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy to judge by; default: the mission's own
    #[arg(long)]
    pub policy: Option<String>,
    /// Time between two launch times to try, such as `15 min`
    #[arg(long, default_value = "15 min", allow_hyphen_values = true)]
    pub step: String,
    /// Format of the report
    #[arg(long, value_enum, default_value_t = WindowFormat::Terminal)]
    pub format: WindowFormat,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of the launch window.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum WindowFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
}

/// Options of `offing limits`.
///
/// Exit status: 0 the plan passes every rule of severity error in the wind given, or in the one
/// planned for; 1 it does not.
#[derive(Debug, Args)]
pub(crate) struct Limits {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy to judge by; default: the mission's own
    #[arg(long)]
    pub policy: Option<String>,
    /// Angle between two directions, such as `5°`; it must divide the circle and be from 1° to 30°
    #[arg(long, default_value = "10°", allow_hyphen_values = true)]
    pub step: String,
    /// The wind to judge the plan's alternatives in, such as `240° 6 m/s gust 9 m/s at 2 m`; default: the
    /// wind planned for. Default height: that of `--height`
    #[arg(long, allow_hyphen_values = true)]
    pub wind: Option<String>,
    /// Anemometer height over the water for which to show limits, besides the plan's own, from 1 m to 30 m;
    /// default: 2 m, held by hand, as at a launch
    #[arg(long, allow_hyphen_values = true)]
    pub height: Option<String>,
    /// Format of the report
    #[arg(long, value_enum, default_value_t = LimitsFormat::Terminal)]
    pub format: LimitsFormat,
    /// Also draw the limits into an SVG file
    #[arg(long, value_name = "FILE")]
    pub figure: Option<PathBuf>,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of the wind limits.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum LimitsFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
}

/// Options of `offing brief`.
///
/// Exit status: as `offing check`; the page is written whatever the findings.
#[derive(Debug, Args)]
pub(crate) struct Brief {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// HTML file to write; default: the standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Lowest severity that makes the command fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
}
