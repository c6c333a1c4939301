//! What of a run was left out, and what the track does not tell of.

use super::clear::asks;
use super::judging::Judging;
use super::part::{Lack, Part};
use super::thresholds::{LEFT, NOT_JUDGED, RECORD_DEPTH, RECORD_LINK};
use crate::finding::{Nature, Severity, capitalised};
use crate::measures::names;
use crate::track::Recorded;

impl Judging<'_> {
    pub(super) fn left_out(&mut self) {
        let found = self.found;
        if let Some((leg, along)) = &found.ends.left {
            let message = format!("The run was left on {leg}, {along} along the route");
            let (line, begins) = (
                found.return_leg.line,
                found.return_leg.fix.unwrap_or(found.return_leg.line),
            );
            self.push(
                &LEFT,
                Severity::Warning,
                Nature::Violation,
                (leg, message),
                |one| {
                    one.primary(begins, "the route is left here")
                        .related(line, "planned here")
                },
            );
            return;
        }
        let out = |part: &&Part| matches!(part.not_judged, Some(Lack::LeftOut(_)));
        let legs: Vec<&Part> = found.legs.iter().filter(out).collect();
        let Some(first) = legs.first() else {
            return;
        };
        let others = match legs.len() {
            1 => String::new(),
            more => format!(", and {} more", more - 1),
        };
        let message = format!(
            "{} was not run: {}{others}",
            capitalised(&first.name),
            first.not_judged.as_ref().map_or("", Lack::why)
        );
        let line = first.line;
        let begins = first.fix.unwrap_or(line);
        self.push(
            &LEFT,
            Severity::Warning,
            Nature::Violation,
            (&first.name, message),
            |one| {
                let mut one = one
                    .primary(begins, "not run from here on")
                    .related(line, "planned here");
                for leg in legs.iter().skip(1).take(6) {
                    one = one.related(leg.line, "left out too");
                }
                one
            },
        );
    }

    pub(super) fn not_judged(&mut self) {
        let found = self.found;
        let mut legs: Vec<&Part> = Vec::new();
        for part in &found.legs {
            if matches!(part.not_judged, Some(Lack::NotTold(_))) {
                legs.push(part);
            }
        }
        for part in [&found.whole, &found.return_leg] {
            if let Some(why) = part.not_judged.as_ref().map(Lack::why) {
                self.lacking(
                    part,
                    Severity::Warning,
                    &format!("{} is not judged: {why}", capitalised(&part.name)),
                    why,
                );
            }
        }
        if let Some(first) = legs.first() {
            let why = first.not_judged.as_ref().map_or("", Lack::why);
            let others = match legs.len() {
                1 => String::new(),
                more => format!("; nor are {} more legs", more - 1),
            };
            let message = format!("{} is not judged: {why}{others}", capitalised(&first.name));
            self.lacking(first, Severity::Warning, &message, why);
        }
        if found.whole.not_judged.is_none()
            && let Some(why) = &found.whole.no_energy
        {
            self.lacking(
                &found.whole,
                Severity::Warning,
                &format!("Energy is not judged: {why}"),
                why,
            );
        }
        if found.whole.energy.planned.is_none() {
            let why = "in the wind planned for the boat does not get that far, or the plan has no \
                       wind";
            self.lacking(
                &found.whole,
                Severity::Warning,
                &format!("Time and energy are not judged: {why}"),
                why,
            );
        }
        for kept in found.kept.iter().filter(|kept| kept.asked.is_none()) {
            let why = format!("the policy has no rule `{}` in force", kept.rule);
            let message = format!("Clearance from {} is not judged: {why}", kept.of);
            let line = kept.line;
            self.push(
                &NOT_JUDGED,
                Severity::Advice,
                Nature::NotEvaluated,
                (&kept.of, message),
                |one| one.primary(line, "stated here").reason(&why),
            );
        }
        self.never_recorded();
        if let Some(why) = found
            .depths
            .as_ref()
            .and_then(|depths| depths.not_compared.as_ref())
        {
            let message = format!("Depths are not compared: {why}");
            let line = self.asked.plan.site.id.span();
            self.push(
                &NOT_JUDGED,
                Severity::Advice,
                Nature::NotEvaluated,
                ("depths", message),
                |one| {
                    one.primary(line, "the site").reason(why).remedies(vec![
                        "state what is missing in the site or the vessel, or record depths \
                             without gaps"
                            .into(),
                    ])
                },
            );
        }
    }

    /// What the plan has limits for and the track no figure of.
    fn never_recorded(&mut self) {
        let asked = asks(self.asked.policy(), names::UNDER_KEEL_CLEARANCE);
        if let (None, Some((_, (_, line)))) = (&self.found.depths, asked) {
            let why = if self.asked.put_aside(Recorded::Depth) {
                "the depth column does not fit this boat and this water"
            } else {
                "the track has no depths"
            };
            self.push(
                &NOT_JUDGED,
                Severity::Warning,
                Nature::NotEvaluated,
                (
                    "depths",
                    format!("Water under the keel is not judged: {why}"),
                ),
                |one| {
                    one.primary(line, "limit set here")
                        .reason(why)
                        .remedies(vec![RECORD_DEPTH.into()])
                },
            );
        }
        let links = &self.asked.plan.mission.links;
        if let (None, Some((link, needed))) = (&self.found.link, links.first()) {
            let columns = self.asked.columns;
            let stated = columns.is_some_and(|(columns, _)| columns.link.is_some());
            // A boat that logs none by design loses nothing that its columns promise.
            let (why, severity) = if self.asked.put_aside(Recorded::Link) {
                ("the link column does not fit this boat", Severity::Warning)
            } else if stated {
                (
                    "the track has no figures of a link, or the plan predicts none",
                    Severity::Warning,
                )
            } else {
                ("this boat logs no figures of a link", Severity::Advice)
            };
            let (name, line) = (link.name(), needed.span());
            self.push(
                &NOT_JUDGED,
                severity,
                Nature::NotEvaluated,
                (name, format!("The {name} link is not judged: {why}")),
                |one| {
                    one.primary(line, "needed here")
                        .reason(why)
                        .remedies(vec![RECORD_LINK.into()])
                },
            );
        }
    }

    pub(super) fn lacking(&mut self, part: &Part, severity: Severity, message: &str, why: &str) {
        let line = part.line;
        let begins = part.fix;
        self.push(
            &NOT_JUDGED,
            severity,
            Nature::NotEvaluated,
            (&part.name, message.to_owned()),
            |one| {
                let one = match begins {
                    Some(begins) => one
                        .primary(begins, "it begins here")
                        .related(line, "planned here"),
                    None => one.primary(line, "planned here"),
                };
                one.reason(why)
            },
        );
    }
}
