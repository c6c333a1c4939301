//! The debrief as a page: one HTML text that needs nothing else.

use maud::{DOCTYPE, Markup, html};

use super::words::{self, KEPT, LINK, PARTS, THRESHOLDS};
use super::{CAUTION, Told, charts};
use crate::finding::{Finding, Nature};
use crate::report::{
    page_cautions, page_contact, page_figure, page_head, page_map, page_table, page_told,
    page_unbroken, page_words,
};

/// What this page has beside the page for the water.
const SHEET: &str = "\
td{font-variant-numeric:tabular-nums}.steps{margin:.2rem 0;color:var(--soft)}.findings .steps li{border:0;padding:0;margin:0}\
@media screen and (min-width:48rem){.pair{display:grid;grid-template-columns:3fr 2fr;column-gap:1.6rem}\
.pair>*{min-width:0}}\
@media print{.pair{display:grid;grid-template-columns:112mm 1fr;column-gap:5mm}.pair>*{min-width:0}}\
@media print{tr,.findings li{break-inside:avoid}h2,h2+.note{break-after:avoid}.charts{break-before:auto}\
.findings li,.told{display:block;overflow:visible;-webkit-line-clamp:none}}";

/// The page.
#[must_use]
pub(crate) fn html(told: &Told) -> String {
    let mut text = page_unbroken(&page(told).into_string());
    text.push('\n');
    text
}

fn page(told: &Told) -> Markup {
    let found = &told.found;
    let title = page_words(found.title.as_ref().unwrap_or(&found.mission));
    let drawn = charts::charts(told);
    let map = charts::map(told);
    let (class, verdict) = words::verdict(told);
    let sign = match class {
        "good" => "✓",
        "bad" => "✗",
        _ => "!",
    };
    let wind = found.wind.as_deref().unwrap_or("no wind planned");
    let parts: Vec<_> = [&found.whole, &found.return_leg]
        .into_iter()
        .chain(&found.legs)
        .collect();
    let (link_rows, link_words) = words::link(told);
    html! {
        (DOCTYPE)
        html lang="en" {
            (page_head(&format!("{title}: debrief"), SHEET))
            body {
                main {
                    header {
                        h1 { (title) ": debrief" }
                        p.sub { "mission " code { (page_words(&found.mission)) } }
                        @if let Some(picture) = told.picture() { (page_contact(&picture.orders)) }
                    }
                    section class={ "verdict " (class) } {
                        h2 { span.sign aria-hidden="true" { (sign) } (verdict) }
                        ul.findings {
                            @for one in &told.outcome.findings { (finding(told, one)) }
                        }
                        p.caution { (CAUTION) }
                        (page_cautions())
                    }
                    div.pair {
                        @if let Some(map) = &map { div { (page_map(map)) } }
                        section {
                            h2 { "Begin and end" }
                            dl {
                                @for (name, text) in words::ends(told) {
                                    div { dt { (name) } dd { (page_words(&text)) } }
                                }
                                div { dt { "track" } dd { (page_words(&told.track)) ", " (found.fixes) " fixes" } }
                            }
                            @if !found.cleaned.is_empty() {
                                ul { @for text in &found.cleaned { li { (page_told(text)) } } }
                            }
                        }
                    }
                    section {
                        h2 { "Parts" }
                        p.note { "Planned → run; planned in " (wind) "." }
                        (page_table("Parts of the run", &PARTS, &parts.iter().map(|one| words::part(one)).collect::<Vec<_>>()))
                        ul { @for text in parts.iter().filter_map(|one| words::doubt(one)) { li { (page_told(&text)) } } }
                    }
                    section.charts {
                        h2 { "Charts" }
                        p.note { "Numbers above a chart are waypoints. The plan is a solid line, \
                                  the run a broken one. The planned speed of a leg includes its \
                                  pause." }
                        div.grid { @for chart in drawn { (page_figure(&chart, "")) } }
                    }
                    section {
                        h2 { "Clearance kept" }
                        p.note { "Less errors of position and chart, half the beam, and each \
                                  hazard's own stand-off." }
                        (page_table("Clearance kept", &KEPT, &found.kept.iter().map(words::kept).collect::<Vec<_>>()))
                        @if let Some(text) = words::unseen(told) { p { (page_told(&text)) } }
                    }
                    section {
                        h2 { "Depth" }
                        @for text in words::depths(told) { p { (page_told(&text)) } }
                    }
                    section {
                        h2 { "Link" }
                        @if !link_rows.is_empty() { (page_table("The link by predicted margin", &LINK, &link_rows)) }
                        @for text in link_words { p { (page_told(&text)) } }
                    }
                    section {
                        h2 { "Compared with" }
                        p.note { "P is our own proposal." }
                        (page_table("What a run is compared \
                                     with", &THRESHOLDS, &words::thresholds()))
                    }
                    section {
                        h2 { "Assumed and noted" }
                        ul {
                            @for text in found.assumptions.iter().chain(&told.noted()) { li { (page_told(text)) } }
                        }
                        p.files {
                            "Plan " code { (told.digest()) } ", track sha256 " code { (told.sha256) }
                        }
                    }
                }
            }
        }
    }
}

fn finding(told: &Told, finding: &Finding) -> Markup {
    let sources = &told.outcome.sources;
    let place = |span: crate::source::Span| {
        format!(
            "{}:{}",
            sources.path(span.source),
            sources.position(span).line
        )
    };
    html! {
        li {
            b class=(finding.severity.name()) { (finding.severity) } " "
            (page_told(&finding.message)) " "
            @if finding.nature == Nature::NotEvaluated { "(could not be judged) " }
            span.soft {
                "– " (page_told(&finding.primary.text)) " " code { (page_words(&place(finding.primary.span))) }
                @for label in &finding.related {
                    "; " (page_told(&label.text)) " " code { (page_words(&place(label.span))) }
                }
            }
            @if !finding.steps.is_empty() {
                ol.steps { @for step in &finding.steps { li { (page_told(step)) } } }
            }
            @if !finding.remedies.is_empty() {
                span.remedy {
                    i { @if finding.nature == Nature::NotEvaluated { "To judge it: " } @else { "What to do: " } }
                    @for (index, remedy) in finding.remedies_told().iter().enumerate() {
                        @if index > 0 { "; " } (page_told(remedy))
                    }
                }
            }
        }
    }
}
