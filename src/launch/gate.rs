//! What of a launch itself makes it a no-go, whatever the rules say of the plan.

use jiff::Timestamp;

use super::before::{BoatOut, Held, Standing};
use super::{Readings, Reason};
use crate::check::Digests;
use crate::check::{Approval, signed_by};
use crate::plan::Plan;
use crate::plan::calendar::{later, shown, shown_apart};
use crate::rules::EffectivePolicy;
use crate::schema::explain::nearest;
use crate::source::printable_line;

/// Reasons, gathered.
pub(super) struct Gate<'a> {
    plan: &'a Plan,
    policy: &'a EffectivePolicy,
    readings: &'a Readings,
    reasons: Vec<Reason>,
}

impl<'a> Gate<'a> {
    pub(super) fn new(plan: &'a Plan, policy: &'a EffectivePolicy, readings: &'a Readings) -> Self {
        Self {
            plan,
            policy,
            readings,
            reasons: Vec::new(),
        }
    }

    pub(super) fn add(&mut self, rule: &str, says: &str) {
        self.push(Reason::new(rule, says.to_owned()));
    }

    pub(super) fn push(&mut self, reason: Reason) {
        if !self.reasons.contains(&reason) {
            self.reasons.push(reason);
        }
    }

    /// All of them: those of the launch itself first, of which there are so many, then what several
    /// rules lack alike, which is most often why the others are not met either.
    pub(super) fn reasons(mut self, of_launch: usize) -> Vec<Reason> {
        let (_, of_rules) = self.reasons.split_at_mut(of_launch);
        let lacked: Vec<Option<String>> = of_rules.iter().map(|one| one.lacking.clone()).collect();
        let alike = |one: &Reason| {
            one.lacking.is_some()
                && lacked.iter().filter(|other| **other == one.lacking).count() > 1
        };
        of_rules.sort_by_key(|one| !alike(one));
        self.reasons
    }

    /// How many there are so far.
    pub(super) fn count(&self) -> usize {
        self.reasons.len()
    }

    /// The launch is inside the time that was reviewed.
    pub(super) fn time(&mut self) {
        let launch = &self.plan.mission.launch;
        let (from, to) = (
            launch.time.value,
            later(launch.time.value, launch.delay.value.get()),
        );
        let at = self.readings.at;
        if at < from || at > to {
            let zone = self.plan.site.time_zone.as_ref();
            let [at, from, to] = shown_apart([at, from, to], zone);
            let reviewed = if launch.delay.value.get() > 0.0 {
                format!("from {from} to {to}, by its `delay`")
            } else {
                format!("at {from} alone, since its `launch` has no `delay`")
            };
            let says =
                format!("the launch is at {at}, and the plan was reviewed for one {reviewed}");
            self.add("launch-time", &says);
        }
    }

    /// It is decided when it is at hand: what was decided afterwards was not decided, and an hour ahead
    /// nobody knows the wind that the boat meets.
    pub(super) fn clock(&mut self) {
        let Readings {
            at, clock, read, ..
        } = *self.readings;
        let zone = self.plan.site.time_zone.as_ref();
        let after = |later: Timestamp, earlier: Timestamp| {
            later.duration_since(earlier).as_secs() > super::readings::APART
        };
        let clocks = match self.readings.computer {
            Some(_) => "as was said",
            None => "by this computer's clock",
        };
        if after(clock, at) {
            let says = format!(
                "the launch is set for {}, and {clocks} it is already {}",
                shown(at, zone),
                shown(clock, zone)
            );
            self.add("launch-past", &says);
        } else if after(at, clock) {
            let says = format!(
                "the launch is set for {}, more than an hour after now, {clocks} {}; decide when \
                 it is near, with readings taken then",
                shown(at, zone),
                shown(clock, zone)
            );
            self.add("launch-ahead", &says);
        }
        if after(at, read) && !after(at, clock) {
            let says = format!(
                "the instruments were read at {}, more than an hour before the launch, at {}; read them again",
                shown(read, zone),
                shown(at, zone)
            );
            self.add("readings-old", &says);
        }
    }

    /// Who decides is who has the final say.
    pub(super) fn person(&mut self) {
        let team = self.plan.mission.people.team.as_ref();
        let in_charge = team.map(|team| team.person_in_charge.value.clone());
        let by = self.readings.by.trim();
        match in_charge {
            Some(role) if role.trim().eq_ignore_ascii_case(by) => {}
            Some(role) => {
                // Roles are written with blanks; the names of their signatures with hyphens.
                let plain = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
                let alike = plain(&role) == plain(by)
                    || nearest(&plain(by), &[plain(&role).as_str()]).is_some();
                let hint = match alike {
                    true => format!("; did you mean `{role}`?"),
                    false => String::new(),
                };
                self.add(
                    "not-in-charge",
                    &format!("`{by}` decides, but the plan gives the final say to `{role}`{hint}"),
                );
            }
            None => self.add(
                "not-in-charge",
                "the plan does not say who has the final say",
            ),
        }
    }

    /// Every item that the policy requires or the plan has was seen to just now.
    pub(super) fn ticked(&mut self) {
        let ticked = |item: &str| self.readings.ticked.iter().any(|one| one == item);
        let open: Vec<String> = self
            .plan
            .mission
            .people
            .to_see_to(&self.policy.checklist)
            .filter(|item| !ticked(&item.value))
            .map(|item| format!("`{}`", item.value))
            .collect();
        if !open.is_empty() {
            let says = format!("not ticked at the water: {}", open.join(", "));
            self.add("item-open", &says);
        }
    }

    /// The plan is the one on paper; of others so many have a digest that begins as the digits do.
    pub(super) fn digest(&mut self, digests: &Digests, others: usize) {
        if let Some(read) = &self.readings.digest {
            // A few digits are read off paper.
            if !digests.whole.starts_with(read) {
                let says = format!(
                    "the digest read off is {read}, and that of the plan here is {}",
                    digests.whole
                );
                self.add("another-plan", &says);
            } else if others > 0 {
                let says = format!(
                    "{} plans known here have a digest that begins with {read}, so these digits \
                     confirm none; type all 64",
                    others + 1
                );
                self.add("another-plan", &says);
            }
        }
    }

    /// It was not launched before. Goes that were not used, as whoever is in charge says now, stand in no
    /// way; they are given back.
    pub(super) fn before<'b>(&mut self, standing: &Standing<'b>) -> Vec<&'b Held> {
        let mut unused = Vec::new();
        let zone = self.plan.site.time_zone.as_ref();
        let in_charge = !self.reasons.iter().any(|one| one.rule == "not-in-charge");
        let again = self.readings.again.as_ref().filter(|_| in_charge);
        for (go, run) in &standing.goes {
            let at = shown(go.decided.at.value, zone);
            match (run, again) {
                (Some(run), _) => self.add(
                    "launched-before",
                    &format!(
                        "this plan was launched already, at {at}, as {run} records; one approval \
                         covers one run: another run needs a plan of its own, reviewed for its own \
                         time"
                    ),
                ),
                (None, _) if go.elsewhere => self.add(
                    "launched-before",
                    &format!(
                        "this plan was launched already, at {at}, as {} decided, which git has and this tree has \
                         not; bring it here (`git show` has its text; a merge brings that of another branch), then \
                         record its run, or say with `--again \"…\"` that there was none",
                        printable_line(&go.path)
                    ),
                ),
                (None, Some(_)) => unused.push(*go),
                (None, None) => self.add(
                    "launched-before",
                    &format!(
                        "this plan was launched already, at {at}, as {} decided; one approval \
                         covers one run. If the boat stayed ashore then, say why with `--again \
                         \"…\"`; if it was run, record it with `offing record`",
                        go.path
                    ),
                ),
            }
        }
        for run in &standing.runs {
            let says = format!(
                "this plan was run already, as {run} records; another run needs a plan of its own, reviewed for \
                 its own time"
            );
            self.add("launched-before", &says);
        }
        unused
    }

    /// The boat is not out by another plan.
    pub(super) fn boat_in(&mut self, out: &[BoatOut]) {
        let zone = self.plan.site.time_zone.as_ref();
        for one in out {
            let (from, to) = (shown(one.from, zone), shown(one.to, zone));
            let (mission, path) = (printable_line(&one.mission), printable_line(&one.path));
            let says = match one.recorded {
                true => format!(
                    "the boat of this plan was out from {from} to {to} in mission `{mission}`, as {path} records"
                ),
                false => format!(
                    "the boat of this plan is out from {from}, and back by {to} at the latest, in \
                     mission `{mission}`, as {path} decided; record that run with `offing record` \
                     once it is over, or decide that mission again with `--again` and say why it \
                     was not run"
                ),
            };
            self.add("boat-out-twice", &says);
        }
    }

    /// Every role whose approval is needed has signed the plan as it is.
    pub(super) fn approvals(&mut self, approvals: &[Approval]) {
        let Some(of_policy) = &self.policy.approvals else {
            return;
        };
        for role in &of_policy.needed {
            if !signed_by(approvals, &role.value) {
                let says = format!("`{}` has not signed this plan as it is", role.value);
                self.add("approval-missing", &says);
            }
        }
    }
}
