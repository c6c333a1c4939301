//! The rows of a CSV text.

/// Most cells of a row.
const MOST_CELLS: usize = 1000;

/// The rows of a CSV text: cells apart by a delimiter, quoted where they hold one, a quote within
/// quotes doubled. Blank rows are passed over.
pub(super) struct Rows<'a> {
    rest: &'a str,
    delimiter: char,
    line: usize,
    /// Bytes of the whole text, and where the row that was read last begins.
    whole: usize,
    begins: usize,
    /// Whether no line ends at the end of the text.
    unended: bool,
}

impl<'a> Rows<'a> {
    /// The rows of a text, which may begin with a byte order mark.
    pub(super) fn new(text: &'a str, delimiter: char) -> Self {
        Self {
            rest: text.strip_prefix('\u{feff}').unwrap_or(text),
            whole: text.len(),
            begins: 0,
            unended: !text.ends_with(['\n', '\r']),
            delimiter,
            line: 1,
        }
    }

    /// Byte of the text at which the row that was read last begins.
    pub(super) fn begins(&self) -> usize {
        self.begins
    }

    /// Whether the row that was tried last is the last one, and no line ends behind it. No more than a line of
    /// it is lost: a quote that is not closed takes in all that follows, and is an error there.
    pub(super) fn is_last_unended(&self) -> bool {
        let tried = self.whole - self.rest.len() == self.begins;
        self.unended && (self.rest.is_empty() || tried && !self.rest.contains('\n'))
    }

    pub(super) fn next_row(&mut self) -> Result<Option<(usize, Vec<String>)>, String> {
        loop {
            if self.rest.is_empty() {
                return Ok(None);
            }
            let line = self.line;
            self.begins = self.whole - self.rest.len();
            let row = self.row()?;
            if row.iter().any(|cell| !cell.trim().is_empty()) {
                return Ok(Some((line, row)));
            }
        }
    }

    fn row(&mut self) -> Result<Vec<String>, String> {
        let mut cells = vec![String::new()];
        let mut quoted = false;
        let mut taken = 0;
        let begun = self.line;
        let mut characters = self.rest.char_indices().peekable();
        while let Some((index, character)) = characters.next() {
            taken = index + character.len_utf8();
            let cell = cells.last_mut().ok_or("a row without cells")?;
            if character == '\n' {
                self.line += 1;
            }
            if quoted {
                match character {
                    '"' if characters.next_if(|(_, next)| *next == '"').is_some() => cell.push('"'),
                    '"' => quoted = false,
                    _ => cell.push(character),
                }
            } else if character == '"' && cell.is_empty() {
                quoted = true;
            } else if character == self.delimiter {
                if cells.len() >= MOST_CELLS {
                    return Err(format!(
                        "line {begun}: there are more than {MOST_CELLS} cells"
                    ));
                }
                cells.push(String::new());
            } else if character == '\n' {
                break;
            } else {
                cell.push(character);
            }
        }
        if quoted {
            return Err(format!("line {begun}: a quote is not closed"));
        }
        self.rest = self.rest.get(taken..).unwrap_or("");
        Ok(cells)
    }
}
