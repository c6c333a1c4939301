//! The speed of sound that depths are calculated with, against the water's.

use super::{SHARE, Told, entry, of_claim, sonar, unstated};
use crate::finding::Label;
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Change, Measured, NotMeasured, Scope};
use crate::measures::unmeasured;
use crate::models::constants::Water;
use crate::models::sounding::{
    COLD_BOTTOM, MIXED_DEPTH, depth_scale_error, sound_speed_fresh, sound_speed_sea,
};
use crate::passage::Passage;
use crate::plan::soundings::{SoundSpeed, Soundings};
use crate::units::{Length, Ratio, Speed, Temperature};

/// What is left of the error where the speed of sound is measured on the day; our own choice,
/// some 4 m/s.
const MEASURED: f64 = 0.0025;

pub(in crate::measures) const SOUND_SPEED: Entry = entry(
    "soundings.sound_speed_error",
    Scope::Soundings,
    SHARE,
    "Error of every depth for the speed of sound set in the sounder",
    "The size of: the speed set over that in the water, less one. The water's follows from its \
     temperature: Marczak 1997 for fresh water, Coppens 1981 with the stated salinity for salt \
     water. Where the water at the bed has another temperature, the worse of the two; where that \
     is not stated and the greatest depth is above 5 m, the bed's counts as 4 °C. With a profile \
     measured on the day, 0.25 % remains; with a single measured depth, the difference to the bed \
     as well.",
    &[
        "vessel's sonar: sound_speed",
        "conditions: water_temperature",
        "site: water",
        "mission's soundings: sound_speed",
        "mission's soundings: bottom_temperature",
        "mission's soundings: depths",
        "mission's soundings: salinity",
    ],
    |passage| of_claim(passage, measured_error),
)
.solved_by(&[Change::SoundSpeed]);

/// The error with the lines and steps that it follows from.
pub(super) struct SoundError {
    pub share: Ratio,
    pub primary: Label,
    pub because: Vec<Label>,
    pub step: String,
}

/// The speed of sound in the water of a plan at a temperature.
fn speed_in(
    passage: &Passage<'_>,
    claim: &Soundings,
    temperature: Temperature,
) -> Result<Speed, String> {
    match (passage.plan.site.water.value, &claim.salinity) {
        (Water::Fresh, _) => sound_speed_fresh(temperature).map_err(|outside| outside.to_string()),
        (Water::Salt, Some(salinity)) => sound_speed_sea(temperature, salinity.value, Length::ZERO)
            .map_err(|outside| outside.to_string()),
        (Water::Salt, None) => Err(
            "the plan does not state the water's salinity, which sets the speed of sound"
                .to_owned(),
        ),
    }
}

/// The temperature at the bed, its line, and what is said of it.
type AtTheBed = (Temperature, Label, String);

/// The temperatures that the water may have from the surface to the bed, with what is said of the
/// second: that at the surface alone where the water is shallow enough to be mixed.
fn temperatures(
    passage: &Passage<'_>,
    claim: &Soundings,
) -> Result<(Temperature, Option<AtTheBed>), NotMeasured> {
    let plan = passage.plan;
    let surface = &plan.mission.water_temperature;
    if surface.assumption().is_some() {
        return Err(unmeasured::lacking(
            plan,
            surface.span(),
            "the plan does not state the water temperature, which sets the speed of sound",
            "add `water_temperature` to `conditions`, or `sound_speed: profile` to `soundings`",
        ));
    }
    if let Some(bottom) = &claim.bottom_temperature {
        let line = evidence::label(bottom.span(), format!("at the bed {}", bottom.value));
        let words = format!("{} at the bed", bottom.value);
        return Ok((surface.value, Some((bottom.value, line, words))));
    }
    let depths = super::depths(passage, claim)?;
    let greatest = &depths.greatest;
    if greatest.value <= MIXED_DEPTH {
        return Ok((surface.value, None));
    }
    let words = format!(
        "{COLD_BOTTOM} at the bed, as water deeper than {MIXED_DEPTH} may be stratified and nobody \
         has measured there"
    );
    let line = evidence::label(
        greatest.span(),
        format!("greatest depth expected {}", greatest.value),
    );
    Ok((surface.value, Some((COLD_BOTTOM, line, words))))
}

/// The error of every depth as a share of it.
///
/// Where the water is not of one temperature, the speed of sound over the whole depth lies between
/// those at the surface and at the bed; the worse of the two is taken.
pub(super) fn error(passage: &Passage<'_>, claim: &Soundings) -> Result<SoundError, NotMeasured> {
    let known = &claim.sound_speed;
    let left = |text: &str| SoundError {
        share: Ratio::fraction(MEASURED),
        primary: evidence::label(known.span(), text),
        because: Vec::new(),
        step: format!(
            "the speed of sound is {text}: {} of the depth remains as error",
            Ratio::fraction(MEASURED)
        ),
    };
    if known.value == SoundSpeed::Profile {
        return Ok(left("measured from the surface to the bed on the day"));
    }
    let measured = known.value == SoundSpeed::Measured;
    let plan = passage.plan;
    let depths = claim.depths.as_ref();
    let shallow = depths.is_some_and(|depths| depths.greatest.value <= MIXED_DEPTH);
    if measured && shallow && claim.bottom_temperature.is_none() {
        return Ok(left("measured on the day"));
    }
    let set = if measured {
        None
    } else {
        let sonar = sonar(passage)?;
        let set = sonar.sound_speed.as_ref().ok_or_else(|| {
            let what = "the speed of sound set in the sounder";
            unstated(passage, sonar, what, "sound_speed")
        })?;
        Some(set)
    };
    let water = &plan.site.water;
    if water.assumption().is_some() {
        return Err(unmeasured::lacking(
            plan,
            water.span(),
            "the site does not state whether its water is fresh or salt, which sets the speed of \
             sound",
            "add `water: fresh` or `water: salt` to the site",
        ));
    }
    let (surface, bottom) = temperatures(passage, claim)?;
    let speed = |temperature: Temperature| {
        speed_in(passage, claim, temperature).map_err(|why| {
            let remedy = "add what is missing, such as `salinity: 3.5 %`, or measure the speed of \
                          sound on the day from the surface to the bed and state `sound_speed: \
                          profile`";
            unmeasured::lacking(plan, claim.span, &why, remedy)
        })
    };
    let here = speed(surface)?;
    let taken = set.map_or(here, |set| set.value);
    let mut share = depth_scale_error(taken, here);
    let temperature = &plan.mission.water_temperature;
    let mut because = vec![evidence::label(
        temperature.span(),
        format!("water at {}", temperature.value),
    )];
    because.extend(
        claim.salinity.as_ref().map(|salinity| {
            evidence::label(salinity.span(), format!("salinity {}", salinity.value))
        }),
    );
    // A tenth of a metre a second more than is usual, so that the share can be done again.
    let mut step = if measured {
        format!("measured at one depth, {:.1} m/s at {surface}", here.get())
    } else {
        format!(
            "speed of sound {:.1} m/s in this water: {taken} / {:.1} m/s − 1 = {share}",
            here.get(),
            here.get()
        )
    };
    if let Some((temperature, line, words)) = bottom {
        let there = speed(temperature)?;
        let other = depth_scale_error(taken, there);
        let by = if measured { "" } else { "or " };
        step = format!(
            "{step}; {by}{:.1} m/s with {words}: {:.1} / {:.1} m/s − 1 = {other}",
            there.get(),
            taken.get(),
            there.get()
        );
        because.push(line);
        if other.abs() > share.abs() {
            share = other;
        }
    }
    let mut share = share.abs();
    if measured {
        share += Ratio::fraction(MEASURED);
        step = format!(
            "{step}, and {} for the measuring",
            Ratio::fraction(MEASURED)
        );
    }
    let primary = match set {
        Some(set) => evidence::label(set.span(), format!("set to {}", set.value)),
        None => evidence::label(known.span(), "measured on the day"),
    };
    Ok(SoundError {
        share,
        primary,
        because,
        step,
    })
}

fn measured_error(passage: &Passage<'_>, claim: &Soundings) -> Told {
    Some(error(passage, claim).map(|error| {
        let mut known: Measured = Measured::new(
            evidence::value(error.share),
            "the error of every depth for the speed of sound".to_owned(),
            error.primary,
        );
        known.because = error.because;
        known.steps = vec![error.step];
        known.assumptions = assumed::of_soundings(passage.plan);
        known
    }))
}
