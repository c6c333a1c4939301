//! What a plan would be if a figure that it assumes were the best that it may be.

use std::fmt::Display;
use std::sync::Arc;

use crate::plan::vessel::Vessel;
use crate::plan::{Plan, Wind};
use crate::schema::{Form, Kind, Stated};
use crate::units::{Angle, Dimension, Length, Ratio, Temperature, Time};

/// A plan with one assumed figure at the far end of what it may be.
pub(crate) struct Otherwise {
    /// The assumption, as it is told of the plan.
    pub assumption: String,
    /// The figure in its place.
    pub with: String,
    /// The plan with it.
    pub plan: Plan,
}

/// Water of a summer's day, °C. Our own choice.
const WARM: f64 = 20.0;

/// A field of a plan; `None` where the plan has no such group.
type Field<T> = fn(&mut Plan) -> Option<&mut Stated<T>>;

struct Putting<'p> {
    plan: &'p Plan,
    /// The plan again, to look at its fields by the way that they are set.
    looked_at: Plan,
    all: Vec<Otherwise>,
}

impl Putting<'_> {
    /// The plan with a figure in the place of one that it assumes.
    fn put<T: Clone + Display>(&mut self, field: Field<T>, best: T) {
        let stated = field(&mut self.looked_at);
        let Some(assumption) = stated.and_then(|stated| stated.assumption()) else {
            return;
        };
        let assumption = assumption.to_owned();
        let (mut plan, with) = (self.plan.clone(), best.to_string());
        if let Some(stated) = field(&mut plan) {
            *stated = stated.clone().map(|_| best);
        }
        self.all.push(Otherwise {
            assumption,
            with,
            plan,
        });
    }
}

/// A plan for each figure that it assumes and that a statement could better, with that figure at its best.
#[must_use]
pub(crate) fn otherwise(plan: &Plan) -> Vec<Otherwise> {
    let mut putting = Putting {
        plan,
        looked_at: plan.clone(),
        all: Vec::new(),
    };
    let windage = Form::for_kind(Kind::Vessel).field("windage");
    let of_windage = |key: &str| windage.and_then(|form| form.field(key));
    putting.put(
        |plan| wind(plan, |wind| &mut wind.spread),
        Angle::degrees(0.0),
    );
    if let Some(steady) = plan.mission.wind.as_ref().map(|wind| wind.mean.value) {
        putting.put(|plan| wind(plan, |wind| &mut wind.gust), steady);
    }
    putting.put(
        |plan| wind(plan, |wind| &mut wind.height),
        Length::metres(10.0),
    );
    let warm = Temperature::celsius(WARM);
    putting.put(|plan| Some(&mut plan.mission.water_temperature), warm);
    let at_once = Time::seconds(0.0);
    putting.put(|plan| Some(&mut plan.mission.launch.delay), at_once);
    if let Some(least) = of_windage("drag_coefficient").and_then(Form::least_number) {
        putting.put(|plan| Some(&mut boat(plan).windage.drag_coefficient), least);
    }
    putting.put(
        |plan| Some(&mut boat(plan).windage.height),
        Length::metres(0.1),
    );
    if let Some(least) = of_windage("leeway").and_then(|form| form.least(Dimension::RATIO)) {
        let least = Ratio::fraction(least.value);
        putting.put(|plan| Some(&mut boat(plan).windage.leeway), least);
    }
    let whole = Ratio::fraction(1.0);
    putting.put(
        |plan| Some(&mut boat(plan).propulsion.propulsive_efficiency),
        whole,
    );
    putting.put(
        |plan| Some(&mut boat(plan).propulsion.motor_efficiency),
        whole,
    );
    putting.put(|plan| Some(&mut boat(plan).battery.usable), whole);
    let nominal = plan.vessel.battery.nominal.value;
    putting.put(|plan| Some(&mut boat(plan).battery.capacity), nominal);
    putting.put(|plan| Some(&mut boat(plan).navigation.delay), at_once);
    let flat = Length::metres(0.0);
    putting.put(
        |plan| Some(&mut Arc::make_mut(&mut plan.site).land_height),
        flat,
    );
    putting.all
}

fn wind<T>(plan: &mut Plan, field: fn(&mut Wind) -> &mut Stated<T>) -> Option<&mut Stated<T>> {
    plan.mission.wind.as_mut().map(field)
}

fn boat(plan: &mut Plan) -> &mut Vessel {
    Arc::make_mut(&mut plan.vessel)
}
