//! How near the boat came to land, hazards and keep-out areas.

use super::actual::ActualRun;
use super::fix::Fix;
use crate::check::RuleResult;
use crate::finding::Side;
use crate::measures::names;
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::track::corridor_half_width;
use crate::passage::Passage;
use crate::passage::clearance::{area_distance, hazard_distance, split};
use crate::picture::At;
use crate::plan::Plan;
use crate::rules::{EffectivePolicy, RuleInForce, Verdict};
use crate::source::Span;
use crate::units::{Length, Time};

/// Land, as it is told.
pub(crate) const LAND: &str = "land, outside the launch sites";

/// What the boat was to keep clear of, and how clear it kept.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Kept {
    /// Of what.
    pub of: String,
    /// Line of the site that states it.
    pub line: Span,
    /// Rule that asks for it.
    pub rule: String,
    /// What it asks for, with its line; `None` where the policy does not ask.
    pub asked: Option<(Length, Span)>,
    /// The plan's own clearance, where it has one.
    pub planned: Option<Length>,
    /// Least distance from fix to fix; negative on land or inside.
    pub distance: Length,
    /// What is taken off: errors of position and chart, half the beam, and what a hazard asks for.
    pub deducted: Length,
    /// Index of the fix at which it is least.
    pub(super) worst: usize,
    /// Where that is, on the map.
    pub place: At,
}

impl Kept {
    /// What is left of the distance.
    #[must_use]
    pub(crate) fn clearance(&self) -> Length {
        self.distance - self.deducted
    }

    /// Whether less was kept than is required.
    #[must_use]
    pub(crate) fn too_near(&self) -> bool {
        self.asked
            .is_some_and(|(asked, _)| self.clearance() < asked)
    }
}

/// What the policy asks of the plan.
#[derive(Clone, Copy)]
pub(super) struct Policy<'a> {
    pub rules: &'a EffectivePolicy,
    /// What came of each rule in the check of the plan.
    pub judged: &'a [RuleResult],
}

impl Policy<'_> {
    /// Whether a rule says of itself that it does not apply to this plan.
    fn spared(self, rule: &RuleInForce) -> bool {
        let id = &rule.rule.id.value;
        let mut of = self.judged.iter().filter(|one| one.rule == *id).peekable();
        of.peek().is_some() && of.all(|one| one.verdict == Verdict::NotApplicable)
    }
}

/// The rule in force that bounds a measure from below, with its limit.
pub(super) fn asks<'a>(
    policy: Policy<'a>,
    measure: &str,
) -> Option<(&'a RuleInForce, (Length, Span))> {
    let bounds = |rule: &&RuleInForce| {
        let bare = rule.rule.measure.bare();
        let same = bare.is_some_and(|bare| bare.name == measure);
        rule.enabled.value && same && !policy.spared(rule)
    };
    // Of several rules the one that asks for most.
    let all = policy.rules.rules.iter().filter(bounds).filter_map(|rule| {
        let limit = rule.bound.limit(Side::AtLeast)?;
        Some((rule, (Length::metres(limit.value.value), limit.span())))
    });
    all.max_by(|(_, (a, _)), (_, (b, _))| a.get().total_cmp(&b.get()))
}

/// Least of something, with the fix at which it is.
struct Least {
    value: f64,
    at: usize,
}

impl Least {
    fn new() -> Self {
        Self {
            value: f64::INFINITY,
            at: 0,
        }
    }

    fn take(&mut self, value: f64, at: usize) {
        if value < self.value {
            (self.value, self.at) = (value, at);
        }
    }
}

/// Everything that the boat was to keep clear of. Between two pieces of the track nothing is known.
pub(super) fn kept(passage: &Passage<'_>, policy: Policy<'_>, actual: &ActualRun) -> Vec<Kept> {
    let plan = passage.plan;
    let errors = corridor_half_width(
        plan.vessel.navigation.position_error.value,
        Length::ZERO,
        plan.site.shore_error.value,
        plan.vessel.hull.beam.value,
    );
    let planned = passage.clearances();
    let of_plan = |near: Option<&crate::passage::clearance::ClosestApproach>| {
        near.map(|near| Length::metres(near.clearance))
    };
    let named = |measure: &str, fallback: &str| {
        let found = asks(policy, measure);
        let rule = found.map_or_else(
            || fallback.to_owned(),
            |(rule, _)| rule.rule.id.value.to_string(),
        );
        (rule, found.map(|(_, asked)| asked))
    };
    let place = |index: usize| At::from(actual.fixes[index].at);
    let mut all = Vec::new();
    let (rule, asked) = named(names::SHORELINE_CLEARANCE, "shoreline");
    let land = from_land(plan, actual);
    if land.value.is_finite() {
        all.push(Kept {
            of: LAND.to_owned(),
            line: plan.site.shore_span,
            rule,
            asked,
            planned: of_plan(planned.land.as_ref()),
            distance: Length::metres(land.value),
            deducted: errors,
            worst: land.at,
            place: place(land.at),
        });
    }
    let (rule, asked) = named(names::HAZARD_CLEARANCE, "hazards");
    let worst = planned.hazard();
    for (index, hazard) in plan.site.hazards.iter().enumerate() {
        let least = least(actual, |segment| hazard_distance(hazard, segment));
        let of_this = worst.filter(|(worst, _)| *worst == index);
        all.push(Kept {
            of: hazard.title.clone(),
            line: hazard.clearance.span(),
            rule: rule.clone(),
            asked,
            planned: of_plan(of_this.map(|(_, near)| near)),
            distance: Length::metres(least.value),
            deducted: errors + hazard.clearance.value,
            worst: least.at,
            place: place(least.at),
        });
    }
    let (rule, asked) = named(names::KEEP_OUT_CLEARANCE, "keep-out");
    for (index, area) in plan.site.keep_out.iter().enumerate() {
        if !closed(plan, actual, index) {
            continue;
        }
        let least = least(actual, |segment| area_distance(&area.outline, segment));
        let near = planned.keep_out.get(index).and_then(Option::as_ref);
        all.push(Kept {
            of: area.title.clone(),
            line: area.id.span(),
            rule: rule.clone(),
            asked,
            planned: of_plan(near),
            distance: Length::metres(least.value),
            deducted: errors,
            worst: least.at,
            place: place(least.at),
        });
    }
    all
}

/// Whether an area was closed at some moment of the run.
fn closed(plan: &Plan, actual: &ActualRun, index: usize) -> bool {
    let area = &plan.site.keep_out[index];
    let times = actual.fixes[actual.first()..=actual.last()]
        .iter()
        .map(|fix| fix.sample.time);
    let (Some(from), Some(to)) = (times.clone().min(), times.max()) else {
        return true;
    };
    let Some(zone) = &plan.site.time_zone else {
        return true;
    };
    area.closed.is_empty()
        || area
            .closed
            .iter()
            .any(|closure| closure.meets(from, to, zone))
}

/// The longest time of the run without a fix.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Unseen {
    /// For how long.
    pub time: Time,
    /// How far apart the fixes before and after it are.
    pub apart: Length,
    /// Where along the route it begins.
    pub along: Length,
}

/// The longest time of the run without a fix; `None` where the track is in one piece.
pub(super) fn unseen(actual: &ActualRun) -> Option<Unseen> {
    let pairs = actual.fixes[actual.first()..=actual.last()].windows(2);
    let time = |pair: &[Fix]| {
        let time = pair[1].sample.time.duration_since(pair[0].sample.time);
        time.as_secs_f64()
    };
    // Where the clock was set, how long it was is not known.
    let set = |seconds: f64| seconds <= 0.0 || seconds >= actual.cleaning.set_forward.get();
    let gaps = pairs.filter(|pair| pair[0].piece != pair[1].piece && !set(time(pair)));
    let all = gaps.map(|pair| Unseen {
        time: Time::seconds(time(pair)),
        apart: Length::metres(pair[0].at.distance(pair[1].at)),
        along: pair[0].on.along,
    });
    all.max_by(|a, b| a.time.get().total_cmp(&b.time.get()))
}

/// The way from fix to fix, with the index of the first of the two.
fn ways(actual: &ActualRun) -> impl Iterator<Item = (usize, Segment)> + '_ {
    let first = actual.first();
    let pairs = actual.fixes[first..=actual.last()].windows(2).enumerate();
    pairs
        .filter(|(_, pair)| pair[0].piece == pair[1].piece)
        .map(move |(index, pair)| {
            (
                first + index,
                Segment {
                    a: pair[0].at,
                    b: pair[1].at,
                },
            )
        })
}

fn least(actual: &ActualRun, distance: impl Fn(&Segment) -> f64) -> Least {
    let mut least = Least::new();
    for (index, segment) in ways(actual) {
        least.take(distance(&segment), index);
    }
    least
}

fn from_land(plan: &Plan, actual: &ActualRun) -> Least {
    let (launch, recovery) = (&plan.mission.launch.zone, &plan.mission.recovery.zone);
    let zones: [(Point, f64); 2] = [
        (launch.centre, launch.radius.value.get()),
        (recovery.centre, recovery.radius.value.get()),
    ];
    let mut least = Least::new();
    for (index, way) in ways(actual) {
        let (_, outside) = split(&way, &zones);
        for piece in outside {
            if let Some(found) = plan.site.shore.segment_clearance(piece, least.value) {
                least.take(found.distance, index);
            }
        }
    }
    least
}
