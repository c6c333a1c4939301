//! What a plan leaves out of what its measures follow from.

use super::input::{Input, Inputs};
use super::reading::NotMeasured;
use super::unmeasured;
use crate::plan::Plan;
use crate::source::Span;

/// One statement that is left out.
struct Missing {
    what: &'static str,
    remedy: &'static str,
    near: Span,
}

/// What a plan leaves out of an input.
fn left_out(plan: &Plan, input: Input) -> Vec<Missing> {
    let (mission, site) = (&plan.mission, &plan.site);
    let mut all = Vec::new();
    let mut miss = |missing: bool, near: Span, what, remedy| {
        if missing {
            all.push(Missing { what, remedy, near });
        }
    };
    match input {
        Input::Wind => {
            if let Some(wind) = &mission.wind {
                let gust = &wind.gust;
                let what = "the plan does not state the gust";
                miss(
                    gust.is_missing(),
                    gust.span(),
                    what,
                    "add `gust` to the wind",
                );
            }
        }
        Input::Battery => {
            let charge = &mission.charge_at_launch;
            let what = "the plan does not state the charge at launch";
            miss(
                charge.is_missing(),
                charge.span(),
                what,
                "add `charge_at_launch`",
            );
            let capacity = &plan.vessel.battery.capacity;
            let what = "the vessel states neither the measured capacity of its battery nor its state of health";
            let remedy = "add `measured_capacity` to the vessel's `battery`, with the day under `capacity_tested`";
            miss(capacity.is_missing(), capacity.span(), what, remedy);
            let usable = &plan.vessel.battery.usable;
            let what = "the vessel does not state its usable fraction";
            let remedy = "add `usable_fraction` to the vessel's `battery`, such as `80 %`";
            miss(usable.is_missing(), usable.span(), what, remedy);
        }
        Input::ReturnLeg => {
            let home = &mission.return_leg;
            let path = &home.path;
            let what = "the plan does not state the path of the return leg";
            let remedy = "add `path: straight` or `path: along the route` to `return_leg`, or `path: by waypoints` with `via`";
            miss(path.is_missing(), path.span(), what, remedy);
            let what = "the plan does not state the speed of the return leg";
            miss(
                home.speed.is_missing(),
                home.speed.span(),
                what,
                "add `speed` to `return_leg`",
            );
        }
        Input::Currents => {
            let what = "the site does not say whether there are currents";
            let remedy = "add `currents` to the site, `[]` where the water stands still";
            miss(!site.currents_stated, site.id.span(), what, remedy);
        }
        Input::KeepOut => {
            let what = "the site does not say whether there are keep-out areas";
            let remedy = "add `keep_out` to the site, `[]` where there are none";
            miss(!site.keep_out_stated, site.id.span(), what, remedy);
        }
        Input::Delay => {
            let delay = &mission.launch.delay;
            let what = "the plan does not state how late the launch may be";
            let remedy =
                "add `delay` to `launch`, `0 min` if the boat is launched on time or not at all";
            miss(delay.is_missing(), delay.span(), what, remedy);
        }
        Input::Reaction => {
            let what = "the plan does not state the remote operator's reaction time";
            let remedy = "add `reaction_time` to `operator`";
            match &mission.operator {
                Some(operator) => {
                    let time = &operator.reaction_time;
                    miss(time.is_missing(), time.span(), what, remedy);
                }
                None => miss(true, mission.id.span(), what, remedy),
            }
        }
        // A plan has a launch time, and a vessel what calm water asks for; each measure says itself what it lacks of
        // the others.
        Input::LaunchTime | Input::CalmWaterPower | Input::Radios | Input::Depths => {}
    }
    all
}

/// Why a measure that follows from these cannot be determined, where a plan leaves one of them out.
pub(super) fn lacking(plan: &Plan, inputs: Inputs) -> Option<NotMeasured> {
    let all: Vec<Missing> = inputs
        .each()
        .flat_map(|input| left_out(plan, input))
        .collect();
    let near = all.first()?.near;
    let joined = |parts: Vec<&str>| parts.join(", and ");
    let reasons = joined(all.iter().map(|one| one.what).collect());
    let remedies = joined(all.iter().map(|one| one.remedy).collect());
    Some(unmeasured::lacking(plan, near, &reasons, &remedies))
}
