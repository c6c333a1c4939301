//! A calibration for other programs.

mod fit;
mod run;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::About;
use crate::calibrate::Calibration;
use crate::report::CAUTION;
use crate::report::output::{self, Head, Output, PROGRAM, Program};
use fit::{Agreement, HeldOut, Residual};
use run::{Figure, Kept, Run};

/// What `offing calibrate --format json` writes.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Calibration")]
struct Whole<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// The program.
    program: Program,
    /// Id of the vessel.
    vessel: &'a str,
    /// Path of its file.
    path: &'a str,
    /// Id of the site that the runs were on.
    site: &'a str,
    /// Day of the last run, universal time.
    day: String,
    /// The runs, in the order in which they were given.
    runs: Vec<Run<'a>>,
    /// Figures that were fitted.
    figures: Vec<Figure>,
    /// Figures that the runs do not tell, and that stay as they were.
    kept: Vec<Kept<'a>>,
    /// Condition number of the fit of the power, its columns scaled to unit length; null where there is none.
    condition: Option<f64>,
    /// By how much what the stretches of a leg have in common swells the variance.
    design_effect: Option<f64>,
    /// How well the fit of the power predicts what it was not fitted to; null where that cannot be determined.
    held_out: Option<HeldOut>,
    /// Why nothing of the fit of the power is written, although there is one.
    refused: Option<&'a str>,
    /// The fit on all stretches.
    fitted: Option<Agreement>,
    /// The vessel as it is stated, on all stretches.
    stated: Option<Agreement>,
    /// Each stretch beside the fit.
    residuals: Vec<Residual>,
    /// What is taken for granted.
    assumptions: &'a [String],
    /// The file that was written; null where none was.
    written: Option<Written<'a>>,
    /// What every report says.
    caution: &'static str,
}

impl Output for Whole<'_> {
    const FORMAT: &'static str = "offing-calibrate";
    const VERSION: u32 = 1;
}

/// The file that was written.
#[derive(Serialize, JsonSchema)]
struct Written<'a> {
    /// Its path.
    path: &'a str,
    /// Id of the vessel in it.
    vessel: &'a str,
    /// Its figures on all stretches.
    agreement: Option<Agreement>,
    /// Speeds of the trial whose powers stay, because nobody ran so slowly or so fast, m/s.
    speeds_left_alone_m_s: Vec<f64>,
    /// Whether figures in it rest on one run.
    better_on_one_run: bool,
}

/// The JSON Schema of the JSON form.
#[must_use]
pub(crate) fn schema() -> Value {
    output::schema::<Whole<'_>>()
}

/// The calibration as JSON text, as its schema ([`schema`]) describes it.
///
/// # Errors
/// Those of the serializer; no calibration is known to cause one.
pub(crate) fn json(found: &Calibration, about: &About<'_>) -> Result<String, serde_json::Error> {
    let written = about.written.map(|file| Written {
        path: file.path,
        vessel: file.id,
        agreement: file.agreement.map(Agreement::from),
        speeds_left_alone_m_s: file.left_alone.iter().map(|speed| speed.get()).collect(),
        better_on_one_run: found.on_one_run(),
    });
    output::text(&Whole {
        head: Head::NEW,
        program: PROGRAM,
        vessel: about.vessel,
        path: about.path,
        site: about.site,
        day: found.day.to_string(),
        runs: found.runs.iter().map(Run::from_run_cut).collect(),
        figures: found.decided.iter().map(Figure::from_decided).collect(),
        kept: found.kept.iter().map(Kept::from_kept).collect(),
        condition: found.condition,
        design_effect: found.design_effect,
        held_out: found.held_out.map(HeldOut::from),
        refused: found.refused.as_deref(),
        fitted: found.fitted.map(Agreement::from),
        stated: found.stated.map(Agreement::from),
        residuals: found.residuals.iter().map(Residual::from).collect(),
        assumptions: &found.assumptions,
        written,
        caution: CAUTION,
    })
}
