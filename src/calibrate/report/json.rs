//! A calibration for other programs.

use serde_json::{Value, json};

use super::About;
use crate::calibrate::{Agreement, Calibration, Decided, Figure, RunCut};
use crate::report::{CAUTION, json_without_controls};

/// The JSON Schema of the JSON form.
pub const SCHEMA: &str = include_str!("../../../schemas/calibrate-output.schema.json");
/// What the JSON form calls itself.
const FORMAT: &str = "offing-calibrate";
/// Version of the JSON form.
const VERSION: u32 = 1;

/// The calibration as JSON text, as its schema ([`SCHEMA`]) describes it.
///
/// # Errors
/// Those of the serializer; no calibration is known to cause one.
pub fn json(found: &Calibration, about: &About<'_>) -> Result<String, serde_json::Error> {
    let agreement = |of: Option<Agreement>| {
        of.map(|of| json!({ "error_w": of.error.get(), "bias_w": of.bias.get() }))
    };
    let written = about.written.map(|file| {
        let speeds: Vec<f64> = file.left_alone.iter().map(|speed| speed.get()).collect();
        json!({
            "path": file.path,
            "vessel": file.id,
            "agreement": agreement(file.agreement),
            "speeds_left_alone_m_s": speeds,
            "better_on_one_run": found.on_one_run(),
        })
    });
    let held_out = found.held_out.map(|held| {
        json!({
            "what": if held.runs { "runs" } else { "legs" },
            "error_w": held.error.get(),
            "bias_w": held.bias.get(),
            "share": held.share,
        })
    });
    let value = json!({
        "format": FORMAT,
        "version": VERSION,
        "program": { "name": "offing", "version": env!("CARGO_PKG_VERSION") },
        "vessel": about.vessel,
        "path": about.path,
        "site": about.site,
        "day": found.day.to_string(),
        "runs": found.runs.iter().map(run_json).collect::<Vec<Value>>(),
        "figures": found.decided.iter().map(figure_json).collect::<Vec<Value>>(),
        "kept": found.kept.iter().map(|one| json!({
            "figure": one.figure.field(),
            "why": one.why,
            "it_takes": one.run,
        })).collect::<Vec<Value>>(),
        "condition": found.condition,
        "design_effect": found.design_effect,
        "held_out": held_out,
        "refused": found.refused,
        "fitted": agreement(found.fitted),
        "stated": agreement(found.stated),
        "residuals": found.residuals.iter().map(|one| json!({
            "run": one.run,
            "speed_m_s": one.speed.get(),
            "wind_angle_deg": one.met.angle.to_degrees(),
            "wind_speed_m_s": one.met.speed.get(),
            "over_w": one.over.get(),
        })).collect::<Vec<Value>>(),
        "assumptions": found.assumptions,
        "written": written,
        "caution": CAUTION,
    });
    let mut text = serde_json::to_string_pretty(&value)?;
    text.push('\n');
    Ok(json_without_controls(text))
}

fn run_json(run: &RunCut) -> Value {
    let left: Vec<Value> = run
        .left
        .iter()
        .map(|(why, time)| json!({ "why": why.words(), "time_s": time.get() }))
        .collect();
    json!({
        "file": run.file,
        "sha256": run.sha256,
        "from": run.times.0.to_string(),
        "to": run.times.1.to_string(),
        "wind": {
            "from_deg": run.wind.from.angle().to_degrees(),
            "mean_m_s": run.wind.mean.get(),
            "height_m": run.wind.height.get(),
            "known": run.known,
        },
        "stretches": run.stretches,
        "stretch_s": run.length.get(),
        "legs": run.legs,
        "left_out": left,
        "without_fix": run.without_fix,
        "cleaned": ([run.counts.told(), run.aside.clone()].concat()),
    })
}

fn figure_json(one: &Decided) -> Value {
    let of = &one.estimate;
    json!({
        "figure": of.figure.field(),
        "unit": match of.figure {
            Figure::HotelLoad => "W",
            Figure::Resistance => "ohm",
            _ => "1",
        },
        "stated": of.stated,
        "fitted": of.value,
        "low": of.low,
        "high": of.high,
        "in_wind_a_tenth_lighter": of.by_wind.map(|by| by.0),
        "in_wind_a_tenth_stronger": of.by_wind.map(|by| by.1),
        "taken": one.value,
        "better_on_runs": one.runs,
        "outcome": one.fate.name(),
    })
}
