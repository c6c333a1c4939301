//! The boat in sight of an operator along its route.

use super::manned::{named, no_operator};
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::passage::Passage;
use crate::passage::adrift::marked;
use crate::passage::sight::Watched;
use crate::units::{Length, Ratio};

fn watched<'p>(passage: &'p Passage<'_>) -> Result<&'p [Watched], NotMeasured> {
    let watched = passage.watched();
    if watched.is_empty() {
        return Err(no_operator(passage.plan, passage.plan.mission.id.span()));
    }
    Ok(watched)
}

pub(super) fn in_sight(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let unseen: Vec<bool> = watched(passage)?.iter().map(|one| !one.seen).collect();
    let (hidden, longest) = marked(passage, &unseen);
    let whole = passage.track.length();
    let share = if whole > 0.0 {
        (1.0 - hidden / whole).clamp(0.0, 1.0)
    } else {
        1.0
    };
    let begins = longest.map_or(0, |(from, _)| from);
    let here = match longest {
        Some(_) => "the longest stretch out of sight begins here",
        None => "in sight from here on",
    };
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the share of the route on which an operator has the boat in sight",
        evidence::label(evidence::leg_span(passage, begins), here),
    );
    let lines = named(plan).into_iter();
    known
        .because
        .extend(lines.map(|(who, span)| evidence::label(span, format!("{who} stands here"))));
    let shore = evidence::label(plan.site.shore_span, "this shoreline");
    known.because.push(shore);
    if let Some((from, to)) = longest {
        let along = &passage.track.along;
        known.steps.push(format!(
            "out of sight on {} of {}, longest from {} to {} along the route",
            evidence::metres(hidden),
            evidence::metres(whole),
            evidence::metres(along[from]),
            evidence::metres(along[to])
        ));
        known.place = Some(evidence::at_sample(passage, begins));
    }
    Ok(known)
}

pub(super) fn boat_away(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let watched = watched(passage)?;
    let farthest = watched
        .iter()
        .enumerate()
        .max_by(|(i, a), (j, b)| a.distance.total_cmp(&b.distance).then(j.cmp(i)));
    let (sample, one) = farthest.ok_or_else(|| no_operator(plan, plan.mission.id.span()))?;
    let place = evidence::at_sample(passage, sample);
    let (who, span) = named(plan).swap_remove(one.observer);
    let spot = evidence::spot(&place);
    let mut known = Measured::new(
        evidence::value(Length::metres(one.distance)),
        format!("the distance of the boat from {who}, at {spot},"),
        evidence::label(evidence::leg_span(passage, sample), "farthest here"),
    );
    let line = evidence::label(span, format!("{who} stands here"));
    known.because.push(line);
    known.place = Some(place);
    Ok(known)
}
