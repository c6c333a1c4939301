//! How much the first sheet of paper has room for.
//!
//! The sheet holds what is needed at the water on one side of A4: what is reported here gives way to when
//! to turn back and to what happens when something fails, which nobody has elsewhere.

use maud::{Markup, html};

use super::super::width;
use super::drift::{Drift, drifts};
use super::whole;
use crate::finding::{Finding, Severity};
use crate::picture::{Duty, MOST_ROWS, Picture};

/// Findings that paper shows at most, and at least.
const MOST: usize = 6;
const LEAST: usize = 1;
/// Doubts about the judging that paper shows at most.
pub(super) const DOUBTS: usize = 2;
/// Lines that a doubt takes.
pub(super) const LINES_DOUBT: usize = 2;
/// Height that the map, what stands beside it, findings and the rows of the contingencies have between
/// them, mm; that of the map with its scale; and that of a line.
const HEIGHT: f64 = 200.4;
const MAP: f64 = 130.0;
const LINE: f64 = 3.3;
/// Height of what is always beside the map: headings and notes; of a row of thresholds, of one that says why
/// there is none, and of one that the boat is past by then, which says most.
const BESIDE: f64 = 48.0;
const ROW: f64 = 6.7;
const REFUSED: f64 = 9.8;
const PAST: f64 = 16.0;
/// Breadth of a line that runs over the whole width, on the careful side, and of the three lines of a
/// finding.
pub(super) const WIDE: usize = 122;
pub(super) const FINDING: usize = 3 * WIDE;
/// Breadth of a text in a box of the band, of whom to call, and of one in small type.
pub(super) const BOX: usize = 62;
pub(super) const BOX_CALL: usize = 78;
pub(super) const BOX_FINE: usize = 56;
/// Breadth of the legend of the map, with its samples.
const KEY: usize = 720;
/// What a sample of the legend takes beside its words.
const SAMPLE: usize = 9;

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

/// Lines that findings and contingencies have between them.
fn room_for_lines(picture: &Picture) -> usize {
    ((HEIGHT - beside(picture, false).max(MAP)) / LINE).max(0.0) as usize
}

/// Height of what is beside the map, where a row of thresholds for two waypoints names each on a line of its
/// own or not.
fn beside(picture: &Picture, each_on_its_line: bool) -> f64 {
    let rows = &picture.turn_backs.rows;
    let waypoints = rows.last().map_or(1, |row| row.numbers.1);
    let each = waypoints.div_ceil(MOST_ROWS).max(1);
    let rows = rows.iter().map(|row| match row.limit {
        Some(limit) if !row.is_past() && !limit.before_the_launch() => {
            let two = each_on_its_line && row.numbers.0 != row.numbers.1;
            if two { ROW + LINE } else { ROW }
        }
        Some(_) if row.is_past() => PAST,
        Some(_) => REFUSED,
        // The row may stand for several that it took in. A plan from which the boat does not get home has much on
        // its map and to say of it, so that their room is kept.
        None => REFUSED * (row.numbers.1 + 1 - row.numbers.0).div_ceil(each) as f64,
    });
    let lines = |duty: &Duty| breadth(&duty.role).div_ceil(PEOPLE).max(1);
    let duties = picture.orders.duties.iter();
    let people = duties
        .map(|duty| lines(duty).min(LINES_PEOPLE))
        .sum::<usize>();
    // That the rest of a name is on the screen.
    let mut duties = picture.orders.duties.iter();
    let note = usize::from(duties.any(|duty| lines(duty) > LINES_PEOPLE));
    BESIDE + rows.sum::<f64>() + LINE * (people + note) as f64
}

/// Whether a row of thresholds for two waypoints has a line for each of their names: where what is beside the
/// map is no higher than the map even so, and with the longest notes, which take three lines more.
pub(super) fn names_have_lines(picture: &Picture) -> bool {
    beside(picture, true) + 3.0 * LINE <= MAP
}

/// How many of findings, given by their lines, paper shows below some doubts, where so many lines are kept for
/// both at least.
pub(super) fn findings(
    lines: impl Iterator<Item = usize>,
    doubts: usize,
    least: usize,
    picture: &Picture,
) -> usize {
    let taken = contingencies(picture, told(picture, least)) + LINES_DOUBT * doubts;
    let mut left = room_for_lines(picture).saturating_sub(taken);
    let mut shown = 0;
    for lines in lines.take(MOST) {
        if shown >= LEAST && lines > left {
            break;
        }
        left = left.saturating_sub(lines);
        shown += 1;
    }
    shown
}

/// Which entries of a legend paper shows, each given by its words and whether it says what a letter on the map
/// stands for. Those come first: without them the letter means nothing, and how a line is drawn people know.
pub(super) fn key<'a>(entries: impl Iterator<Item = (&'a str, bool)>) -> Vec<bool> {
    let entries: Vec<_> = entries.collect();
    let mut shown = vec![false; entries.len()];
    let mut left = KEY;
    for letters in [true, false] {
        for (index, (words, _)) in entries
            .iter()
            .enumerate()
            .filter(|(_, one)| one.1 == letters)
        {
            let taken = breadth(words) + SAMPLE;
            if taken > left {
                break;
            }
            left -= taken;
            shown[index] = true;
        }
    }
    shown
}

/// How much is told of contingencies: lines that a row may take, and whether every end of a drift has its
/// own or only the gravest.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Told {
    pub lines: usize,
    pub every_end: bool,
}

/// From all that there is to the least that the sheet always has room for. The ends of a drift give way
/// before what people do is cut: of each the gravest stays.
const TELLING: [Told; 6] = [
    Told {
        lines: 5,
        every_end: true,
    },
    Told {
        lines: 5,
        every_end: false,
    },
    Told {
        lines: 4,
        every_end: false,
    },
    Told {
        lines: 3,
        every_end: false,
    },
    Told {
        lines: 2,
        every_end: false,
    },
    LEAST_TOLD,
];
const LEAST_TOLD: Told = Told {
    lines: 1,
    every_end: false,
};
/// Breadth of a line of what people do, of the list of people, and of the columns of the second sheet:
/// in letters of middling breadth, on the careful side.
pub(super) const TOLD: usize = 32;
const BOAT: usize = 46;
/// The same of where a boat adrift comes to, which the column of people is given to as well.
const ADRIFT: usize = 80;
pub(super) const PEOPLE: usize = 34;
pub(super) const COLUMN: usize = 34;
/// Lines that the role of a duty has in the list of people, and a fact in the columns.
pub(super) const LINES_PEOPLE: usize = 2;
pub(super) const LINES_COLUMN: usize = 4;

/// Lines that the contingencies take where so much is told of them.
fn contingencies(picture: &Picture, telling: Told) -> usize {
    let orders = &picture.orders;
    let taken = |duty: &Duty, people: &str, boat: &str| {
        let said = duty.duty.len() + breadth(&duty.role) + breadth(people) + 4;
        let said = said.div_ceil(TOLD).min(telling.lines);
        said.max(breadth(boat).div_ceil(BOAT)).max(1)
    };
    let stated = orders.contingencies.iter();
    let stated = stated.map(|one| taken(&one.acts, &one.people, &one.boat));
    let adrift = picture.map.fans.iter().map(drifts);
    let adrift = adrift.filter(|drifts| !drifts.is_empty());
    let adrift = adrift.map(|drifts| {
        let late = |one: &Drift| one.late.as_ref().map_or(0, |late| late.len() + 2);
        let told = drifts.iter();
        let told = told.map(|one| (breadth(&one.boat()) + late(one)).div_ceil(ADRIFT));
        told.take(if telling.every_end { usize::MAX } else { 1 })
            .sum::<usize>()
    });
    let people = 2 * usize::from(!picture.map.fans.is_empty());
    // Where less is told, a line below says that the rest is on the screen; on so full a sheet one more is kept.
    let note = 2 * usize::from(telling.lines < TELLING[0].lines);
    stated.chain(adrift).sum::<usize>() + people + note
}

/// How much is told of contingencies: the most that the sheet has room for beside so many lines of findings.
pub(super) fn told(picture: &Picture, findings: usize) -> Told {
    let room = room_for_lines(picture);
    let fits = |telling: &Told| contingencies(picture, *telling) + findings <= room;
    TELLING.into_iter().find(fits).unwrap_or(LEAST_TOLD)
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

    /// How broad what paper has of it is.
    pub(super) fn breadth(&self) -> usize {
        breadth(&self.kept) + usize::from(self.is_cut())
    }

    /// What paper has of it, with its mark; a name between backticks that it is cut within ends there.
    pub(super) fn ended(&self) -> String {
        format!("{}…", self.kept.trim_end())
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
    use super::{Fitted, KEY, SAMPLE, breadth, key};

    #[test]
    fn a_legend_without_room_leaves_out_a_sample_before_a_letter() {
        let long = "x".repeat(KEY / 4 - SAMPLE);
        let entries = |letters: &[bool]| {
            let entries: Vec<_> = letters.iter().map(|one| (long.as_str(), *one)).collect();
            key(entries.into_iter())
        };
        assert_eq!(entries(&[false, false, true, true]), [true; 4]);
        let five = entries(&[false, false, false, true, true]);
        assert_eq!(five, [true, true, false, true, true]);
        let letters = entries(&[false, true, true, true, true, true]);
        assert_eq!(letters, [false, true, true, true, true, false]);
    }

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
