//! Calibration: a vessel's own figures fitted to what it drew on runs, and a new vessel file beside the
//! old one, with where its figures come from.
//!
//! What a fit makes worse is written; what it makes better is written on enough evidence only, and to
//! its cautious end. What the runs do not tell stays as it was, and is said.

mod air;
mod alone;
mod cut;
mod decide;
mod driving_power;
mod estimate;
mod figure;
mod found;
mod held_out;
mod pack;
mod piece;
mod power;
mod provenance;
mod refusal;
mod squares;
mod stretch;
mod supported;
mod turned;
mod wind;
mod written;

use jiff::tz::TimeZone;

pub(crate) use air::Met;
pub(crate) use cut::{Cut, Numbers, cut};
pub(crate) use decide::{APART, Evidence, REACHED, RUNS, decide};
pub use decide::{Decided, Fate};
pub(crate) use estimate::{Estimate, Kept};
pub use figure::Figure;
pub(crate) use figure::rounded_up;
pub(crate) use found::{Agreement, Residual, RunCut};
pub use found::{Calibration, Run};
pub(crate) use held_out::HeldOut;
pub(crate) use piece::Taking;
pub use stretch::Left;
pub(crate) use stretch::{LENGTH, Stretch};
pub(crate) use wind::has_wind;
pub use wind::{Anemometer, Wind};
pub use written::{NotWritten, Written, written};

use crate::models::OutsideValidity;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::track::{Cleaning, clean};
use crate::units::{Power, Speed, Time};
use refusal::refusal;

/// Greatest error of what was held out, as a share of the mean power, with which figures are written.
pub(crate) const GREATEST_ERROR: f64 = 0.15;

/// Least drag coefficient that a hull with mast and antennas has. Bluff bodies have about 1, streamlined ones
/// 0.05 (Hoerner 1965, from memory); a boat with all that stands on it more than 0.3 (common practice, no
/// source).
pub(crate) const LEAST_DRAG: f64 = 0.3;

/// Option that takes a figure of less than half of what is stated.
pub(crate) const DESPITE_LARGE_GAIN: &str = "--despite-large-gain";

const LEGS_EACH_WAY: &str =
    "one leg each way against and with the wind at three speeds, five minutes each";
const THREE_SPEEDS: &str =
    "legs each way at three speeds, the fastest twice the slowest, five minutes each";
const INTO_THE_WIND: &str = "legs straight against and straight with a wind of 4 m/s or more, at two speeds, five minutes each";
const SLOWLY: &str = "legs each way at little more than minimum steerageway, five minutes each";
const CURRENTS: &str = "slow and fast legs in turn, two minutes each, ten or more, with voltage and current recorded throughout";

/// Why nothing can be calibrated at all.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
pub enum NoCalibration {
    /// A run is unfit.
    #[error("{file}: {why}")]
    Run {
        /// Name of its file.
        file: String,
        /// Why.
        why: String,
    },
    /// A model is outside its validity.
    #[error(transparent)]
    Outside(#[from] OutsideValidity),
    /// There is no run.
    #[error("there is no run")]
    NoRun,
}

/// What is taken for good although it is little to go by, because that was requested.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Despite {
    /// That one run alone tells a figure to be better.
    pub one_run: bool,
    /// That a figure is less than half of what is stated.
    pub large_gain: bool,
}

/// Calibrates a vessel.
///
/// # Errors
/// [`NoCalibration`]. That nothing could be fitted is no error but a [`Calibration`] without changes.
pub fn calibrate(
    (vessel, site): (&Vessel, &Site),
    runs: &[Run],
    despite: Despite,
) -> Result<Calibration, NoCalibration> {
    apart(runs)?;
    let mut cuts = Vec::new();
    let mut stretches = Vec::new();
    let mut numbers = Numbers::default();
    for (number, run) in runs.iter().enumerate() {
        let (cut, told) = cut_run(run, number, (vessel, site), &mut numbers)?;
        stretches.extend(cut.stretches);
        cuts.push(told);
    }
    let last = cuts.iter().map(|run| run.times.1).max();
    let last = last.ok_or(NoCalibration::NoRun)?;
    let winds: Vec<Wind> = cuts.iter().map(|run| run.wind).collect();
    let powers = power::fit(&stretches, &winds, (vessel, site))?;
    let pack = pack::fit(&stretches, vessel);
    let refused = refusal(&powers, &cuts, vessel)?;
    let speeds = speeds(&stretches);
    let told = alone::better(&stretches, &winds, (vessel, site))?;
    let beginnings = |figure: Figure| {
        let runs = told
            .iter()
            .zip(&cuts)
            .filter(|(told, _)| told.contains(&figure));
        runs.map(|(_, run)| run.times.0).collect::<Vec<_>>()
    };
    let mut kept = powers.kept;
    let top = vessel.calm_water(stretch::water(site)).top_speed() * REACHED;
    let held_back = |figure: Figure| {
        if refused.is_some() {
            Some(Fate::Refused)
        } else if !figure.of_power() {
            None
        } else if !kept.is_empty() {
            Some(Fate::AnotherNotTold)
        } else if figure == Figure::Residuary && speeds.is_none_or(|(_, high)| high < top) {
            Some(Fate::NotSoFast)
        } else {
            None
        }
    };
    let decision = |estimate: &Estimate| {
        let evidence = Evidence {
            runs: &beginnings(estimate.figure),
            despite_one_run: despite.one_run,
            despite_large_gain: despite.large_gain,
            held_back: held_back(estimate.figure),
        };
        decide(estimate, &evidence)
    };
    let mut decided: Vec<Decided> = powers.estimates.iter().map(decision).collect();
    if refused.is_some() {
        for one in &mut decided {
            (one.fate, one.value) = (Fate::Refused, one.estimate.stated);
        }
    }
    let pack_decided = pack.found.map(|estimate| decision(&estimate));
    match pack_decided {
        Ok(one) => decided.push(one),
        Err(why) => kept.push(why),
    }
    let residuals: Vec<f64> = powers
        .fit
        .as_ref()
        .map_or_else(Vec::new, |fit| fit.residuals.clone());
    let each = stretches.iter().zip(&powers.met).zip(&residuals);
    let told: Vec<Residual> = each
        .map(|((stretch, met), over)| Residual {
            speed: stretch.speed,
            run: stretch.run,
            met: *met,
            over: Power::watts(*over),
        })
        .collect();
    Ok(Calibration {
        fitted: agreement(residuals.iter().map(|over| -over)),
        stated: against(&stretches, &winds, (vessel, site))?,
        condition: powers.fit.as_ref().map(|fit| fit.condition),
        design_effect: powers.fit.as_ref().map(|fit| fit.design_effect),
        residuals: told,
        runs: cuts,
        stretches,
        decided,
        kept,
        held_out: powers.held_out,
        refused,
        pack_stretches: pack.stretches,
        speeds,
        day: TimeZone::UTC.to_datetime(last).date(),
        assumptions: assumptions((vessel, site), runs),
    })
}

/// The least and the greatest speed of stretches.
fn speeds(stretches: &[Stretch]) -> Option<(Speed, Speed)> {
    let mut speeds = stretches.iter().map(|one| one.speed);
    let first = speeds.next()?;
    Some(speeds.fold((first, first), |(low, high), one| {
        (low.min(one), high.max(one))
    }))
}

/// How well a vessel's figures give what was drawn; none without a stretch.
///
/// # Errors
/// A speed past the calm-water figures.
pub(crate) fn against(
    stretches: &[Stretch],
    winds: &[Wind],
    boat: (&Vessel, &Site),
) -> Result<Option<Agreement>, OutsideValidity> {
    let mut over = Vec::new();
    for stretch in stretches {
        over.push((power::predicted(stretch, winds, boat)? - stretch.power).get());
    }
    Ok(agreement(over.into_iter()))
}

fn agreement(over: impl Iterator<Item = f64>) -> Option<Agreement> {
    let (mut squares, mut sum, mut count) = (0.0, 0.0, 0.0);
    for one in over {
        squares += one * one;
        sum += one;
        count += 1.0;
    }
    (count > 0.0).then(|| Agreement {
        error: Power::watts((squares / count).sqrt()),
        bias: Power::watts(sum / count),
    })
}

/// Refuses a run that is there twice, in whole or in part: it would count as more than it is.
fn apart(runs: &[Run]) -> Result<(), NoCalibration> {
    let span = |run: &Run| {
        let times = || run.track.samples.iter().map(|sample| sample.time);
        Some((times().min()?, times().max()?))
    };
    for (number, run) in runs.iter().enumerate() {
        let refused = |why: String| NoCalibration::Run {
            file: run.file.clone(),
            why,
        };
        let Some((from, to)) = span(run) else {
            return Err(refused("the track has no fix with a time".to_owned()));
        };
        for other in &runs[..number] {
            if other.sha256 == run.sha256 {
                return Err(refused(format!("it is the same as {}", other.file)));
            }
            if span(other).is_some_and(|(begins, ends)| begins <= to && from <= ends) {
                return Err(refused(format!(
                    "it covers the same time as {}, and no boat is in two places",
                    other.file
                )));
            }
        }
    }
    Ok(())
}

fn cut_run(
    run: &Run,
    number: usize,
    boat: (&Vessel, &Site),
    numbers: &mut Numbers,
) -> Result<(Cut, RunCut), NoCalibration> {
    let refused = |why: String| NoCalibration::Run {
        file: run.file.clone(),
        why,
    };
    let samples = &run.track.samples;
    let first = samples.first().ok_or(NoCalibration::NoRun)?;
    let on_site = boat.1.plane.within_limit(first.position);
    on_site.map_err(|error| {
        refused(match run.track.is_swapped_on(&boat.1.plane) {
            true => "the track would lie on the site with latitude and longitude swapped: check which column is which"
                .to_owned(),
            false => format!("the track is not on the site: {error}"),
        })
    })?;
    // Whatever a boat of this hull does, twice its top speed it does not.
    let top = boat.0.calm_water(stretch::water(boat.1)).top_speed();
    let cleaning = Cleaning::for_top_speed(top * 2.0).at_rate_of(samples);
    let cleaned = clean(&run.track, &cleaning);
    let taking = Taking::at_rate_of(&cleaned, run.anemometer);
    let cut = cut(&cleaned, (number, taking), boat, numbers);
    let mut legs: Vec<usize> = cut.stretches.iter().map(|one| one.leg).collect();
    legs.dedup();
    let times = samples.iter().map(|sample| sample.time);
    let told = RunCut {
        file: run.file.clone(),
        sha256: run.sha256.clone(),
        wind: air::mean(&cut.stretches).unwrap_or(run.wind),
        known: run.known.clone(),
        times: (
            times.clone().min().unwrap_or(first.time),
            times.max().unwrap_or(first.time),
        ),
        without_fix: run.track.without_fix,
        counts: cleaned.counts,
        aside: run.aside.clone(),
        stretches: cut.stretches.len(),
        length: Time::seconds(taking.length),
        legs: legs.len(),
        left: cut.left.clone(),
    };
    Ok((cut, told))
}

fn assumptions((vessel, site): (&Vessel, &Site), runs: &[Run]) -> Vec<String> {
    let steady = runs.iter().any(|run| run.anemometer.is_none());
    let mut told = vec![
        if site.currents.is_empty() {
            format!(
                "no current: the site `{}` states none, so speed over ground is speed through the \
                 water",
                site.id.value
            )
        } else {
            format!(
                "no current outside the areas for which the site `{}` states one; stretches inside \
                 them are left out",
                site.id.value
            )
        },
        "wave resistance counts as hull and windage, which errs on the safe side".to_owned(),
        format!(
            "thrust power per electrical power is {}, as the vessel has it; another figure would \
             give another drag coefficient for the same watts",
            crate::units::Ratio::fraction(vessel.efficiency())
        ),
        "the air drags on the boat from behind as it does from ahead".to_owned(),
    ];
    if steady {
        let text = "each run had one steady wind, as given; gusts and lulls are in the scatter";
        told.insert(1, text.to_owned());
    }
    if runs.iter().any(|run| run.anemometer.is_some()) {
        let text = "a recorded wind is the mean of each stretch; recorded aboard, its direction is \
                    relative to the course made good, which stands for the heading";
        told.insert(1, text.to_owned());
    }
    if let Some(text) = vessel.windage.drag_coefficient.assumption() {
        told.push(text.to_owned());
    }
    told
}
