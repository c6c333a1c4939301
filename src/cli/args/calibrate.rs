//! Options of `offing calibrate`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::Drawing;

/// Options of `offing calibrate`.
///
/// Exit status: 0 a new file was written; 1 none was, since no figure changes or the runs show
/// none.
#[derive(Debug, Args)]
pub(crate) struct Calibrate {
    /// Id of the vessel, or path of its file from the root of the repository
    pub vessel: String,
    /// CSV tracks of runs with voltage and current, one or more
    #[arg(long, required = true, num_args = 1.., value_name = "FILE")]
    pub track: Vec<PathBuf>,
    /// File that says what the columns of the tracks hold
    #[arg(long, value_name = "FILE")]
    pub columns: Option<PathBuf>,
    /// The wind of each track, in their order, such as `240° 6 m/s at 2 m`; repeatable
    ///
    /// Default: the wind read at the launch, from the record that names the track's digest. Default height: 2
    /// m.
    #[arg(long, value_name = "WIND", allow_hyphen_values = true)]
    pub wind: Vec<String>,
    /// Folder that holds the vessel and the site
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the site of the runs; default: the one on whose water the first run begins
    #[arg(long)]
    pub site: Option<String>,
    /// Id of the new vessel; default: the old id with `-calibrated-` and the day of the last run
    #[arg(long)]
    pub id: Option<String>,
    /// Let a single run improve a figure; the file then says so
    #[arg(long)]
    pub despite_one_run: bool,
    /// Accept a figure that comes out at less than half of the stated one
    #[arg(long)]
    pub despite_large_gain: bool,
    /// The new vessel file, which must not exist; default: one next to the old file
    #[arg(short, long)]
    pub output: Option<PathBuf>,
    /// File to draw the residuals into, as SVG
    #[arg(long, value_name = "FILE")]
    pub figure: Option<PathBuf>,
    /// Format of the report
    #[arg(long, value_enum, default_value_t = CalibrateFormat::Terminal)]
    pub format: CalibrateFormat,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of the report.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CalibrateFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
    /// A self-contained page, with figures of the residuals
    Html,
}
