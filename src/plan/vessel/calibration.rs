//! Where a calibrated vessel's figures come from.

use jiff::civil::Date;

use crate::plan::time;
use crate::schema::{Fields, Stated};
use crate::units::Power;

/// The provenance of figures that were fitted to runs.
#[derive(Clone, PartialEq, Debug)]
pub struct Calibration {
    /// Day of the last run, universal time.
    pub date: Stated<Date>,
    /// Id of the vessel that it was made of.
    pub from: Stated<String>,
    /// How far off the fit was on what it had not seen, and its mean, where that could be determined.
    pub held_out: Option<(Stated<Power>, Stated<Power>)>,
    /// Whether a figure was made better on one run only.
    pub better_on_one_run: bool,
}

/// Reads the provenance; `None` where a needed value is missing or malformed.
pub(super) fn parse(fields: Fields<'_>) -> Option<Calibration> {
    let date = time::date(fields, "date");
    let from = fields
        .required_map("from")
        .and_then(|from| from.required_text("vessel"));
    let held_out = match fields.map("held_out") {
        Some(held) => {
            let error = held.required("error");
            let bias = held.required("bias");
            Some((error?, bias?))
        }
        None => None,
    };
    Some(Calibration {
        date: date?,
        from: from?,
        held_out,
        better_on_one_run: fields.get("better_on_one_run")?.as_bool()?,
    })
}
