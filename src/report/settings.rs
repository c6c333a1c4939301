//! What the reader's terminal can show.

/// What the terminal can show. The caller finds out; nothing here asks the environment.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Settings {
    /// Whether colour is wanted.
    pub colour: bool,
    /// Whether lines are drawn with other characters than ASCII. Text of files is shown as it is
    /// either way.
    pub unicode: bool,
    /// Columns; below 40 it counts as 40.
    pub width: usize,
    /// Whether each finding is reported in few lines: the sentence, the line to look at first and the
    /// first remedy.
    pub short: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            colour: false,
            unicode: true,
            width: 80,
            short: false,
        }
    }
}

/// Fewer columns than this leave no room for a line and its label.
pub(super) const NARROWEST: usize = 40;
