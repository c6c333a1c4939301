//! Depths by soundings against everything else that the files say of the depth.

mod casts;
mod expected;
mod mean;
mod offshore;
mod stated;

pub(super) use expected::deepest;

use super::entry::{Entry, quantity};
use super::evidence;
use super::reading::Scope;
use crate::finding::Label;
use crate::passage::Passage;
use crate::plan::depths::Soundings;
use crate::units::{Dimension, Length};

pub(super) const MEAN: Entry = quantity(
    "agreement.mean_depth_ratio",
    Dimension::RATIO,
    "Mean depth by the soundings and as stated for the site, the greater as a share of the lesser",
    "The mean depth of the bed between the soundings, by area and at the water level, and the \
     site's `mean_depth`: the greater over the lesser. No reading where the site states only one \
     of them.",
    &["soundings", "water level", "mean depth"],
    mean::ratio,
)
.within(Scope::Agreement);

pub(super) const EXPECTED: Entry = quantity(
    "agreement.expected_depth_ratio",
    Dimension::RATIO,
    "Greatest depth by the soundings where the mission sounds and as it expects, the greater as a \
     share of the lesser",
    "The greatest depth of the bed under the sounding lines, or under all legs where there are \
     none, at the water level, and the greatest depth expected: the greater over the lesser. No \
     reading where either is missing or the soundings do not reach there.",
    &["soundings", "water level", "mission's soundings: depths"],
    expected::ratio,
)
.within(Scope::Agreement);

pub(super) const EXPECTED_LEAST: Entry = quantity(
    "agreement.expected_least_depth_excess",
    Dimension::LENGTH,
    "Least depth that the mission expects, beyond the soundings where it takes its own",
    "The least depth expected, less the least depth of the bed under the sounding lines, or under \
     all legs where there are none, at the water level, less the error of a depth. No reading \
     where either is missing or the soundings do not reach there.",
    &["soundings", "water level", "mission's soundings: depths"],
    expected::least_excess,
)
.within(Scope::Agreement);

pub(super) const LEAST: Entry = quantity(
    "agreement.least_depth_excess",
    Dimension::LENGTH,
    "Least depth stated for the site, beyond the shallowest sounding",
    "The site's `least_depth` less the shallowest sounding outside its launch sites and off the bank, less the \
     error of a depth. No reading where the site states only one of them.",
    &["soundings", "least depth", "launch sites"],
    stated::least,
)
.within(Scope::Agreement);

pub(super) const LAUNCH_SITE: Entry = quantity(
    "agreement.launch_site_depth_excess",
    Dimension::LENGTH,
    "Depth stated for a launch site, beyond the soundings there",
    "The depth stated for the launch site of launch or recovery, less the error of a depth, and \
     less the lesser of the shallowest sounding in the corridor inside its zone and the bed where \
     the route leaves the zone. No reading where no soundings cover it.",
    &["soundings", "launch_sites: depth", "route"],
    stated::launch_site,
)
.within(Scope::Agreement);

pub(super) const LEVEL: Entry = quantity(
    "agreement.level_above_datum",
    Dimension::LENGTH,
    "Water level above the datum of the soundings",
    "As stated: every sounding gains this much water.",
    &["water level"],
    stated::level,
)
.within(Scope::Agreement);

pub(super) const OFFSHORE: Entry = quantity(
    "agreement.deepens_offshore",
    Dimension::LENGTH,
    "Depth of the soundings far from the shore, beyond that near it",
    "The mean of the quarter of the soundings farthest from any shore, less that of the nearest \
     quarter. Heights in place of depths make it negative. No reading with fewer than twelve \
     soundings.",
    &["soundings", "shoreline"],
    offshore::deepens,
)
.within(Scope::Agreement);

pub(super) const CASTS: Entry = quantity(
    "agreement.cast_error",
    Dimension::LENGTH,
    "Greatest difference between the soundings and an independent depth, beyond the error of both",
    "At each of the site's `casts`: the absolute difference between the bed's depth and the cast, \
     less the root sum of squares of the error of a depth and the cast's own. No reading where no \
     cast lies on the sounded bed.",
    &["soundings", "casts"],
    casts::error,
)
.within(Scope::Agreement);

/// The depth of the water over a depth below the datum, with its lines.
fn level(passage: &Passage<'_>) -> (Length, Vec<Label>) {
    let depths = &passage.plan.site.depths;
    let mut lines: Vec<Label> = depths
        .soundings
        .iter()
        .map(|soundings| evidence::label(soundings.file.span(), "the soundings"))
        .collect();
    let Some(level) = &depths.level else {
        return (Length::ZERO, lines);
    };
    let above = level.above_datum.value;
    let text = format!("water {above} above the datum");
    lines.push(evidence::label(level.above_datum.span(), text));
    (above, lines)
}

fn soundings<'p>(passage: &Passage<'p>) -> Option<&'p Soundings> {
    passage.plan.site.depths.soundings.as_ref()
}

/// The greater of two depths over the lesser; a hundredfold where one of them is no water at all.
fn apart(a: Length, b: Length) -> f64 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    if low <= Length::ZERO {
        return 100.0;
    }
    (high / low).min(100.0)
}
