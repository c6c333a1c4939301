//! What the soundings of a mission are to be good for, and the blocks that they are taken in.

use std::cell::RefCell;

use super::vessel::{DepthRange, depth_range};
use crate::models::sounding::Order;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Length, Ratio, Temperature};

/// What the soundings are to be good for.
#[derive(Clone, Debug)]
pub struct Soundings {
    /// The `soundings` key.
    pub span: Span,
    /// The survey order, or none.
    pub survey_order: Stated<Option<Order>>,
    /// Whether the bed is to be covered without gaps, where stated.
    pub full_coverage: Option<Stated<bool>>,
    /// Share of its width by which a swath is to overlap the next.
    pub overlap: Stated<Ratio>,
    /// Depths of water that are expected.
    pub depths: Option<DepthRange>,
    /// Error of the water level against the datum at 95 %.
    pub level_error: Option<Stated<Length>>,
    /// How the speed of sound is known that depths rest on.
    pub sound_speed: Stated<SoundSpeed>,
    /// Temperature of the water at the bed, where stated.
    pub bottom_temperature: Option<Stated<Temperature>>,
    /// Salt in the water as a share of its mass.
    pub salinity: Option<Stated<Ratio>>,
}

/// How the speed of sound is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SoundSpeed {
    /// Measured on the day from the surface to the bed.
    Profile,
    /// Measured on the day at one depth.
    Measured,
    /// As the sounder is set.
    AsSet,
}

const SOUND_SPEEDS: &[(&str, SoundSpeed)] = &[
    ("profile", SoundSpeed::Profile),
    ("measured", SoundSpeed::Measured),
    ("as set", SoundSpeed::AsSet),
];

impl Soundings {
    /// How often over the bed is to be covered; 0 where gaps between lines will do.
    #[must_use]
    pub fn times_covered(&self) -> u32 {
        let stated = self.full_coverage.as_ref().is_some_and(|full| full.value);
        let asked = self.survey_order.value.map_or(0, Order::times_covered);
        asked.max(u32::from(stated))
    }
}

/// A survey block of the route.
#[derive(Clone, Debug)]
pub struct Block {
    /// Its id, which its legs have as well.
    pub id: Stated<String>,
    /// Distance between its lines.
    pub spacing: Stated<Length>,
    /// Whether it says how far its lines keep from land.
    pub clear_stated: bool,
}

const QUALITIES: &[(&str, Option<Order>)] = &[
    ("no order", None),
    ("order 2", Some(Order::Order2)),
    ("order 1b", Some(Order::Order1b)),
    ("order 1a", Some(Order::Order1a)),
    ("special order", Some(Order::Special)),
    ("exclusive order", Some(Order::Exclusive)),
];

/// The name of an order in files.
#[must_use]
pub(crate) fn order_name(order: Option<Order>) -> &'static str {
    QUALITIES
        .iter()
        .find(|(_, known)| *known == order)
        .map_or("", |(name, _)| name)
}

/// Reads the claim; `None` where it is malformed.
pub(super) fn parse(fields: Fields<'_>) -> Option<Soundings> {
    let survey_order = fields.word("survey_order", QUALITIES);
    let full_coverage = fields.word("coverage", &[("full", true), ("lines", false)]);
    let overlap = fields.quantity_or("overlap");
    let depths = fields.map("depths").and_then(depth_range);
    let level_error = fields.quantity("level_error");
    let sound_speed = fields.word("sound_speed", SOUND_SPEEDS).unwrap_or_else(|| {
        let text = "depths use the speed of sound set in the sounder (`sound_speed` not stated)";
        Stated::assumed(SoundSpeed::AsSet, fields.span(), text)
    });
    let bottom_temperature = fields.quantity("bottom_temperature");
    let salinity = fields.quantity("salinity");
    let survey_order = survey_order?;
    if let (Some(order), Some(coverage)) = (survey_order.value, &full_coverage)
        && order.times_covered() > 0
        && !coverage.value
    {
        let name = order_name(survey_order.value);
        let text = format!("{name} requires full coverage, but the plan allows gaps between lines");
        fields
            .problem(Problem::value(coverage.span(), text).with(survey_order.span(), "this order"));
        return None;
    }
    Some(Soundings {
        span: fields.span(),
        survey_order,
        full_coverage,
        overlap,
        depths,
        level_error,
        sound_speed,
        bottom_temperature,
        salinity,
    })
}

/// The survey blocks of a mission file. What is wrong with them is reported where the route is laid
/// out.
pub(super) fn blocks(file: Fields<'_>) -> Vec<Block> {
    let told_elsewhere = RefCell::new(Vec::new());
    file.maps("route")
        .filter_map(|item| {
            let item = item.with_problems(&told_elsewhere);
            Some(Block {
                id: item.text("id")?,
                spacing: item.map("survey")?.quantity("spacing")?,
                clear_stated: item.map("survey")?.get("clear_of_land").is_some(),
            })
        })
        .collect()
}
