//! The launch window of a mission: its plan judged again with the launch moved over the day.

use jiff::civil::Time as Clock;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use rayon::prelude::*;

use crate::check::margins;
use crate::check::{LoadedMission, NoAnswer, asked};
use crate::finding::Severity;
use crate::measures;
use crate::passage::{MOST_WORK, Passage};
use crate::plan::Plan;
use crate::plan::calendar::{later, shown};
use crate::rules::{EffectivePolicy, Verdict, judge};
use crate::source::Tree;
use crate::units::Time;

/// Most times of launch that are tried: a day, five minutes apart.
pub(super) const MOST_LAUNCHES: usize = 288;
/// The least time between two of them.
const LEAST_STEP: Time = Time::seconds(60.0);
/// How long after midnight a launch is looked for where the plan states no latest return, h.
const ONE_DAY: i64 = 24;

/// A moment with how it is shown: in the site's own time, with its offset from UTC.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Moment {
    /// Universal time.
    pub time: Timestamp,
    /// In the site's time.
    pub text: String,
}

/// A rule that makes a launch a no-go.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Binding {
    /// Id of the rule.
    pub rule: String,
    /// It fails, or could not be evaluated.
    pub verdict: Verdict,
}

/// Launch times, one after the other, of which the same holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stretch {
    /// The first time tried.
    pub from: Moment,
    /// The last time tried.
    pub to: Moment,
    /// Whether every rule of the severity error is met.
    pub passed: bool,
    /// The rules that are not passed, by id.
    pub binding: Vec<Binding>,
}

/// What came of it.
#[derive(Clone, PartialEq, Debug)]
pub struct Window {
    /// Id of the mission.
    pub mission: String,
    /// Path of its file.
    pub path: String,
    /// Id of the policy in force.
    pub policy: String,
    /// The planned launch.
    pub planned: Moment,
    /// By how much each launch may be later still, within what was judged.
    pub delay: Time,
    /// When the boat has to be back, the same at every launch; `None` where the plan does not say.
    pub latest_return: Option<Moment>,
    /// Time between two launches that were tried.
    pub step: Time,
    /// How many were tried.
    pub tried: usize,
    /// Why the first of them is the first and the last the last, in a sentence.
    pub reach: String,
    /// Whether the wind is a forecast, which is followed from each launch on.
    pub forecast: bool,
    /// Every launch that was tried, in order.
    pub stretches: Vec<Stretch>,
    /// Whether every rule of the severity error is met at the planned launch.
    pub planned_passed: bool,
    /// Things to know, such as a loosened rule.
    pub notes: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
}

/// Judges a mission, named by its id or its path, at every launch time of the day or of its
/// forecast, `step` apart, by a policy or by its own. All else is as stated, the latest return too.
///
/// # Errors
/// [`NoAnswer`] where the mission or the policy is not there or has errors, or more is requested
/// than is computed.
pub fn window(
    tree: &dyn Tree,
    mission: &str,
    policy: Option<&str>,
    step: Time,
) -> Result<Window, NoAnswer> {
    let LoadedMission {
        plan,
        policy,
        notes,
        ..
    } = asked(tree, mission, policy)?;
    let policy = &policy;
    let (launches, reach) = launches(&plan, step)?;
    let outcomes = judged(&plan, policy, &launches)?;
    let mut window = assemble_window(&plan, policy, step, &launches, outcomes, notes);
    window.reach = reach;
    Ok(window)
}

/// The times that are tried, multiples of the step from midnight and the planned one, and why they begin
/// and end where they do.
fn launches(plan: &Plan, step: Time) -> Result<(Vec<Timestamp>, String), NoAnswer> {
    if step < LEAST_STEP || !step.get().is_finite() {
        return Err(NoAnswer::BadRequest(format!(
            "a step of {step} is too short; take {LEAST_STEP} or more"
        )));
    }
    let launch = &plan.mission.launch;
    let planned = launch.time.value;
    let utc = TimeZone::UTC;
    let zone = plan.site.time_zone.as_ref().unwrap_or(&utc);
    let forecast = plan.mission.day.forecast.as_ref();
    let begins = forecast.and_then(|forecast| {
        let first = forecast.begins()?;
        Some(first.max(forecast.issued.value))
    });
    let midnight = zone
        .to_datetime(begins.unwrap_or(planned))
        .date()
        .to_datetime(Clock::midnight());
    let midnight = zone
        .to_timestamp(midnight)
        .map_err(|_| NoAnswer::Unreadable("the day of the launch has no midnight".to_owned()))?;
    let begins = begins.unwrap_or(midnight);
    let day_ends = later(midnight, (ONE_DAY * 3600) as f64);
    let ends = launch
        .latest_return
        .as_ref()
        .map_or(day_ends, |back| back.value);
    let seconds = step.get().round();
    let span = ends.duration_since(midnight).as_secs_f64();
    // Counted before they are listed.
    let count = (span / seconds).ceil();
    if !(0.0..=1e6).contains(&count) {
        return Err(too_many(count, step));
    }
    let times = (0..count as i64).filter_map(|number| {
        let seconds = SignedDuration::from_secs(number * seconds as i64);
        midnight.checked_add(seconds).ok()
    });
    let mut times: Vec<Timestamp> = times
        .filter(|time| *time >= begins && *time < ends)
        .chain([planned])
        .collect();
    times.sort();
    times.dedup();
    if times.len() > MOST_LAUNCHES {
        return Err(too_many(times.len() as f64, step));
    }
    let reach = reach(plan, begins, ends);
    Ok((times, reach))
}

/// Why no launch is tried before one time and after another.
fn reach(plan: &Plan, begins: Timestamp, ends: Timestamp) -> String {
    let zone = plan.site.time_zone.as_ref();
    let (begins, ends) = (shown(begins, zone), shown(ends, zone));
    let forecast = plan.mission.day.forecast.as_ref();
    let from = match forecast.and_then(|one| Some((one.begins()?, one.issued.value))) {
        Some((first, issued)) if first >= issued => {
            format!("before {begins}, where the forecast begins")
        }
        Some(_) => format!("before {begins}, when the forecast was issued"),
        None => format!("before {begins}, where the day of the planned launch begins"),
    };
    let to = match plan.mission.launch.latest_return {
        Some(_) => "the latest return".to_owned(),
        None => format!("{ends}, where the day ends"),
    };
    format!("No launch times were tried {from}, nor at or after {to}.")
}

fn too_many(count: f64, step: Time) -> NoAnswer {
    NoAnswer::BadRequest(format!(
        "a step of {step} makes {count} launch times, and at most {MOST_LAUNCHES} are tried; take \
         a longer step"
    ))
}

/// What is not met at each launch; `None` for one that nothing can be told of.
type Outcomes = Vec<Option<Vec<Binding>>>;

fn judged(
    plan: &Plan,
    policy: &EffectivePolicy,
    launches: &[Timestamp],
) -> Result<Outcomes, NoAnswer> {
    let plans: Vec<Option<Plan>> = launches
        .iter()
        .map(|time| plan.launched_at(*time))
        .collect();
    let same_wind = |a: &Option<Plan>, b: &Option<Plan>| match (a, b) {
        (Some(a), Some(b)) => a.mission.wind == b.mission.wind,
        (a, b) => a.is_none() && b.is_none(),
    };
    let groups: Vec<&[Option<Plan>]> = plans.chunk_by(same_wind).collect();
    let passages: Vec<Option<Passage<'_>>> = groups
        .iter()
        .map(|group| {
            let first = group.first()?.as_ref()?;
            Some(margins::passage(first, policy).values_alone())
        })
        .collect();
    let asked = passages.iter().flatten().map(Passage::asked);
    let asked = asked.fold(0_usize, usize::saturating_add);
    if passages.len() > 1 && asked > MOST_WORK {
        return Err(NoAnswer::Unreadable(format!(
            "the route takes {asked} steps over all winds of the forecast (at most {MOST_WORK}); \
             split the mission"
        )));
    }
    let by_group = groups.par_iter().zip(&passages).map(|(group, passage)| {
        let Some(passage) = passage else {
            return vec![None; group.len()];
        };
        // Computed before they are shared, so that no launch waits for another.
        let _ = passage.runs();
        let _ = (passage.links(), passage.clearances());
        let of_one =
            |plan: &Option<Plan>| Some(binding(&passage.relaunched(plan.as_ref()?), policy));
        group.par_iter().map(of_one).collect()
    });
    let by_group: Vec<Outcomes> = by_group.collect();
    Ok(by_group.into_iter().flatten().collect())
}

/// The rules of the severity error that are not met.
fn binding(passage: &Passage<'_>, policy: &EffectivePolicy) -> Vec<Binding> {
    let lookup = |name: &str| measures::evaluate(name, passage);
    let errors = policy
        .rules
        .iter()
        .filter(|rule| rule.severity.value == Severity::Error);
    let mut binding: Vec<Binding> = errors
        .filter_map(|rule| {
            let verdicts = judge(rule, &lookup).into_iter().map(|one| one.verdict);
            let verdict = verdicts.max()?;
            matches!(verdict, Verdict::Fails | Verdict::Unknown).then(|| Binding {
                rule: rule.rule.id.value.to_string(),
                verdict,
            })
        })
        .collect();
    binding.sort();
    binding
}

fn assemble_window(
    plan: &Plan,
    policy: &EffectivePolicy,
    step: Time,
    launches: &[Timestamp],
    outcomes: Outcomes,
    notes: Vec<String>,
) -> Window {
    let zone = plan.site.time_zone.as_ref();
    let moment = |time: Timestamp| Moment {
        time,
        text: shown(time, zone),
    };
    let planned = plan.mission.launch.time.value;
    let mut planned_passed = false;
    let mut stretches: Vec<Stretch> = Vec::new();
    for (time, outcome) in launches.iter().zip(outcomes) {
        // What the forecast does not reach cannot be judged at all.
        let passed = outcome.as_ref().is_some_and(Vec::is_empty);
        let binding = outcome.unwrap_or_default();
        planned_passed |= *time == planned && passed;
        match stretches.last_mut() {
            Some(last) if last.passed == passed && last.binding == binding => {
                last.to = moment(*time)
            }
            _ => stretches.push(Stretch {
                from: moment(*time),
                to: moment(*time),
                passed,
                binding,
            }),
        }
    }
    Window {
        mission: plan.mission.id.value.clone(),
        path: plan.path.clone(),
        policy: policy.policy.clone(),
        planned: moment(planned),
        delay: plan.mission.launch.delay.value,
        latest_return: {
            let stated = plan.mission.launch.latest_return.as_ref();
            stated.map(|back| moment(back.value))
        },
        step,
        tried: launches.len(),
        reach: String::new(),
        forecast: plan.mission.day.forecast.is_some(),
        stretches,
        planned_passed,
        notes,
        assumptions: [
            margins::sentences(&policy.margins),
            measures::assumptions(plan),
        ]
        .concat(),
    }
}
