//! The speed of sound that depths are reckoned with, against the water's.

use super::{SHARE, Told, entry, of_claim, sonar, unstated};
use crate::finding::Label;
use crate::measures::catalogue::Entry;
use crate::measures::reading::{Known, Scope, Unknown};
use crate::measures::tell;
use crate::models::constants::Water;
use crate::models::sounding::{depth_scale_error, sound_speed_fresh, sound_speed_sea};
use crate::passage::Passage;
use crate::plan::soundings::Soundings;
use crate::units::{Length, Ratio};

/// What is left of the error where the speed of sound is measured on the day; our own choice,
/// some 4 m/s.
const MEASURED: f64 = 0.0025;

pub(in crate::measures) const SOUND_SPEED: Entry = entry(
    "soundings.sound_speed_error",
    Scope::Soundings,
    SHARE,
    "By how much every depth is off for the speed of sound set in the sounder",
    "The size of: the speed that is set over that in the water, less one. The water's follows from \
     its temperature: Marczak 1997 for fresh water, Coppens 1981 with the stated salinity for salt \
     water. Where it is measured on the day, 0.25 % is taken to be left.",
    "vessel's sonar: sound_speed; conditions: water_temperature; site: water; soundings: sound_speed, \
     salinity",
    |passage| of_claim(passage, told),
);

/// The error with the lines and steps that it follows from.
pub(super) struct SoundError {
    pub share: Ratio,
    pub primary: Label,
    pub because: Vec<Label>,
    pub step: String,
}

/// The error of every depth as a share of it.
pub(super) fn error(passage: &Passage<'_>, claim: &Soundings) -> Result<SoundError, Unknown> {
    let measured = &claim.sound_speed_measured;
    if measured.value {
        return Ok(SoundError {
            share: Ratio::fraction(MEASURED),
            primary: tell::label(measured.span(), "measured on the day"),
            because: Vec::new(),
            step: format!(
                "the speed of sound is measured on the day: {} of the depth is taken to be left",
                Ratio::fraction(MEASURED)
            ),
        });
    }
    let sonar = sonar(passage)?;
    let set = sonar.sound_speed.as_ref().ok_or_else(|| {
        unstated(
            passage,
            sonar,
            "the speed of sound that the sounder is set to",
            "sound_speed",
        )
    })?;
    let plan = passage.plan;
    let temperature = &plan.mission.water_temperature;
    if temperature.assumption().is_some() {
        return Err(tell::lacking(
            plan,
            temperature.span(),
            "the plan does not state the temperature of the water, which the speed of sound \
             follows",
            "add `water_temperature` to `conditions`, or `sound_speed: measured` to `soundings`",
        ));
    }
    let mut because = vec![tell::label(
        temperature.span(),
        format!("water at {}", temperature.value),
    )];
    let actual = match plan.site.water.value {
        Water::Fresh => sound_speed_fresh(temperature.value),
        Water::Salt => {
            let Some(salinity) = &claim.salinity else {
                return Err(tell::lacking(
                    plan,
                    claim.span,
                    "the plan does not state the salinity of the water, which the speed of sound \
                     follows",
                    "add `salinity` to `soundings`, such as `3.5 %`",
                ));
            };
            because.push(tell::label(
                salinity.span(),
                format!("salinity {}", salinity.value),
            ));
            sound_speed_sea(temperature.value, salinity.value, Length::ZERO)
        }
    }
    .map_err(|outside| {
        tell::lacking(
            plan,
            temperature.span(),
            &outside.to_string(),
            "measure the speed of sound on the day and state `sound_speed: measured`",
        )
    })?;
    let share = depth_scale_error(set.value, actual);
    Ok(SoundError {
        share: share.abs(),
        primary: tell::label(set.span(), format!("set to {}", set.value)),
        because,
        // A tenth of a metre a second more than is usual, so that the share can be done again.
        step: format!(
            "sound goes at {:.1} m/s in this water: {} / {:.1} m/s − 1 = {share}",
            actual.get(),
            set.value,
            actual.get()
        ),
    })
}

fn told(passage: &Passage<'_>, claim: &Soundings) -> Told {
    Some(error(passage, claim).map(|error| {
        let mut known: Known = Known::of(
            tell::value(error.share),
            "the error of every depth for the speed of sound".to_owned(),
            error.primary,
        );
        known.because = error.because;
        known.steps = vec![error.step];
        known.assumptions = tell::sounding_assumptions(passage.plan);
        known
    }))
}
