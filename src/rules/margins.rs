//! What a policy allows for what is not known: one share for each of a few things that no plan can
//! state, put on top of what the files say before any rule is judged.

use crate::schema::{Fields, Problem, Stated};
use crate::units::Ratio;

/// What is not known.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum About {
    /// How much capacity the battery has lost since it was measured.
    BatteryAge,
    /// How much more power calm water asks for than the trial or the model says.
    TrialError,
    /// How much stronger the wind is than forecast.
    ForecastError,
}

impl About {
    /// All of them, in the order in which they are reported.
    pub const ALL: [Self; 3] = [Self::BatteryAge, Self::TrialError, Self::ForecastError];

    /// Its field in a policy.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::BatteryAge => "battery_age",
            Self::TrialError => "trial_error",
            Self::ForecastError => "forecast_error",
        }
    }
}

/// One margin, with the policy that set it.
#[derive(Clone, PartialEq, Debug)]
pub struct Margin {
    /// What it is for.
    pub about: About,
    /// How much, as a share.
    pub share: Stated<Ratio>,
    /// Id of the policy that set it.
    pub policy: String,
}

/// The margins in force, at most one for each thing.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Margins(Vec<Margin>);

impl Margins {
    /// The margin for one thing, where the policy states one.
    #[must_use]
    pub fn get(&self, about: About) -> Option<&Margin> {
        self.0.iter().find(|margin| margin.about == about)
    }

    /// The share for one thing, zero where the policy states none.
    #[must_use]
    pub fn share(&self, about: About) -> f64 {
        self.get(about)
            .map_or(0.0, |margin| margin.share.value.get())
    }

    /// Every margin in force.
    pub fn iter(&self) -> impl Iterator<Item = &Margin> {
        self.0.iter()
    }
}

/// Reads the group of a policy's file.
pub(super) fn parse(fields: &Fields<'_>) -> Vec<(About, Stated<Ratio>)> {
    let Some(group) = fields.map("margins") else {
        return Vec::new();
    };
    About::ALL
        .into_iter()
        .filter_map(|about| Some((about, group.quantity(about.key())?)))
        .collect()
}

/// The margins of a policy below those of the one that it extends; `own` are those of its own file. It
/// may ask for more; one that asks for less is a problem, and the margin stays as it was.
pub(super) fn below(
    own: &[(About, Stated<Ratio>)],
    policy: &str,
    above: &Margins,
) -> (Margins, Vec<Problem>) {
    let mut margins = above.clone();
    let mut problems = Vec::new();
    for (about, share) in own {
        match above.get(*about) {
            Some(held) if share.value.get() < held.share.value.get() => {
                let message = format!(
                    "margin `{}`: {} is less than the {} of policy `{}`",
                    about.key(),
                    share.value,
                    held.share.value,
                    held.policy
                );
                problems.push(
                    Problem::new("policy-loosens", share.span(), message)
                        .with(held.share.span(), "set here")
                        .help("stay within it, or change it there"),
                );
            }
            _ => {
                margins.0.retain(|held| held.about != *about);
                margins.0.push(Margin {
                    about: *about,
                    share: share.clone(),
                    policy: policy.to_owned(),
                });
            }
        }
    }
    margins.0.sort_by_key(|margin| margin.about);
    (margins, problems)
}
