//! The water under the keel along the route and the return legs off it.

use std::collections::HashSet;

use rayon::prelude::*;

use super::acting::Acting;
use super::clearance::{half_width, split};
use super::current::current_index;
use super::return_lines::{Begin, homes, returns_off_route};
use super::sea::Lattice;
use super::track::{HOME_STEP, cut};
use super::{NoPassage, Passage, Runs};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::seabed::{Sounding, StripDepth};
use crate::models::waves::{EXCEEDANCE, highest_exceeded};
use crate::plan::Plan;
use crate::plan::depths::Soundings;
use crate::plan::mission::Zone;
use crate::units::{Length, Ratio};

/// Waves of which the highest counts: about an hour of short ones. Our own proposal.
const WAVES: f64 = 1000.0;
/// Most triangles that are looked at for one plan, and lines that are calculated between counts.
const MOST_WORK: usize = 20_000_000;
const LINES_AT_ONCE: usize = 16;
/// How near to a zone's edge a piece ends that is cut there, m.
const EDGE: f64 = 0.01;

/// Where the boat is over a depth.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Over {
    /// On a step of the route, by index.
    Step(usize),
    /// On the return leg from a sample, straight to the recovery point or to its first waypoint.
    Home(usize),
    /// On the return leg from a waypoint of its own on, by index.
    Onward(usize),
}

/// What a depth is known by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum By {
    /// Soundings, below their datum.
    Soundings,
    /// The depth stated for the launch's launch site.
    LaunchZone,
    /// The depth stated for the recovery's launch site.
    RecoveryZone,
    /// The least depth stated for the site.
    Stated,
}

/// The least water under the keel.
#[derive(Clone, Debug, PartialEq)]
pub struct Least {
    /// What is left under the keel.
    pub under_keel: Length,
    /// The depth as it is known.
    pub depth: Length,
    /// By what.
    pub by: By,
    /// Where it is.
    pub at: Point,
    /// On which part of the plan.
    pub over: Over,
}

/// The water under the keel of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct UnderKeel {
    /// Where it is least, of what is known; `None` where nothing is.
    pub least: Option<Least>,
    /// Share of the route whose depth is unknown.
    pub unknown_on_route: Ratio,
    /// Share of the return legs off the route whose depth is unknown.
    pub unknown_on_return_legs: Ratio,
    /// Where the longest piece of unknown depth is, on the route and on the return legs.
    pub unknown_at: [Option<(Over, Point)>; 2],
    /// Half width of the corridor.
    pub half_width: Length,
    /// Error of soundings and level together, at 95 %.
    pub error: Length,
    /// Significant height of the worst waves on the way.
    pub significant: Length,
    /// How far the highest of them lets the boat down: half its height.
    pub wave_allowance: Length,
}

/// One piece of water that the boat may go over.
struct Piece {
    line: Segment,
    over: Over,
    zone: Option<By>,
}

/// What is known of a piece.
struct Found {
    least: Option<Least>,
    unknown: f64,
    looked_at: usize,
}

/// What a flat sea leaves under the keel, taken down by the waves that a wind raises: as far
/// everywhere, so that the same place is the worst.
pub(super) fn in_waves(passage: &Passage<'_>, runs: &Runs, mut bed: UnderKeel) -> UnderKeel {
    bed.significant = significant(passage, runs);
    bed.wave_allowance = highest_exceeded(bed.significant, WAVES, EXCEEDANCE) * 0.5;
    if let Some(least) = &mut bed.least {
        least.under_keel -= bed.wave_allowance;
    }
    bed
}

/// Calculates it for a plan on a flat sea, whatever the wind.
///
/// # Errors
/// [`NoPassage`] where there is too much to compute.
pub(super) fn bed(passage: &Passage<'_>) -> Result<UnderKeel, NoPassage> {
    let plan = passage.plan;
    let depths = &plan.site.depths;
    let errors = (&depths.soundings, &depths.level);
    let error = match errors {
        (Some(soundings), Some(level)) => {
            soundings.error.value.get().hypot(level.error.value.get())
        }
        (Some(soundings), None) => soundings.error.value.get(),
        _ => 0.0,
    };
    let mut result = UnderKeel {
        least: None,
        unknown_on_route: Ratio::ZERO,
        unknown_on_return_legs: Ratio::ZERO,
        unknown_at: [None; 2],
        half_width: Length::metres(half_width(plan)),
        error: Length::metres(error),
        significant: Length::ZERO,
        wave_allowance: Length::ZERO,
    };
    let pieces = pieces(passage);
    // Unknown length and whole length, of the route and of the return legs.
    let mut lengths = [(0.0, 0.0); 2];
    let mut longest = [0.0; 2];
    let mut work = 0_usize;
    for some in pieces.chunks(LINES_AT_ONCE) {
        let found: Vec<Found> = some
            .par_iter()
            .map(|piece| look(plan, &result, piece))
            .collect();
        for (piece, found) in some.iter().zip(found) {
            work = work.saturating_add(found.looked_at);
            let length = piece.line.length();
            let home = !matches!(piece.over, Over::Step(_));
            let (unknown, whole) = &mut lengths[usize::from(home)];
            *unknown += found.unknown * length;
            *whole += length;
            let longest = &mut longest[usize::from(home)];
            if found.unknown * length > *longest {
                *longest = found.unknown * length;
                result.unknown_at[usize::from(home)] = Some((piece.over, piece.line.a));
            }
            if let Some(least) = found.least
                && result
                    .least
                    .as_ref()
                    .is_none_or(|held| least.under_keel < held.under_keel)
            {
                result.least = Some(least);
            }
        }
        if work > MOST_WORK {
            return Err(NoPassage::TooMuch {
                asked: work.saturating_mul(pieces.len()) / some.len().max(1),
                limit: MOST_WORK,
            });
        }
    }
    let share = |(unknown, whole): (f64, f64)| {
        Ratio::fraction(if whole > 0.0 { unknown / whole } else { 0.0 })
    };
    result.unknown_on_route = share(lengths[0]);
    result.unknown_on_return_legs = share(lengths[1]);
    Ok(result)
}

/// The water under the keel on one step of the route.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OnStep {
    /// Where it is least, of what is known; `None` where nothing is.
    pub least: Option<Least>,
    /// Whether some of the step lies over unknown depth.
    pub unknown: bool,
}

/// The water under the keel on every step of the route; its least is that of [`UnderKeel`] unless
/// a return leg is shallower.
///
/// # Errors
/// [`NoPassage`] where there is no wind to take, or too much to compute.
pub(crate) fn along<'p>(passage: &'p Passage<'_>) -> Result<Vec<OnStep>, &'p NoPassage> {
    let taken = passage.under_keel()?;
    let steps = passage.track.steps.len();
    let on_route = pieces(passage);
    let on_route: Vec<(usize, &Piece)> = on_route
        .iter()
        .filter_map(|piece| match piece.over {
            Over::Step(step) => Some((step, piece)),
            Over::Home(_) | Over::Onward(_) => None,
        })
        .collect();
    let found: Vec<(usize, Found)> = on_route
        .par_iter()
        .map(|(step, piece)| (*step, look(passage.plan, taken, piece)))
        .collect();
    let nothing = OnStep {
        least: None,
        unknown: false,
    };
    let mut all = vec![nothing; steps];
    for (step, found) in found {
        let on = &mut all[step];
        on.unknown |= found.unknown > 0.0;
        let less = |held: &Least, least: &Least| least.under_keel < held.under_keel;
        if let Some(least) = found.least
            && on.least.as_ref().is_none_or(|held| less(held, &least))
        {
            on.least = Some(least);
        }
    }
    Ok(all)
}

/// The shallowest that soundings say of a launch site whose depth is stated.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct InZone {
    /// Which zone.
    pub by: By,
    /// The sounding, or the bed where the way leaves the zone.
    pub sounding: Sounding,
}

/// The shallowest that soundings say of each launch site whose depth is stated: what was sounded in the
/// corridor inside it, and the bed where the way leaves it. Nearer to the shore the bed between soundings
/// is drawn up to the bank, and says nothing of the approach.
#[must_use]
pub(crate) fn in_zones(passage: &Passage<'_>) -> Vec<InZone> {
    let plan = passage.plan;
    let Some(soundings) = &plan.site.depths.soundings else {
        return Vec::new();
    };
    let half_width = Length::metres(half_width(plan));
    let mut least: Vec<InZone> = Vec::new();
    for piece in pieces(passage) {
        let Some(by) = piece.zone else {
            continue;
        };
        let zone = match by {
            By::RecoveryZone => &plan.mission.recovery.zone,
            _ => &plan.mission.launch.zone,
        };
        let on_edge =
            |at: &Point| (at.distance(zone.centre) - zone.radius.value.get()).abs() < EDGE;
        let leaves = [piece.line.a, piece.line.b].into_iter().filter(on_edge);
        let of_bed = leaves.filter_map(|at| {
            let depth = soundings.bed.depth_at(at)?;
            Some(Sounding { at, depth })
        });
        let sounded = sounded_off_bank(plan, soundings, piece.line, half_width);
        for sounding in sounded.into_iter().chain(of_bed) {
            match least.iter_mut().find(|held| held.by == by) {
                Some(held) if held.sounding.depth <= sounding.depth => {}
                Some(held) => held.sounding = sounding,
                None => least.push(InZone { by, sounding }),
            }
        }
    }
    least
}

/// The pieces of the route and of the return legs, each inside a launch site or outside all.
fn pieces(passage: &Passage<'_>) -> Vec<Piece> {
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
fn sounded_off_bank(
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

/// How far the water may stand below the level that a stated depth is for: the datum, or the lowest
/// level. Water above it is not counted on.
#[must_use]
pub(crate) fn lowered(plan: &Plan) -> Length {
    plan.site
        .depths
        .level
        .as_ref()
        .map_or(Length::ZERO, |level| {
            (level.error.value - level.above_datum.value).max(Length::ZERO)
        })
}

/// What is known under a piece.
fn look(plan: &Plan, taken: &UnderKeel, piece: &Piece) -> Found {
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

/// The middles of the steps of a straight way.
fn middles(from: Point, to: Point) -> impl Iterator<Item = Point> {
    cut(from, to, HOME_STEP).map(|(a, b, _)| a.lerp(b, 0.5))
}

/// The greatest significant height on the route and on the return legs, in any wind.
fn significant(passage: &Passage<'_>, runs: &Runs) -> Length {
    let Some(sea) = &runs.sea else {
        return Length::metres(f64::INFINITY);
    };
    let points = sea.over_bed(|lattice| over_bed(passage, lattice));
    // Waves are never lower with the current than without it.
    let with_current = runs.scenarios.site_has_current;
    let all = runs.scenarios.all.iter();
    let acting: Vec<Acting<'_>> = all
        .filter(|scenario| scenario.current == with_current)
        .map(|scenario| Acting {
            passage,
            scenario,
            sea,
        })
        .collect();
    let at = |point: Point| {
        let heights = acting
            .iter()
            .map(|acting| acting.sustained(point).sea.height);
        heights.fold(Length::ZERO, Length::max).get()
    };
    Length::metres(points.iter().map(|point| at(*point)).fold(0.0, f64::max))
}

/// The samples of the route and the middles of the steps of the return legs off it, of those in one cell and one
/// current a single one: the waves are the same there.
fn over_bed(passage: &Passage<'_>, lattice: &Lattice) -> Vec<Point> {
    let return_points = passage.plan.mission.return_points();
    let returning = returns_off_route(passage.plan);
    let samples = &passage.track.samples;
    let homes = samples.iter().filter(|_| returning);
    let homes = homes.flat_map(|sample| middles(*sample, return_points[0]));
    let onward = return_points.windows(2).filter(|_| returning);
    let onward = onward.flat_map(|pair| middles(pair[0], pair[1]));
    let mut known = HashSet::new();
    let all = samples.iter().copied().chain(homes).chain(onward);
    all.filter(|point| known.insert((lattice.cell_of(*point), current_index(passage, *point))))
        .collect()
}
