//! What a plan assumes for want of a stated figure.

use crate::plan::Plan;
use crate::plan::mission::LinkUse;
use crate::plan::radio::{Link, Radio};
use crate::plan::vessel::CalmForm;
use crate::schema::Stated;

fn assumed<T>(stated: &Stated<T>, into: &mut Vec<String>) {
    if let Some(text) = stated.assumption() {
        into.push(text.to_owned());
    }
}

/// Everything that a plan assumes for want of a stated figure, the radios of needed links included.
#[must_use]
pub(crate) fn all(plan: &Plan) -> Vec<String> {
    let links = plan.mission.links.iter();
    let needed = links.filter(|(_, usage)| usage.value == LinkUse::Needed);
    let mut all = of_plan(plan);
    all.extend(needed.flat_map(|(link, _)| of_link(plan, *link)));
    all.extend(of_soundings(plan));
    all
}

/// What is assumed of the soundings, where a mission says what they are to be good for.
pub(super) fn of_soundings(plan: &Plan) -> Vec<String> {
    let mut all = Vec::new();
    let Some(claim) = &plan.mission.soundings else {
        return all;
    };
    if claim.times_covered() > 0 {
        assumed(&claim.overlap, &mut all);
    }
    assumed(&claim.sound_speed, &mut all);
    let finds = claim
        .survey_order
        .value
        .filter(|order| order.times_covered() > 0);
    if finds.is_some() {
        let text = format!(
            "S-44 feature detection for {} is not judged",
            crate::plan::soundings::order_name(finds)
        );
        all.push(text);
    }
    if let (Some(sonar), Some(_)) = (&plan.vessel.sonar, claim.survey_order.value) {
        assumed(&sonar.draught_error, &mut all);
        assumed(&sonar.lever_arm, &mut all);
        assumed(&sonar.latency, &mut all);
        assumed(&sonar.tilt, &mut all);
    }
    all
}

/// What is assumed of the radios at both ends of a link, each with its owner.
pub(super) fn of_link(plan: &Plan, link: Link) -> Vec<String> {
    let mut all = Vec::new();
    let aboard = plan.vessel.radio(link);
    let mut radios: Vec<(String, &Radio)> = aboard
        .map(|radio| (format!("{} radio aboard", link.name()), radio))
        .into_iter()
        .collect();
    for one in &plan.mission.stations {
        let station = &plan.site.stations[one.index];
        let serving = station.radios.iter().find(|r| r.link.value == link);
        radios.extend(serving.map(|radio| {
            let owner = format!("{} radio of `{}`", link.name(), station.id.value);
            (owner, radio)
        }));
    }
    for (owner, radio) in radios {
        let mut of_radio = Vec::new();
        assumed(&radio.losses, &mut of_radio);
        assumed(&radio.antenna.horizontal, &mut of_radio);
        if radio.antenna.beamwidth.is_some() {
            assumed(&radio.antenna.front_to_back, &mut of_radio);
        }
        all.extend(of_radio.iter().map(|text| format!("{owner}: {text}")));
    }
    all
}

/// What a plan assumes for want of a stated figure, radios apart, in a fixed order.
#[must_use]
pub(super) fn of_plan(plan: &Plan) -> Vec<String> {
    let mut all = Vec::new();
    let (mission, vessel, site) = (&plan.mission, &plan.vessel, &plan.site);
    if let Some(wind) = &mission.wind {
        assumed(&wind.spread, &mut all);
        assumed(&wind.gust, &mut all);
        assumed(&wind.height, &mut all);
        assumed(&wind.duration, &mut all);
    }
    assumed(&mission.water_temperature, &mut all);
    assumed(&mission.launch.delay, &mut all);
    assumed(&mission.charge_at_launch, &mut all);
    assumed(&mission.return_leg.path, &mut all);
    assumed(&mission.return_leg.speed, &mut all);
    if mission.contingencies.home_end.is_none() && mission.at_end.is_some() {
        let text = "after a return leg the boat does as at the end of the route (`return_leg: \
                    at_end` not stated)";
        all.push(text.to_owned());
    }
    if let Some(operator) = &mission.operator {
        assumed(&operator.reaction_time, &mut all);
    }
    if let Some(craft) = &mission.safety_boat {
        assumed(&craft.ready_within, &mut all);
        if craft.calculated() < craft.speed.value {
            all.push(format!(
                "the safety boat counts at {}, in place of the {} stated",
                craft.calculated(),
                craft.speed.value
            ));
        }
    }
    if let Some(manual_override) = &mission.contingencies.manual_override {
        assumed(&manual_override.within, &mut all);
    }
    if let Some(distance) = &vessel.propulsion.stopping_distance {
        assumed(distance, &mut all);
    }
    if mission.operator.is_none() {
        let text = format!(
            "reaction time {} (no `operator` stated)",
            mission.reaction_time()
        );
        all.push(text);
    }
    assumed(&vessel.hull.bow_length, &mut all);
    assumed(&vessel.windage.drag_coefficient, &mut all);
    assumed(&vessel.windage.height, &mut all);
    assumed(&vessel.windage.leeway, &mut all);
    assumed(&vessel.propulsion.propulsive_efficiency, &mut all);
    assumed(&vessel.propulsion.motor_efficiency, &mut all);
    assumed(&vessel.propulsion.minimum_steerageway, &mut all);
    if matches!(vessel.propulsion.calm.value, CalmForm::Model { .. })
        && vessel.hull.wetted_surface.is_none()
    {
        let text = "wetted surface calculated from the hull (`wetted_surface` not stated)";
        all.push(text.to_owned());
    }
    assumed(&vessel.battery.capacity, &mut all);
    assumed(&vessel.battery.usable, &mut all);
    assumed(&vessel.navigation.delay, &mut all);
    assumed(&vessel.limits.wave_height, &mut all);
    if let Some(gust) = &vessel.limits.gust {
        assumed(gust, &mut all);
    }
    assumed(&vessel.lights, &mut all);
    let calibration = vessel.calibration.as_ref();
    if calibration.is_some_and(|calibration| calibration.better_on_one_run) {
        let text = "a vessel figure was improved on the evidence of one run alone, as its \
                    `calibration` says";
        all.push(text.to_owned());
    }
    assumed(&site.water, &mut all);
    assumed(&site.land_height, &mut all);
    if site.mean_depth.is_none() {
        all.push("waves are those of deep water (`mean_depth` not stated)".to_owned());
    }
    if vessel.sonar.is_none()
        && mission
            .link_use(Link::SonarData)
            .is_some_and(|u| u.value == LinkUse::LoggedAboard)
    {
        all.push("soundings are recorded aboard (`sonar` not stated)".to_owned());
    }
    if !site.hazards_stated {
        all.push("the water has no hazards (no `hazards` stated)".to_owned());
    }
    all.extend(of_hazards_and_launch_sites(plan));
    all.extend(of_depths(plan));
    all
}

/// What is assumed of hazards and launch sites for want of a stated kind or access.
fn of_hazards_and_launch_sites(plan: &Plan) -> Vec<String> {
    let hazards = plan.site.hazards.iter().filter_map(|h| h.kind.assumption());
    let own = [
        &plan.mission.launch.zone.place.value,
        &plan.mission.recovery.zone.place.value,
    ];
    let others = plan.site.launch_sites.iter();
    let others = others.filter(|place| !own.contains(&&place.id.value));
    hazards
        .chain(others.filter_map(|place| place.accessible.assumption()))
        .map(str::to_owned)
        .collect()
}

/// What is taken for want of a stated depth.
fn of_depths(plan: &Plan) -> Option<String> {
    let depths = &plan.site.depths;
    match (&depths.soundings, &depths.least) {
        (None, None) => Some(
            "the depth off the launch sites counts as unknown: neither `soundings` nor \
             `least_depth` stated"
                .to_owned(),
        ),
        (None, Some(least)) => Some(format!(
            "the water counts as at least {} deep everywhere, as stated, without soundings",
            least.value
        )),
        (Some(_), _) => None,
    }
}
