//! Straight shores that nothing is said about: a dam, or a line that somebody closed the water with.

use super::assumed;
use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Measured, NotMeasured, Type};
use super::unmeasured;
use crate::passage::Passage;
use crate::passage::straight::{Found, all};
use crate::units::{Dimension, Ratio};

const NEEDS: &[&str] = &[
    "wind",
    "route",
    "shoreline",
    "open_edges",
    "straight_shores",
];

pub(super) const UPWIND: Entry = entry(
    "mission.straight_shore_upwind",
    Type::Quantity(Dimension::RATIO),
    "Straight stretch of shoreline that ends the fetch and that the site does not confirm as \
     shore, over the others of its shoreline",
    "A straight stretch of the shoreline, of edges that bend by no more than 3°, over the median \
     one of its ring; a third of it where it has positions of its own. It counts if neither \
     `open_edges` nor `straight_shores` mark it, if it ends the fetch of a sample of the route in \
     a direction that waves may come from, and if it is at least three times as long. The \
     greatest; zero where there is none.",
    NEEDS,
    |passage| evidence::of_mission(longest(passage, true)),
);

pub(super) const ELSEWHERE: Entry = entry(
    "mission.straight_shore",
    Type::Quantity(Dimension::RATIO),
    "Straight stretch of shoreline that ends no fetch and that the site does not confirm as shore, \
     over the others of its shoreline",
    "As `mission.straight_shore_upwind`, but for the stretches that end no fetch of the route.",
    NEEDS,
    |passage| evidence::of_mission(longest(passage, false)),
);

fn longest(passage: &Passage<'_>, upwind: bool) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let scenarios = passage
        .scenarios()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    let shore = evidence::label(plan.site.shore_span, "this shoreline");
    let found = all(passage, scenarios);
    let mut worst: Option<Found<'_>> = None;
    for one in found {
        if one.sample.is_some() == upwind
            && worst.is_none_or(|held| one.stretch.times > held.stretch.times)
        {
            worst = Some(one);
        }
    }
    let times = worst.map_or(0.0, |worst| worst.stretch.times);
    if let Some(alone) = evidence::value_alone(passage, evidence::value(Ratio::fraction(times))) {
        return Ok(alone);
    }
    let ends = if upwind {
        "ends the fetch"
    } else {
        "ends no fetch"
    };
    let Some(worst) = worst else {
        return Ok(Measured::new(
            evidence::value(Ratio::ZERO),
            format!("the longest unmarked straight shore that {ends}, over the others,"),
            shore,
        ));
    };
    let stretch = worst.stretch;
    let [from, to] = [stretch.ends.0, stretch.ends.1].map(|end| {
        let (latitude, longitude) = evidence::degrees(plan, end);
        format!("[{latitude:.6}, {longitude:.6}]")
    });
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(stretch.times)),
        format!(
            "an unmarked straight shore of {} from {from} to {to}, which {ends}, over the others,",
            stretch.length()
        ),
        shore,
    );
    known.because.extend(evidence::wind_lines(plan));
    let drawn = if stretch.edges.len() > 1 {
        ", a third of that since it has positions of its own"
    } else {
        ""
    };
    known.steps.push(format!(
        "{} over the median stretch of {}{drawn}: {}",
        stretch.length(),
        stretch.middle,
        Ratio::fraction(stretch.times)
    ));
    if let Some(sample) = worst.sample {
        let place = evidence::at_sample(passage, sample);
        known.steps.push(format!(
            "first seen to windward, or up to 78° off the wind, from {}",
            evidence::spot(&place)
        ));
        known.place = Some(place);
    }
    known.steps.push(format!(
        "if it is shore, add `{{ from: {from}, to: {to}, what: … }}` to `straight_shores`; if the \
         water goes on past it, add it to `open_edges` with its `fetch`"
    ));
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}
