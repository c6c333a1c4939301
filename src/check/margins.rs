//! A policy's margins put on a plan, and told of.

use crate::finding::Label;
use crate::measures::{self, Input};
use crate::passage::{Passage, Variation};
use crate::plan::Plan;
use crate::rules::{About, EffectivePolicy, Judgement, Margin, Margins};

/// The passage of a plan as a policy has it judged: with its margins.
pub(crate) fn passage<'p>(plan: &'p Plan, policy: &EffectivePolicy) -> Passage<'p> {
    Passage::varied(plan, variation(&policy.margins))
}

/// Each figure that a margin is about, worse by it.
fn variation(margins: &Margins) -> Variation {
    Variation {
        wind: 1.0 + margins.share(About::ForecastError),
        capacity: 1.0 - margins.share(About::BatteryAge),
        power: 1.0 + margins.share(About::TrialError),
        ..Variation::default()
    }
}

fn describe(margin: &Margin) -> String {
    let share = margin.share.value;
    match margin.about {
        About::BatteryAge => format!("battery capacity: {share} less than stated"),
        About::TrialError => {
            format!("power in calm water: {share} more than stated")
        }
        About::ForecastError => {
            format!("mean wind and gust: {share} stronger than planned for")
        }
    }
}

/// What a margin changes.
fn changes(about: About) -> Input {
    match about {
        About::BatteryAge => Input::Battery,
        About::TrialError => Input::CalmWaterPower,
        About::ForecastError => Input::Wind,
    }
}

/// Every margin in a sentence.
pub(crate) fn sentences(margins: &Margins) -> Vec<String> {
    margins
        .iter()
        .filter(|margin| margin.share.value.get() > 0.0)
        .map(|margin| {
            format!(
                "{}: the margin `{}` of policy `{}`",
                describe(margin),
                margin.about.key(),
                margin.policy
            )
        })
        .collect()
}

/// The lines of the margins that change what a rule measures.
pub(crate) fn lines(margins: &Margins, judgement: &Judgement) -> Vec<Label> {
    let changed_by = |input| {
        let mut names = judgement.readings.iter().map(|(name, _)| name);
        names.any(|name| {
            measures::find(name).is_some_and(|one| one.measure.moved_by.contains(input))
        })
    };
    margins
        .iter()
        .filter(|margin| margin.share.value.get() > 0.0 && changed_by(changes(margin.about)))
        .map(|margin| Label {
            span: margin.share.span(),
            text: describe(margin),
        })
        .collect()
}
