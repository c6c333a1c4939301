//! Changes to commanded speeds: all of them slower, one leg faster, the last leg no faster than a limit.

use super::fix::{At, Fix, Setting};
use super::{Wanted, WhatIf, altered, as_is, largest, passes, passes_as, value_in};
use crate::models::propulsion::Command;
use crate::passage::{Passage, Variation};
use crate::plan::route::Leg;
use crate::source::Span;
use crate::units::{Ratio, Speed};

/// The unit that a speed is stated in, m/s. Numerical: what is proposed is stated so.
const HUNDREDTH: f64 = 0.01;
/// Most that a speed is raised, in these units: 1 m/s. Our own choice.
const MOST_FASTER: u32 = 100;

fn with_speed(command: Command, speed: Speed) -> Command {
    match command {
        Command::OverGround(_) => Command::OverGround(speed),
        Command::ThroughWater(_) => Command::ThroughWater(speed),
    }
}

fn down(speed: Speed) -> Speed {
    Speed::metres_per_second((speed.get() / HUNDREDTH + 1e-6).floor() * HUNDREDTH)
}

/// Every speed slower by the same share, each as it is then written.
pub(super) fn slower(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let passage = trials.passage;
    let tried = |k| {
        let slower = Variation {
            speed: k,
            ..as_is()
        };
        passes(trials, wanted, slower)
    };
    let mission = &passage.plan.mission;
    let legs = mission.legs.iter().map(Leg::speed);
    let fastest = legs.fold(Speed::ZERO, Speed::max);
    let (share, _) = largest((fastest.get(), HUNDREDTH), tried)?;
    let plan = altered(passage, |plan| {
        for leg in &mut plan.mission.legs {
            leg.command.value = with_speed(leg.command.value, down(leg.speed() * share));
        }
        let home = &mut plan.mission.return_leg.speed;
        home.value = down(home.value * share);
    });
    if !passes_as(wanted, passage, &plan) {
        return None;
    }
    let mut set: Vec<Span> = Vec::new();
    let mut settings = Vec::new();
    for leg in &plan.mission.legs {
        let span = leg.command.span();
        if !set.contains(&span) {
            set.push(span);
            settings.push(Setting::new(At::Stated(span), leg.speed().to_string()));
        }
    }
    let home = &plan.mission.return_leg.speed;
    let at = At::of(home, "/return_leg/speed");
    settings.push(Setting::new(at, home.value.to_string()));
    let says = format!(
        "Run every speed at {} of what is planned",
        Ratio::fraction(share)
    );
    Some(Fix::set(settings).saying(says))
}

/// The speed of the slowest leg, or of those that state it together, raised until it passes.
pub(super) fn faster(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let home = &passage.plan.mission.return_leg.speed;
    let legs = passage.plan.mission.legs.iter();
    let slowest = legs.min_by(|a, b| a.speed().get().total_cmp(&b.speed().get()))?;
    if home.value < slowest.speed() {
        return None;
    }
    let span = slowest.command.span();
    let raised = |steps: u32| {
        let more = Speed::metres_per_second(f64::from(steps) * HUNDREDTH);
        down(slowest.speed() + more)
    };
    let tried = |speed: Speed| {
        let plan = altered(passage, |plan| {
            let legs = plan.mission.legs.iter_mut();
            for leg in legs.filter(|leg| leg.command.span() == span) {
                leg.command.value = with_speed(leg.command.value, speed);
            }
        });
        passes_as(wanted, passage, &plan)
    };
    let speed = (1..=MOST_FASTER).map(raised).find(|speed| tried(*speed))?;
    Some(Fix::set_one(At::Stated(span), speed.to_string()))
}

/// The speed of the last leg over ground at its limit.
pub(super) fn last_leg(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    value_in(wanted, passage)?;
    let limit = down(Speed::metres_per_second(wanted.limit.value));
    let plan = altered(passage, |plan| {
        if let Some(leg) = plan.mission.legs.last_mut() {
            leg.command.value = Command::OverGround(limit);
        }
    });
    let value = format!("{{ over_ground: {limit} }}");
    passes_as(wanted, passage, &plan).then(|| Fix::set_one(At::Field("/recovery/speed"), value))
}
