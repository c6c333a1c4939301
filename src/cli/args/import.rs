//! Options of `offing import`.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

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
    /// Write soundings from text, CSV, an ESRI ASCII grid, a GeoTIFF or GeoJSON, thinned to the shoalest
    Soundings(ImportSoundings),
    /// Write the forecast of a mission's conditions from CSV or JSON
    Forecast(ImportForecast),
    /// Write a survey block of a mission's route from a polygon
    Area(ImportArea),
    /// Write launch sites, stations and hazards of a site from points in GeoJSON
    Places(ImportPlaces),
    /// Write a vessel's speed-power trial and hotel load from a table of the runs
    Trial(ImportTrial),
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

/// Which site what is brought in belongs to.
#[derive(Debug, Args)]
pub(crate) struct OfSite {
    /// Id of the site that it belongs to, which it has to lie by; default: any site of the repository
    ///
    /// Latitude and longitude that are swapped are found out by it.
    #[arg(long)]
    pub site: Option<String>,
    /// Folder in the repository, all of which is searched for sites
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
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
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub tolerance: Option<String>,
    /// Close gaps between the ends of lines, up to this, by a straight line
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        default_value = "0 m"
    )]
    pub join: String,
    /// Mark an edge past which open water goes on: its two vertices as LAT,LON, and the fetch past it, a length or
    /// `unlimited`; repeatable
    #[arg(long, num_args = 3, value_names = ["FROM", "TO", "FETCH"], allow_hyphen_values = true)]
    pub open: Vec<String>,
    /// Keep this vertex, as LAT,LON, such as an end of a straight shore that the site marks; repeatable
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub keep: Vec<String>,
    /// Which site it belongs to
    #[command(flatten)]
    pub of_site: OfSite,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}

/// What the numbers of a file of soundings are.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum Depths {
    /// Depths below the datum, positive downwards
    PositiveDown,
    /// Heights of the bed, positive upwards
    Elevations,
}

/// Options of `offing import soundings`.
///
/// Nothing is guessed: sign, datum, unit and system have to be stated where the file does not state them itself.
#[derive(Debug, Args)]
pub(crate) struct ImportSoundings {
    /// File of x, y and z in text or CSV, an ESRI ASCII grid, a GeoTIFF of one band, or points in GeoJSON
    pub file: PathBuf,
    /// What the numbers are
    #[arg(long, value_enum)]
    pub depths: Option<Depths>,
    /// Datum that depths are below, as people name it
    #[arg(long, value_name = "NAME")]
    pub datum: Option<String>,
    /// Height of that datum among the heights of the file, for `--depths elevations`
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub datum_height: Option<String>,
    /// Unit of the numbers, such as `m` or `ft`
    #[arg(long)]
    pub unit: Option<String>,
    /// System of the coordinates, `EPSG:32632` or a text of PROJ; a GeoTIFF may state its own
    #[arg(long, value_name = "SYSTEM", allow_hyphen_values = true)]
    pub crs: Option<String>,
    /// Keep the shoalest sounding of each square cell of this side; default: keep all
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub cell: Option<String>,
    /// Number that stands for no depth; default: the one that a grid or an image states
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    pub no_data: Option<f64>,
    /// Heading of the column of eastings or longitudes; its number, from 1, where the file has no headings
    #[arg(long, value_name = "HEADING", requires_all = ["y", "z"])]
    pub x: Option<String>,
    /// Heading of the column of northings or latitudes
    #[arg(long, value_name = "HEADING", requires_all = ["x", "z"])]
    pub y: Option<String>,
    /// Heading of the column of depths or heights; of points in GeoJSON, alone, the property
    ///
    /// Without it the third number of a point's position is its depth.
    #[arg(long, value_name = "HEADING")]
    pub z: Option<String>,
    /// File of kind track-columns that names latitude, longitude and depth, as for the boat's own record
    #[arg(long, value_name = "FILE", conflicts_with_all = ["x", "y", "z", "unit"])]
    pub columns: Option<PathBuf>,
    /// Which site it belongs to
    #[command(flatten)]
    pub of_site: OfSite,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}

/// Options of `offing import forecast`.
///
/// Each of `--time`, `--from`, `--mean`, `--gust` and `--visibility` says where its values stand and in which unit: `HEADING in UNIT`
/// for CSV, `PATH in UNIT` for JSON, such as `--mean "hourly.wind in km/h"` or `--mean "hours[].wind in m/s"`. Leave
/// `in UNIT` out where the file states the unit; another one than it states is an error.
#[derive(Debug, Args)]
pub(crate) struct ImportForecast {
    /// File in CSV with headings, or in JSON
    pub file: PathBuf,
    /// Times: in `UTC`, or at an offset such as `+02:00`, in `ISO 8601` with offsets of their own, in `seconds` or
    /// `milliseconds` since 1970
    #[arg(long, value_name = "WHERE in FORM")]
    pub time: String,
    /// Direction from which the wind comes
    #[arg(long, value_name = "WHERE in UNIT")]
    pub from: String,
    /// Mean wind
    #[arg(long, value_name = "WHERE in UNIT")]
    pub mean: String,
    /// Gust
    #[arg(long, value_name = "WHERE in UNIT")]
    pub gust: String,
    /// Where the forecast comes from
    #[arg(long, value_name = "TEXT")]
    pub source: String,
    /// Time of issue, such as `2027-06-15T06:00Z`
    #[arg(long, value_name = "TIME")]
    pub issued: String,
    /// Until when it holds; later hours are left out
    #[arg(long, value_name = "TIME")]
    pub valid_until: String,
    /// Height that its wind is given for, often `10 m`
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub height: String,
    /// How far either side the direction may differ
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    pub spread: String,
    /// Visibility, if the file has it; the least of the hours is written
    #[arg(long, value_name = "WHERE in UNIT")]
    pub visibility: Option<String>,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}

/// Options of `offing import area`.
#[derive(Debug, Args)]
pub(crate) struct ImportArea {
    /// File with the outline in GeoJSON, KML or GPX, a shapefile (`.shp`) or a ZIP archive of one
    pub file: PathBuf,
    /// Id of the block
    #[arg(long)]
    pub id: String,
    /// Id of the site, whose keep-outs and hazards the lines stay clear of
    #[arg(long)]
    pub site: String,
    /// Folder in the repository, all of which is searched for the site
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// System of the coordinates, `EPSG:32632` or a text of PROJ; default: WGS 84, but a shapefile has to say
    #[arg(long, value_name = "SYSTEM", allow_hyphen_values = true)]
    pub crs: Option<String>,
    /// Least depth of the area below the sonar
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub depth: String,
    /// Opening angle of the beam across the line
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    pub beam: String,
    /// Share of its width by which a swath overlaps the next
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub overlap: String,
    /// Lines up and down the planned wind, which comes from here, such as `240°` or `WSW`
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true, conflicts_with_all = ["longest_side", "direction"])]
    pub wind_from: Option<String>,
    /// Lines along the longest side of the area
    #[arg(long, conflicts_with = "direction")]
    pub longest_side: bool,
    /// Lines in this direction
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    pub direction: Option<String>,
    /// Room beyond the area for the turns, at both ends of each line
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub turn_room: String,
    /// Distance of lines and turns from keep-outs and hazards
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        default_value = "0 m"
    )]
    pub clear_of_keep_outs: String,
    /// Distance of the lines from the shoreline; left to be filled in where it is not stated
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub clear_of_land: Option<String>,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}

/// Options of `offing import trial`.
///
/// The runs at one setting go there and back in turn, and their mean of means is a point. A row without a speed or a time
/// was read with the motors off: its power is the hotel load, and is taken off the others.
#[derive(Debug, Args)]
pub(crate) struct ImportTrial {
    /// File in CSV with headings, a row for each run
    pub file: PathBuf,
    /// Heading of the column that tells the settings apart, such as the throttle
    #[arg(long, value_name = "HEADING")]
    pub setting: String,
    /// Speeds of the runs, such as `v in m/s`
    #[arg(long, value_name = "HEADING in UNIT", conflicts_with_all = ["time", "distance"])]
    pub speed: Option<String>,
    /// Times that the runs took over `--distance`, such as `time in s`
    #[arg(long, value_name = "HEADING in UNIT", requires = "distance")]
    pub time: Option<String>,
    /// Length of the line that the runs were timed over
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        requires = "time"
    )]
    pub distance: Option<String>,
    /// Power that everything aboard takes, such as `watts in W`
    #[arg(long, value_name = "HEADING in UNIT")]
    pub power: String,
    /// Day of the trial
    #[arg(long, value_name = "DAY")]
    pub date: String,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}

/// Options of `offing import places`.
///
/// Each point has its property `kind`, `launch site`, `station` or a kind of hazard, and its `id`. What else the file
/// holds is left out, so that it may be that of the shoreline.
#[derive(Debug, Args)]
pub(crate) struct ImportPlaces {
    /// File in GeoJSON
    pub file: PathBuf,
    /// Which site it belongs to
    #[command(flatten)]
    pub of_site: OfSite,
    /// Where it goes
    #[command(flatten)]
    pub output: Output,
}
