//! A calibration told: at a terminal, for other programs, and its residuals as a figure.

use serde_json::{Value, json};

use super::{Agreement, Calibration, Decided, Fate, HeldOut, RunCut};
use crate::report::figures::axis::Axis;
use crate::report::figures::chart::Chart;
use crate::report::figures::style::Figure as Drawn;
use crate::report::{CAUTION, Settings, counted, json_without_controls, wrapped};
use crate::source::printable_line;
use crate::units::{Power, Ratio, Speed};

/// The JSON Schema of the JSON form.
pub const SCHEMA: &str = include_str!("../../schemas/calibrate-output.schema.json");
/// What the JSON form calls itself.
const FORMAT: &str = "offing-calibrate";
/// Version of the JSON form.
const VERSION: u32 = 1;

/// What was calibrated, and what was written of it.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// Id of the vessel.
    pub vessel: &'a str,
    /// Path of its file.
    pub path: &'a str,
    /// Id of the site.
    pub site: &'a str,
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

/// The calibration at a terminal.
#[must_use]
pub fn text(found: &Calibration, about: &About<'_>, settings: &Settings) -> String {
    let mut out = format!(
        "calibration of vessel {} on site {}\n\nruns:\n",
        about.vessel, about.site
    );
    let item = |out: &mut String, text: &str| out.push_str(&format!("- {text}\n"));
    for run in &found.runs {
        item(&mut out, &run_text(run));
    }
    if !found.decided.is_empty() {
        out.push_str(&format!(
            "\nfitted, with intervals of 95 %{}:\n",
            condition_text(found)
        ));
        for one in &found.decided {
            item(&mut out, &figure_text(one));
        }
    }
    if !found.kept.is_empty() {
        out.push_str("\nnot told by these runs, and left as they were:\n");
        for one in &found.kept {
            let what = one.figure.words();
            item(
                &mut out,
                &format!("{what}: {}. It takes {}.", one.why, one.flight),
            );
        }
    }
    let agreements = agreement_texts(found, about);
    if !agreements.is_empty() {
        out.push_str("\nhow far off, over all stretches:\n");
        for text in &agreements {
            item(&mut out, text);
        }
    }
    if let Some(why) = &found.refused {
        out.push_str(&format!("\nNothing of the power is written: {why}.\n"));
    }
    out.push_str("\ntaken for granted:\n");
    for text in &found.assumptions {
        item(&mut out, &printable_line(text));
    }
    out.push('\n');
    out.push_str(&ending(found, about));
    let width = settings.width.max(40);
    let mut text = wrapped(&out, width);
    text.push_str(&wrapped(CAUTION, width));
    text
}

fn run_text(run: &RunCut) -> String {
    let mut text = format!(
        "{}: {} of a minute on {}; wind {}, {}",
        printable_line(&run.file),
        counted(run.stretches, "steady stretch", "steady stretches"),
        counted(run.legs, "leg", "legs"),
        run.wind,
        printable_line(&run.known)
    );
    let left: Vec<String> = run
        .left
        .iter()
        .map(|(why, time)| format!("{time}: {}", why.words()))
        .collect();
    if !left.is_empty() {
        text.push_str(&format!(". Left out: {}", left.join("; ")));
    }
    let mut cleaned = run.counts.told();
    cleaned.extend(run.aside.iter().cloned());
    if run.without_fix > 0 {
        cleaned.push(format!(
            "{} × no time or no place, left out",
            run.without_fix
        ));
    }
    if !cleaned.is_empty() {
        text.push_str(&format!(". Cleaned: {}", cleaned.join("; ")));
    }
    text
}

/// On what the intervals depend, where some of the power is not told.
fn condition_text(found: &Calibration) -> String {
    let stated: Vec<String> = found
        .taken_as_stated()
        .map(|figure| format!("the {}", figure.words()))
        .collect();
    let power = found
        .decided
        .iter()
        .any(|one| one.estimate.figure.of_power());
    match stated.as_slice() {
        [] => String::new(),
        _ if !power => String::new(),
        [one] => format!("; those of the power hold only where {one} is as stated"),
        more => format!(
            "; those of the power hold only where {} are as stated",
            more.join(" and ")
        ),
    }
}

fn figure_text(one: &Decided) -> String {
    let of = &one.estimate;
    let figure = of.figure;
    let mut text = format!(
        "{}: {} fitted ({} to {}), {} stated; ",
        figure.words(),
        figure.text(of.value),
        figure.text(of.low),
        figure.text(of.high),
        figure.text(of.stated),
    );
    text.push_str(&match one.fate {
        Fate::Worse => format!("worse than stated, taken as {}", figure.text(one.value)),
        Fate::Better => format!(
            "better than stated, taken as its cautious end, {}",
            figure.text(one.value)
        ),
        Fate::BetterOnOneRun => format!(
            "better than stated on one run only, taken as {} because it was asked for",
            figure.text(one.value)
        ),
        Fate::OneRun => format!(
            "better than stated{}, and left as it was: it takes {} that begin {} h or more apart and each \
             tell so",
            if one.runs == 0 {
                ", which no run tells by itself"
            } else {
                " on one run only"
            },
            counted(super::RUNS, "run", "runs"),
            super::APART
        ),
        Fate::AnotherNotTold => {
            "better than stated only if what was not told is as stated, and left as it was".to_owned()
        }
        Fate::NotSoFast => "better than stated at the speeds that were run, and left as it was, since no \
                            stretch is as fast as the figure is used"
            .to_owned(),
        Fate::OtherWinds => "better than stated in the wind as given, and left as it was, since a wind a \
                             tenth lighter or stronger does not tell it"
            .to_owned(),
        Fate::Alike => "left as it was: chance explains the difference".to_owned(),
        Fate::Refused => "left as it was, with the fit of the power".to_owned(),
    });
    if let Some((lighter, stronger)) = of.by_wind {
        text.push_str(&format!(
            ". In a wind a tenth lighter it would be {}, a tenth stronger {}",
            figure.text(lighter),
            figure.text(stronger)
        ));
    }
    text
}

fn agreement_texts(found: &Calibration, about: &About<'_>) -> Vec<String> {
    let mut texts = Vec::new();
    let mut say = |what: &str, of: Option<Agreement>| {
        if let Some(of) = of {
            texts.push(format!("{what}: {} ({})", of.error, bias(of.bias)));
        }
    };
    say("the vessel as stated", found.stated);
    say("the fit", found.fitted);
    say(
        "the file that is written",
        about.written.and_then(|file| file.agreement),
    );
    if let Some(held) = &found.held_out {
        texts.push(held_text(held, found.runs.len()));
    }
    if let (Some(condition), Some(effect)) = (found.condition, found.design_effect) {
        texts.push(format!(
            "condition number {condition:.1}; stretches of one leg have so much in common that the variance \
             is {effect:.2} times that of independent ones"
        ));
    }
    texts
}

fn held_text(held: &HeldOut, runs: usize) -> String {
    let what = match (held.runs, runs) {
        (true, _) => "each run foretold by the others",
        (false, 0 | 1) => "every fifth leg foretold by the rest",
        (false, _) => {
            "every fifth leg foretold by the rest, since without one of the runs the others do not tell \
             the figures"
        }
    };
    format!(
        "{what}: {}, {} of the mean power ({})",
        held.error,
        Ratio::fraction(held.share),
        bias(held.bias)
    )
}

fn bias(of: Power) -> String {
    if of.abs() < Power::watts(0.005) {
        return "on average neither too much nor too little".to_owned();
    }
    if of >= Power::ZERO {
        format!("on average {of} too much")
    } else {
        format!("on average {} too little", of.abs())
    }
}

fn ending(found: &Calibration, about: &About<'_>) -> String {
    let Some(file) = about.written else {
        return "No figure changes, and no file is written.\n".to_owned();
    };
    let mut text = format!(
        "{} holds the vessel {}. {} is as it was. To use the new figures, name {} in the `vessel` of a \
         mission, in a change that somebody else reviews.\n",
        printable_line(file.path),
        file.id,
        printable_line(about.path),
        file.id
    );
    if !file.left_alone.is_empty() {
        let speeds: Vec<String> = file.left_alone.iter().map(ToString::to_string).collect();
        text.push_str(&format!(
            "The powers at {} stay as they were: nobody ran so slowly or so fast.\n",
            speeds.join(", ")
        ));
    }
    if found.on_one_run() {
        text.push_str("Figures in it rest on one run, and the file says so.\n");
    }
    text
}

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
            "it_takes": one.flight,
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
            super::Figure::HotelLoad => "W",
            super::Figure::Resistance => "ohm",
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

/// What the fit leaves unexplained against the speed; none where nothing was fitted.
#[must_use]
pub fn residuals(found: &Calibration) -> Option<Drawn> {
    let (low, high) = found.speeds?;
    let fitted = found.fitted?;
    let over = found.residuals.iter().map(|one| one.over.get());
    let room = 0.1 * (high - low).get().max(0.1);
    let x = Axis {
        label: "speed through the water, m/s".to_owned(),
        from: (low.get() - room).max(0.0),
        to: high.get() + room,
        step: None,
    };
    let y = Axis::around("drawn less fitted, W", over, 0.0);
    let rows = found.runs.len().div_ceil(3);
    let mut chart = Chart::new("residuals", "What the fit leaves unexplained", (x, y), rows);
    let whole = [(low.get() - room, 0.0), (high.get() + room, 0.0)];
    chart.line(&whole, "axis", "");
    for (run, class) in (0..found.runs.len()).zip(["one", "two", "three", "four"].iter().cycle()) {
        for one in found.residuals.iter().filter(|one| one.run == run) {
            chart.point((one.speed.get(), one.over.get()), class);
        }
        chart.line(&[], class, &format!("run {}", run + 1));
    }
    let words = format!(
        "Each ring is a steady minute: {} at {} to {}. Above the line more was drawn than fitted. Root \
         of the mean square: {}.",
        counted(found.residuals.len(), "one", "of them"),
        low,
        high,
        fitted.error
    );
    Some(chart.finish(&words))
}
