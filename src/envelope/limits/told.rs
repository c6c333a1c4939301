//! What is asked of wind limits, and what they come to.

use super::{Alternative, Given};
use crate::envelope::Binding;
use crate::models::wind::Steady;
use crate::units::{Angle, FromDirection, Length, Ratio, Speed, Time};

/// What is requested.
#[derive(Clone, PartialEq, Debug)]
pub struct Sought {
    /// Between two directions that are told of, from 1° to 30°, a part of the circle.
    pub step: Angle,
    /// The wind to judge the plan's alternatives in; the one planned for where none is given.
    pub wind: Option<Given>,
    /// Height of the anemometer that limits are reported for as well; held by hand where none is given.
    pub height: Option<Length>,
    /// Whether the plan's alternatives and its sensitivity are sought as well.
    pub sensitivity: bool,
}

/// What a plan is changed in.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Change {
    /// Nothing.
    None,
    /// The route runs the other way round, its approach as planned.
    Reversed,
    /// Every commanded speed is multiplied by this.
    Speed(Ratio),
    /// The charge at launch is other by this, in points.
    Charge(Ratio),
    /// The boat turns back at this share of its farthest distance from the recovery point.
    Nearer(Ratio),
}

impl Change {
    /// Whether the boat still runs the whole route.
    #[must_use]
    pub(super) fn runs_the_route(&self) -> bool {
        !matches!(self, Self::Nearer(_))
    }
}

/// Mean winds that pass.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Passing {
    /// The weakest.
    pub from: Speed,
    /// The strongest.
    pub to: Speed,
}

/// What stands against any more wind.
#[derive(Clone, PartialEq, Debug)]
pub struct LimitedBy {
    /// The first wind that does not pass, a tenth above the limit, or a calm.
    pub wind: Steady,
    /// A direction of the band in which it does not.
    pub from: FromDirection,
    /// The rules that it breaks there, those that fail before those that cannot be judged. Never
    /// empty, but where only the band as a whole does not pass.
    pub rules: Vec<Binding>,
}

/// The limit in winds from one direction.
#[derive(Clone, PartialEq, Debug)]
pub struct Sector {
    /// The direction.
    pub from: FromDirection,
    /// The strongest wind that passes, with every weaker one that was tried; `None` where not even a
    /// calm does.
    pub strongest: Option<Steady>,
    /// The same as an anemometer at [`Limits::read_at`] shows it, rounded down.
    pub as_read: Option<Steady>,
    /// Why no more; `None` where the limit is the strongest wind that is tried at all.
    pub limited_by: Option<LimitedBy>,
    /// Stronger winds that pass again. They are no limit: to meet them a boat goes through winds that
    /// do not pass.
    pub again: Vec<Passing>,
}

/// A wind that was judged as a whole, exactly as a check of a plan for it would.
#[derive(Clone, PartialEq, Debug)]
pub struct BandWind {
    /// Middle of the band.
    pub from: FromDirection,
    /// Either side of it.
    pub spread: Angle,
    /// Sustained.
    pub mean: Speed,
    /// Gust.
    pub gust: Speed,
    /// Height over the water that both are of.
    pub height: Length,
    /// Whether it is the wind planned for.
    pub planned: bool,
    /// The rules of severity error that are not met, all of them counted.
    pub broken: Vec<Binding>,
}

/// The limit of a varied plan from one direction.
#[derive(Clone, PartialEq, Debug)]
pub struct Varied {
    /// The direction.
    pub from: FromDirection,
    /// The strongest mean wind.
    pub strongest: Option<Speed>,
    /// Whether no limit was found up to the strongest wind that is tried.
    pub up_to_cap: bool,
    /// The rules that are not met a tenth above, or in a calm where that does not pass either.
    pub broken: Vec<Binding>,
}

/// How limits move when a plan is changed.
#[derive(Clone, PartialEq, Debug)]
pub struct Moved {
    /// What is changed.
    pub change: Change,
    /// The same in words, with its figures.
    pub words: String,
    /// Why the change cannot be had from this plan, where it cannot.
    pub not_to_be_had: Option<String>,
    /// Rules that the change breaks in every wind.
    pub regardless: Vec<Binding>,
    /// The limits, in the order of [`Limits::looked_at`].
    pub limits: Vec<Varied>,
}

/// The wind limits of a plan.
#[derive(Clone, PartialEq, Debug)]
pub struct Limits {
    /// Id of the mission.
    pub mission: String,
    /// Path of its file.
    pub path: String,
    /// Id of the policy in force.
    pub policy: String,
    /// Between two directions.
    pub step: Angle,
    /// How far either side of each direction the wind may come from.
    pub spread: Angle,
    /// The strongest mean wind that is tried.
    pub cap: Speed,
    /// Between two winds that are tried in every direction, before edges are narrowed down.
    pub grid: Speed,
    /// Gust over mean.
    pub gust_factor: Ratio,
    /// Where that comes from, in words.
    pub gust_factor_words: String,
    /// The height that winds are reported for.
    pub height: Length,
    /// The height of the anemometer that they are reported for as well.
    pub read_at: Length,
    /// How long each wind has blown; `None` where waves are taken as limited by the fetch alone.
    pub duration: Option<Time>,
    /// Rules that are not met whatever the wind. Where there are any, no wind passes, and the limits
    /// are those of the other rules.
    pub regardless: Vec<Binding>,
    /// Rules about what the plan states of its wind, which were judged on that alone.
    pub as_stated: Vec<String>,
    /// Every direction, from north clockwise.
    pub sectors: Vec<Sector>,
    /// The wind planned for; `None` where the plan states none.
    pub planned: Option<BandWind>,
    /// The wind that alternatives are judged in: the one given, or else the one planned for.
    pub today: Option<BandWind>,
    /// The plan's alternatives in that wind; none where there is none.
    pub alternatives: Vec<Alternative>,
    /// The best of them.
    pub best: Option<usize>,
    /// Directions, of [`Limits::sectors`], in which it is told how limits move: the one nearest to
    /// that of the planned wind, and the one with the least limit.
    pub looked_at: Vec<usize>,
    /// How they do.
    pub moved: Vec<Moved>,
    /// Things to know, such as a loosened rule.
    pub notes: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
}

impl Limits {
    /// Whether a wind passes at all, every rule counted.
    #[must_use]
    pub fn any_wind_passes(&self) -> bool {
        self.regardless.is_empty() && self.sectors.iter().any(|one| one.strongest.is_some())
    }

    /// The direction with the least limit, the first of equals.
    #[must_use]
    pub fn least(&self) -> Option<usize> {
        let key = |index: &usize| {
            let one: &Sector = &self.sectors[*index];
            one.strongest.map_or(-1.0, |steady| steady.mean.get())
        };
        (0..self.sectors.len()).min_by(|a, b| key(a).total_cmp(&key(b)))
    }
}
