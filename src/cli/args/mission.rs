//! Options of what is asked about one mission: its launch window, its wind limits, its page.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Drawing, FailOn};

/// Options of `offing window`.
///
/// Exit status: 0 the planned launch keeps every rule of severity error, 1 it does not.
#[derive(Debug, Args)]
pub struct Window {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository; all of that is looked through
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy to judge by; the mission's own where none is named
    #[arg(long)]
    pub policy: Option<String>,
    /// Time between two launches that are tried, such as `15 min`
    #[arg(long, default_value = "15 min", allow_hyphen_values = true)]
    pub step: String,
    /// Form of the report
    #[arg(long, value_enum, default_value_t = WindowFormat::Terminal)]
    pub format: WindowFormat,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of the launch window.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum WindowFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
}

/// Options of `offing limits`.
///
/// Exit status: 0 the plan keeps every rule of severity error in the wind given, or in the one planned
/// for; 1 it does not.
#[derive(Debug, Args)]
pub struct Limits {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Folder in the repository; all of that is looked through
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the policy to judge by; the mission's own where none is named
    #[arg(long)]
    pub policy: Option<String>,
    /// Between two directions, such as `5°`; a part of the circle from 1° to 30°
    #[arg(long, default_value = "10°", allow_hyphen_values = true)]
    pub step: String,
    /// The wind to judge the plan's alternatives in, such as `240° 6 m/s gust 9 m/s at 2 m`; the one
    /// planned for where none is given. Default height: that of `--height`
    #[arg(long, allow_hyphen_values = true)]
    pub wind: Option<String>,
    /// Height of the anemometer over the water that limits are told for beside the plan's own, from 1 m to
    /// 30 m; default: 2 m, held by hand, as at a launch
    #[arg(long, allow_hyphen_values = true)]
    pub height: Option<String>,
    /// Form of the report
    #[arg(long, value_enum, default_value_t = LimitsFormat::Terminal)]
    pub format: LimitsFormat,
    /// Draw the limits into an SVG file as well
    #[arg(long, value_name = "FILE")]
    pub figure: Option<PathBuf>,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of the wind limits.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum LimitsFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
}

/// Options of `offing brief`.
///
/// Exit status as of `offing check`; the page is written whatever was found.
#[derive(Debug, Args)]
pub struct Brief {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// The page's file, HTML; the standard output where none is named
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Folder in the repository; all of that is looked through
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Least severity that makes the command fail
    #[arg(long, value_enum, default_value_t = FailOn::Warning)]
    pub fail_on: FailOn,
}
