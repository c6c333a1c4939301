//! The launch window, for people.

use super::CAUTION;
use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, on_one_line, paragraph};
use super::settings::{NARROWEST, Settings};
use crate::check::Verdict;
use crate::envelope::{Binding, Stretch, Window};

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
pub(crate) fn window_text(window: &Window, settings: &Settings) -> String {
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
        "The forecast applies from each launch on."
    } else {
        "The wind is the one planned for at every time, so only the light and the clock make a \
         difference."
    };
    let (tried, step, delay) = (window.tried, window.step, window.delay);
    let back = match &window.latest_return {
        Some(back) => format!(
            "The latest return stays as stated, {}: a later launch has less time, and the shore \
             contact waits no longer.",
            on_one_line(&back.text)
        ),
        None => "The plan states no latest return, so none counts.".to_owned(),
    };
    let how = format!(
        "{tried} launch times were judged, {step} apart, and the planned one, each with the delay \
         of up to {delay}; times between them were not. To launch at a time outside the plan's own \
         and its delay, change the plan and have it reviewed. {back} {wind} Only rules of severity \
         error count here."
    );
    text(&mut out, page, &how);
    text(&mut out, page, &window.reach);
    let planned = format!(
        "The planned launch, {}, {}.",
        on_one_line(&window.planned.text),
        if window.planned_passed {
            "passes every rule of severity error"
        } else {
            "fails at least one rule of severity error"
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
