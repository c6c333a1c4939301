//! One source line, made printable and cut to a width, with the way from its bytes to what is
//! shown of it.

use std::borrow::Cow;

use super::width;
use crate::source::acts;

/// How much of a line is to be seen.
#[derive(Clone, Copy)]
pub(super) struct Room<'a> {
    /// Columns.
    pub columns: usize,
    /// Columns to keep free for a label that begins below the focus.
    pub label: usize,
    /// What stands for what is cut off.
    pub ellipsis: &'a str,
}

/// What is shown of a line.
pub(super) struct Clipped {
    /// The text: no character of it acts on a terminal.
    pub text: String,
    /// Byte of the line and byte of `text`, for every character shown and the end.
    map: Vec<(usize, usize)>,
    cut_right: usize,
}

impl Clipped {
    /// Cuts a line so that what begins at the byte `focus` is seen. The cost follows from the
    /// room, not from the length of the line.
    pub(super) fn new(line: &str, focus: usize, room: Room<'_>) -> Self {
        let focus = line.floor_char_boundary(focus);
        let columns = room.columns.max(8);
        let dots = width::columns(room.ellipsis);
        let begin = begin(line, focus, columns, room);
        let left = if begin > 0 { dots } else { 0 };
        let fits = columns_up_to(line, begin, columns) + left <= columns;
        let until = columns - if fits { 0 } else { dots };

        let mut text = String::new();
        if begin > 0 {
            text.push_str(room.ellipsis);
        }
        let mut map = Vec::new();
        let (mut used, mut at) = (left, begin);
        for (from, character) in line.get(begin..).unwrap_or_default().char_indices() {
            let shown = shown(line.get(..begin + from).unwrap_or_default(), character);
            used += cost(&shown);
            if used > until {
                break;
            }
            map.push((at, text.len()));
            text.push_str(&shown);
            at += character.len_utf8();
        }
        map.push((at, text.len()));
        let cut_right = if at < line.len() {
            text.push_str(room.ellipsis);
            room.ellipsis.len()
        } else {
            0
        };
        Self {
            text,
            map,
            cut_right,
        }
    }

    /// Where in the text a byte of the line begins. What was cut off is where the ellipsis is.
    pub(super) fn start_of(&self, byte: usize) -> usize {
        let after = self.map.partition_point(|&(from, _)| from <= byte);
        match after.checked_sub(1).and_then(|before| self.map.get(before)) {
            Some(&(_, to)) => to,
            None => 0,
        }
    }

    /// Where in the text what ends before a byte of the line ends.
    pub(super) fn end_of(&self, byte: usize) -> usize {
        let at = self.map.partition_point(|&(from, _)| from < byte);
        match self.map.get(at) {
            Some(&(_, to)) => to,
            None => self.text.len(),
        }
    }

    /// Whether the character at a byte of the line is shown.
    pub(super) fn shows(&self, byte: usize) -> bool {
        let first = self.map.first().map_or(0, |&(from, _)| from);
        let end = self.map.last().map_or(0, |&(from, _)| from);
        first <= byte && (byte < end || byte == end && self.cut_right == 0)
    }
}

/// A character as it is shown behind what stands before it.
fn shown(before: &str, character: char) -> Cow<'static, str> {
    match character {
        '\t' => Cow::Borrowed("    "),
        other if acts(before, other) => Cow::Owned(other.escape_unicode().to_string()),
        other => Cow::Owned(other.to_string()),
    }
}

/// Columns that a character takes as it is shown. A mark that takes none counts as one, so that
/// a line cannot hold any number of them.
fn cost(shown: &str) -> usize {
    width::columns(shown).max(1)
}

/// Columns of a line from a byte on as it is shown, counted no further than just past a bound.
fn columns_up_to(line: &str, from: usize, bound: usize) -> usize {
    let mut used = 0;
    for (at, character) in line.get(from..).unwrap_or_default().char_indices() {
        used += cost(&shown(line.get(..from + at).unwrap_or_default(), character));
        if used > bound {
            break;
        }
    }
    used
}

/// The byte at which what is shown begins: the start where the focus then has its room.
fn begin(line: &str, focus: usize, columns: usize, room: Room<'_>) -> usize {
    let before = line.get(..focus).unwrap_or_default();
    let behind = columns_up_to(line, focus, columns);
    // Two thirds for what follows the focus, more for its label, less where nothing follows.
    let wanted = behind.min(columns * 2 / 3).max(room.label.min(columns));
    let lead = columns - wanted;
    if columns_up_to(before, 0, columns) <= lead {
        return 0;
    }
    let lead = lead.saturating_sub(width::columns(room.ellipsis));
    let mut used = 0;
    for (at, character) in before.char_indices().rev() {
        used += cost(&shown(before.get(..at).unwrap_or_default(), character));
        if used > lead {
            return at + character.len_utf8();
        }
    }
    0
}
