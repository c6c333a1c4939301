//! Depths and a level that a site states against its soundings.

use super::soundings;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::passage::Passage;
use crate::passage::depth::{By, in_zones};
use crate::units::Length;

pub(super) fn least(passage: &Passage<'_>) -> Vec<Measurement> {
    let site = &passage.plan.site;
    let (Some(soundings), Some(stated)) = (soundings(passage), &site.depths.least) else {
        return Vec::new();
    };
    let off = |at| {
        let mut places = site.launch_sites.iter();
        places.all(|place| place.at.distance(at) > place.zone.value.get())
    };
    // Within its error of the shore a sounding is of the bank, which no least depth takes in.
    let bank = site.shore_error.value.get();
    let shallowest = soundings
        .bed
        .every_sounding()
        .filter(|sounding| off(sounding.at) && site.shore.distance(sounding.at) > bank)
        .min_by(|a, b| a.depth.get().total_cmp(&b.depth.get()));
    let Some(shallowest) = shallowest else {
        return Vec::new();
    };
    let error = &soundings.error;
    let excess = stated.value - shallowest.depth - error.value;
    let mut known = Measured::new(
        evidence::value(excess),
        "the least depth stated for the site, beyond the shallowest sounding and its error,",
        evidence::label(stated.span(), format!("least depth {}", stated.value)),
    );
    known.because = vec![
        evidence::label(
            soundings.file.span(),
            format!("{} sounded off the launch sites", shallowest.depth),
        ),
        evidence::label(error.span(), format!("error of a depth {}", error.value)),
    ];
    let (latitude, longitude) = evidence::degrees(passage.plan, shallowest.at);
    known.steps = vec![
        format!(
            "shallowest sounding: {} at [{latitude:.6}, {longitude:.6}]",
            shallowest.depth
        ),
        format!(
            "{} − {} − {} = {excess}",
            stated.value, shallowest.depth, error.value
        ),
    ];
    evidence::of_mission(Ok(known))
}

pub(super) fn launch_site(passage: &Passage<'_>) -> Vec<Measurement> {
    let mission = &passage.plan.mission;
    let Some(soundings) = soundings(passage) else {
        return Vec::new();
    };
    let of_zone = |by: By| match by {
        By::RecoveryZone => &mission.recovery.zone,
        _ => &mission.launch.zone,
    };
    let error = &soundings.error;
    let worst = in_zones(passage)
        .into_iter()
        .filter_map(|found| {
            let zone = of_zone(found.by);
            let stated = zone.depth.as_ref()?;
            let excess: Length = stated.value - found.sounding.depth - error.value;
            Some((excess, found, zone, stated))
        })
        .max_by(|a, b| a.0.get().total_cmp(&b.0.get()));
    let Some((excess, found, zone, stated)) = worst else {
        return Vec::new();
    };
    let depth = found.sounding.depth;
    let mut known = Measured::new(
        evidence::value(excess),
        format!(
            "the depth stated for `{}`, beyond the soundings there and their error,",
            zone.place.value
        ),
        evidence::label(stated.span(), format!("depth {}", stated.value)),
    );
    known.because = vec![
        evidence::label(soundings.file.span(), format!("{depth} was sounded")),
        evidence::label(error.span(), format!("error of a depth {}", error.value)),
    ];
    let (latitude, longitude) = evidence::degrees(passage.plan, found.sounding.at);
    known.steps = vec![
        format!("least by the soundings: {depth} at [{latitude:.6}, {longitude:.6}]"),
        format!("{} − {depth} − {} = {excess}", stated.value, error.value),
        "under the keel the lesser depth counts, where the corridor was sounded".to_owned(),
    ];
    evidence::of_mission(Ok(known))
}

pub(super) fn level(passage: &Passage<'_>) -> Vec<Measurement> {
    let depths = &passage.plan.site.depths;
    let Some(level) = &depths.level else {
        return Vec::new();
    };
    let above = &level.above_datum;
    let mut known = Measured::new(
        evidence::value(above.value),
        "the water level above the datum",
        evidence::label(above.span(), format!("{} above the datum", above.value)),
    );
    known.because = vec![evidence::label(
        level.read.span(),
        format!("read on {}", level.read.value),
    )];
    if let Some(soundings) = &depths.soundings {
        let text = format!("datum: {}", soundings.datum.value);
        known
            .because
            .push(evidence::label(soundings.datum.span(), text));
    }
    evidence::of_mission(Ok(known))
}
