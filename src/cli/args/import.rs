//! Options of `offing import`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::ImportRoute;

/// Options of `offing import`.
///
/// Exit status: 0 written; 2 the file cannot be read or brought in; 64 a mistake in the command line; 74 the
/// output could not be written.
#[derive(Debug, Args)]
pub(crate) struct Import {
    /// What to bring in
    #[command(subcommand)]
    pub what: ImportWhat,
}

/// What comes in.
#[derive(Debug, Subcommand)]
pub(crate) enum ImportWhat {
    /// Begin a mission from a route in GPX, GeoJSON or KML
    Route(ImportRoute),
    /// Write a shoreline from outlines in GeoJSON, KML, GPX or a shapefile
    Shoreline(ImportShoreline),
}

/// Where what was brought in goes.
#[derive(Debug, Args)]
pub(crate) struct Output {
    /// File to write; default: the standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Write over the file if it is there already
    #[arg(long, requires = "output")]
    pub replace: bool,
}

/// Options of `offing import shoreline`.
///
/// The outermost rings hold water, the rings in them islands, and so on, whichever way round they run. Lines are
/// put together where their ends meet. Gaps and crossings are errors, each with its position.
#[derive(Debug, Args)]
pub(crate) struct ImportShoreline {
    /// File in GeoJSON, KML or GPX, a shapefile (`.shp`) or a ZIP archive of one
    pub file: PathBuf,
    /// System of the coordinates, `EPSG:32632` or a text of PROJ; default: WGS 84, but a shapefile has to say
    #[arg(long, value_name = "SYSTEM", allow_hyphen_values = true)]
    pub crs: Option<String>,
    /// Take points off where the shoreline then moves by no more than this, and only into the water
    #[arg(long, value_name = "LENGTH")]
    pub tolerance: Option<String>,
    /// Close gaps between the ends of lines, up to this, by a straight line
    #[arg(long, value_name = "LENGTH", default_value = "0 m")]
    pub join: String,
    /// Mark an edge past which open water goes on: its two vertices as LAT,LON, and the fetch past it, a length or
    /// `unlimited`; repeatable
    #[arg(long, num_args = 3, value_names = ["FROM", "TO", "FETCH"], allow_hyphen_values = true)]
    pub open: Vec<String>,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}
