//! The sounder's range and its ping rate against the depths that are expected.

use super::{
    LENGTH, SHARE, depths, entry, greatest_line, least_line, narrowest_footprint, of_claim, sonar,
    unstated,
};
use crate::measures::charted::deepest as deepest_charted;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Scope};
use crate::measures::unmeasured;
use crate::models::sounding::{SLOWEST_SOUND, along_track_spacing, greatest_ping_rate};
use crate::passage::{Passage, sounding, speeds};
use crate::plan::soundings::Soundings;
use crate::plan::vessel::{DepthRange, Sonar};
use crate::schema::Stated;
use crate::units::{Frequency, Ratio};

pub(in crate::measures) const DEEPEST: Entry = entry(
    "soundings.deepest_in_range",
    Scope::Soundings,
    LENGTH,
    "Range of the sounder beyond the greatest depth expected",
    "The greatest depth that the sounder finds, less the greatest depth expected or, where more, \
     that of the site's soundings there; from the surface, with the transducer's own depth in \
     hand.",
    &[
        "vessel's sonar: range",
        "mission's soundings: depths",
        "soundings",
        "water level",
    ],
    |passage| of_claim(passage, |passage, claim| Some(deepest(passage, claim))),
);

pub(in crate::measures) const SHALLOWEST: Entry = entry(
    "soundings.shallowest_in_range",
    Scope::Soundings,
    LENGTH,
    "Least depth expected, beyond the sounder's minimum range",
    "The least depth expected, less the draft, less the least depth that the sounder finds.",
    &[
        "vessel's sonar: range",
        "hull: draft",
        "mission's soundings: depths",
    ],
    |passage| of_claim(passage, |passage, claim| Some(shallowest(passage, claim))),
);

pub(in crate::measures) const PING_RATE: Entry = entry(
    "soundings.ping_rate_share",
    Scope::Soundings,
    SHARE,
    "Ping rate as a share of the highest at which each echo is back before the next ping",
    "The ping rate over c/2d at the greatest depth expected, with the speed of sound in water at 0 \
     °C, the lowest possible.",
    &["vessel's sonar: ping_rate", "mission's soundings: depths"],
    |passage| of_claim(passage, |passage, claim| Some(ping_rate(passage, claim))),
);

pub(in crate::measures) const ALONG_TRACK: Entry = entry(
    "soundings.along_track_coverage",
    Scope::Soundings,
    SHARE,
    "Least coverage along a line from ping to ping",
    "The beam's footprint on the bed at the least depth expected, over the distance made between \
     two pings, at the greatest speed over ground of the sounding lines, or of all legs where \
     there are none. Below 100 % the beam misses bed between two soundings.",
    &[
        "vessel's sonar: beam_angle",
        "vessel's sonar: ping_rate",
        "hull: draft",
        "mission's soundings: depths",
        "speeds",
        "currents",
    ],
    |passage| of_claim(passage, |passage, claim| Some(along_track(passage, claim))),
);

fn range<'p>(passage: &Passage<'p>) -> Result<&'p DepthRange, NotMeasured> {
    let sonar = sonar(passage)?;
    let range = sonar.range.as_ref();
    range.ok_or_else(|| unstated(passage, sonar, "the depths that the sounder finds", "range"))
}

fn rate<'p>(passage: &Passage<'p>) -> Result<&'p Stated<Frequency>, NotMeasured> {
    let sonar: &Sonar = sonar(passage)?;
    let rate = sonar.ping_rate.as_ref();
    rate.ok_or_else(|| unstated(passage, sonar, "the sounder's ping rate", "ping_rate"))
}

fn deepest(passage: &Passage<'_>, claim: &Soundings) -> Result<Measured, NotMeasured> {
    let reach = &range(passage)?.greatest;
    let depths = depths(passage, claim)?;
    let charted = deepest_charted(passage).filter(|(depth, ..)| *depth > depths.greatest.value);
    let (greatest, what) = match &charted {
        Some((depth, ..)) => (*depth, "the greatest depth by the soundings"),
        None => (depths.greatest.value, "the greatest depth expected"),
    };
    let over = reach.value - greatest;
    let mut known = Measured::new(
        evidence::value(over),
        format!("the range of the sounder beyond {what}"),
        greatest_line(depths),
    );
    known.because = vec![evidence::label(
        reach.span(),
        format!("finds the bed down to {}", reach.value),
    )];
    known.steps = vec![format!("{} − {greatest} = {over}", reach.value)];
    if let Some((_, sample, lines)) = charted {
        known.because.extend(lines);
        known.place = Some(evidence::at_sample(passage, sample));
    }
    Ok(known)
}

fn shallowest(passage: &Passage<'_>, claim: &Soundings) -> Result<Measured, NotMeasured> {
    let needs = &range(passage)?.least;
    let depths = depths(passage, claim)?;
    let draft = &passage.plan.vessel.hull.draft;
    let over = depths.least.value - draft.value - needs.value;
    let mut known = Measured::new(
        evidence::value(over),
        "the least depth expected, beyond the sounder's minimum range,".to_owned(),
        least_line(depths),
    );
    known.because = vec![
        evidence::label(
            needs.span(),
            format!("finds the bed from {} on", needs.value),
        ),
        evidence::label(draft.span(), format!("draft {}", draft.value)),
    ];
    known.steps = vec![format!(
        "{} − {} of draft − {} = {over}",
        depths.least.value, draft.value, needs.value
    )];
    Ok(known)
}

fn ping_rate(passage: &Passage<'_>, claim: &Soundings) -> Result<Measured, NotMeasured> {
    let rate = rate(passage)?;
    let depths = depths(passage, claim)?;
    let greatest = greatest_ping_rate(depths.greatest.value, SLOWEST_SOUND);
    let share = rate.value / greatest;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the ping rate, as a share of the highest that the depth allows,".to_owned(),
        evidence::label(rate.span(), format!("pings at {}", rate.value)),
    );
    known.because = vec![greatest_line(depths)];
    known.steps = vec![
        format!(
            "an echo from {} returns in time at up to {SLOWEST_SOUND} / (2 × {}) = {greatest}",
            depths.greatest.value, depths.greatest.value
        ),
        format!("{} / {greatest} = {}", rate.value, evidence::share(share)),
    ];
    Ok(known)
}

fn along_track(passage: &Passage<'_>, claim: &Soundings) -> Result<Measured, NotMeasured> {
    let (footprint, lines, step) = narrowest_footprint(passage, claim)?;
    let rate = rate(passage)?;
    let fastest = fastest(passage)?;
    let between = along_track_spacing(fastest.speed, rate.value);
    let share = footprint / between;
    let leg = &passage.plan.mission.legs[fastest.leg];
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the coverage along a line, from one ping to the next,".to_owned(),
        evidence::label(rate.span(), format!("pings at {}", rate.value)),
    );
    known.because = lines;
    known.because.push(evidence::label(
        leg.command.span(),
        format!("up to {} over ground", fastest.speed),
    ));
    known.place = Some(evidence::at_sample(passage, fastest.sample));
    known.steps = vec![
        step,
        format!(
            "from ping to ping: {} / {} = {between}",
            fastest.speed, rate.value
        ),
        format!("{footprint} / {between} = {}", evidence::share(share)),
    ];
    Ok(known)
}

/// The greatest speed over ground with which soundings are taken.
pub(super) fn fastest(passage: &Passage<'_>) -> Result<speeds::Commanded, NotMeasured> {
    let legs = sounding::legs(passage);
    speeds::greatest_over_ground(passage, &legs).ok_or_else(|| {
        unmeasured::lacking(
            passage.plan,
            passage.plan.mission.route_span,
            "the route has no leg to take soundings on",
            "add a leg",
        )
    })
}
