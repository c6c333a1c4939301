//! A plan's own alternatives: the other way round, and turned back sooner.

use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::plan::Plan;
use crate::plan::route::Leg;

/// Legs shorter than this are none, m.
const SHORTEST: f64 = 0.001;

fn speed(leg: &Leg) -> f64 {
    match leg.command.value {
        Command::OverGround(speed) | Command::ThroughWater(speed) => speed.get(),
    }
}

/// How many legs at the end are the approach, which stays as it is: the last one, and those before
/// it that are commanded slower than the route.
pub(super) fn approach(legs: &[Leg]) -> usize {
    let fastest = legs.iter().map(speed).fold(0.0, f64::max);
    let slow = legs
        .iter()
        .rev()
        .take_while(|leg| speed(leg) < fastest - 1e-9);
    slow.count().clamp(1, legs.len().max(1))
}

/// The plan with its route the other way round, the approach at its end as it was; `None` where
/// nothing is left that could be turned.
///
/// Launched at `a`, by way of `b … y`, in by way of `z`: the other way round it is `a`, `y … b`, `z`.
/// A line between two of these is run at the speed that it had, and so is the way in; the way out
/// takes the speed of the leg that led to `y`. A pause goes with its place.
pub(super) fn reversed(plan: &Plan) -> Option<Plan> {
    let legs = &plan.mission.legs;
    let kept = approach(legs);
    let middle = &legs[..legs.len() - kept];
    // The last of these legs leads to where the approach begins.
    let (to_approach, middle) = middle.split_last()?;
    let (out, last) = (middle.first()?, middle.last()?);
    if middle.len() < 2 {
        return None;
    }
    let mut turned = vec![Leg {
        from: out.from,
        ..last.clone()
    }];
    for pair in middle.windows(2).rev() {
        let (before, leg) = (&pair[0], &pair[1]);
        turned.push(Leg {
            from: leg.to,
            to: leg.from,
            pause: before.pause.clone(),
            name: format!("{}, the other way", leg.name),
            ..leg.clone()
        });
    }
    turned.push(Leg {
        from: out.to,
        ..to_approach.clone()
    });
    turned.extend_from_slice(&legs[legs.len() - kept..]);
    turned.retain(|leg| leg.length() >= SHORTEST);
    let mut plan = plan.clone();
    plan.mission.legs = turned;
    Some(plan)
}

/// The plan cut off at a share of its farthest distance from the recovery point: where it would go
/// farther, it turns and goes straight to where it comes back within. With that distance, m. `None`
/// where it begins farther away.
pub(super) fn nearer(plan: &Plan, share: f64) -> Option<(Plan, f64)> {
    let legs = &plan.mission.legs;
    let home = plan.mission.recovery.at.value;
    let ends = legs.iter().map(|leg| leg.to.distance(home));
    let reach = ends.fold(0.0, f64::max) * share;
    if legs.first()?.from.distance(home) > reach {
        return None;
    }
    let mut cut: Vec<Leg> = Vec::new();
    let mut at = legs.first()?.from;
    for leg in legs {
        let Some((enters, leaves)) = within(leg, home, reach) else {
            continue;
        };
        let name = if enters > 0.0 || leaves < 1.0 {
            format!("{}, cut short", leg.name)
        } else {
            leg.name.clone()
        };
        let (first, last) = (leg.from.lerp(leg.to, enters), leg.from.lerp(leg.to, leaves));
        if at.distance(first) >= SHORTEST {
            cut.push(Leg {
                name: format!("the way across to {}", leg.name),
                from: at,
                to: first,
                pause: None,
                sounding: false,
                ..leg.clone()
            });
        }
        if first.distance(last) >= SHORTEST {
            cut.push(Leg {
                name,
                from: first,
                to: last,
                pause: leg.pause.clone().filter(|_| leaves >= 1.0),
                ..leg.clone()
            });
            at = last;
        } else {
            at = first;
        }
    }
    if cut.is_empty() {
        return None;
    }
    let mut plan = plan.clone();
    plan.mission.legs = cut;
    Some((plan, reach))
}

/// The part of a leg that is within a circle, as shares of it; `None` where none is.
fn within(leg: &Leg, centre: Point, radius: f64) -> Option<(f64, f64)> {
    let along = leg.to - leg.from;
    let to = leg.from - centre;
    let (a, b) = (along.dot(along), to.dot(along));
    let under = b * b - a * (to.dot(to) - radius * radius);
    if a <= 0.0 || under < 0.0 {
        return None;
    }
    let root = under.sqrt();
    let (enters, leaves) = ((-b - root) / a, (-b + root) / a);
    if leaves < 0.0 || enters > 1.0 {
        return None;
    }
    // An end that is inside by all but rounding is an end.
    let enters = if enters < 1e-9 { 0.0 } else { enters };
    let leaves = if leaves > 1.0 - 1e-9 { 1.0 } else { leaves };
    Some((enters, leaves))
}
