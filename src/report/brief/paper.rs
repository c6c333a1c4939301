//! How much the first sheet of paper has room for.
//!
//! The sheet holds what is needed at the water on one side of A4: what is told here gives way to when
//! to turn back and to what happens when something fails, which nobody has elsewhere.

use maud::{Markup, html};

use super::super::width;
use super::whole;
use crate::finding::{Finding, Severity};
use crate::picture::Duty;
use crate::picture::Picture;

/// Findings that paper shows at most, and at least.
const MOST: usize = 6;
const LEAST: usize = 1;
/// Doubts about the judging that paper shows at most.
pub(super) const DOUBTS: usize = 2;
/// Lines that a finding takes at most: the style sheet cuts there.
const LINES_EACH: usize = 5;
/// Lines that findings, thresholds and contingencies have between them beside a map that can still be
/// read.
const LINES: usize = 29;
/// Characters of a line that runs over the whole width, on the careful side.
const WIDE: usize = 110;

/// The findings, those first that paper shows: the gravest, in their order.
pub(super) fn gravest_first<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<&'a Finding> {
    let mut all: Vec<&Finding> = findings.collect();
    all.sort_by_key(|finding| match (finding.stands(), finding.severity) {
        (true, Severity::Error) => 0,
        (true, Severity::Warning) => 1,
        (true, Severity::Advice) => 2,
        (false, _) => 3,
    });
    all
}

/// How many of findings, given by their lengths in characters, paper shows.
pub(super) fn findings(lengths: impl Iterator<Item = usize>, picture: &Picture) -> usize {
    let taken = thresholds(picture) + contingencies(picture, lines_per_contingency(picture));
    let mut left = LINES.saturating_sub(taken);
    let mut shown = 0;
    for length in lengths.take(MOST) {
        let lines = length.div_ceil(WIDE).clamp(1, LINES_EACH);
        if shown >= LEAST && lines > left {
            break;
        }
        left = left.saturating_sub(lines);
        shown += 1;
    }
    shown
}

/// Lines that a row of the contingencies may take, and those that it has where there is little room.
const LINES_TOLD: usize = 5;
const LINES_SCARCE: usize = 3;
/// Breadth of a line of what people do, of the list of people, and of the columns of the second sheet:
/// in letters of middling breadth, on the careful side.
pub(super) const TOLD: usize = 32;
pub(super) const PEOPLE: usize = 28;
pub(super) const COLUMN: usize = 34;
/// Lines that the role of a duty has in the list of people, and a fact in the columns.
pub(super) const LINES_PEOPLE: usize = 3;
pub(super) const LINES_COLUMN: usize = 4;

fn thresholds(picture: &Picture) -> usize {
    let rows = picture.turn_backs.rows.iter();
    rows.map(|row| 1 + usize::from(row.is_past())).sum()
}

/// Lines that the contingencies take where each of their rows may take some.
fn contingencies(picture: &Picture, lines: usize) -> usize {
    let orders = &picture.orders;
    let taken = |duty: &Duty, people: &str, boat: &str| {
        let said = duty.duty.len() + breadth(&duty.role) + breadth(people) + 4;
        let said = said.div_ceil(TOLD).min(lines);
        said.max(breadth(boat).div_ceil(TOLD)).max(1)
    };
    let stated = orders.contingencies.iter();
    let stated = stated.map(|one| taken(&one.acts, &one.people, &one.boat));
    let adrift = picture.map.fans.iter();
    // Each place that the boat comes to takes three lines, about.
    let adrift = adrift.map(|fan| {
        let places = usize::from(fan.on_to.is_some()) + usize::from(fan.ashore.is_some());
        taken(&orders.fetches, "", "").max(3 * places)
    });
    stated.chain(adrift).sum()
}

/// Lines that a row of the contingencies has: more where the sheet has room for them beside the gravest
/// finding.
pub(super) fn lines_per_contingency(picture: &Picture) -> usize {
    let taken = thresholds(picture) + contingencies(picture, LINES_TOLD) + LINES_EACH;
    if taken <= LINES {
        LINES_TOLD
    } else {
        LINES_SCARCE
    }
}

/// How broad a text is, in letters of middling breadth. Rather too much than too little.
pub(super) fn breadth(text: &str) -> usize {
    text.chars().map(of_char).sum::<usize>().div_ceil(10)
}

fn of_char(character: char) -> usize {
    match character {
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '…' | '—' => 17,
        _ if character.is_uppercase() => 13,
        _ if character.is_ascii() => 10,
        other => (width::columns_of_char(other) * 10).max(12),
    }
}

/// A text of a file, whole on the screen. On paper it ends where its room does, with a … in place of
/// the rest.
pub(super) struct Fitted {
    kept: String,
    rest: String,
}

impl Fitted {
    /// Fits a text into a breadth. It ends between two words where the last of them is not overlong.
    pub(super) fn new(text: &str, room: usize) -> Self {
        let mut text = whole(text);
        if breadth(&text) <= room {
            let rest = String::new();
            return Self { kept: text, rest };
        }
        let mut left = room.saturating_sub(2) * 10;
        let fits = text.char_indices().find_map(|(at, character)| {
            let after = left.checked_sub(of_char(character));
            left = after.unwrap_or(0);
            after.is_none().then_some(at)
        });
        let at = fits.unwrap_or(text.len());
        let between = text[..at].rfind(' ').filter(|word| at - word <= TOLD);
        let rest = text.split_off(between.unwrap_or(at));
        Self { kept: text, rest }
    }

    /// Whether paper cuts it.
    pub(super) fn is_cut(&self) -> bool {
        !self.rest.is_empty()
    }

    /// Whether there is no text.
    pub(super) fn is_empty(&self) -> bool {
        self.kept.is_empty() && self.rest.is_empty()
    }

    /// As it stands on the page.
    pub(super) fn shown(&self) -> Markup {
        html! {
            (self.kept)
            @if self.is_cut() { span.more { (self.rest) } span.on-paper { "…" } }
        }
    }
}

/// That the screen has what paper cut in a section; nothing where it cut nothing.
pub(super) fn goes_on(mut fitted: impl Iterator<Item = bool>) -> Markup {
    html! {
        @if fitted.any(|cut| cut) {
            p.note.only-print { "Text that ends in … is complete on the screen." }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Fitted, breadth};

    #[test]
    fn a_text_is_cut_between_words_and_loses_nothing() {
        let text = "wait at the jetty until the wind is down, then go out by twos";
        for room in 0..70 {
            let fitted = Fitted::new(text, room);
            assert_eq!(format!("{}{}", fitted.kept, fitted.rest), text);
            assert_eq!(fitted.is_cut(), breadth(text) > room, "{room}");
            assert!(!fitted.is_cut() || breadth(&fitted.kept) <= room);
            let between = fitted.rest.starts_with(' ') || fitted.kept.is_empty();
            assert!(!fitted.is_cut() || between || room < 10, "{room}");
        }
        let endless = Fitted::new(&"x".repeat(300), 100);
        assert_eq!(endless.kept.len(), 98);
        assert!(breadth("WWWW") > breadth("iiii"));
    }
}
