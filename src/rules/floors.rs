//! The least that a policy calculates with of what a crew and a boat are said to do: a figure that is stated
//! better is taken as the floor.

use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Dimension, Quantity, Ratio, Time};

/// What has a floor.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Floor {
    /// The operator's time from seeing to acting.
    Reaction,
    /// The safety boat's time from the call until it is under way.
    Readiness,
    /// The time from a command to the boat that obeys it.
    ManualOverride,
    /// The distance in which the boat stops, as a share of its length overall.
    Stopping,
}

impl Floor {
    /// All of them, in the order in which they are reported.
    pub const ALL: [Self; 4] = [
        Self::Reaction,
        Self::Readiness,
        Self::ManualOverride,
        Self::Stopping,
    ];

    /// Its field in a policy.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Reaction => "reaction_time",
            Self::Readiness => "ready_within",
            Self::ManualOverride => "override_within",
            Self::Stopping => "stopping_distance",
        }
    }

    /// The floor where no policy states a higher one, in seconds or as a share of the length.
    ///
    /// Reaction: drivers asked to take over again from a machine took 4.6 s in the mean without another
    /// task, 6.1 s with one, and up to 26 s (Eriksson & Stanton 2017, a review in Human Factors 59, from
    /// memory); 5 s lies between the two means. The others are our own proposal: nobody boards a craft,
    /// casts off and has way on in less than a minute, a command over a radio takes a second until the
    /// boat obeys, and no boat stops in less than its own length.
    const fn built_in(self) -> f64 {
        match self {
            Self::Reaction => 5.0,
            Self::Readiness => 60.0,
            Self::ManualOverride | Self::Stopping => 1.0,
        }
    }

    const fn dimension(self) -> Dimension {
        match self {
            Self::Reaction | Self::Readiness | Self::ManualOverride => Dimension::TIME,
            Self::Stopping => Dimension::RATIO,
        }
    }
}

/// A floor that a policy states, in seconds or as a share, with its line and the policy.
#[derive(Clone, PartialEq, Debug)]
struct Raised {
    floor: Floor,
    value: f64,
    span: Span,
    policy: String,
}

/// The floors in force.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Floors(Vec<Raised>);

impl Floors {
    fn raised(&self, floor: Floor) -> Option<&Raised> {
        self.0.iter().find(|raised| raised.floor == floor)
    }

    /// A floor, in seconds or as a share of the length overall.
    #[must_use]
    pub fn get(&self, floor: Floor) -> Quantity {
        let value = self
            .raised(floor)
            .map_or(floor.built_in(), |raised| raised.value);
        Quantity::new(value, floor.dimension())
    }

    /// The policy that states a floor, with its line; `None` for the built-in one.
    #[must_use]
    pub fn set_by(&self, floor: Floor) -> Option<(&str, Span)> {
        let raised = self.raised(floor)?;
        Some((raised.policy.as_str(), raised.span))
    }
}

/// Reads the group of a policy's file.
pub(super) fn parse(fields: &Fields<'_>) -> Vec<(Floor, Stated<f64>)> {
    let Some(group) = fields.map("floors") else {
        return Vec::new();
    };
    let times = [Floor::Reaction, Floor::Readiness, Floor::ManualOverride];
    let mut all: Vec<(Floor, Stated<f64>)> = times
        .into_iter()
        .filter_map(|floor| {
            let time: Stated<Time> = group.quantity(floor.key())?;
            Some((floor, time.map(Time::get)))
        })
        .collect();
    let stopping: Option<Stated<Ratio>> = group.quantity(Floor::Stopping.key());
    all.extend(stopping.map(|share| (Floor::Stopping, share.map(Ratio::get))));
    all
}

/// The floors of a policy below those of the one that it extends; `own` are those of its own file. It
/// may ask for higher ones; a lower one is a problem, and the floor stays as it was.
pub(super) fn below(
    own: &[(Floor, Stated<f64>)],
    policy: &str,
    above: &Floors,
) -> (Floors, Vec<Problem>) {
    let mut floors = above.clone();
    let mut problems = Vec::new();
    for (floor, value) in own {
        let held = above.get(*floor);
        if value.value < held.value {
            let asked = Quantity::new(value.value, floor.dimension());
            let by = above.set_by(*floor);
            let whose = by.map_or_else(
                || "that is built in".to_owned(),
                |(policy, _)| format!("of policy `{policy}`"),
            );
            let message = format!(
                "floor `{}`: {asked} is less than the {held} {whose}",
                floor.key()
            );
            let mut problem = Problem::new("policy-loosens", value.span(), message);
            if let Some((_, span)) = by {
                problem = problem.with(span, "set here");
            }
            problems.push(problem.help("stay at or above it: no figure counts below it"));
            continue;
        }
        floors.0.retain(|raised| raised.floor != *floor);
        floors.0.push(Raised {
            floor: *floor,
            value: value.value,
            span: value.span(),
            policy: policy.to_owned(),
        });
    }
    floors.0.sort_by_key(|raised| raised.floor);
    (floors, problems)
}
