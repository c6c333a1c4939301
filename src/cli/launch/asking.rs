//! Asking at a terminal for what was not given.

use std::cell::Cell;
use std::io::{BufRead as _, Write as _};

use super::super::{Failure, ask, output};

/// Longest answer that is taken.
const LONGEST: usize = 400;
/// How often something is requested.
const TRIES: usize = 3;

/// Asking for what was not given, where there is somebody to ask.
pub(super) struct Asking {
    /// Whether there is.
    pub can: bool,
    asked: Cell<bool>,
}

impl Asking {
    pub(super) fn new() -> Self {
        Self {
            can: ask::somebody_is_there(),
            asked: Cell::new(false),
        }
    }

    /// Whether somebody was asked for something.
    pub(super) fn has_asked(&self) -> bool {
        self.asked.get()
    }

    /// What an option gives, or an answer, with what it is read as. What is given and cannot be read
    /// is an error; an answer that cannot be is reported, and asked for again.
    pub(super) fn or_ask<T>(
        &self,
        given: Option<&str>,
        option: &str,
        what: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<(String, T), Failure> {
        if let Some(given) = given {
            let value = read(given).map_err(|why| Failure::Usage(format!("--{option}: {why}")))?;
            return Ok((given.to_owned(), value));
        }
        if !self.can {
            return Err(Failure::Usage(format!(
                "`--{option}` is missing: {what}; a terminal would prompt for it"
            )));
        }
        self.asked.set(true);
        until_read(what, read)
    }

    /// Whether something is so. Nothing but a yes is one, and nothing but a no is none.
    pub(super) fn yes_or_no(&self, what: &str) -> Result<bool, Failure> {
        let read = |answer: &str| match answer.to_lowercase().as_str() {
            "yes" | "y" => Ok(true),
            "no" | "n" => Ok(false),
            "" => Err("no answer; write `yes` or `no`".to_owned()),
            other => Err(format!("`{other}` is neither `yes` nor `no`")),
        };
        self.asked.set(true);
        until_read(&format!("{what} (yes or no)"), read).map(|(_, yes)| yes)
    }
}

/// Asks until an answer can be read, but not for ever.
fn until_read<T>(
    what: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<(String, T), Failure> {
    for _ in 0..TRIES {
        let answer = answer_to(what)?;
        let value = match answer.len() {
            0..=LONGEST => read(&answer),
            _ => Err(format!("an answer has at most {LONGEST} characters")),
        };
        match value {
            Ok(value) => return Ok((answer, value)),
            Err(why) => output::complain(&why),
        }
    }
    Err(Failure::Usage(format!(
        "{TRIES} answers were not valid, so nothing was recorded; start again"
    )))
}

fn answer_to(what: &str) -> Result<String, Failure> {
    let mut err = std::io::stderr().lock();
    let asked = write!(err, "{what}: ").and_then(|()| err.flush());
    asked.map_err(Failure::NotWritten)?;
    drop(err);
    let mut answer = String::new();
    let read = std::io::stdin().lock().read_line(&mut answer);
    let read = read.map_err(|error| Failure::Usage(format!("no answer: {error}")))?;
    if read == 0 {
        return Err(Failure::Usage("no answer".to_owned()));
    }
    Ok(answer.trim().to_owned())
}
