//! Options of `offing fmt`.

use std::path::PathBuf;

use clap::Args;

/// Options of `offing fmt`.
///
/// Lays out missions, vessels, sites, orders, policies, rules, baselines and columns: indentation, spaces, blank lines, and
/// how units and numbers are spelled. Comments, order and values stay; no unit is converted. Runs, launch
/// decisions and what an approval covers are left alone.
///
/// Exit status: 0 all in form; 1 with `--check`, a file is not in form; 2 a file could not be read; 74 a file
/// could not be written.
#[derive(Debug, Args)]
pub(crate) struct Fmt {
    /// Files, or folders with all files below them
    #[arg(default_value = ".", value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Write nothing; list the files that are not in form
    #[arg(long)]
    pub check: bool,
}
