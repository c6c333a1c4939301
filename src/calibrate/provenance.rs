//! Where a calibrated vessel's figures come from, as a block of its file.

use super::{Calibration, Estimate, Fate};
use crate::report::quoted;

/// The comment that stands before the block.
pub const HEAD: &str =
    "# Written by `offing calibrate`. The figures above count; these lines state their source.";

/// The block, from `calibration:` on. `from` is the id and the digest of the vessel that it was made of.
#[must_use]
pub fn provenance(calibration: &Calibration, from: (&str, &str), site: &str) -> String {
    let mut out = format!("{HEAD}\n");
    let mut line = |indent: usize, text: String| {
        out.push_str(&"  ".repeat(indent));
        out.push_str(&text);
        out.push('\n');
    };
    line(0, "calibration:".to_owned());
    line(1, format!("date: {}", calibration.day));
    line(1, format!("program: {}", quoted(env!("CARGO_PKG_VERSION"))));
    line(
        1,
        format!(
            "from: {{ vessel: {}, sha256: {} }}",
            quoted(from.0),
            quoted(from.1)
        ),
    );
    line(1, format!("site: {}", quoted(site)));
    line(1, "tracks:".to_owned());
    for run in &calibration.runs {
        line(2, format!("- file: {}", quoted(&run.file)));
        line(3, format!("sha256: {}", quoted(&run.sha256)));
        line(3, format!("wind: {}", quoted(&run.wind.to_string())));
        line(3, format!("wind_known: {}", quoted(&run.known)));
        line(3, format!("stretches: {}", run.stretches));
    }
    for figure in calibration.taken_as_stated() {
        line(
            1,
            format!(
                "# Intervals of the power hold only if `{}`, which the runs do not show, is as it \
                 was.",
                figure.field()
            ),
        );
    }
    line(1, "figures:".to_owned());
    for one in &calibration.decided {
        let Estimate {
            figure,
            stated,
            value,
            low,
            high,
            ..
        } = &one.estimate;
        line(2, format!("- figure: {}", figure.field()));
        line(3, format!("was: {}", quoted(&figure.text(*stated))));
        line(3, format!("fitted: {}", quoted(&figure.text(*value))));
        line(3, format!("low: {}", quoted(&figure.text(*low))));
        line(3, format!("high: {}", quoted(&figure.text(*high))));
        line(3, format!("taken: {}", quoted(&figure.text(one.value))));
        line(3, format!("outcome: {}", outcome(one.fate)));
    }
    if let Some(held) = &calibration.held_out {
        line(1, "held_out:".to_owned());
        let what = if held.runs { "runs" } else { "legs" };
        line(2, format!("what: {what}"));
        line(2, format!("error: {}", quoted(&held.error.to_string())));
        line(2, format!("bias: {}", quoted(&held.bias.to_string())));
    }
    line(
        1,
        format!("better_on_one_run: {}", calibration.on_one_run()),
    );
    out
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
