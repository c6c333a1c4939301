//! What of the plan did not hold, and what could not be judged.

use super::judging::Judging;
use super::thresholds::{self, CLEARANCE, CROSS_TRACK, DEPTH, RECORD_DEPTH, UNDER_KEEL};
use super::{Debrief, DebriefInput, Worst};
use crate::finding::{Comparison, Finding, Nature, Severity, Side, sort};
use crate::source::Span;
use crate::units::{Length, Typed as _};

/// Everything that is to be reported, in its order.
pub(super) fn findings(
    asked: &DebriefInput<'_>,
    found: &Debrief,
    fix: &dyn Fn(usize) -> Span,
) -> Vec<Finding> {
    let mut judging = Judging {
        asked,
        found,
        fix,
        all: Vec::new(),
    };
    judging.record();
    judging.columns();
    judging.energy_and_speed();
    judging.cross_track();
    judging.clearances();
    judging.depths();
    judging.stated_depth();
    judging.link();
    judging.times();
    judging.left_out();
    judging.not_judged();
    let built = judging.all.into_iter().map(|one| one.build(asked.sources));
    let mut all: Vec<Finding> = built.collect();
    sort(&mut all, asked.sources);
    all
}

impl Judging<'_> {
    fn cross_track(&mut self) {
        let stated = &self.asked.plan.vessel.navigation.cross_track_error;
        let Some(cross) = self
            .found
            .whole
            .cross
            .filter(|cross| cross.most > stated.value)
        else {
            return;
        };
        let message = format!(
            "5 % of the fixes lie more than {} off their leg, and the worst {}; the vessel states {}",
            cross.most, cross.greatest, stated.value
        );
        let (worst, line) = ((self.fix)(cross.worst), stated.span());
        self.push(
            &CROSS_TRACK,
            Severity::Warning,
            Nature::Violation,
            ("", message),
            |one| {
                one.primary(worst, "farthest off its leg here")
                    .related(line, "stated here")
                    .comparison(Some(Comparison {
                        measured: cross.most.quantity(),
                        limit: stated.value.quantity(),
                        side: Side::AtMost,
                    }))
                    .steps(vec![format!("of {} fixes away from turns", cross.count)])
            },
        );
    }

    fn clearances(&mut self) {
        for kept in self.found.kept.iter().filter(|kept| kept.too_near()) {
            let Some((asked, asked_at)) = kept.asked else {
                continue;
            };
            let clearance = kept.clearance();
            let inside = if kept.distance < Length::ZERO {
                "inside it or on it: "
            } else {
                ""
            };
            let message = format!(
                "Clearance from {} was {clearance} (limit: at least {asked}): {inside}{} from fix \
                 to fix, less {}",
                kept.of, kept.distance, kept.deducted
            );
            let (worst, line) = ((self.fix)(kept.worst), kept.line);
            let steps = vec![format!(
                "{} − {} = {clearance}",
                kept.distance, kept.deducted
            )];
            let rule = kept.rule.clone();
            self.push(
                &CLEARANCE,
                Severity::Error,
                Nature::Violation,
                (&kept.of, message),
                |one| {
                    one.primary(worst, "nearest here")
                        .related(line, "stated here")
                        .related(asked_at, format!("limit of `{rule}`"))
                        .comparison(Some(Comparison {
                            measured: clearance.quantity(),
                            limit: asked.quantity(),
                            side: Side::AtLeast,
                        }))
                        .steps(steps)
                },
            );
        }
    }

    fn depths(&mut self) {
        let plan = self.asked.plan;
        let Some(depths) = &self.found.depths else {
            return;
        };
        if let (Some(shoal), Some(soundings)) = (depths.shoal, &plan.site.depths.soundings) {
            let message = format!(
                "The bed is {} shoaler than the site's soundings: {} sounded, {} charted (the \
                 errors allow {})",
                shoal.by, shoal.sounded, shoal.charted, shoal.allowed
            );
            let (worst, line) = ((self.fix)(shoal.worst), soundings.file.span());
            let surveyed = soundings.surveyed.span();
            self.push(
                &DEPTH,
                Severity::Warning,
                Nature::Violation,
                ("", message),
                |one| {
                    one.primary(
                        worst,
                        format!("sounded here, on {} consecutive fixes", shoal.fixes),
                    )
                    .related(line, "charted here")
                    .related(surveyed, "surveyed then")
                    .comparison(Some(Comparison {
                        measured: shoal.by.quantity(),
                        limit: shoal.allowed.quantity(),
                        side: Side::AtMost,
                    }))
                },
            );
        }
        let Some((asked, asked_at)) = depths.asked else {
            return;
        };
        if depths.too_few() {
            let message = format!(
                "Water under the keel is not judged: {} of {} fixes have a depth; the least of \
                 them leaves {} (limit: at least {asked})",
                depths.count, depths.of, depths.under_keel
            );
            let reason = format!("there is no depth on {} of the fixes", depths.missing());
            self.push(
                &UNDER_KEEL,
                Severity::Warning,
                Nature::NotEvaluated,
                ("depths", message),
                |one| {
                    one.primary(asked_at, "limit set here")
                        .reason(&reason)
                        .remedies(vec![RECORD_DEPTH.into()])
                },
            );
        }
        if depths.under_keel >= asked {
            return;
        }
        let message = format!(
            "Water under the keel was {} (limit: at least {asked})",
            depths.under_keel
        );
        let (least, draft) = ((self.fix)(depths.least), plan.vessel.hull.draft.span());
        self.push(
            &UNDER_KEEL,
            Severity::Error,
            Nature::Violation,
            ("", message),
            |one| {
                one.primary(least, "sounded here")
                    .related(draft, "the draught")
                    .related(asked_at, "limit set here")
                    .comparison(Some(Comparison {
                        measured: depths.under_keel.quantity(),
                        limit: asked.quantity(),
                        side: Side::AtLeast,
                    }))
            },
        );
    }

    fn link(&mut self) {
        let plan = self.asked.plan;
        let Some(link) = &self.found.link else {
            return;
        };
        let name = link.link;
        let used = plan
            .mission
            .links
            .iter()
            .find(|(link, _)| link.name() == name);
        let line = used.map_or(plan.mission.route_span, |(_, usage)| usage.span());
        if link.too_little() {
            let silent = link.silent.map_or_else(String::new, |silent| {
                format!(
                    ", and on none for {} where the plan promises the required margin, from {} \
                     along the route on",
                    silent.time, silent.along
                )
            });
            let message = format!(
                "The {name} link has a figure on {} of {} fixes on the route{silent}: it was lost, or not \
                 recorded",
                link.count, link.of
            );
            let begins = (self.fix)(link.silent.map_or(0, |silent| silent.begins));
            let reason = format!("there is no figure on {} of the fixes", link.missing());
            self.push(
                &thresholds::LINK,
                Severity::Warning,
                Nature::NotEvaluated,
                (name, message),
                |one| {
                    let one = if link.silent.is_some() {
                        one.primary(begins, "none from here on")
                            .related(line, "the link that the mission needs")
                    } else {
                        one.primary(line, "the link that the mission needs")
                    };
                    one.reason(&reason)
                },
            );
        }
        let Some(worst) = link.worst.filter(Worst::too_bad) else {
            return;
        };
        let message = format!(
            "The {name} link was at {} for {}, where the plan promises a margin of {} (limit: at \
             least {})",
            worst.mean, worst.time, worst.margin, worst.due
        );
        let begins = (self.fix)(worst.begins);
        self.push(
            &thresholds::LINK,
            Severity::Warning,
            Nature::Violation,
            (name, message),
            |one| {
                one.primary(begins, "it begins here")
                    .related(line, "the link that the mission needs")
                    .comparison(Some(Comparison {
                        measured: worst.mean,
                        limit: worst.due,
                        side: Side::AtLeast,
                    }))
            },
        );
    }
}
