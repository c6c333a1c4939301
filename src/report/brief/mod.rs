//! A mission on one page, to be taken to the water: verdict, map, charts, when to turn back, who
//! does what. One HTML text that needs nothing else: no script, no network, no font.

mod assumed;
mod band;
mod cautions;
mod digests;
mod drift;
mod facts;
mod findings;
mod legend;
mod orders;
mod paper;
mod sheet;
mod spaces;
mod table;

pub(crate) use band::{contact, contact_at};
pub(crate) use cautions::cautions_box;
pub(crate) use legend::map;
pub(crate) use table::table;
mod turn_back;
mod verdict;
mod wind;

pub(crate) use spaces::unbroken;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::figures::{self, style::Figure};
use crate::check::{MissionResult, Outcome};
use crate::envelope::Limits;
use crate::picture::Picture;
use crate::source::printable_line;

/// Longest text of a file that is shown whole, in characters: a page has an end.
const LONGEST: usize = 240;

/// The brief of the mission of an outcome that has exactly one, with its picture; `None` where it
/// has none. With its wind limits, or why they cannot be determined.
#[must_use]
pub(crate) fn brief(outcome: &Outcome, limits: &Result<Limits, String>) -> Option<String> {
    let [checked] = outcome.checked.as_slice() else {
        return None;
    };
    let picture = checked.picture.as_deref()?;
    let mut text = unbroken(&page(outcome, checked, picture, limits).into_string());
    text.push('\n');
    Some(text)
}

/// Text of a file: on one line, printable, and not endless. What it holds of HTML is text, since
/// everything that is put into the page is escaped there.
#[must_use]
pub(crate) fn short_text(text: &str) -> String {
    shortened(text, LONGEST)
}

/// Text of a file: on one line and printable, from its beginning to its end. For what people are told
/// to do, whose end counts as much as its beginning.
fn whole(text: &str) -> String {
    shortened(text, usize::MAX)
}

/// Longest instruction of the program that is shown, in characters: the whole of it, but for what a file made
/// endless.
const TOLD: usize = 2000;

/// What the program tells people, to its end, which may be what they have to do. Otherwise as [`prose`].
#[must_use]
pub(crate) fn full_prose(text: &str) -> Markup {
    said(&shortened(text, TOLD))
}

/// A sentence of the program, with what it quotes of the files between backticks as code; escaped like
/// everything that is put into the page. A backtick that has no other is itself.
#[must_use]
pub(super) fn prose(text: &str) -> Markup {
    said(&short_text(text))
}

/// The same of a text that is printable and short.
fn said(text: &str) -> Markup {
    let mut parts = between_marks(text);
    // Where the text was cut within a name, the name ends there.
    let open = parts.len().is_multiple_of(2) && !text.ends_with('…');
    let alone = if open { parts.pop() } else { None };
    html! {
        @for (index, part) in parts.iter().enumerate() {
            @if index % 2 == 0 { (part) } @else { code { (part) } }
        }
        @if let Some(rest) = alone { "`" (rest) }
    }
}

/// A text parted at the backticks that mark code. Two or three in a row are no mark but a text's own;
/// of more the first is one, which such a text was put between.
fn between_marks(text: &str) -> Vec<&str> {
    let bytes = text.as_bytes();
    let (mut parts, mut begins, mut at) = (Vec::new(), 0, 0);
    while at < bytes.len() {
        let run = bytes[at..].iter().take_while(|byte| **byte == b'`').count();
        if run == 1 || run > 3 {
            parts.push(&text[begins..at]);
            begins = at + 1;
        }
        at += run.max(1);
    }
    parts.push(&text[begins..]);
    parts
}

/// Text of a file at a length of one's own.
fn shortened(text: &str, longest: usize) -> String {
    let one_line: Vec<&str> = text.split_ascii_whitespace().collect();
    let plain = printable_line(&one_line.join(" ")).into_owned();
    if plain.chars().count() <= longest {
        return plain;
    }
    let cut: String = plain.chars().take(longest).collect();
    format!("{}…", cut.trim_end())
}

fn page(
    outcome: &Outcome,
    checked: &MissionResult,
    picture: &Picture,
    limits: &Result<Limits, String>,
) -> Markup {
    let orders = &picture.orders;
    let title = short_text(&orders.title);
    let map = figures::map_on_page(picture, None);
    let charts: Vec<Figure> = figures::charts(checked);
    html! {
        (DOCTYPE)
        html lang="en" {
            (page_head(&format!("{title}: brief"), ""))
            body {
                main {
                    // In the order of a phone, what is needed soonest first; wider screens and paper
                    // lay it out by the sheet.
                    div.first {
                        div.sheet {
                            (head(checked, picture, &title))
                            (facts::times(picture))
                            div.band {
                                (verdict::verdict(outcome, checked))
                                (band::wind(picture, limits))
                                (band::turn_back(picture))
                                (band::back(picture))
                                (band::lost(picture))
                            }
                            (findings::findings(outcome, checked, picture))
                            div.beside {
                                (turn_back::turn_back(picture))
                                (orders::people(checked, picture))
                            }
                            (orders::contingencies(picture, findings::least(outcome, checked)))
                            (legend::map(&map))
                        }
                        (second_sheet(picture, &title))
                        (facts::figures(checked))
                    }
                    section.charts {
                        h2 { "Charts" }
                        p.note {
                            "Numbers above a chart are waypoints. Energy is that in the worst wind \
                             at each place."
                        }
                        div.grid {
                            @for (index, chart) in charts.iter().enumerate() {
                                (figure(chart, ""))
                                @if index == 1 && let Ok(limits) = limits {
                                    (figure(&figures::polar::limits_polar(limits), "wide"))
                                }
                            }
                        }
                        @if let Err(why) = limits {
                            p { b { "No wind limits: " } (prose(why)) }
                        }
                    }
                    div.columns {
                        (wind::limits(limits))
                        (orders::radio(picture))
                        (orders::checklist(picture))
                        (orders::on_the_water(picture))
                        (cautions::cautions(picture))
                        (assumed::assumed(outcome, checked))
                    }
                    (orders::sign_off(picture))
                    (digests::digests(checked))
                }
            }
        }
    }
}

/// What the second sheet of paper begins with: a sheet may be parted from the other.
fn second_sheet(picture: &Picture, title: &str) -> Markup {
    let times = &picture.orders.times;
    let clock = |time: &Option<String>| time.clone().unwrap_or_else(|| "not stated".to_owned());
    html! {
        div.only-print.again {
            p {
                b { (shortened(title, 70)) } ", sheet 2, " (times.day) ": back by " b { (clock(&times.latest_return)) }
                ", alarm at " b { (clock(&times.overdue)) }
            }
            (band::contact(&picture.orders))
        }
    }
}

fn head(checked: &MissionResult, picture: &Picture, title: &str) -> Markup {
    let orders = &picture.orders;
    html! {
        header {
            h1 { (title) }
            p.sub {
                b { (short_text(&orders.vessel)) } " on " b { (short_text(&orders.site)) }
                ", mission " code { (short_text(&checked.mission)) }
            }
            @if let Some(purpose) = &orders.purpose { p.purpose { (short_text(purpose)) } }
        }
    }
}

/// The head of a page that fetches nothing and runs nothing, with what its style has beside that of
/// the figures and of the brief.
#[must_use]
pub(crate) fn page_head(title: &str, more: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta http-equiv="Content-Security-Policy"
                content="default-src 'none'; style-src 'unsafe-inline'";
            meta name="generator" content={ "offing " (env!("CARGO_PKG_VERSION")) };
            title { (title) }
            style {
                (PreEscaped(figures::style::sheet())) (PreEscaped(sheet::SHEET)) (PreEscaped(table::SHEET))
                (PreEscaped(more))
            }
        }
    }
}

/// A figure on a page, under its title.
#[must_use]
pub(crate) fn figure(figure: &Figure, class: &str) -> Markup {
    html! {
        figure class=[(!class.is_empty()).then_some(class)] {
            figcaption { (figure.title) }
            (PreEscaped(figure.inline()))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::prose;

    #[test]
    fn what_is_quoted_of_a_file_is_code_and_no_markup_of_its_own() {
        let shown = |text: &str| prose(text).into_string();
        assert_eq!(
            shown("hazard `weir-1` and `<b>`, 3 m"),
            "hazard <code>weir-1</code> and <code>&lt;b&gt;</code>, 3 m"
        );
        assert_eq!(shown("a ` alone"), "a ` alone");
        assert_eq!(
            shown("`one` and a ` alone"),
            "<code>one</code> and a ` alone"
        );
        assert_eq!(shown("plain"), "plain");
        assert_eq!(shown("``` fence of `one`"), "``` fence of <code>one</code>");
        assert_eq!(
            shown("role ```` fence` and `one`"),
            "role <code>``` fence</code> and <code>one</code>"
        );
        let cut = format!("`{}`", "a".repeat(300));
        assert!(shown(&cut).ends_with("a…</code>"));
    }
}
