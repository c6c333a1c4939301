//! Word of progress on the error stream, where that is a terminal: one line that is written over,
//! and gone when the work is done. Nothing at all goes into a log or a file.

use std::io::{IsTerminal as _, Write as _};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use crate::check::Progress;

/// Work that is done sooner is not told of.
const QUIET: Duration = Duration::from_millis(400);
/// Between two lines.
const PAUSE: Duration = Duration::from_millis(100);

/// What is on the terminal by now.
struct Line {
    next: Instant,
    written: bool,
}

/// Progress being told. The line is wiped off when this is dropped.
pub(super) struct Progressing {
    what: &'static str,
    /// None where nobody looks.
    line: Option<Mutex<Line>>,
}

impl Progressing {
    /// Begins to tell of work, in a word such as `checking`.
    pub(super) fn begin(what: &'static str) -> Self {
        let line = std::io::stderr().is_terminal().then(|| {
            Mutex::new(Line {
                next: Instant::now() + QUIET,
                written: false,
            })
        });
        Self { what, line }
    }

    /// Tells how far it has come. Never waits: where another thread is telling, this one does not.
    pub(super) fn tell(&self, progress: Progress) {
        let Some(Ok(mut line)) = self.line.as_ref().map(Mutex::try_lock) else {
            return;
        };
        let now = Instant::now();
        if now < line.next {
            return;
        }
        line.next = now + PAUSE;
        line.written = true;
        // A terminal that cannot be written to is no reason to stop.
        let _ = write!(
            std::io::stderr().lock(),
            "\r{}",
            progress_line(self.what, progress)
        );
    }
}

impl Drop for Progressing {
    fn drop(&mut self) {
        let line = self.line.take().and_then(|line| line.into_inner().ok());
        if line.is_some_and(|line| line.written) {
            let blank = " ".repeat(LONGEST);
            let _ = write!(std::io::stderr().lock(), "\r{blank}\r");
        }
    }
}

/// Columns that a line takes at most.
const LONGEST: usize = 60;

fn progress_line(what: &str, progress: Progress) -> String {
    let of = progress.of.max(1);
    let percent = progress.done.min(of) * 100 / of;
    let text = format!("offing: {what}, {percent} %");
    text.chars().take(LONGEST).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_progress() {
        let progress = |done, of| progress_line("checking", Progress { done, of });
        assert_eq!(progress(0, 0), "offing: checking, 0 %");
        assert_eq!(progress(1, 3), "offing: checking, 33 %");
        assert_eq!(progress(3, 3), "offing: checking, 100 %");
        assert_eq!(progress(5, 3), "offing: checking, 100 %");
    }
}
