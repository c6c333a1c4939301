//! The straight lines of the return legs that leave the route, and whether a contingency takes them.

use super::Passage;
use super::straight_return::is_home;
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::plan::Plan;
use crate::plan::mission::{Action, Mission};

/// Whether any contingency sends the boat home off its route: straight, or by waypoints. A contingency that
/// the plan does not state might.
#[must_use]
pub(crate) fn returns_off_route(plan: &Plan) -> bool {
    let mission = &plan.mission;
    let returns = [
        mission.on_lost_link.as_ref().map(|c| c.action.value),
        mission.on_low_battery.as_ref().map(|c| c.action.value),
        mission.on_lost_position.as_ref().map(|action| action.value),
    ];
    !mission.return_leg.along_route()
        && returns
            .iter()
            .any(|action| action.is_none_or(|action| action == Action::Return))
}

/// Where a line of a return leg begins.
pub(super) enum Begin {
    /// At a sample of the route.
    Sample(usize),
    /// At a waypoint of the return leg, by index.
    Waypoint(usize),
}

/// The straight lines of the return legs that leave the route: from every sample where a contingency sends
/// the boat home off its route, and from the launch point where it comes back along the route.
pub(super) fn homes(passage: &Passage<'_>, off_route: bool) -> Vec<(Segment, Begin)> {
    let mission = &passage.plan.mission;
    let return_points = mission.return_points();
    if !off_route {
        let line = Segment::new(mission.launch.at.value, return_points[0]);
        let along_route = mission.return_leg.along_route();
        return along_route
            .then_some((line, Begin::Sample(0)))
            .into_iter()
            .collect();
    }
    let samples = passage.track.samples.iter().enumerate();
    let away = samples.filter(|(_, at)| returns_from(mission, **at));
    let from_route =
        away.map(|(index, at)| (Segment::new(*at, return_points[0]), Begin::Sample(index)));
    let onward = return_points.windows(2).enumerate();
    let onward = onward.map(|(i, pair)| (Segment::new(pair[0], pair[1]), Begin::Waypoint(i)));
    from_route.chain(onward).collect()
}

/// Whether there is a return leg from a place: a boat that is at the recovery point goes by no waypoint.
pub(super) fn returns_from(mission: &Mission, at: Point) -> bool {
    mission.return_leg.via().is_empty() || !is_home(at, mission.recovery.at.value)
}
