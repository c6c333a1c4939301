//! The wind that the plan is made for: whether it is one to go by.

use super::assumed;
use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Cost, Measure, Measured, NotMeasured, Type, Value};
use super::unmeasured;
use crate::finding::Label;
use crate::passage::Passage;
use crate::plan::mission::Wind;
use crate::units::{Dimension, Ratio, Speed};

/// Below this mean a plan is one for no wind, of which a gust factor says nothing. Our own choice.
const BLOWS: Speed = Speed::metres_per_second(1.0);

const fn of_wind(
    name: &'static str,
    of: Type,
    title: &'static str,
    meaning: &'static str,
    read: fn(&Passage<'_>) -> Vec<super::reading::Measurement>,
) -> Entry {
    Entry {
        measure: Measure {
            of_planned_wind: true,
            cost: Cost::Stated,
            ..entry(name, of, title, meaning, &["wind or forecast"], read).measure
        },
        read,
    }
}

pub(super) const BLOWING: Entry = of_wind(
    "mission.wind_blows",
    Type::Truth,
    "Whether the mean wind planned for is at least 1 m/s",
    "As the plan states it, at the height that it states.",
    |passage| evidence::of_mission(blows(passage)),
);

pub(super) const MEAN: Entry = of_wind(
    "mission.wind_mean",
    Type::Quantity(Dimension::SPEED),
    "Mean wind planned for",
    "As the plan states it, at the height that it states; for a forecast, the strongest of its \
     hours.",
    |passage| evidence::of_mission(mean(passage)),
);

pub(super) const GUST_FACTOR: Entry = of_wind(
    "mission.gust_factor",
    Type::Quantity(Dimension::RATIO),
    "Gust planned for, as a share of the mean wind planned for",
    "As the plan states them; the mean counts as at least 1 m/s.",
    |passage| evidence::of_mission(gust_factor(passage)),
);

pub(super) const SPREAD: Entry = of_wind(
    "mission.wind_spread",
    Type::Quantity(Dimension::ANGLE),
    "Spread of the wind planned for, to either side",
    "Half the width of the arc that the plan states; for a forecast, that of all its hours.",
    |passage| evidence::of_mission(spread(passage)),
);

fn planned<'a>(passage: &'a Passage<'_>) -> Result<&'a Wind, NotMeasured> {
    let plan = passage.plan;
    plan.mission.wind.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan states no wind",
            "add `conditions:` with a `wind` or a `forecast`",
        )
    })
}

fn known(passage: &Passage<'_>, value: Value, sentence: &str, primary: Label) -> Measured {
    Measured {
        because: evidence::wind_lines(passage.plan),
        assumptions: assumed::of_plan(passage.plan),
        ..Measured::new(value, sentence, primary)
    }
}

fn blows(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let wind = planned(passage)?;
    let blows = wind.mean.value >= BLOWS;
    let primary = evidence::label(wind.mean.span(), format!("mean wind {}", wind.mean.value));
    let sentence = "whether a wind is planned for";
    Ok(known(passage, Value::Truth(blows), sentence, primary))
}

fn mean(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let wind = planned(passage)?;
    let primary = evidence::label(wind.mean.span(), "the wind planned for");
    let sentence = "the mean wind planned for";
    Ok(known(
        passage,
        evidence::value(wind.mean.value),
        sentence,
        primary,
    ))
}

fn gust_factor(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let wind = planned(passage)?;
    let mean = wind.mean.value.max(BLOWS);
    let gust = wind.stated_gust;
    let factor = Ratio::fraction(gust / mean);
    let primary = evidence::label(wind.gust.span(), format!("gusts of {gust}"));
    let sentence = "the gust planned for, as a share of the mean wind,";
    let mut known = known(passage, evidence::value(factor), sentence, primary);
    known.steps = vec![format!("{gust} / {mean} = {factor}")];
    Ok(known)
}

fn spread(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let wind = planned(passage)?;
    let primary = evidence::label(wind.spread.span(), "this much to either side");
    let sentence = "the spread of the wind planned for, to either side,";
    Ok(known(
        passage,
        evidence::value(wind.spread.value),
        sentence,
        primary,
    ))
}
