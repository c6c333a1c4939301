//! Depths by soundings against everything else that the files say of the depth.

mod casts;
mod expected;
mod mean;
mod offshore;
mod stated;

pub(super) use expected::deepest;

use super::catalogue::{Entry, quantity};
use super::evidence;
use super::reading::Scope;
use crate::finding::Label;
use crate::passage::Passage;
use crate::plan::depths::Soundings;
use crate::units::{Dimension, Length};

pub(super) const MEAN: Entry = quantity(
    "agreement.mean_depth_ratio",
    Dimension::RATIO,
    "Mean depth by the soundings and as the site states it, the greater as a share of the lesser",
    "The mean of the bed between the soundings, by area, with the level of the water, and the site's \
     `mean_depth`: the greater over the lesser. No reading where the site states only one of them.",
    "soundings, water level, mean_depth",
    mean::ratio,
)
.within(Scope::Agreement);

pub(super) const EXPECTED: Entry = quantity(
    "agreement.expected_depth_ratio",
    Dimension::RATIO,
    "Greatest depth by the soundings where soundings are taken and as the mission expects it, the greater \
     as a share of the lesser",
    "The greatest depth of the bed under the sounding lines, or under all legs where there are none, with \
     the level of the water, and the greatest depth expected: the greater over the lesser. No reading \
     where one of them is not stated or the soundings do not reach there.",
    "soundings, water level; mission's soundings: depths",
    expected::ratio,
)
.within(Scope::Agreement);

pub(super) const EXPECTED_LEAST: Entry = quantity(
    "agreement.expected_least_depth_excess",
    Dimension::LENGTH,
    "By how much the least depth that the mission expects is more than the soundings show where it takes its own",
    "The least depth expected, less the least depth of the bed under the sounding lines, or under all legs \
     where there are none, with the level of the water, less the error of a depth. No reading where one of \
     them is not stated or the soundings do not reach there.",
    "soundings, water level; mission's soundings: depths",
    expected::least_excess,
)
.within(Scope::Agreement);

pub(super) const LEAST: Entry = quantity(
    "agreement.least_depth_excess",
    Dimension::LENGTH,
    "By how much the least depth stated for the site is more than the shallowest sounding",
    "The site's `least_depth` less the shallowest sounding outside its launch sites and off the bank, less the \
     error of a depth. No reading where the site states only one of them.",
    "soundings, least_depth, launch_sites",
    stated::least,
)
.within(Scope::Agreement);

pub(super) const LAUNCH_SITE: Entry = quantity(
    "agreement.launch_site_depth_excess",
    Dimension::LENGTH,
    "By how much the depth stated for a launch site is more than was sounded there",
    "The depth stated for the launch site of launch or recovery, less the least of what was sounded in \
     the corridor inside its zone and of the bed where the way leaves it, less the error of a depth. No \
     reading where the soundings say nothing of it.",
    "soundings; launch_sites: depth; route",
    stated::launch_site,
)
.within(Scope::Agreement);

pub(super) const LEVEL: Entry = quantity(
    "agreement.level_above_datum",
    Dimension::LENGTH,
    "Water level above the datum of the soundings",
    "As stated: this much water is added to every sounding.",
    "water_level",
    stated::level,
)
.within(Scope::Agreement);

pub(super) const OFFSHORE: Entry = quantity(
    "agreement.deepens_offshore",
    Dimension::LENGTH,
    "By how much the soundings are deeper far from the shore than near to it",
    "The mean of the quarter of the soundings that lies farthest from any shore, less that of the nearest \
     quarter. Heights in place of depths make it negative. No reading below twelve soundings.",
    "soundings, shoreline",
    offshore::deepens,
)
.within(Scope::Agreement);

pub(super) const CASTS: Entry = quantity(
    "agreement.cast_error",
    Dimension::LENGTH,
    "Greatest difference between the soundings and a depth measured apart from them, past the error of \
     both",
    "At each of the site's `casts`: the size of the bed's depth less the cast's, less the error of a depth \
     and the cast's own, added by their squares. No reading where there are none on the bed.",
    "soundings, casts",
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
