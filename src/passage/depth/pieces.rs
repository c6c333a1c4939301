//! The pieces of water that the boat may go over, each inside a launch site or outside all, and what is known of
//! their depth.

use super::{By, Least, Over, UnderKeel, lowered};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::seabed::{Sounding, StripDepth};
use crate::passage::Passage;
use crate::passage::clearance::split;
use crate::passage::return_lines::{Begin, homes, returns_off_route};
use crate::plan::Plan;
use crate::plan::depths::Soundings;
use crate::plan::mission::Zone;
use crate::units::{Length, Ratio};

/// One piece of water that the boat may go over.
pub(super) struct Piece {
    pub line: Segment,
    pub over: Over,
    pub zone: Option<By>,
}

/// What is known of a piece.
pub(super) struct Found {
    pub least: Option<Least>,
    pub unknown: f64,
    pub looked_at: usize,
}

/// The pieces of the route and of the return legs, each inside a launch site or outside all.
pub(super) fn pieces(passage: &Passage<'_>) -> Vec<Piece> {
    let plan = passage.plan;
    let mission = &plan.mission;
    let track = &passage.track;
    let steps = track.steps.iter().enumerate();
    let mut lines: Vec<(Segment, Over)> = steps
        .map(|(index, step)| (Segment::new(step.from, step.to), Over::Step(index)))
        .collect();
    let homes = homes(passage, returns_off_route(plan)).into_iter();
    lines.extend(homes.map(|(line, from)| {
        let over = match from {
            Begin::Sample(sample) => Over::Home(sample),
            Begin::Waypoint(index) => Over::Onward(index),
        };
        (line, over)
    }));
    let stated = |zone: &Zone, by: By| {
        let circle = (zone.centre, zone.radius.value.get());
        zone.depth.as_ref().map(|_| (circle, by))
    };
    let zones: Vec<_> = [
        stated(&mission.launch.zone, By::LaunchZone),
        stated(&mission.recovery.zone, By::RecoveryZone),
    ]
    .into_iter()
    .flatten()
    .collect();
    let circles: Vec<(Point, f64)> = zones.iter().map(|(circle, _)| *circle).collect();
    let mut pieces = Vec::new();
    for (line, over) in lines {
        let (inside, outside) = split(&line, &circles);
        pieces.extend(outside.into_iter().map(|line| Piece {
            line,
            over,
            zone: None,
        }));
        pieces.extend(inside.into_iter().map(|line| {
            let middle = line.at(0.5);
            let holds = |((centre, radius), _): &&((Point, f64), By)| {
                middle.distance(*centre) <= *radius + 1e-6
            };
            // Of two zones that both hold it, the shallower one.
            let depth = |by: By| zone_depth(plan, by).map_or(f64::INFINITY, Length::get);
            let zone = zones
                .iter()
                .filter(holds)
                .map(|(_, by)| *by)
                .min_by(|a, b| depth(*a).total_cmp(&depth(*b)));
            Piece { line, over, zone }
        }));
    }
    pieces
}

/// The shallowest sounding within a half width of a line that is not of the bank itself: within the
/// shoreline's error of the shore the bed comes up to it.
pub(super) fn sounded_off_bank(
    plan: &Plan,
    soundings: &Soundings,
    line: Segment,
    half_width: Length,
) -> Option<Sounding> {
    let bank = plan.site.shore_error.value.get();
    let off = |at: Point| plan.site.shore.distance(at) > bank;
    soundings.bed.least_sounding(line, half_width, off)
}

fn zone_depth(plan: &Plan, by: By) -> Option<Length> {
    let zone = match by {
        By::LaunchZone => &plan.mission.launch.zone,
        By::RecoveryZone => &plan.mission.recovery.zone,
        By::Soundings | By::Stated => return None,
    };
    zone.depth.as_ref().map(|depth| depth.value)
}

/// What is known under a piece.
pub(super) fn look(plan: &Plan, taken: &UnderKeel, piece: &Piece) -> Found {
    let depths = &plan.site.depths;
    let draft = plan.vessel.hull.draft.value;
    let level = depths
        .level
        .as_ref()
        .map_or(Length::ZERO, |level| level.above_datum.value);
    let lowered = lowered(plan);
    let least = |depth: Length, by: By, at: Point| {
        let water = match by {
            By::Soundings => depth + level - taken.error,
            By::LaunchZone | By::RecoveryZone | By::Stated => depth - lowered,
        };
        Least {
            under_keel: water - draft,
            depth,
            by,
            at,
            over: piece.over,
        }
    };
    let middle = piece.line.at(0.5);
    // The bed between soundings is drawn up to the bank, so that beside a pontoon only the depth that
    // is stated for it can be gone by.
    // What was sounded there itself counts all the same, where it is less.
    if let Some(by) = piece.zone
        && let Some(depth) = zone_depth(plan, by)
    {
        let stated = least(depth, by, middle);
        let soundings = depths.soundings.as_ref();
        let sounded = soundings
            .and_then(|soundings| sounded_off_bank(plan, soundings, piece.line, taken.half_width))
            .map(|sounding| least(sounding.depth, By::Soundings, sounding.at))
            .filter(|sounded| sounded.under_keel < stated.under_keel);
        return Found {
            least: Some(sounded.unwrap_or(stated)),
            unknown: 0.0,
            looked_at: 0,
        };
    }
    let strip = match &depths.soundings {
        Some(soundings) => soundings.bed.least_depth(piece.line, taken.half_width),
        None => StripDepth {
            least: None,
            known: Ratio::ZERO,
            looked_at: 0,
        },
    };
    let mut found = Found {
        least: strip
            .least
            .map(|sounding| least(sounding.depth, By::Soundings, sounding.at)),
        unknown: 0.0,
        looked_at: strip.looked_at,
    };
    let mut shallower = |depth: Length, by: By| {
        let stated = least(depth, by, middle);
        let less = |held: &Least| stated.under_keel < held.under_keel;
        if found.least.as_ref().is_none_or(less) {
            found.least = Some(stated);
        }
    };
    if !strip.is_known() {
        match &depths.least {
            Some(stated) => shallower(stated.value, By::Stated),
            None => found.unknown = 1.0 - strip.known.get(),
        }
    }
    found
}
