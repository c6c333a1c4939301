//! A calibration as a page: one HTML text that needs nothing else.

use maud::{DOCTYPE, Markup, html};

use super::words::{agreement_texts, condition_text, ending, figure_text, run_text};
use super::{About, by_angle, by_speed, by_wind};
use crate::calibrate::{Calibration, Decided};
use crate::report::{
    CAUTION, page_cautions, page_contact_at, page_figure, page_head, page_table, page_told,
    page_unbroken, page_words,
};

/// What this page has beside the page for the water.
const SHEET: &str = "\
td{font-variant-numeric:tabular-nums}\
@media print{tr{break-inside:avoid}h2,h2+.note{break-after:avoid}.charts{break-before:auto}}";
/// Headings of the table of figures.
const FIGURES: [&str; 5] = [
    "figure",
    "stated",
    "fitted",
    "95 %, in the wind as given",
    "from now on",
];

/// The page.
#[must_use]
pub(crate) fn html(found: &Calibration, about: &About<'_>) -> String {
    let mut text = page_unbroken(&page(found, about).into_string());
    text.push('\n');
    text
}

fn page(found: &Calibration, about: &About<'_>) -> Markup {
    let title = format!("{}: calibration", page_words(about.vessel));
    let (class, sign) = match (about.written, &found.refused) {
        (_, Some(_)) => ("bad", "✗"),
        (Some(_), None) => ("doubtful", "!"),
        (None, None) => ("good", "✓"),
    };
    let drawn = [by_speed(found), by_angle(found), by_wind(found)];
    let drawn: Vec<_> = drawn.into_iter().flatten().collect();
    html! {
        (DOCTYPE)
        html lang="en" {
            (page_head(&title, SHEET))
            body {
                main {
                    header {
                        h1 { (title) }
                        p.sub { "vessel " code { (page_words(about.vessel)) } " on site " code { (page_words(about.site)) } }
                        (page_contact_at(about.contact))
                    }
                    section class={ "verdict " (class) } {
                        h2 { span.sign aria-hidden="true" { (sign) } (verdict(found, about)) }
                        @if let Some(why) = &found.refused { p { "No power figure is \
                                                                  written: " (page_told(why)) "." } }
                        p { (page_told(ending(found, about).trim_end())) }
                        p.caution { (CAUTION) }
                        (page_cautions())
                    }
                    section {
                        h2 { "Figures" (condition_text(found)) }
                        @if found.decided.is_empty() { p { "None was fitted." } }
                        @else { (page_table("Figures", &FIGURES, &rows(&found.decided))) }
                        ul { @for one in &found.decided { li { (page_told(&figure_text(one))) } } }
                    }
                    @if !found.kept.is_empty() {
                        section {
                            h2 { "Not shown by these runs, and left as they were" }
                            ul {
                                @for one in &found.kept {
                                    li { (one.figure.label()) ": " (page_told(&one.why)) ". It takes " (one.run) "." }
                                }
                            }
                        }
                    }
                    @if !drawn.is_empty() {
                        section.charts {
                            h2 { "Residuals of the fit" }
                            p.note { "Runs are numbered in the order below. Rings around the line \
                                      without a slope or a bend speak for the fit." }
                            div.grid { @for chart in &drawn { (page_figure(chart, "")) } }
                        }
                    }
                    section {
                        h2 { "Runs" }
                        ol { @for run in &found.runs { li { (page_told(&run_text(run))) } } }
                    }
                    section {
                        h2 { "Error over all stretches" }
                        ul { @for text in agreement_texts(found, about) { li { (page_told(&text)) } } }
                    }
                    section {
                        h2 { "Assumptions" }
                        ul { @for text in &found.assumptions { li { (page_told(text)) } } }
                        p.files {
                            @for run in &found.runs {
                                (page_words(&run.file)) " sha256 " code { (page_words(&run.sha256)) } br;
                            }
                        }
                    }
                }
            }
        }
    }
}

fn verdict(found: &Calibration, about: &About<'_>) -> String {
    let changed = found.changes().count();
    match (&found.refused, about.written) {
        (Some(_), _) => "The fit of the power is refused".to_owned(),
        (None, Some(_)) if changed == 1 => "One figure changes".to_owned(),
        (None, Some(_)) => format!("{changed} figures change"),
        (None, None) => "No figure changes".to_owned(),
    }
}

fn rows(decided: &[Decided]) -> Vec<[String; 5]> {
    let row = |one: &Decided| {
        let of = &one.estimate;
        let text = |value: f64| of.figure.text(value);
        [
            of.figure.label().to_owned(),
            text(of.stated),
            text(of.value),
            format!("{} to {}", text(of.low), text(of.high)),
            text(one.value),
        ]
    };
    decided.iter().map(row).collect()
}
