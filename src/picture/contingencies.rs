//! What happens when something fails, and who acts then.

use crate::plan::Plan;
use crate::plan::actions::Threshold;
use crate::schema::Stated;

/// Who does something.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Duty {
    /// The duty.
    pub duty: &'static str,
    /// The role that does it; empty where nobody is named.
    pub role: String,
}

/// What happens when something fails.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Contingency {
    /// What fails.
    pub when: &'static str,
    /// When that is taken to be so; empty where nothing is stated.
    pub after: String,
    /// What the boat does; empty where the plan does not say.
    pub boat: String,
    /// Who acts.
    pub acts: Duty,
    /// What they do, where stated.
    pub people: String,
}

/// The contingencies of a plan, in the order in which they are reported.
pub(super) fn contingencies(plan: &Plan) -> Vec<Contingency> {
    let mission = &plan.mission;
    let home_end = mission.contingencies.home_end.as_ref();
    let home = home_end.map_or_else(String::new, |end| format!(", then {}", end.value.label()));
    let act = |action: crate::plan::mission::Action| match action {
        crate::plan::mission::Action::Return => format!("return{}{home}", by(plan)),
        other => other.label().to_owned(),
    };
    let mut all = Vec::new();
    let operator = remote_operator(plan);
    // Whoever has the controls acts as long as the boat may answer, and the recovery crew once it
    // does not: common practice, no source.
    let mut one = |when: &'static str, after: String, boat: String, acts: &Duty, people: String| {
        all.push(Contingency {
            when,
            after,
            boat,
            acts: acts.clone(),
            people,
        });
    };
    let none = String::new;
    let lost = mission.on_lost_link.as_ref();
    one(
        "control link lost",
        lost.map_or_else(none, |lost| format!("after {}", lost.after.value)),
        lost.map_or_else(none, |lost| act(lost.action.value)),
        &operator,
        none(),
    );
    let low = mission.on_low_battery.as_ref();
    one(
        "battery low",
        low.map_or_else(none, |low| match &low.threshold {
            Threshold::Charge(charge) => format!("below {} on the gauge", charge.value),
            Threshold::Voltage(voltage) => format!("below {}", voltage.value),
        }),
        low.map_or_else(none, |low| act(low.action.value)),
        &operator,
        none(),
    );
    let noticed = mission.contingencies.position_noticed.as_ref();
    one(
        "position lost",
        noticed.map_or_else(none, |after| format!("after {}", after.value)),
        mission
            .on_lost_position
            .as_ref()
            .map_or_else(none, |action| act(action.value)),
        &operator,
        none(),
    );
    let powerless = mission.contingencies.lost_propulsion.as_ref();
    one(
        "propulsion lost",
        none(),
        powerless.map_or_else(none, |lost| lost.action.value.label().to_owned()),
        &recovery_crew(plan),
        powerless
            .and_then(|lost| lost.then.as_ref())
            .map_or_else(none, |then| then.value.clone()),
    );
    one(
        "end of the run",
        none(),
        mission
            .at_end
            .as_ref()
            .map_or_else(none, |action| action.value.label().to_owned()),
        &operator,
        none(),
    );
    all
}

/// By which path the boat returns, where it is not the straight one.
fn by(plan: &Plan) -> String {
    let leg = &plan.mission.return_leg;
    let via: Vec<&str> = leg.via().iter().map(|via| via.id.as_str()).collect();
    if leg.along_route() {
        " along the route".to_owned()
    } else if via.is_empty() {
        String::new()
    } else {
        format!(" by {}", via.join(", "))
    }
}

/// Whoever has the controls.
fn remote_operator(plan: &Plan) -> Duty {
    let team = plan.mission.people.team.as_ref();
    duty("remote operator", team.map(|team| &team.remote_operator))
}

/// Whoever fetches the boat.
pub(super) fn recovery_crew(plan: &Plan) -> Duty {
    let team = plan.mission.people.team.as_ref();
    let crew = team.and_then(|team| team.recovery_crew.as_ref());
    duty("recovery crew", crew)
}

fn duty(duty: &'static str, role: Option<&Stated<String>>) -> Duty {
    Duty {
        duty,
        role: role.map_or_else(String::new, |role| role.value.clone()),
    }
}
