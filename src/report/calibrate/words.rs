//! What a calibration came to, in sentences.

use super::About;
use crate::calibrate::{
    APART, Agreement, Calibration, DESPITE_LARGE_GAIN, Decided, Fate, HeldOut, LENGTH, RUNS, RunCut,
};
use crate::report::counted;
use crate::source::printable_line;
use crate::units::{Power, Ratio, Time};

pub(super) fn run_text(run: &RunCut) -> String {
    let mut text = format!(
        "{}: {} of {} on {}",
        printable_line(&run.file),
        counted(run.stretches, "steady stretch", "steady stretches"),
        length(run.length),
        counted(run.legs, "leg", "legs")
    );
    // Without a stretch there is no mean of what was recorded.
    if run.stretches > 0 {
        text.push_str(&format!(
            "; wind {}, {}",
            run.wind,
            printable_line(&run.known)
        ));
    }
    let left: Vec<String> = run
        .left
        .iter()
        .map(|(why, time)| format!("{time}: {}", why.label()))
        .collect();
    if !left.is_empty() {
        text.push_str(&format!(". Left out: {}", left.join("; ")));
    }
    let mut cleaned = run.counts.describe();
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

/// How long a stretch is.
pub(super) fn length(of: Time) -> String {
    if (of.get() - LENGTH).abs() < 0.5 {
        "a minute".to_owned()
    } else {
        of.to_string()
    }
}

/// On what the intervals depend, where some of the power is not told.
pub(super) fn condition_text(found: &Calibration) -> String {
    let stated: Vec<String> = found
        .taken_as_stated()
        .map(|figure| format!("the {}", figure.label()))
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

pub(super) fn figure_text(one: &Decided) -> String {
    let of = &one.estimate;
    let figure = of.figure;
    let mut text = format!(
        "{}: {} fitted ({} to {}), {} stated; ",
        figure.label(),
        figure.text(of.value),
        figure.text(of.low),
        figure.text(of.high),
        figure.text(of.stated),
    );
    text.push_str(&match one.fate {
        Fate::Worse => format!("worse than stated, taken as {}", figure.text(one.value)),
        Fate::Better if outside(one) => format!(
            "better than stated, taken as {}: its value in a wind a tenth lighter or stronger \
             counts too, and lies above the {} to {} in the wind as given",
            figure.text(one.value),
            figure.text(of.low),
            figure.text(of.high)
        ),
        Fate::Better => format!(
            "better than stated, taken as its cautious end, {}",
            figure.text(one.value)
        ),
        Fate::BetterOnOneRun => format!(
            "better than stated on one run only, taken as {} because an option says so",
            figure.text(one.value)
        ),
        Fate::OneRun => format!(
            "better than stated{}, and left as it was: it takes {} that begin {} h or more apart \
             and each show it",
            if one.runs == 0 {
                ", which no run shows by itself"
            } else {
                " on one run only"
            },
            counted(RUNS, "run", "runs"),
            APART
        ),
        Fate::AnotherNotTold => {
            "better than stated only if the figures not shown are as stated, and left as it \
             was"
            .to_owned()
        }
        Fate::NotSoFast => {
            "better than stated at the speeds that were run, and left as it was, since no \
                            stretch is as fast as the figure is used"
                .to_owned()
        }
        Fate::OtherWinds => "better than stated in the wind as given, and left as it was, since a \
                             wind a tenth lighter or stronger does not show it"
            .to_owned(),
        Fate::TooGood => format!(
            "less than half of the stated figure, and left as it was: check the units of track and \
             wind, and the stated figure; `{DESPITE_LARGE_GAIN}` takes it all the same"
        ),
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

/// Whether the cautious end lies above the interval, since the wind may have been another.
fn outside(one: &Decided) -> bool {
    let of = &one.estimate;
    of.cautious().is_some_and(|cautious| cautious > of.high)
}

pub(super) fn agreement_texts(found: &Calibration, about: &About<'_>) -> Vec<String> {
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
        (true, _) => "each run predicted by the others",
        (false, 0 | 1) => "every fifth leg predicted by the rest",
        (false, _) => {
            "every fifth leg predicted by the rest, since without one of the runs the others do \
             not show the figures"
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

pub(super) fn ending(found: &Calibration, about: &About<'_>) -> String {
    let Some(file) = about.written else {
        return "No figure changes, so no file was written.\n".to_owned();
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
