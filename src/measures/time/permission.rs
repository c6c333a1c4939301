//! Permissions to use the water.

use super::out::{between, clock, out};
use super::{NEEDS_OUT, TIME, entry};
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::people::says_nothing;
use crate::units::Time;

pub(in crate::measures) const PERMISSION_LEFT: Entry = entry(
    "mission.permission_left",
    TIME,
    "Least margin of the run within the permissions for the water",
    "For each permission of the site the lesser of two times: from the beginning of its first day to \
     the planned launch, and from the latest return (or the end of the longest run after the whole \
     delay, where that is later) to the end of its last day. Negative where it is not in force for \
     the whole run.",
    NEEDS_OUT,
    |passage| evidence::of_mission(permission_left(passage)),
);

/// The size of a time: in days where it is two or more.
fn in_words(time: Time) -> String {
    let time = if time < Time::ZERO {
        Time::ZERO - time
    } else {
        time
    };
    let days = time.get() / 86_400.0;
    match days >= 2.0 {
        true => format!("{} days", (days * 10.0).round() / 10.0),
        false => time.to_string(),
    }
}

fn permission_left(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let site = &plan.site;
    if site.permissions.is_empty() {
        return Err(unmeasured::lacking(
            plan,
            site.id.span(),
            "the site states no permission",
            "add `permissions` to the site's file; if none is needed, an item that says on whose \
             word and until when",
        ));
    }
    for permission in &site.permissions {
        if let Some(evidence) = &permission.evidence
            && says_nothing(&evidence.value)
        {
            return Err(unmeasured::lacking(
                plan,
                evidence.span(),
                &format!(
                    "the permission `{}` states no evidence",
                    permission.id.value
                ),
                "say in `evidence` where to read the permission, or leave the item out",
            ));
        }
    }
    let out = out(passage)?;
    let mut least = None;
    for permission in &site.permissions {
        let before = between(permission.from.value, out.from);
        let after = between(out.until, permission.until.value);
        for (time, ends) in [(before, false), (after, true)] {
            if least.is_none_or(|(held, _, _)| time < held) {
                least = Some((time, permission, ends));
            }
        }
    }
    let Some((time, permission, ends)) = least else {
        return Err(unmeasured::lacking(
            plan,
            site.id.span(),
            "the site states no permission",
            "",
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, evidence::value(time)) {
        return Ok(alone);
    }
    let late = time < Time::ZERO;
    let mut steps = out.steps;
    let (span, text, sentence) = if ends {
        steps.push(format!(
            "`{}` {} {}: {} the boat is back",
            permission.id.value,
            if late { "ended" } else { "ends" },
            clock(plan, permission.until.value),
            if late {
                format!("{} before", Time::ZERO - time)
            } else {
                format!("{time} after")
            }
        ));
        (
            permission.until.span(),
            format!("{}: in force until this day ends", permission.title),
            match late {
                true => format!(
                    "ended {} before the boat is back; the time left on it then",
                    in_words(time)
                ),
                false => "still runs when the boat is back".to_owned(),
            },
        )
    } else {
        steps.push(format!(
            "`{}` begins {}: {} the launch",
            permission.id.value,
            clock(plan, permission.from.value),
            if late {
                format!("{} after", Time::ZERO - time)
            } else {
                format!("{time} before")
            }
        ));
        (
            permission.from.span(),
            format!("{}: in force from this day on", permission.title),
            match late {
                true => format!(
                    "begins {} after the launch; its time in force by then",
                    in_words(time)
                ),
                false => "has run when the boat is launched".to_owned(),
            },
        )
    };
    Ok(Measured {
        value: evidence::value(time),
        sentence: match late {
            true => format!("the permission `{}` {sentence}", permission.id.value),
            false => format!(
                "the time that the permission `{}` {sentence}",
                permission.id.value
            ),
        },
        primary: evidence::label(span, text),
        because: out.lines,
        place: None,
        scenario: out.scenario,
        steps,
        assumptions: assumed::of_plan(plan),
    })
}
