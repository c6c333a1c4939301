//! The winds that are tried: from a direction, with a mean in tenths of a metre a second, and with
//! the gust, the height and the duration that go with it.

use super::kinds::Kinds;
use crate::check::NoAnswer;
use crate::envelope::planned_wind::gustiness;
use crate::finding::Side;
use crate::measures::names;
use crate::plan::{Plan, Wind};
use crate::rules::{EffectivePolicy, RuleInForce};
use crate::schema::Stated;
use crate::units::{Angle, FromDirection, Length, Speed, Time};

/// The finest that a wind is reported, m/s.
pub(super) const TENTH: f64 = 0.1;
/// Strongest mean wind that is tried, in tenths of a metre a second: a whole gale on the scale of
/// Beaufort, in which nobody launches a boat of this size.
pub(super) const CAP: u32 = 250;
/// Widest angle between two directions of which each is judged; that of a check.
const WIDEST: f64 = 5.0;
/// Widest and narrowest angle between two directions that are told of.
pub(super) const MOST_STEP: Angle = Angle::radians(std::f64::consts::FRAC_PI_6);
const LEAST_STEP_DEGREES: f64 = 1.0;

/// The wind of a day: from where, how strong, and its gust where it is known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Given {
    /// Where it comes from.
    pub from: FromDirection,
    /// Sustained.
    pub mean: Speed,
    /// Gust; where there is none, the ratio of the plan's stands in.
    pub gust: Option<Speed>,
    /// Height of the anemometer; where there is none, it is held by hand, as at a launch.
    pub height: Option<Length>,
}

/// What every wind that is tried has of the plan's.
#[derive(Clone, Debug)]
pub(super) struct Setting {
    /// Gust over mean.
    pub factor: f64,
    /// Where the ratio comes from, in words.
    pub factor_words: String,
    pub height: Length,
    pub duration: Option<Time>,
    /// The spread of the plan, either side.
    pub spread: Angle,
    template: Wind,
}

impl Setting {
    pub(super) fn from_plan(plan: &Plan, policy: &EffectivePolicy) -> Self {
        let span = plan.mission.id.span();
        let template = plan.mission.wind.clone().unwrap_or_else(|| Wind {
            from: Stated::written(FromDirection::new(Angle::degrees(0.0)), span),
            spread: Stated::written(Angle::degrees(30.0), span),
            mean: Stated::written(Speed::ZERO, span),
            gust: Stated::written(Speed::ZERO, span),
            stated_gust: Speed::ZERO,
            height: Stated::written(Length::metres(10.0), span),
            duration: Stated::written(None, span),
        });
        let own = gustiness(plan.mission.wind.as_ref());
        let floor = floor(policy);
        let (factor, factor_words) = match floor {
            Some((floor, rule)) if floor > own.factor => {
                let less = if own.own {
                    "the plan's own"
                } else {
                    "the usual ratio"
                };
                let words = format!("the least that rule {rule} allows ({less} is less)");
                (floor, words)
            }
            _ => (own.factor, own.words),
        };
        Self {
            factor,
            factor_words,
            height: template.height.value,
            duration: template.duration.value,
            spread: template.spread.value,
            template,
        }
    }

    /// The gust that goes with a mean wind, rounded up to a tenth.
    pub(super) fn gust(&self, tenths: u32) -> Speed {
        let exact = f64::from(tenths) * self.factor;
        speed_of((exact - 1e-9).ceil().max(0.0))
    }

    /// A wind, with all else as planned.
    pub(super) fn wind(&self, from: FromDirection, spread: Angle, tenths: u32) -> Wind {
        self.blowing(from, spread, mean(tenths), self.gust(tenths))
    }

    pub(super) fn blowing(
        &self,
        from: FromDirection,
        spread: Angle,
        mean: Speed,
        gust: Speed,
    ) -> Wind {
        let one = &self.template;
        Wind {
            from: one.from.clone().map(|_| from),
            spread: one.spread.clone().map(|_| spread),
            mean: one.mean.clone().map(|_| mean),
            // Whatever the plan says of its own: this one is tried.
            gust: Stated::written(gust, one.gust.span()),
            stated_gust: gust,
            height: one.height.clone(),
            duration: one.duration.clone(),
        }
    }

    /// The gust of a given wind.
    pub(super) fn gust_of(&self, given: &Given) -> Speed {
        let by_factor = speed_of((given.mean.get() / TENTH * self.factor - 1e-9).ceil());
        given.gust.unwrap_or(by_factor)
    }
}

/// A mean wind of so many tenths.
pub(super) fn mean(tenths: u32) -> Speed {
    speed_of(f64::from(tenths))
}

/// As a plan would state it: 6.2 and not 6.200000000000001.
fn speed_of(tenths: f64) -> Speed {
    Speed::metres_per_second(tenths / 10.0)
}

/// Whether a rule bounds a measure, and that alone.
fn bounds(rule: &RuleInForce, measure: &str) -> bool {
    let bare = rule.rule.measure.bare();
    bare.is_some_and(|bare| bare.name == measure)
}

/// The least ratio of gust to mean that a rule of the policy asks for, of whatever severity.
fn floor(policy: &EffectivePolicy) -> Option<(f64, &str)> {
    let rules = policy.rules.iter().filter(|rule| rule.enabled.value);
    rules
        .filter(|rule| bounds(rule, names::GUST_FACTOR))
        .filter_map(|rule| {
            let limit = rule.bound.limit(Side::AtLeast)?;
            Some((limit.value.value, &*rule.rule.id.value))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// The plan in another wind.
pub(super) fn in_wind(plan: &Plan, wind: Wind) -> Plan {
    let mut plan = plan.clone();
    plan.mission.wind = Some(wind);
    plan
}

/// The directions that are told of, and those between them that each is judged by.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rose {
    /// Between two directions that are told of.
    pub step: Angle,
    /// Directions that are told of.
    pub sectors: usize,
    /// Directions that are judged for each of them.
    pub parts: usize,
    /// Of these, how many either side belong to a direction that is reported.
    pub either_side: usize,
}

impl Rose {
    /// The directions a step apart.
    ///
    /// # Errors
    /// [`NoAnswer::BadRequest`] for a step that does not part the circle, or is too wide or too narrow.
    pub(super) fn new(step: Angle, spread: Angle) -> Result<Self, NoAnswer> {
        let degrees = step.to_degrees();
        let count = 360.0 / degrees;
        let whole = count.round();
        let narrow = degrees < LEAST_STEP_DEGREES - 1e-9;
        let wide = step.get() > MOST_STEP.get() + 1e-9;
        if !degrees.is_finite() || narrow || wide || (count - whole).abs() > 1e-6 {
            return Err(NoAnswer::BadRequest(format!(
                "directions {step} apart do not divide the circle evenly, or are not from \
                 {LEAST_STEP_DEGREES}° to {MOST_STEP} apart; take 5° or 10°"
            )));
        }
        let parts = (degrees / WIDEST - 1e-9).ceil().max(1.0);
        let fine = degrees / parts;
        let half_step = degrees / 2.0;
        let reach = spread.to_degrees().max(half_step).min(180.0);
        Ok(Self {
            step,
            sectors: whole as usize,
            parts: parts as usize,
            either_side: (reach / fine - 1e-9).ceil().max(0.0) as usize,
        })
    }

    /// How many directions are judged in all.
    pub(super) fn fine(&self) -> usize {
        self.sectors * self.parts
    }

    /// A direction that is judged.
    pub(super) fn direction(&self, fine: usize) -> FromDirection {
        let share = (fine % self.fine()) as f64 / self.fine() as f64;
        FromDirection::new(Angle::degrees(360.0 * share))
    }

    /// A direction that is reported.
    pub(super) fn sector(&self, sector: usize) -> FromDirection {
        self.direction(sector * self.parts)
    }

    /// How far either side of a direction that is told of winds are judged.
    pub(super) fn reach(&self) -> Angle {
        let fine = 360.0 / self.fine() as f64;
        Angle::degrees((fine * self.either_side as f64).min(180.0))
    }

    /// The directions that are judged for one that is reported, itself first, then outwards.
    pub(super) fn around(&self, sector: usize) -> Vec<usize> {
        let (all, middle) = (self.fine(), sector * self.parts);
        let mut around = vec![middle % all];
        for off in 1..=self.either_side {
            for index in [(middle + all * 2 - off) % all, (middle + off) % all] {
                if !around.contains(&index) {
                    around.push(index);
                }
            }
        }
        around
    }
}

/// The rules about the wind as stated, judged on the wind planned for.
pub(super) fn as_stated<'a>(kinds: &'a Kinds<'a>) -> Vec<String> {
    let ids = kinds
        .stated
        .iter()
        .map(|rule| rule.rule.id.value.to_string());
    ids.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_direction_belongs_to_those_beside_it() {
        for (step, spread) in [
            (10.0, 20.0),
            (10.0, 0.0),
            (5.0, 12.0),
            (1.0, 30.0),
            (30.0, 0.0),
            (10.0, 180.0),
        ] {
            let rose = Rose::new(Angle::degrees(step), Angle::degrees(spread)).expect("a rose");
            let mut seen = vec![false; rose.fine()];
            for sector in 0..rose.sectors {
                let around = rose.around(sector);
                assert_eq!(around.len(), (2 * rose.either_side + 1).min(rose.fine()));
                assert_eq!(around[0], sector * rose.parts);
                for index in around {
                    seen[index] = true;
                }
            }
            assert!(seen.iter().all(|seen| *seen), "{step} {spread}");
            assert!(rose.reach().to_degrees() >= (step / 2.0).max(spread) - 1e-9);
            assert!(rose.step.to_degrees() / rose.parts as f64 <= 5.0 + 1e-9);
        }
        for step in [0.0, 0.5, 7.0, 45.0, f64::NAN, -10.0] {
            assert!(
                Rose::new(Angle::degrees(step), Angle::degrees(20.0)).is_err(),
                "{step}"
            );
        }
    }
}
