//! The people of a mission, by role, and what they see to before it: who does what, who raises the
//! alarm, who is told, what they see to before the launch.

use super::site::Site;
use crate::schema::{Fields, Problem, Stated, explain};
use crate::units::Time;

/// Who does what, each a role or a call sign and never a person's name.
#[derive(Clone, Debug)]
pub struct Team {
    /// The line to show for the team as a whole.
    pub span: crate::source::Span,
    /// Has the final say.
    pub person_in_charge: Stated<String>,
    /// Steers and can stop the boat.
    pub remote_operator: Stated<String>,
    /// Keeps the lookout, where stated.
    pub lookout: Option<Stated<String>>,
    /// Fetches the boat, where stated.
    pub recovery_crew: Option<Stated<String>>,
    /// People at the water at launch and recovery, where stated.
    pub at_water: Option<Stated<f64>>,
    /// What keeps those at the water afloat and warm, where stated.
    pub flotation: Option<Stated<String>>,
}

/// How help is called.
#[derive(Clone, Debug)]
pub struct Alarm {
    /// By what means, where stated.
    pub means: Option<Stated<String>>,
    /// Who calls it when nobody has reported back, where stated.
    pub shore_contact: Option<Stated<String>>,
    /// How long after the latest return, where stated.
    pub overdue: Option<Stated<Time>>,
}

/// How one kind of the site's other water users is told of the mission.
#[derive(Clone, Debug)]
pub struct Told {
    /// Their id in the site's file.
    pub users: Stated<String>,
    /// How they are told.
    pub how: Stated<String>,
}

/// An item of a checklist.
#[derive(Clone, Debug)]
pub struct Item {
    /// Its id.
    pub id: Stated<String>,
    /// What is to be seen to, where stated.
    pub text: Option<Stated<String>>,
}

/// The people of a mission.
#[derive(Clone, Debug)]
pub struct People {
    /// Who does what, where stated.
    pub team: Option<Team>,
    /// How help is called, where stated.
    pub alarm: Option<Alarm>,
    /// Which other users of the water are told, and how.
    pub told: Vec<Told>,
    /// What is seen to just before the launch, beside what the policy requires.
    pub checklist: Vec<Item>,
}

impl People {
    /// Everything that somebody sees to just before the launch: the items that a policy requires, then the
    /// mission's own.
    pub(crate) fn to_see_to<'a>(
        &'a self,
        required: &'a [Stated<String>],
    ) -> impl Iterator<Item = &'a Stated<String>> {
        let own = self.checklist.iter().map(|item| &item.id);
        let own = own.filter(|own| required.iter().all(|one| one.value != own.value));
        required.iter().chain(own)
    }
}

/// Whether a text names nobody and nothing: it has no letter or digit, or begins with a word that
/// stands for a gap.
#[must_use]
pub(crate) fn says_nothing(text: &str) -> bool {
    /// Words that a text which names nothing begins with.
    const GAPS: &[&str] = &[
        "no", "not", "none", "nobody", "nothing", "tbd", "tba", "tbc", "todo", "wait", "later",
    ];
    /// What stands for a gap as the whole text.
    const WHOLE: &[&str] = &["n/a", "na", "unknown", "open"];
    let text = text.trim().trim_end_matches('.').to_lowercase();
    let mut words = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    let Some(first) = words.next() else {
        return true;
    };
    let second = words.next();
    // `no. 2` is a number.
    let number = first == "no" && second.is_some_and(|word| word.parse::<u32>().is_ok());
    let to_be = first == "to" && second == Some("be");
    WHOLE.contains(&text.as_str()) || to_be || (GAPS.contains(&first) && !number)
}

/// Reads the people of a mission; `None` where something of it is malformed.
pub(super) fn parse(mission: Fields<'_>, site: &Site) -> Option<People> {
    let team = match mission.map("team") {
        None => None,
        Some(fields) => Some(team(fields)?),
    };
    let alarm = mission.map("alarm").map(|fields| Alarm {
        means: fields.text("means"),
        shore_contact: fields.text("shore_contact"),
        overdue: fields.quantity("overdue"),
    });
    let told: Vec<Option<Told>> = mission
        .maps("other_users_notified")
        .map(|fields| parse_notified(fields, site))
        .collect();
    let mut checklist: Vec<Item> = Vec::new();
    for fields in mission.maps("checklist") {
        let item = Item {
            id: fields.required_text("item")?,
            text: fields.text("text"),
        };
        if let Some(first) = checklist.iter().find(|one| one.id.value == item.id.value) {
            let text = format!("`{}` is on the checklist twice", item.id.value);
            fields
                .problem(Problem::value(item.id.span(), text).with(first.id.span(), "here first"));
            return None;
        }
        checklist.push(item);
    }
    Some(People {
        team,
        alarm,
        told: told.into_iter().collect::<Option<_>>()?,
        checklist,
    })
}

fn team(fields: Fields<'_>) -> Option<Team> {
    let at_water = fields.get("at_water").and_then(|node| {
        // The schema asks for a whole number, and bounds it.
        Some(Stated::written(node.as_number()?, node.span))
    });
    Some(Team {
        span: fields.span(),
        person_in_charge: fields.required_text("person_in_charge")?,
        remote_operator: fields.required_text("remote_operator")?,
        lookout: fields.text("lookout"),
        recovery_crew: fields.text("recovery_crew"),
        at_water,
        flotation: fields.text("flotation"),
    })
}

fn parse_notified(fields: Fields<'_>, site: &Site) -> Option<Told> {
    let users = fields.required_text("users")?;
    let how = fields.required_text("how")?;
    let known: Vec<&str> = site
        .people
        .other_users
        .iter()
        .flatten()
        .map(|users| users.id.value.as_str())
        .collect();
    if !known.contains(&users.value.as_str()) {
        let text = format!(
            "`{}` is not among the `other_users` of site `{}`",
            users.value, site.id.value
        );
        let problem =
            Problem::new("input-reference", users.span(), text).with(site.id.span(), "this site");
        fields.problem(match explain::nearest(&users.value, &known) {
            Some(near) => problem.help(format!("did you mean `{near}`?")),
            None if known.is_empty() => problem.help("the site states none"),
            None => problem.help(format!("it has {}", known.join(", "))),
        });
        return None;
    }
    Some(Told { users, how })
}

#[cfg(test)]
mod tests {
    use super::says_nothing;

    #[test]
    fn a_gap_is_told_from_a_role() {
        for gap in [
            "",
            "  ",
            "-",
            "?",
            "TBD",
            "nobody",
            "None.",
            "to be decided",
            "n/a",
            "No one yet",
            "not needed",
            "wait and see",
            "Later, by telephone",
            "nobody: it is a pond",
        ] {
            assert!(says_nothing(gap), "{gap:?}");
        }
        for role in [
            "operator",
            "helper 2",
            "the warden on duty",
            "no. 2 crew",
            "northern crew",
        ] {
            assert!(!says_nothing(role), "{role:?}");
        }
    }
}
