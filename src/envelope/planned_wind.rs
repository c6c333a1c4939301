//! What the wind that a plan is made for has to do with one that blows: which rules are about the plan's
//! own words, and how gusty it is taken to be.

use crate::finding::Side;
use crate::models::wind::{DEFAULT_GUST_FACTOR, LEAST_GUST_FACTOR};
use crate::plan::Wind;
use crate::rules::{Bound, RuleInForce};
use crate::units::Speed;

/// Mean wind below which the gust that a plan states tells no ratio.
const LEAST_MEAN: Speed = Speed::metres_per_second(1.0);

/// Whether a rule asks a plan to plan for more wind, so that it says nothing of a wind that blows.
///
/// It does where it bounds one of the measures of the planned wind by itself, from below, or asks that a
/// wind is planned for at all. An expression over these measures may ask for anything, such as less
/// wind, and is judged in every wind.
pub(crate) fn asks_of_the_plan(rule: &RuleInForce) -> bool {
    let bare = rule.rule.measure.bare();
    if !bare.is_some_and(|measure| measure.of_planned_wind) {
        return false;
    }
    let all = rule.rule.measures();
    if !all
        .iter()
        .all(|one| one.of_planned_wind || !one.depends_on_wind())
    {
        return false;
    }
    match &rule.bound {
        Bound::Equals(truth) => truth.value,
        Bound::Limits { .. } => {
            rule.bound.limit(Side::AtLeast).is_some() && rule.bound.limit(Side::AtMost).is_none()
        }
    }
}

/// How gusty a wind is taken to be.
pub(crate) struct Gustiness {
    /// Gust over mean.
    pub factor: f64,
    /// Where that comes from, in words.
    pub words: String,
    /// Whether the plan's own gust tells it.
    pub own: bool,
}

/// The ratio of gust to mean that a plan states, or the usual one where it states none that could be
/// gone by. It is never less than that of a wind off the land.
pub(crate) fn gustiness(planned: Option<&Wind>) -> Gustiness {
    let usual = |words: String| Gustiness {
        factor: DEFAULT_GUST_FACTOR,
        words,
        own: false,
    };
    let Some(planned) = planned else {
        return usual("the usual ratio, as the plan states no wind".to_owned());
    };
    let (mean, gust) = (planned.mean.value, planned.gust.value);
    // The gust that the plan states, which is reported; the one that is judged may be stronger.
    let stated = planned.stated_gust;
    let factor = gust / mean.max(LEAST_MEAN);
    if mean < LEAST_MEAN && factor <= DEFAULT_GUST_FACTOR {
        return usual(format!(
            "the usual ratio, as the plan is for nearly no wind ({mean} with gusts of {stated}), \
             which shows none; state the strongest wind in which you would still launch"
        ));
    }
    let taken = if mean < LEAST_MEAN {
        format!(", with its mean of {mean} counted as that")
    } else {
        String::new()
    };
    let own = format!(
        "the plan's own, {stated} over {}{taken}",
        mean.max(LEAST_MEAN)
    );
    Gustiness {
        factor: factor.max(LEAST_GUST_FACTOR),
        words: if stated < gust {
            format!("the least for a wind off the land ({own} is less)")
        } else {
            own
        },
        own: true,
    }
}
