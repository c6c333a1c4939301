//! What a plan would be if a figure that it assumes were the best that it may be.

use std::fmt::Display;
use std::sync::Arc;

use crate::plan::lights::of_a_small_vessel;
use crate::plan::radio::{Link, Radio};
use crate::plan::vessel::{Sonar, Vessel};
use crate::plan::{Plan, Wind};
use crate::schema::{Form, Kind, Stated};
use crate::units::{Angle, Dimension, Length, Level, Ratio, Temperature, Time};

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

struct Putting<'p> {
    plan: &'p Plan,
    /// The plan again, to look at its fields by the way that they are set.
    looked_at: Plan,
    all: Vec<Otherwise>,
}

impl Putting<'_> {
    /// The plan with a figure in the place of one that it assumes; `field` is `None` where the plan has no such group.
    fn put<T: Clone + Display>(
        &mut self,
        field: impl Fn(&mut Plan) -> Option<&mut Stated<T>>,
        best: T,
    ) {
        self.put_of("", field, best);
    }

    /// The same where its best is known.
    fn put_known<T: Clone + Display>(
        &mut self,
        field: impl Fn(&mut Plan) -> Option<&mut Stated<T>>,
        best: Option<T>,
    ) {
        if let Some(best) = best {
            self.put(field, best);
        }
    }

    /// The same of a figure that is told with its owner ahead.
    fn put_of<T: Clone + Display>(
        &mut self,
        owner: &str,
        field: impl Fn(&mut Plan) -> Option<&mut Stated<T>>,
        best: T,
    ) {
        let stated = field(&mut self.looked_at);
        let Some(assumption) = stated.and_then(|stated| stated.assumption()) else {
            return;
        };
        let assumption = format!("{owner}{assumption}");
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

    /// What the radios of a mission assume: cables, and planes of polarisation.
    fn radios(&mut self) {
        let plan = self.plan;
        for aboard in &plan.vessel.radios {
            let link = aboard.link.value;
            let owner = format!("{} radio aboard: ", link.name());
            self.radio(&owner, (None, link));
            for one in &plan.mission.stations {
                let id = &plan.site.stations[one.index].id.value;
                let owner = format!("{} radio of `{id}`: ", link.name());
                self.radio(&owner, (Some(one.index), link));
            }
        }
    }

    /// The same of the radio of a station, by its index, or of the one aboard.
    fn radio(&mut self, owner: &str, (station, link): (Option<usize>, Link)) {
        let nothing = Level::decibels(0.0);
        self.put_of(
            owner,
            |plan| Some(&mut radio(plan, station, link)?.losses),
            nothing,
        );
        // An antenna whose plane is stated is in that of the other end, where it can be.
        let Some(radio) = radio(&mut self.looked_at, station, link) else {
            return;
        };
        let unstated = radio.antenna.horizontal.clone();
        let Some(assumption) = unstated.assumption() else {
            return;
        };
        let all = self.plan.site.stations.iter();
        let all = all
            .flat_map(|one| &one.radios)
            .chain(&self.plan.vessel.radios);
        let mut stated = all
            .filter(|radio| radio.link.value == link)
            .map(|radio| &radio.antenna.horizontal)
            .filter(|horizontal| horizontal.assumption().is_none());
        let horizontal = stated.next().is_some_and(|horizontal| horizontal.value);
        let mut plan = self.plan.clone();
        // What is stated aboard is stated of a station whose radio is the same set.
        let boat = Arc::make_mut(&mut plan.vessel).radios.iter_mut();
        let site = Arc::make_mut(&mut plan.site).stations.iter_mut();
        for radio in boat.chain(site.flat_map(|station| &mut station.radios)) {
            if radio.link.value == link && radio.antenna.horizontal == unstated {
                radio.antenna.horizontal = Stated::written(horizontal, unstated.span());
            }
        }
        self.all.push(Otherwise {
            assumption: format!("{owner}{assumption}"),
            with: if horizontal { "horizontal" } else { "vertical" }.to_owned(),
            plan,
        });
    }

    /// That the boat carries no lights, with those of a small vessel in their place.
    fn lights(&mut self) {
        let unstated = &self.plan.vessel.lights;
        let Some(assumption) = unstated.assumption() else {
            return;
        };
        let span = unstated.span();
        let mut plan = self.plan.clone();
        boat(&mut plan).lights = Stated::written(of_a_small_vessel(span), span);
        self.all.push(Otherwise {
            assumption: assumption.to_owned(),
            with: "an all-round white light and sidelights".to_owned(),
            plan,
        });
    }

    /// What the echo sounder assumes, each figure at the least that its field takes.
    fn sonar(&mut self) {
        let least = |key: &str, dimension| least("sonar", key, dimension);
        let draught = least("draught_error", Dimension::LENGTH).map(Length::metres);
        self.put_known(|plan| Some(&mut sonar(plan)?.draught_error), draught);
        let lever = least("lever_arm", Dimension::LENGTH).map(Length::metres);
        self.put_known(|plan| Some(&mut sonar(plan)?.lever_arm), lever);
        let latency = least("latency", Dimension::TIME).map(Time::seconds);
        self.put_known(|plan| Some(&mut sonar(plan)?.latency), latency);
        let tilt = least("tilt", Dimension::ANGLE).map(Angle::radians);
        self.put_known(|plan| Some(&mut sonar(plan)?.tilt), tilt);
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
    putting.put(
        |plan| wind(plan, |wind| &mut wind.spread),
        Angle::degrees(0.0),
    );
    let steady = plan.mission.wind.as_ref().map(|wind| wind.mean.value);
    putting.put_known(|plan| wind(plan, |wind| &mut wind.gust), steady);
    putting.put(
        |plan| wind(plan, |wind| &mut wind.height),
        Length::metres(10.0),
    );
    let warm = Temperature::celsius(WARM);
    putting.put(|plan| Some(&mut plan.mission.water_temperature), warm);
    let at_once = Time::seconds(0.0);
    putting.put(|plan| Some(&mut plan.mission.launch.delay), at_once);
    let drag = of_vessel("windage", "drag_coefficient").and_then(Form::least_number);
    putting.put_known(|plan| Some(&mut boat(plan).windage.drag_coefficient), drag);
    putting.put(
        |plan| Some(&mut boat(plan).windage.height),
        Length::metres(0.1),
    );
    let leeway = least("windage", "leeway", Dimension::RATIO).map(Ratio::fraction);
    putting.put_known(|plan| Some(&mut boat(plan).windage.leeway), leeway);
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
    putting.lights();
    putting.radios();
    putting.sonar();
    putting.all
}

fn wind<T>(plan: &mut Plan, field: fn(&mut Wind) -> &mut Stated<T>) -> Option<&mut Stated<T>> {
    plan.mission.wind.as_mut().map(field)
}

fn boat(plan: &mut Plan) -> &mut Vessel {
    Arc::make_mut(&mut plan.vessel)
}

fn sonar(plan: &mut Plan) -> Option<&mut Sonar> {
    boat(plan).sonar.as_mut()
}

/// What the schema says of a field of a vessel's file.
fn of_vessel(group: &str, key: &str) -> Option<Form<'static>> {
    Form::for_kind(Kind::Vessel).field(group)?.field(key)
}

/// The least that such a field takes, in the stored unit.
fn least(group: &str, key: &str, dimension: Dimension) -> Option<f64> {
    let least = of_vessel(group, key)?.least(dimension)?;
    Some(least.value)
}

/// The radio of a station, by its index, or the one aboard, for a link.
fn radio(plan: &mut Plan, station: Option<usize>, link: Link) -> Option<&mut Radio> {
    let radios = match station {
        Some(index) => {
            &mut Arc::make_mut(&mut plan.site)
                .stations
                .get_mut(index)?
                .radios
        }
        None => &mut boat(plan).radios,
    };
    radios.iter_mut().find(|radio| radio.link.value == link)
}
