//! What goes into a calibration, and what it comes to.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;

use super::{Anemometer, Decided, Fate, Figure, HeldOut, Kept, Left, Met, Stretch, Wind};
use crate::track::{Counts, Track};
use crate::units::{Power, Speed, Time};

/// A run as it is handed in.
#[derive(Clone, Debug)]
pub struct Run {
    /// Name of its file.
    pub file: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// What was recorded, without what cannot be of the boat.
    pub track: Track,
    /// What was put aside of it, in words.
    pub aside: Vec<String>,
    /// The wind; its mean, where the track has it.
    pub wind: Wind,
    /// How the wind is known, in words.
    pub known: String,
    /// What the wind in the track was recorded with, where it has one; each stretch then has its own.
    pub anemometer: Option<Anemometer>,
}

/// What became of a run.
#[derive(Clone, Debug)]
pub struct RunCut {
    /// Name of its file.
    pub file: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// The wind.
    pub wind: Wind,
    /// How the wind is known, in words.
    pub known: String,
    /// Its first and last time.
    pub times: (Timestamp, Timestamp),
    /// Fixes without time or place.
    pub without_fix: usize,
    /// What cleaning took out.
    pub counts: Counts,
    /// What was put aside since it cannot be of the boat, in words.
    pub aside: Vec<String>,
    /// Steady stretches.
    pub stretches: usize,
    /// How long each is.
    pub length: Time,
    /// Legs that they lie on.
    pub legs: usize,
    /// Time left out, by why.
    pub left: BTreeMap<Left, Time>,
}

/// How well figures give what was drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Agreement {
    /// Root of the mean square of what they give less what was drawn.
    pub error: Power,
    /// The mean of it; positive where they give more.
    pub bias: Power,
}

/// A stretch beside what the fit gives for it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Residual {
    /// Speed.
    pub speed: Speed,
    /// Number of the run.
    pub run: usize,
    /// The wind that the boat met.
    pub met: Met,
    /// What was drawn less what was fitted.
    pub over: Power,
}

/// What a calibration came to.
#[derive(Clone, Debug)]
pub struct Calibration {
    /// The runs.
    pub runs: Vec<RunCut>,
    /// The stretches.
    pub stretches: Vec<Stretch>,
    /// Figures that were fitted, with what becomes of each.
    pub decided: Vec<Decided>,
    /// Figures that the runs do not tell.
    pub kept: Vec<Kept>,
    /// Condition number of the fit of the power; none where nothing was fitted.
    pub condition: Option<f64>,
    /// By how much the legs swell its variance.
    pub design_effect: Option<f64>,
    /// How well the fit predicts what it has not seen.
    pub held_out: Option<HeldOut>,
    /// Why the fit of the power is not written, although there is one.
    pub refused: Option<String>,
    /// What the fit leaves unexplained.
    pub residuals: Vec<Residual>,
    /// The fit on what it was fitted to.
    pub fitted: Option<Agreement>,
    /// The vessel as it is stated, on the same stretches.
    pub stated: Option<Agreement>,
    /// Stretches that the resistance rests on.
    pub pack_stretches: usize,
    /// The speeds of the stretches, least and greatest.
    pub speeds: Option<(Speed, Speed)>,
    /// The day of the last run, universal time.
    pub day: Date,
    /// What is taken for granted.
    pub assumptions: Vec<String>,
}

impl Calibration {
    /// The figures that are rewritten.
    pub fn changes(&self) -> impl Iterator<Item = &Decided> {
        self.decided.iter().filter(|one| one.fate.is_written())
    }

    /// Figures of the power that are not told. The others were fitted with these as stated, and their
    /// intervals hold only where they are.
    pub fn taken_as_stated(&self) -> impl Iterator<Item = Figure> {
        let figures = self.kept.iter().map(|one| one.figure);
        figures.filter(|figure| figure.of_power())
    }

    /// Whether some figure was made better on one run.
    #[must_use]
    pub fn on_one_run(&self) -> bool {
        let mut changes = self.changes();
        changes.any(|one| one.fate == Fate::BetterOnOneRun)
    }
}
