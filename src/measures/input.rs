//! What measures follow from of what a run may meet, or a plan may leave out.

use super::reading::NotMeasured;
use super::unmeasured;
use crate::plan::Plan;
use crate::source::Span;

/// Something that changes from run to run, or that no default stands for on the careful side. Every
/// measure lists those that it follows from; a test changes each of them over the demo, and no other
/// measure may come out otherwise.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Input {
    /// Direction, spread, mean and gust of the wind, and whatever follows from them, such as how long
    /// the run takes.
    Wind,
    /// Energy at launch: the charge, and the share of the capacity that may be used.
    Battery,
    /// Path and speed of the return leg.
    ReturnLeg,
    /// The site's currents.
    Currents,
    /// The site's keep-out areas.
    KeepOut,
    /// How much later than planned the boat may be launched.
    Delay,
    /// The remote operator's reaction time.
    Reaction,
    /// The day and time of the launch.
    LaunchTime,
    /// Radios, aboard and ashore, with their antennas.
    Radios,
    /// Soundings, water level and stated depths of the site.
    Depths,
}

impl Input {
    /// Every one.
    pub const ALL: [Self; 10] = [
        Self::Wind,
        Self::Battery,
        Self::ReturnLeg,
        Self::Currents,
        Self::KeepOut,
        Self::Delay,
        Self::Reaction,
        Self::LaunchTime,
        Self::Radios,
        Self::Depths,
    ];
}

/// A set of inputs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Inputs(u16);

impl Inputs {
    /// These.
    #[must_use]
    pub const fn these(inputs: &[Input]) -> Self {
        let (mut set, mut index) = (Self(0), 0);
        while index < inputs.len() {
            set = set.and(inputs[index]);
            index += 1;
        }
        set
    }

    /// These and one more.
    #[must_use]
    pub const fn and(self, input: Input) -> Self {
        Self(self.0 | 1 << input as u16)
    }

    /// Whether one is among them.
    #[must_use]
    pub const fn contains(self, input: Input) -> bool {
        self.0 & 1 << input as u16 != 0
    }

    /// Each of them, in the order of [`Input::ALL`].
    pub fn each(self) -> impl Iterator<Item = Input> {
        let all = Input::ALL.into_iter();
        all.filter(move |input| self.contains(*input))
    }
}

use Input::{Battery, Currents, Delay, KeepOut, LaunchTime, Reaction, ReturnLeg, Wind};

/// Follows from none of them.
pub(super) const NOTHING: Inputs = Inputs::these(&[]);
/// Follows from all of them, or is not known not to.
pub(super) const EVERYTHING: Inputs = Inputs::these(&Input::ALL);
/// Follows from the wind alone.
pub(super) const THE_WIND: Inputs = Inputs::these(&[Wind]);
/// Follows from the run out and home.
pub(super) const THE_RUN: Inputs = Inputs::these(&[Wind, Battery, ReturnLeg, Currents]);
/// Follows from when the boat is out.
pub(super) const BEING_OUT: Inputs = THE_RUN.and(Delay).and(LaunchTime);
/// Follows from where a disabled boat comes to, and how soon it is fetched.
pub(super) const BEING_FETCHED: Inputs = THE_RUN.and(Reaction);
/// Follows from the return leg, not from the wind.
pub(super) const THE_RETURN_LEG: Inputs = Inputs::these(&[ReturnLeg]);
/// Follows from the currents, not from the wind.
pub(super) const THE_CURRENTS: Inputs = Inputs::these(&[Currents]);
/// Follows from speeds through the water, out and home, not from the wind.
pub(super) const THE_SPEEDS: Inputs = Inputs::these(&[Currents, ReturnLeg]);
/// Follows from how late the launch may be.
pub(super) const THE_DELAY: Inputs = Inputs::these(&[Delay, LaunchTime]);
/// Follows from how fast the operator reacts.
pub(super) const THE_OPERATOR: Inputs = Inputs::these(&[Reaction]);
/// Follows from how far the boat runs on before the operator has it.
pub(super) const RUNNING_ON: Inputs = Inputs::these(&[Reaction, Currents]);
/// Follows from what the battery holds, not from the run.
pub(super) const THE_BATTERY: Inputs = Inputs::these(&[Battery]);

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
        Wind => {
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
        Battery => {
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
        ReturnLeg => {
            let home = &mission.return_leg;
            let path = &home.along_route;
            let what = "the plan does not state the path of the return leg";
            let remedy = "add `path: straight` or `path: along the route` to `return_leg`";
            miss(path.is_missing(), path.span(), what, remedy);
            let what = "the plan does not state the speed of the return leg";
            miss(
                home.speed.is_missing(),
                home.speed.span(),
                what,
                "add `speed` to `return_leg`",
            );
        }
        Currents => {
            let what = "the site does not say whether there are currents";
            let remedy = "add `currents` to the site, `[]` where the water stands still";
            miss(!site.currents_stated, site.id.span(), what, remedy);
        }
        KeepOut => {
            let what = "the site does not say whether there are keep-out areas";
            let remedy = "add `keep_out` to the site, `[]` where there are none";
            miss(!site.keep_out_stated, site.id.span(), what, remedy);
        }
        Delay => {
            let delay = &mission.launch.delay;
            let what = "the plan does not state how late the launch may be";
            let remedy =
                "add `delay` to `launch`, `0 min` if the boat is launched on time or not at all";
            miss(delay.is_missing(), delay.span(), what, remedy);
        }
        Reaction => {
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
        // A plan has a launch time; each measure says itself what it lacks of the others.
        LaunchTime | Input::Radios | Input::Depths => {}
    }
    all
}

/// Why a measure that follows from these cannot be told, where a plan leaves one of them out.
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
