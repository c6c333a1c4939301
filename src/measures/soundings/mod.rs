//! Soundings: whether they come home, and what they are good for.

mod home;
mod lines;
mod range;
mod sound;
mod uncertainty;

use super::entry::Entry;
use super::evidence;
use super::reading::{Measured, Measurement, NotMeasured, Scope, Type};
use super::unmeasured;
use crate::finding::Label;
use crate::passage::Passage;
use crate::plan::soundings::Soundings;
use crate::plan::vessel::{DepthRange, Sonar};
use crate::units::{Dimension, Length};

pub(super) use home::{ORDER_STATED, RECORD_TIME, RECORDED};
pub(super) use lines::{COVERAGE, LINE_SPACING, TURN};
pub(super) use range::{ALONG_TRACK, DEEPEST, PING_RATE, SHALLOWEST};
pub(super) use sound::SOUND_SPEED;
pub(super) use uncertainty::{HORIZONTAL, VERTICAL};

const LENGTH: Type = Type::Quantity(Dimension::LENGTH);
const SHARE: Type = Type::Quantity(Dimension::RATIO);

const fn entry(
    name: &'static str,
    scope: Scope,
    of: Type,
    title: &'static str,
    meaning: &'static str,
    needs: &'static [&'static str],
    read: fn(&Passage<'_>) -> Vec<Measurement>,
) -> Entry {
    super::entry::entry(name, of, title, meaning, needs, read).within(scope)
}

/// A value, why there is none, or nothing where the claim does not bear on it.
type Told = Option<Result<Measured, NotMeasured>>;

/// Reads a measure of a mission that says what its soundings are to be good for. One that says
/// nothing of it has no such reading: [`ORDER_STATED`] tells of that, once.
fn of_claim(passage: &Passage<'_>, read: fn(&Passage<'_>, &Soundings) -> Told) -> Vec<Measurement> {
    let claim = passage.plan.mission.soundings.as_ref();
    claim
        .and_then(|claim| read(passage, claim))
        .map_or_else(Vec::new, evidence::of_mission)
}

/// Whether the mission is to take soundings.
fn takes_soundings(passage: &Passage<'_>) -> bool {
    let mission = &passage.plan.mission;
    mission.soundings.is_some() || !mission.blocks.is_empty()
}

fn sonar<'p>(passage: &Passage<'p>) -> Result<&'p Sonar, NotMeasured> {
    let plan = passage.plan;
    plan.vessel.sonar.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.vessel.id.span(),
            "the vessel states no echo sounder",
            "add `sonar:` with what its data sheet says to the vessel's file",
        )
    })
}

/// What a sonar does not state.
fn unstated(passage: &Passage<'_>, sonar: &Sonar, what: &str, field: &str) -> NotMeasured {
    unmeasured::lacking(
        passage.plan,
        sonar.span,
        &format!("the vessel does not state {what}"),
        &format!("add `{field}` to the vessel's `sonar`"),
    )
}

fn depths<'c>(passage: &Passage<'_>, claim: &'c Soundings) -> Result<&'c DepthRange, NotMeasured> {
    claim.depths.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            passage.plan,
            claim.span,
            "the plan does not say which depths it expects",
            "add `depths: { least: …, greatest: … }` to `soundings`",
        )
    })
}

/// The line that states the least depth, and that which states the greatest.
fn least_line(depths: &DepthRange) -> Label {
    let least = &depths.least;
    evidence::label(
        least.span(),
        format!("least depth expected {}", least.value),
    )
}

fn greatest_line(depths: &DepthRange) -> Label {
    let greatest = &depths.greatest;
    evidence::label(
        greatest.span(),
        format!("greatest depth expected {}", greatest.value),
    )
}

/// The width that the beam lights up at the least depth, with its lines and its step. The
/// transducer is taken as deep as the draft, which makes the beam narrowest.
fn narrowest_footprint(
    passage: &Passage<'_>,
    claim: &Soundings,
) -> Result<(Length, Vec<Label>, String), NotMeasured> {
    let sonar = sonar(passage)?;
    let beam = sonar
        .beam
        .as_ref()
        .ok_or_else(|| unstated(passage, sonar, "the sounder's beam", "beam_angle"))?;
    let depths = depths(passage, claim)?;
    let draft = passage.plan.vessel.hull.draft.value;
    let below = (depths.least.value - draft).max(Length::ZERO);
    let footprint = crate::models::sounding::footprint(below, beam.value);
    let lines = vec![
        evidence::label(beam.span(), format!("beam {} wide", beam.value)),
        least_line(depths),
    ];
    let step = format!(
        "the beam at the least depth, {} less {draft} of draft: 2 × {below} × tan({} / 2) = \
         {footprint}",
        depths.least.value, beam.value
    );
    Ok((footprint, lines, step))
}
