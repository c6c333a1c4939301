//! The launch window for other programs.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::CAUTION;
use super::output::{self, Binding, Head, Moment, Output, PROGRAM, Program, Quantity};
use crate::envelope;

/// What `offing window --format json` writes: the mission judged at other times of launch. No field is ever left
/// out.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Launch window")]
struct Window<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// What wrote it.
    program: Program,
    /// Id of the mission.
    mission: &'a str,
    /// Its file, from the root of the repository.
    path: &'a str,
    /// Id of the policy in force.
    policy: &'a str,
    /// The planned launch.
    planned: Moment<'a>,
    /// Whether every rule of severity error is met at the planned launch.
    planned_passed: bool,
    /// By how much each launch may be later still, within what was judged.
    delay: Quantity,
    /// When the boat has to be back, the same at every launch; null where the plan does not say.
    latest_return: Option<Moment<'a>>,
    /// Time between two launches that were tried.
    step: Quantity,
    /// How many times of launch were judged.
    #[schemars(range(min = 1))]
    tried: usize,
    /// Why the first of them is the first and the last the last, in a sentence.
    reach: &'a str,
    /// Whether the wind is a forecast, followed from each launch on.
    forecast: bool,
    /// Every time of launch that was judged, in order; those of which the same holds are taken together.
    #[schemars(length(min = 1))]
    stretches: Vec<Stretch<'a>>,
    /// Things to know, such as a loosened rule.
    notes: &'a [String],
    /// What was assumed for want of a stated figure.
    assumptions: &'a [String],
    /// What belongs to every report.
    caution: &'static str,
}

impl Output for Window<'_> {
    const FORMAT: &'static str = "offing-window";
    const VERSION: u32 = 1;
}

/// Times of launch, one after the other, of which the same holds.
#[derive(Serialize, JsonSchema)]
struct Stretch<'a> {
    /// The first of them.
    from: Moment<'a>,
    /// The last of them.
    to: Moment<'a>,
    /// Whether every rule of severity error is met.
    passed: bool,
    /// The rules of severity error that are not met, by id. None where nothing could be judged, the forecast not
    /// reaching that far.
    binding: Vec<Binding<'a>>,
}

impl<'a> Stretch<'a> {
    fn from_stretch(stretch: &'a envelope::Stretch) -> Self {
        Self {
            from: (&stretch.from).into(),
            to: (&stretch.to).into(),
            passed: stretch.passed,
            binding: Binding::all(&stretch.binding),
        }
    }
}

/// The JSON Schema of the JSON form.
#[must_use]
pub(crate) fn window_schema() -> Value {
    output::schema::<Window<'_>>()
}

/// The launch window as JSON text, as its schema ([`window_schema`]) describes it.
///
/// # Errors
/// Those of the serializer; no window is known to cause one.
pub(crate) fn window_json(window: &envelope::Window) -> Result<String, serde_json::Error> {
    output::text(&Window {
        head: Head::NEW,
        program: PROGRAM,
        mission: &window.mission,
        path: &window.path,
        policy: &window.policy,
        planned: (&window.planned).into(),
        planned_passed: window.planned_passed,
        delay: Quantity::typed(window.delay),
        latest_return: window.latest_return.as_ref().map(Moment::from),
        step: Quantity::typed(window.step),
        tried: window.tried,
        reach: &window.reach,
        forecast: window.forecast,
        stretches: window.stretches.iter().map(Stretch::from_stretch).collect(),
        notes: &window.notes,
        assumptions: &window.assumptions,
        caution: CAUTION,
    })
}
