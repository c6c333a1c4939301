//! Where a calibrated vessel's figures come from, as a block of its file.

use super::{Calibration, Fate};
use crate::yaml::{Block, Yaml};

/// The comment that stands before the block.
pub(super) const HEAD: &str =
    "# Written by `offing calibrate`. The figures above count; these lines state their source.";

/// The block, from `calibration:` on. `from` is the id and the digest of the vessel that it was made of.
#[must_use]
pub(super) fn provenance(calibration: &Calibration, from: (&str, &str), site: &str) -> String {
    let tracks = calibration.runs.iter().map(|run| {
        let mut track = Block::new();
        track
            .text("file", &run.file)
            .text("sha256", &run.sha256)
            .text("wind", &run.wind.to_string())
            .text("wind_known", &run.known)
            .field("stretches", Yaml::Whole(run.stretches as u64));
        Yaml::Block(track)
    });
    let figures = calibration.decided.iter().map(|one| {
        let of = &one.estimate;
        let text = |value: f64| of.figure.text(value);
        let mut figure = Block::new();
        figure
            .word("figure", of.figure.field())
            .text("was", &text(of.stated))
            .text("fitted", &text(of.value))
            .text("low", &text(of.low))
            .text("high", &text(of.high))
            .text("taken", &text(one.value))
            .word("outcome", outcome(one.fate));
        Yaml::Block(figure)
    });
    let vessel = vec![
        ("vessel", Yaml::text(from.0)),
        ("sha256", Yaml::text(from.1)),
    ];
    let mut block = Block::new();
    block
        .word("date", &calibration.day.to_string())
        .text("program", env!("CARGO_PKG_VERSION"))
        .field("from", Yaml::Inline(vessel))
        .text("site", site)
        .field("tracks", Yaml::List(tracks.collect()));
    for figure in calibration.taken_as_stated() {
        block.comment(&format!(
            "Intervals of the power hold only if `{}`, which the runs do not show, is as it was.",
            figure.field()
        ));
    }
    block.field("figures", Yaml::List(figures.collect()));
    if let Some(held) = &calibration.held_out {
        let mut error = Block::new();
        error
            .word("what", if held.runs { "runs" } else { "legs" })
            .text("error", &held.error.to_string())
            .text("bias", &held.bias.to_string());
        block.field("held_out", Yaml::Block(error));
    }
    block.field("better_on_one_run", Yaml::Truth(calibration.on_one_run()));
    let mut file = Block::new();
    file.field("calibration", Yaml::Block(block));
    format!("{HEAD}\n{}", file.to_text())
}

/// What became of a figure, in one word of the schema.
fn outcome(fate: Fate) -> &'static str {
    match fate {
        Fate::Worse => "worse",
        Fate::Better | Fate::BetterOnOneRun => "better",
        Fate::OneRun
        | Fate::Alike
        | Fate::AnotherNotTold
        | Fate::NotSoFast
        | Fate::OtherWinds
        | Fate::TooGood
        | Fate::Refused => "kept",
    }
}
