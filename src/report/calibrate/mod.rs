//! A calibration told: at a terminal, for other programs, on a page, and its residuals as figures.

mod figures;
mod json;
mod page;
mod text;
mod words;

pub(crate) use figures::{by_angle, by_speed, by_wind};
pub(crate) use json::{json, schema};
pub(crate) use page::html;
pub use text::text;

use crate::calibrate::Agreement;
use crate::units::Speed;

/// What was calibrated, and what was written of it.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// Id of the vessel.
    pub vessel: &'a str,
    /// Path of its file.
    pub path: &'a str,
    /// Id of the site.
    pub site: &'a str,
    /// Whom to call in an emergency there, where the site names somebody.
    pub contact: Option<&'a str>,
    /// The file that was written, where one was.
    pub written: Option<&'a File<'a>>,
}

/// A file that was written.
#[derive(Clone, Copy, Debug)]
pub struct File<'a> {
    /// Its path.
    pub path: &'a str,
    /// Id of the vessel in it.
    pub id: &'a str,
    /// Its figures on the stretches.
    pub agreement: Option<Agreement>,
    /// Speeds of the trial whose powers were left as they were.
    pub left_alone: &'a [Speed],
}
