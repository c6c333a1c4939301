//! Wind limits at a terminal.

mod table;

pub(in crate::report) use table::{as_read, limited_by, runs};

use super::CAUTION;
use super::paint::{Look, paint};
use super::prose::{Lead, Page, Sign, list, on_one_line, paragraph};
use super::quantity;
use super::settings::{NARROWEST, Settings};
use super::width;
use crate::check::Verdict;
use crate::envelope::{Alternative, BandWind, Binding, Limits, Moved, Room, Sector};
use crate::units::{Ratio, Speed};
use table::{SPEED, cell, table};

/// Rooms that are shown of each alternative.
const ROOMS: usize = 3;

fn heading(out: &mut String, page: Page, words: &str) {
    let lead = Lead {
        indent: 0,
        words,
        look: Look::Heading,
    };
    paragraph(out, page, &lead, 0, "");
}

fn say(out: &mut String, page: Page, indent: usize, words: &str) {
    let lead = Lead {
        indent,
        words: "",
        look: Look::Quiet,
    };
    paragraph(out, page, &lead, indent, words);
}

fn rule(binding: &Binding) -> String {
    match binding.verdict {
        Verdict::Unknown => format!("{} (could not be evaluated)", binding.rule),
        _ => binding.rule.clone(),
    }
}

/// Rules that are named where there is room for few.
const FEW: usize = 6;

/// Rules in a row.
pub(super) fn rules(broken: &[Binding]) -> String {
    let named: Vec<String> = broken.iter().map(rule).collect();
    named.join(", ")
}

/// The first rules in a row, and how many more there are.
pub(super) fn few_rules(broken: &[Binding]) -> String {
    let named = rules(&broken[..broken.len().min(FEW)]);
    match broken.len().saturating_sub(FEW) {
        0 => named,
        more => format!("{named} and {more} more"),
    }
}

/// A speed to a tenth, always with its decimal, so that columns line up.
pub(super) fn tenth(speed: Speed) -> String {
    format!("{:.1} m/s", speed.get())
}

/// A wind in words.
fn wind(one: &BandWind) -> String {
    format!(
        "from {} ± {}, {} with gusts of {} at {}",
        one.from, one.spread, one.mean, one.gust, one.height
    )
}

fn verdict(one: &BandWind) -> String {
    if one.broken.is_empty() {
        "passes every rule of severity error".to_owned()
    } else {
        format!("fails {}", rules(&one.broken))
    }
}

/// Winds that pass again above one that does not.
pub(super) fn islands(limits: &Limits) -> Vec<String> {
    let of = limits.sectors.iter().flat_map(|sector| {
        sector.again.iter().map(move |again| {
            format!(
                "from {}: {} to {}",
                sector.from,
                tenth(again.from),
                tenth(again.to)
            )
        })
    });
    of.collect()
}

/// What keeps every wind from passing, in a sentence.
pub(super) fn regardless(limits: &Limits) -> Option<String> {
    if limits.regardless.is_empty() {
        return None;
    }
    let known = limits.regardless.len();
    let (these, fail) = if known == 1 {
        ("This rule", "is")
    } else {
        ("These rules", "are")
    };
    Some(format!(
        "No wind passes. {these} {fail} not met in any wind: {}. The limits here are those of the \
         other rules alone.",
        rules(&limits.regardless)
    ))
}

fn moves(out: &mut String, page: Page, limits: &Limits) {
    if limits.moved.is_empty() || limits.looked_at.is_empty() {
        return;
    }
    out.push('\n');
    heading(out, page, "sensitivity:");
    let mut titles = String::from("  ");
    let sectors: Vec<&Sector> = limits
        .looked_at
        .iter()
        .filter_map(|index| limits.sectors.get(*index))
        .collect();
    for sector in &sectors {
        titles.push_str(&cell(&format!("from {}", sector.from), SPEED + 1));
    }
    titles.push_str("with");
    out.push_str(&paint(&titles, Look::Heading, page.colour));
    out.push('\n');
    let mut row = |cells: Vec<String>, words: &str| {
        let mut line = String::from("  ");
        for text in cells {
            line.push_str(&cell(&text, SPEED + 1));
        }
        let hang = width::columns(&line);
        let room = page.width.saturating_sub(hang).max(20);
        let lines = super::prose::lines(words, room, room);
        out.push_str(&line);
        out.push_str(&lines.join(&format!("\n{}", " ".repeat(hang))));
        out.push('\n');
    };
    let limit = |speed: Option<Speed>| speed.map_or_else(|| "none".to_owned(), tenth);
    let now = sectors
        .iter()
        .map(|one| limit(one.strongest.map(|s| s.mean)));
    row(now.collect(), "the plan as it is");
    for moved in &limits.moved {
        let cells = if moved.limits.is_empty() {
            sectors.iter().map(|_| "–".to_owned()).collect()
        } else {
            moved
                .limits
                .iter()
                .map(|one| limit(one.strongest))
                .collect()
        };
        row(cells, &moved_words(moved));
    }
}

fn moved_words(moved: &Moved) -> String {
    if let Some(why) = &moved.not_to_be_had {
        return format!("{}: {why}", moved.words);
    }
    let mut words = moved.words.clone();
    if !moved.regardless.is_empty() {
        words += &format!("; but in every wind it fails {}", rules(&moved.regardless));
    }
    let mut why: Vec<String> = Vec::new();
    for one in moved.limits.iter().filter(|one| one.strongest.is_none()) {
        let rules = rules(&one.broken);
        if !why.contains(&rules) {
            why.push(rules);
        }
    }
    if !why.is_empty() {
        words += &format!("; none for {}", why.join(", "));
    }
    words
}

/// Room in words: `reserve-at-turnaround 41 % (at least 30 %)`.
fn room(room: &Room) -> String {
    let (measured, limit) = quantity::beside(room.measured, room.limit);
    let subject = if room.subject.is_empty() {
        String::new()
    } else {
        format!(" of {}", on_one_line(&room.subject))
    };
    format!(
        "{}{subject} {measured} ({} {limit})",
        room.rule,
        room.side.label()
    )
}

fn alternative(out: &mut String, page: Page, one: &Alternative) {
    let lead = Lead {
        indent: 2,
        words: &format!("{}:", one.words),
        look: Look::Heading,
    };
    if let Some(why) = &one.not_to_be_had {
        paragraph(out, page, &lead, 4, &format!("not available; {why}"));
        return;
    }
    let kept = if one.broken.is_empty() {
        "passes every rule of severity error".to_owned()
    } else {
        format!("fails {}", rules(&one.broken))
    };
    let counted = one.room.iter().filter(|room| room.counts);
    let rooms: Vec<String> = counted.take(ROOMS).map(room).collect();
    let rooms = if rooms.is_empty() {
        String::new()
    } else {
        format!("; tightest limits: {}", rooms.join(", "))
    };
    paragraph(out, page, &lead, 4, &format!("{kept}{rooms}"));
}

fn today(out: &mut String, page: Page, limits: &Limits) {
    let Some(today) = &limits.today else {
        return;
    };
    out.push('\n');
    let title = if today.planned {
        "alternatives in the wind planned for:"
    } else {
        "alternatives in the wind given:"
    };
    heading(out, page, title);
    say(out, page, 2, &format!("{}.", wind(today)));
    for one in &limits.alternatives {
        alternative(out, page, one);
    }
    say(out, page, 2, &best(limits));
}

/// The best alternative in a sentence.
pub(super) fn best(limits: &Limits) -> String {
    let one = limits.best.and_then(|best| limits.alternatives.get(best));
    match one {
        None => "None of these that runs the whole route passes every rule of severity error."
            .to_owned(),
        Some(one) => {
            let share = one.least.unwrap_or(Ratio::ZERO);
            format!(
                "Of those that run the whole route and pass every rule, this one has the most room to its \
                 tightest limit, {share} of it: {}.",
                one.words
            )
        }
    }
}

/// How the limits came about, in sentences.
pub(super) fn assumed(limits: &Limits) -> Vec<String> {
    let mut said = vec![
        format!(
            "each limit holds for winds from up to {} to either side of its direction (the plan's \
             own spread or half a step, whichever is more), tried at most 5° apart",
            limits.spread
        ),
        format!(
            "gusts are {} of the mean wind: {}; rounded up to a tenth of a metre per second",
            limits.gust_factor, limits.gust_factor_words
        ),
        match as_read(limits) {
            Some(read_at) => format!(
                "winds are those at {}, as in the plan, and next to them those that an anemometer \
                 {read_at} over the water shows, rounded down; `--height` sets another height",
                limits.height
            ),
            None => format!("winds are those at {}, as in the plan", limits.height),
        },
        match limits.duration {
            Some(duration) => {
                format!("each wind has blown for {duration}, as in the plan")
            }
            None => "waves are limited by fetch alone, however long the wind has blown".to_owned(),
        },
        format!(
            "from every direction, winds {} apart up to {} were tried, and edges narrowed down to \
             0.1 m/s; a narrower band of failing winds between two that pass may have been missed",
            limits.grid, limits.cap
        ),
        "waivers do not count: the limits are those of the rules".to_owned(),
    ];
    if !limits.as_stated.is_empty() {
        said.push(format!(
            "judged only in the wind that the plan states, since that is what these rules are \
             about: {}",
            limits.as_stated.join(", ")
        ));
    }
    said
}

/// What a limit is not.
pub(super) const CAREFUL: &str = "A model gives these numbers, each with the errors of its input, \
                                  and the wind at the water gusts and shifts. A wind below a limit \
                                  is no permission to launch.";

/// The wind limits at a terminal.
#[must_use]
pub fn limits_text(limits: &Limits, settings: &Settings) -> String {
    let page = Page {
        width: settings.width.max(NARROWEST),
        colour: settings.colour,
    };
    let mut out = String::new();
    heading(
        &mut out,
        page,
        &format!("wind limits of mission {}:", limits.mission),
    );
    if let Some(words) = regardless(limits) {
        say(&mut out, page, 2, &words);
    }
    table(&mut out, page, limits);
    let islands = islands(limits);
    if !islands.is_empty() {
        let title = "Stronger winds that would pass again, above others that fail; not a limit:";
        say(&mut out, page, 2, title);
        for island in &islands {
            say(&mut out, page, 4, island);
        }
    }
    if let Some(planned) = &limits.planned {
        let words = format!(
            "The wind planned for, {}, {}.",
            wind(planned),
            verdict(planned)
        );
        say(&mut out, page, 2, &words);
    }
    moves(&mut out, page, limits);
    today(&mut out, page, limits);
    out.push('\n');
    list(&mut out, page, 0, "notes:", &limits.notes, Sign::Dash);
    list(
        &mut out,
        page,
        0,
        "how to read the limits:",
        &assumed(limits),
        Sign::Dash,
    );
    let title = "assumptions:";
    list(&mut out, page, 0, title, &limits.assumptions, Sign::Dash);
    out.push('\n');
    say(&mut out, page, 0, CAREFUL);
    say(&mut out, page, 0, CAUTION);
    if !settings.unicode {
        out = out.replace('–', "-").replace('×', "x");
    }
    out
}
