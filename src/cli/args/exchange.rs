//! Options of the commands that write and read routes.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// Options of `offing export`.
///
/// Exit status: 0 written; 1 findings of severity error or warning stand, and nothing was written.
#[derive(Debug, Args)]
pub(crate) struct Export {
    /// Id of the mission, or path of its file
    pub mission: String,
    /// Format
    #[arg(long, value_enum)]
    pub to: ExportForm,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// Write it despite findings; the file then says which rules are not met
    #[arg(long)]
    pub despite_findings: bool,
    /// File to write; default: the standard output
    #[arg(short, long)]
    pub output: Option<PathBuf>,
}

/// Formats of a route that goes out.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum ExportForm {
    /// GPX 1.1
    Gpx,
    /// GeoJSON (RFC 7946)
    Geojson,
    /// KML 2.2
    Kml,
}

/// Options of `offing import route`.
#[derive(Debug, Args)]
pub(crate) struct ImportRoute {
    /// File in GPX, GeoJSON or KML
    pub file: PathBuf,
    /// Id of the vessel; default: the only one in the repository
    #[arg(long)]
    pub vessel: Option<String>,
    /// Id of the site; default: the only one in the repository
    #[arg(long)]
    pub site: Option<String>,
    /// Id of the mission; default: made from the name of the route or of the file
    #[arg(long)]
    pub id: Option<String>,
    /// File to write the mission into, which must not exist; default: the standard output
    #[arg(short, long)]
    pub output: Option<PathBuf>,
}
