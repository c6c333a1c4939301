//! The runs, and the figures that they tell or not.

use schemars::JsonSchema;
use serde::Serialize;

use crate::calibrate::{self, Decided, Fate, RunCut};

/// One run.
#[derive(Serialize, JsonSchema)]
pub(super) struct Run<'a> {
    /// Name of its file.
    file: &'a str,
    /// SHA-256 of its bytes.
    sha256: &'a str,
    /// Its first time.
    from: String,
    /// Its last time.
    to: String,
    /// The wind.
    wind: Wind<'a>,
    /// Steady stretches.
    stretches: usize,
    /// Length of each, s: a minute, or longer where the track is slow.
    stretch_s: f64,
    /// Legs that they lie on.
    legs: usize,
    /// Time that is in no stretch.
    left_out: Vec<Left>,
    /// Fixes without time or place.
    without_fix: usize,
    /// What cleaning took out or split, in words.
    cleaned: Vec<String>,
}

/// The wind of a run.
#[derive(Serialize, JsonSchema)]
struct Wind<'a> {
    /// Where it came from, degrees from true north.
    from_deg: f64,
    /// Its mean, m/s.
    mean_m_s: f64,
    /// Height that it was read at, m.
    height_m: f64,
    /// How it is known.
    known: &'a str,
}

/// Why time is in no stretch.
#[derive(Serialize, JsonSchema)]
struct Left {
    /// Why.
    why: &'static str,
    /// How long, s.
    time_s: f64,
}

impl<'a> Run<'a> {
    pub(super) fn from_run_cut(run: &'a RunCut) -> Self {
        let left = run.left.iter().map(|(why, time)| Left {
            why: why.label(),
            time_s: time.get(),
        });
        Self {
            file: &run.file,
            sha256: &run.sha256,
            from: run.times.0.to_string(),
            to: run.times.1.to_string(),
            wind: Wind {
                from_deg: run.wind.from.angle().to_degrees(),
                mean_m_s: run.wind.mean.get(),
                height_m: run.wind.height.get(),
                known: &run.known,
            },
            stretches: run.stretches,
            stretch_s: run.length.get(),
            legs: run.legs,
            left_out: left.collect(),
            without_fix: run.without_fix,
            cleaned: [run.counts.describe(), run.aside.clone()].concat(),
        }
    }
}

/// A figure that was fitted.
#[derive(Serialize, JsonSchema)]
pub(super) struct Figure {
    /// Field of the vessel file.
    figure: &'static str,
    /// Unit of the numbers; 1 for a plain number, and for the factor of a trial's powers.
    unit: &'static str,
    /// What the vessel states.
    stated: f64,
    /// The estimate.
    fitted: f64,
    /// Lower end of its interval of 95 %; where `kept` names a figure of the power, it holds only if that one is as
    /// stated.
    low: f64,
    /// Upper end of it.
    high: f64,
    /// The estimate with every wind a tenth lighter; null where the wind has nothing to do with it, or no fit tells it
    /// in that wind.
    in_wind_a_tenth_lighter: Option<f64>,
    /// The estimate with every wind a tenth stronger; null as above.
    in_wind_a_tenth_stronger: Option<f64>,
    /// The value that holds from now on, rounded.
    taken: f64,
    /// Runs far enough apart that each by itself find it better than stated.
    better_on_runs: usize,
    /// What becomes of it.
    outcome: Outcome,
}

/// What becomes of a figure.
#[derive(Serialize, JsonSchema)]
enum Outcome {
    #[serde(rename = "worse")]
    Worse,
    #[serde(rename = "better")]
    Better,
    #[serde(rename = "better on one run")]
    BetterOnOneRun,
    #[serde(rename = "kept: one run")]
    OneRun,
    #[serde(rename = "kept: another not told")]
    AnotherNotTold,
    #[serde(rename = "kept: top speed not run")]
    NotSoFast,
    #[serde(rename = "kept: other winds not told")]
    OtherWinds,
    #[serde(rename = "kept: too good")]
    TooGood,
    #[serde(rename = "kept: alike")]
    Alike,
    #[serde(rename = "kept: fit refused")]
    Refused,
}

impl From<Fate> for Outcome {
    fn from(fate: Fate) -> Self {
        match fate {
            Fate::Worse => Self::Worse,
            Fate::Better => Self::Better,
            Fate::BetterOnOneRun => Self::BetterOnOneRun,
            Fate::OneRun => Self::OneRun,
            Fate::AnotherNotTold => Self::AnotherNotTold,
            Fate::NotSoFast => Self::NotSoFast,
            Fate::OtherWinds => Self::OtherWinds,
            Fate::TooGood => Self::TooGood,
            Fate::Alike => Self::Alike,
            Fate::Refused => Self::Refused,
        }
    }
}

impl Figure {
    pub(super) fn from_decided(one: &Decided) -> Self {
        let of = &one.estimate;
        Self {
            figure: of.figure.field(),
            unit: match of.figure {
                calibrate::Figure::HotelLoad => "W",
                calibrate::Figure::Resistance => "ohm",
                _ => "1",
            },
            stated: of.stated,
            fitted: of.value,
            low: of.low,
            high: of.high,
            in_wind_a_tenth_lighter: of.by_wind.map(|by| by.0),
            in_wind_a_tenth_stronger: of.by_wind.map(|by| by.1),
            taken: one.value,
            better_on_runs: one.runs,
            outcome: one.fate.into(),
        }
    }
}

/// A figure that the runs do not tell.
#[derive(Serialize, JsonSchema)]
pub(super) struct Kept<'a> {
    /// Field of the vessel file.
    figure: &'static str,
    /// Why it is not told.
    why: &'a str,
    /// A run that would tell it.
    it_takes: &'a str,
}

impl<'a> Kept<'a> {
    pub(super) fn from_kept(one: &'a calibrate::Kept) -> Self {
        Self {
            figure: one.figure.field(),
            why: &one.why,
            it_takes: one.run,
        }
    }
}
