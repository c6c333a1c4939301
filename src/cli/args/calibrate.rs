//! Options of `offing calibrate`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::Drawing;

/// Options of `offing calibrate`.
///
/// Exit status: 0 a new file is written, 1 none is, since no figure changes or none is told.
#[derive(Debug, Args)]
pub struct Calibrate {
    /// Id of the vessel, or path of its file from the root of the repository
    pub vessel: String,
    /// Tracks of runs with voltage and current, in CSV; several may follow one another
    #[arg(long, required = true, num_args = 1.., value_name = "FILE")]
    pub track: Vec<PathBuf>,
    /// File that says which columns of the tracks hold what
    #[arg(long, value_name = "FILE")]
    pub columns: Option<PathBuf>,
    /// The wind of each track, in their order, such as `240° 6 m/s at 2 m`; several times
    ///
    /// Where none is given, it is the one read at the launch, from the record that names the track's
    /// digest. Default height: 2 m.
    #[arg(long, value_name = "WIND")]
    pub wind: Vec<String>,
    /// Folder that holds the vessel and the site
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Id of the site that the runs were on; the one whose water the first begins on where none is named
    #[arg(long)]
    pub site: Option<String>,
    /// Id of the new vessel; the old one with `-calibrated-` and the day of the last run where none is
    /// given
    #[arg(long)]
    pub id: Option<String>,
    /// Let one run make a figure better; the file then says so
    #[arg(long)]
    pub despite_one_run: bool,
    /// Take a figure that comes out at less than half of what is stated
    #[arg(long)]
    pub despite_large_gain: bool,
    /// The new vessel file, which must not be there; one beside the old where none is named
    #[arg(short, long)]
    pub output: Option<PathBuf>,
    /// File that the residuals are drawn into, as SVG
    #[arg(long, value_name = "FILE")]
    pub figure: Option<PathBuf>,
    /// Form of the report
    #[arg(long, value_enum, default_value_t = CalibrateFormat::Terminal)]
    pub format: CalibrateFormat,
    /// How the report is drawn
    #[command(flatten)]
    pub drawing: Drawing,
}

/// Forms of the report.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum CalibrateFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
    /// A page of its own, with what the fit leaves unexplained as figures
    Html,
}
