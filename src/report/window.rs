//! The launch window, for people and for other programs.

use serde::Serialize;

use super::CAUTION;
use super::json::without_controls;
use super::paint::Look;
use super::program::{PROGRAM, Program};
use super::prose::{Lead, Page, Sign, list, on_one_line, paragraph};
use super::quantity;
use super::terminal::{NARROWEST, Settings};
use crate::check::Verdict;
use crate::envelope::{Binding, Moment, Stretch, Window};
use crate::units::Typed as _;

/// What the JSON form calls itself.
pub const WINDOW_FORMAT: &str = "offing-window";
/// Version of the JSON form.
pub const WINDOW_VERSION: u32 = 1;
/// The JSON Schema of the JSON form.
pub const WINDOW_SCHEMA: &str = include_str!("../../schemas/window-output.schema.json");

fn heading(out: &mut String, page: Page, words: &str) {
    let lead = Lead {
        indent: 0,
        words,
        look: Look::Heading,
    };
    paragraph(out, page, &lead, 0, "");
}

fn text(out: &mut String, page: Page, text: &str) {
    let lead = Lead {
        indent: 0,
        words: "",
        look: Look::Heading,
    };
    paragraph(out, page, &lead, 0, text);
}

fn rule(binding: &Binding) -> String {
    match binding.verdict {
        Verdict::Unknown => format!("{} (could not be evaluated)", binding.rule),
        _ => binding.rule.clone(),
    }
}

/// The rules that bind, in words.
fn binding(stretch: &Stretch) -> String {
    if stretch.passed {
        return "every rule of severity error is met".to_owned();
    }
    let rules: Vec<String> = stretch.binding.iter().map(rule).collect();
    if rules.is_empty() {
        return "not judged: the forecast does not reach it".to_owned();
    }
    format!("not passed: {}", rules.join(", "))
}

/// The times that a stretch begins and ends at, the day and the offset only where they differ.
fn times(stretch: &Stretch) -> String {
    let (from, to) = (&stretch.from.text, &stretch.to.text);
    if from == to {
        return from.clone();
    }
    let day = |text: &str| text.get(..10).map(str::to_owned);
    let hour = |text: &str| text.get(11..16).map(str::to_owned);
    let rest = |text: &str| text.get(16..).map(str::to_owned);
    match (hour(from), hour(to)) {
        (Some(start), Some(end)) if day(from) == day(to) && rest(from) == rest(to) => format!(
            "{} {start} to {end}{}",
            day(from).unwrap_or_default(),
            rest(from).unwrap_or_default()
        ),
        _ => format!("{from} to {to}"),
    }
}

/// The launch window at a terminal.
#[must_use]
pub fn window_text(window: &Window, settings: &Settings) -> String {
    let page = Page {
        width: settings.width.max(NARROWEST),
        colour: settings.colour,
    };
    let mut out = String::new();
    let title = format!("launch times of mission {}:", window.mission);
    heading(&mut out, page, &title);
    for stretch in &window.stretches {
        let lead = Lead {
            indent: 2,
            words: &format!("{}:", times(stretch)),
            look: Look::Quiet,
        };
        paragraph(&mut out, page, &lead, 4, &binding(stretch));
    }
    list(&mut out, page, 0, "notes:", &window.notes, Sign::Dash);
    let title = "assumptions:";
    list(&mut out, page, 0, title, &window.assumptions, Sign::Dash);
    out.push('\n');
    let wind = if window.forecast {
        "The forecast is followed from each launch on."
    } else {
        "The wind is the one planned for at every time, so that only the light and what goes by the \
         clock differ."
    };
    let (tried, step, delay) = (window.tried, window.step, window.delay);
    let back = match &window.latest_return {
        Some(back) => format!(
            "The latest return stays as stated, {}: a launch after the planned one has the less time, and \
             whoever raises the alarm waits no longer.",
            on_one_line(&back.text)
        ),
        None => "The plan states no latest return, so that none counts.".to_owned(),
    };
    let how = format!(
        "{tried} launch times were judged, {step} apart and the planned one, each with the delay of up \
         to {delay}; of those between nothing is said. A launch at another time than the plan's own \
         and its delay is to be put into the plan and reviewed. {back} {wind} Only rules of severity error count \
         here."
    );
    text(&mut out, page, &how);
    text(&mut out, page, &window.reach);
    let planned = format!(
        "The planned launch, {}, {}.",
        on_one_line(&window.planned.text),
        if window.planned_passed {
            "keeps every rule of severity error"
        } else {
            "does not keep every rule of severity error"
        }
    );
    text(&mut out, page, &planned);
    let lead = Lead {
        indent: 0,
        words: "",
        look: Look::Quiet,
    };
    paragraph(&mut out, page, &lead, 0, CAUTION);
    out
}

#[derive(Serialize)]
struct MomentRecord<'a> {
    time: String,
    text: &'a str,
}

#[derive(Serialize)]
struct QuantityRecord {
    value: f64,
    unit: String,
    text: String,
}

#[derive(Serialize)]
struct BindingRecord<'a> {
    rule: &'a str,
    verdict: &'static str,
}

#[derive(Serialize)]
struct StretchRecord<'a> {
    from: MomentRecord<'a>,
    to: MomentRecord<'a>,
    passed: bool,
    binding: Vec<BindingRecord<'a>>,
}

#[derive(Serialize)]
struct Record<'a> {
    format: &'static str,
    version: u32,
    program: Program,
    mission: &'a str,
    path: &'a str,
    policy: &'a str,
    planned: MomentRecord<'a>,
    planned_passed: bool,
    delay: QuantityRecord,
    latest_return: Option<MomentRecord<'a>>,
    step: QuantityRecord,
    tried: usize,
    reach: &'a str,
    forecast: bool,
    stretches: Vec<StretchRecord<'a>>,
    notes: &'a [String],
    assumptions: &'a [String],
    caution: &'static str,
}

fn moment(moment: &Moment) -> MomentRecord<'_> {
    MomentRecord {
        time: moment.time.to_string(),
        text: &moment.text,
    }
}

fn time(time: crate::units::Time) -> QuantityRecord {
    let of = time.quantity();
    QuantityRecord {
        value: of.value,
        unit: quantity::stored_unit(of.dimension),
        text: quantity::text(of),
    }
}

fn stretch(stretch: &Stretch) -> StretchRecord<'_> {
    StretchRecord {
        from: moment(&stretch.from),
        to: moment(&stretch.to),
        passed: stretch.passed,
        binding: stretch
            .binding
            .iter()
            .map(|one| BindingRecord {
                rule: &one.rule,
                verdict: one.verdict.name(),
            })
            .collect(),
    }
}

/// The launch window as JSON text, as its schema ([`WINDOW_SCHEMA`]) describes it.
///
/// # Errors
/// Those of the serializer; no window is known to cause one.
pub fn window_json(window: &Window) -> Result<String, serde_json::Error> {
    let record = Record {
        format: WINDOW_FORMAT,
        version: WINDOW_VERSION,
        program: PROGRAM,
        mission: &window.mission,
        path: &window.path,
        policy: &window.policy,
        planned: moment(&window.planned),
        planned_passed: window.planned_passed,
        delay: time(window.delay),
        latest_return: window.latest_return.as_ref().map(moment),
        step: time(window.step),
        tried: window.tried,
        reach: &window.reach,
        forecast: window.forecast,
        stretches: window.stretches.iter().map(stretch).collect(),
        notes: &window.notes,
        assumptions: &window.assumptions,
        caution: CAUTION,
    };
    let mut text = serde_json::to_string_pretty(&record)?;
    text.push('\n');
    Ok(without_controls(text))
}
