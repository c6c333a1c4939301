//! The water under the keel along the route and the return legs off it.

mod pieces;

use std::collections::HashSet;

use rayon::prelude::*;

use super::acting::Acting;
use super::clearance::half_width;
use super::current::current_index;
use super::return_lines::returns_off_route;
use super::sea::Lattice;
use super::track::{HOME_STEP, cut};
use super::{NoPassage, Passage, Runs};
use crate::models::plane::Point;
use crate::models::seabed::Sounding;
use crate::models::waves::{EXCEEDANCE, highest_exceeded};
use crate::plan::Plan;
use crate::units::{Length, Ratio};
use pieces::{Found, Piece, look, pieces, sounded_off_bank};

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
