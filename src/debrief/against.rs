//! Energy and speed of the whole and of the return leg, held against the plan.

use super::judging::Judging;
use super::part::{Part, What};
use super::thresholds::{ENERGY, SPEED, TOOK_LESS, TOOK_MORE, Threshold};
use crate::finding::{Comparison, Nature, Severity, Side, capitalised};
use crate::source::Span;
use crate::units::{Quantity, Ratio, Time, Typed as _};

/// How much more or less, in words.
fn off(share: Ratio) -> String {
    let word = if share < Ratio::ZERO { "less" } else { "more" };
    format!("{} {word}", share.abs())
}

/// A share by which something differs, held against how far it may.
fn compared(share: Ratio, limit: f64) -> Comparison {
    let less = share < Ratio::ZERO;
    Comparison {
        measured: share.quantity(),
        limit: Quantity::new(if less { -limit } else { limit }, Ratio::DIMENSION),
        side: if less { Side::AtLeast } else { Side::AtMost },
    }
}

/// How much more than planned, with figures that give it again.
fn quotient(actual: Quantity, planned: Quantity, share: Ratio) -> String {
    format!("{} / {} − 1 = {share}", actual.finer(), planned.finer())
}

impl Judging<'_> {
    pub(super) fn energy_and_speed(&mut self) {
        let found = self.found;
        let limit = ENERGY.limit.map_or(0.0, |limit| limit.value);
        for part in [&found.whole, &found.return_leg] {
            if let Some(share) = part.energy.off() {
                let at_most = part.off_at_most().unwrap_or(share);
                if share.get() > limit || at_most.get() < -limit {
                    self.energy(part, share, limit);
                } else if at_most.get() > limit {
                    self.may_be_more(part, at_most);
                }
            }
            let limit = SPEED.limit.map_or(0.0, |limit| limit.value);
            if let Some(share) = part.speed.off().filter(|share| share.get().abs() > limit) {
                self.speed(part, share, limit);
            }
        }
    }

    fn energy(&mut self, part: &Part, share: Ratio, limit: f64) {
        let (Some(band), Some(actual)) = (part.energy.planned, part.energy.actual) else {
            return;
        };
        let above_all = part.energy.above_all().filter(|share| share.get() > limit);
        let severity = match (above_all, share < Ratio::ZERO) {
            (Some(_), _) => Severity::Error,
            (None, false) => Severity::Warning,
            (None, true) => Severity::Advice,
        };
        let mut message = format!(
            "{} took {actual}, {} than the {} planned",
            capitalised(&part.name),
            off(share),
            band.planned
        );
        match (above_all, band.most) {
            (Some(_), Some(most)) if most.to_string() == band.planned.to_string() => {
                message.push_str(", which is the most in any wind of the plan");
            }
            (Some(above), Some(most)) => {
                message.push_str(&format!(
                    " and {} than the most in any wind of the plan, {most}",
                    off(above)
                ));
            }
            (None, Some(most)) => message.push_str(&format!(
                "; the winds of the plan take {} to {most}",
                band.least
            )),
            (_, None) => {}
        }
        let mut steps = vec![format!(
            "planned: {} in {}",
            band.planned,
            self.found.wind.as_deref().unwrap_or("the wind planned for")
        )];
        if let Some(given) = part.given {
            steps.push(format!(
                "taken: {} given by the pack + {} lost in it = {}",
                given.quantity().finer(),
                (actual - given).quantity().finer(),
                actual.quantity().finer()
            ));
        }
        steps.push(quotient(actual.quantity(), band.planned.quantity(), share));
        let plan = self.asked.plan;
        let wind = plan.mission.wind.as_ref().map(|wind| wind.from.span());
        let forecast = plan.mission.day.forecast.as_ref();
        // Of a part that begins later, the forecast's own hour says more than its strongest one.
        let hour = forecast
            .zip(part.begun.filter(|_| part.what != What::Whole))
            .and_then(|(forecast, begun)| forecast.line_at(begun));
        let trial = plan.vessel.propulsion.calm.span();
        let mut lines = Vec::new();
        lines.extend(hour.map(|line| (line, "the wind forecast for when it began")));
        if hour != wind {
            let words = match forecast {
                Some(_) => "calculated with this wind, the strongest of the forecast",
                None => "calculated with this wind",
            };
            lines.extend(wind.map(|line| (line, words)));
        }
        lines.push((trial, "and with this speed and power"));
        self.differs(
            (&ENERGY, severity),
            part,
            message,
            (share, limit),
            steps,
            &lines,
        );
    }

    /// A part that differs from the plan by more than a share, where it begins.
    fn differs(
        &mut self,
        (threshold, severity): (&Threshold, Severity),
        part: &Part,
        message: String,
        (share, limit): (Ratio, f64),
        steps: Vec<String>,
        lines: &[(Span, &str)],
    ) {
        let limits = compared(share, limit);
        let (line, begins) = (part.line, part.fix.unwrap_or(part.line));
        // Too little asks for another look than too much.
        let remedy = match (threshold.id == ENERGY.id, share < Ratio::ZERO) {
            (true, true) => TOOK_LESS,
            (true, false) => TOOK_MORE,
            (false, _) => threshold.remedy,
        };
        self.push(
            threshold,
            severity,
            Nature::Violation,
            (&part.name, message),
            |one| {
                let mut one = one
                    .remedies(vec![remedy.into()])
                    .primary(begins, "it begins here")
                    .related(line, "planned here");
                for (line, words) in lines {
                    one = one.related(*line, *words);
                }
                one.comparison(Some(limits)).steps(steps)
            },
        );
    }

    /// Energy that seems to have been near the plan's, and need not have been.
    fn may_be_more(&mut self, part: &Part, at_most: Ratio) {
        let (Some(band), Some(most)) = (part.energy.planned, part.energy_at_most) else {
            return;
        };
        let unlogged = part.unlogged.unwrap_or(Time::ZERO);
        let message = format!(
            "Not judged whether {} took more energy than planned by {}: {unlogged} of it have no \
             voltage and current; at the greatest power of the run it took {most} against {}, {}",
            part.name,
            ENERGY
                .limit
                .map_or_else(String::new, |limit| limit.to_string()),
            band.planned,
            off(at_most)
        );
        let why = format!("voltage and current are missing for {unlogged}");
        self.lacking(part, Severity::Warning, &message, &why);
    }

    fn speed(&mut self, part: &Part, share: Ratio, limit: f64) {
        let (Some(band), Some(actual)) = (part.speed.planned, part.speed.actual) else {
            return;
        };
        let slower = share < Ratio::ZERO;
        let message = format!(
            "{} made {actual} over ground, {} than the {} planned",
            capitalised(&part.name),
            off(share),
            band.planned
        );
        let severity = if slower {
            Severity::Warning
        } else {
            Severity::Advice
        };
        let steps = vec![
            format!(
                "planned: {} in {}",
                part.length,
                part.time
                    .planned
                    .map_or_else(String::new, |time| time.planned.to_string())
            ),
            quotient(actual.quantity(), band.planned.quantity(), share),
        ];
        let legs = self.asked.plan.mission.legs.iter();
        let longest = legs.max_by(|a, b| a.length().total_cmp(&b.length()));
        let lines: Vec<(Span, &str)> = longest
            .map(|leg| (leg.command.span(), "the speed of the longest leg"))
            .into_iter()
            .collect();
        self.differs(
            (&SPEED, severity),
            part,
            message,
            (share, limit),
            steps,
            &lines,
        );
    }
}
