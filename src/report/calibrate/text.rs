//! A calibration at a terminal.

use super::About;
use super::words::{agreement_texts, condition_text, ending, figure_text, run_text};
use crate::calibrate::Calibration;
use crate::report::{CAUTION, Settings, wrapped};
use crate::source::printable_line;

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
        out.push_str("\nnot shown by these runs, and left as they were:\n");
        for one in &found.kept {
            let what = one.figure.label();
            item(
                &mut out,
                &format!("{what}: {}. It takes {}.", one.why, one.run),
            );
        }
    }
    let agreements = agreement_texts(found, about);
    if !agreements.is_empty() {
        out.push_str("\nerror over all stretches:\n");
        for text in &agreements {
            item(&mut out, text);
        }
    }
    if let Some(why) = &found.refused {
        out.push_str(&format!("\nNo power figure is written: {why}.\n"));
    }
    out.push_str("\nassumptions:\n");
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
