//! One finding at a terminal.

use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, paragraph};
use super::snippet::Drawing;
use crate::finding::{Finding, Nature, Place};
use crate::source::{Sources, printable_line};
use crate::units::Typed as _;

/// Columns that what belongs to a heading is set in.
const INDENT: usize = 2;
const ITEM: usize = 4;
/// Assumptions that a finding lists by itself.
const FEW_ASSUMPTIONS: usize = 3;

/// A finding as it is to be reported.
pub(super) struct Told<'a> {
    /// The finding.
    pub finding: &'a Finding,
    /// The rules that it is about, where they are several; else empty.
    pub rules: &'a str,
    /// Whether it is told in few lines.
    pub short: bool,
}

/// Writes one finding: what, on which lines, where on the plan, calculation, and what
/// would change it.
pub(super) fn finding(
    out: &mut String,
    page: Page,
    drawing: &Drawing,
    asked: &Told<'_>,
    sources: &Sources,
) {
    let finding = asked.finding;
    headline(out, page, finding);
    out.push('\n');
    let told = finding.remedies_told();
    let remedies = match finding.nature {
        Nature::Violation => "to fix (any one):",
        Nature::NotEvaluated => "missing input:",
        Nature::Input => "fix:",
    };
    if asked.short {
        let alone = Finding {
            related: Vec::new(),
            ..finding.clone()
        };
        drawing.finding(out, &alone, sources);
        entry(out, page, "rules:", asked.rules);
        let first = told.get(..1).unwrap_or_default();
        list(out, page, INDENT, remedies, first, Sign::Dash);
        return;
    }
    drawing.finding(out, finding, sources);
    entry(out, page, "rules:", asked.rules);
    if let Some(scenario) = &finding.scenario {
        entry(out, page, "worst case:", scenario);
    }
    if let Some(place) = &finding.place {
        entry(out, page, "where:", &place_words(place));
    }
    list(
        out,
        page,
        INDENT,
        "calculation:",
        &finding.steps,
        Sign::Number,
    );
    list(out, page, INDENT, remedies, &told, Sign::Dash);
    list(
        out,
        page,
        INDENT,
        "assumed:",
        &assumed(&finding.assumptions),
        Sign::Dash,
    );
    if let Some(why) = &finding.why {
        entry(out, page, "why:", why);
    }
    if !asked.rules.is_empty() {
        entry(out, page, "more:", "offing explain RULE, for each of them");
    } else if finding.nature != Nature::Input {
        let more = format!("offing explain {}", finding.rule);
        entry(out, page, "more:", &more);
    }
}

fn headline(out: &mut String, page: Page, finding: &Finding) {
    let word = format!("{}[{}]", finding.severity, finding.rule);
    let word = match &finding.accepted {
        // The severity stays to be read, since it is what was accepted.
        Some(accepted) => format!("{}: {word}", accepted.how.word()),
        None => word,
    };
    let about = finding
        .mission
        .as_ref()
        .map_or_else(String::new, |mission| {
            format!("mission {}", printable_line(mission))
        });
    let lead = Lead {
        indent: 0,
        words: &word,
        look: match finding.accepted {
            Some(_) => Look::Quiet,
            None => Look::Severity(finding.severity),
        },
    };
    paragraph(out, page, &lead, INDENT, &about);
    text(out, page, INDENT, &finding.message);
    if let Some(accepted) = &finding.accepted {
        text(out, page, INDENT, &accepted.sentence());
    }
}

/// A paragraph without a heading.
fn text(out: &mut String, page: Page, indent: usize, text: &str) {
    let lead = Lead {
        indent,
        words: "",
        look: Look::Heading,
    };
    paragraph(out, page, &lead, indent, text);
}

/// A heading with its text on the same line; nothing where there is no text.
fn entry(out: &mut String, page: Page, heading: &str, text: &str) {
    if text.trim().is_empty() {
        return;
    }
    let lead = Lead {
        indent: INDENT,
        words: heading,
        look: Look::Heading,
    };
    paragraph(out, page, &lead, ITEM, text);
}

/// A place on the plan in words; the position in the order in which plans write it.
fn place_words(place: &Place) -> String {
    let mut parts = Vec::new();
    if !place.name.is_empty() {
        parts.push(place.name.clone());
    }
    if let Some(along) = place.along
        && along.stored().is_finite()
    {
        parts.push(format!("{along} along the route"));
    }
    if let Some((latitude, longitude)) = place.position
        && latitude.is_finite()
        && longitude.is_finite()
    {
        parts.push(format!("[{latitude:.6}, {longitude:.6}]"));
    }
    parts.join(", ")
}

/// What was assumed: in full where it is little; otherwise how much it is, since the report's end
/// lists it once for all findings.
fn assumed(assumptions: &[String]) -> Vec<String> {
    if assumptions.len() <= FEW_ASSUMPTIONS {
        return assumptions.to_vec();
    }
    vec![format!(
        "{} things that the files do not say, listed at the end",
        assumptions.len()
    )]
}
