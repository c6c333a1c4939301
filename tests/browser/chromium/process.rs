//! The browser's process.

use std::io::{BufRead as _, BufReader, Read as _};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

use super::session::Line;

/// Where Debian's package puts it.
const BROWSER: &str = "/usr/bin/chromium";
/// What stands before the address on its standard error.
const LISTENS: &str = "DevTools listening on ";

/// A browser that runs. It ends with the last test that uses it.
pub struct Browser {
    child: Child,
    /// Where it listens for commands.
    pub address: String,
    /// Pages that nobody looks at now.
    idle: Mutex<Vec<Line>>,
    _profile: tempfile::TempDir,
}

/// The browser of all tests that run now.
pub fn shared() -> Arc<Browser> {
    static RUNNING: Mutex<Weak<Browser>> = Mutex::new(Weak::new());
    let mut running = RUNNING.lock().unwrap_or_else(PoisonError::into_inner);
    running.upgrade().unwrap_or_else(|| {
        let browser = Arc::new(Browser::start());
        *running = Arc::downgrade(&browser);
        browser
    })
}

impl Browser {
    /// Starts one. It resolves no name, so that nothing can be fetched.
    fn start() -> Self {
        assert!(
            Path::new(BROWSER).exists(),
            "{BROWSER} is missing: `.ci/set-up` installs it"
        );
        let profile = crate::shared::scratch::folder().unwrap();
        let mut child = Command::new(BROWSER)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--disable-back-forward-cache",
                "--hide-scrollbars",
                "--host-resolver-rules=MAP * ~NOTFOUND",
                "--remote-debugging-port=0",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stderr.take().unwrap());
        let mut told = String::new();
        let address = loop {
            let mut line = String::new();
            let read = lines.read_line(&mut line).unwrap();
            assert!(read > 0, "{BROWSER} ended:\n{told}");
            if let Some(address) = line.trim_end().strip_prefix(LISTENS) {
                break address.to_owned();
            }
            told.push_str(&line);
        };
        // It would wait for ever where nobody reads what else it says.
        std::thread::spawn(move || lines.read_to_end(&mut Vec::new()));
        Self {
            child,
            address,
            idle: Mutex::new(Vec::new()),
            _profile: profile,
        }
    }
}

impl Browser {
    /// Pages that nobody looks at now.
    pub fn idle(&self) -> MutexGuard<'_, Vec<Line>> {
        self.idle.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // One that ended by itself cannot be killed, which is as well.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
