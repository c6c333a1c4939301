//! Running the program within bounds.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::inert;

/// Forms of report that are written beside the one at the terminal.
const FORMS: [&str; 6] = ["json", "sarif", "junit", "markdown", "github", "gitlab"];
/// The exit statuses that are documented.
const STATUSES: [i32; 5] = [0, 1, 2, 64, 74];

/// What a command may take at most, as docs/explanation/security.md states it.
pub struct Limits {
    pub seconds: u64,
    pub mebibytes: u64,
}

impl Limits {
    pub const CHECK: Self = Self {
        seconds: 120,
        mebibytes: 4096,
    };
    pub const REVIEW: Self = Self {
        seconds: 240,
        mebibytes: 8192,
    };
}

/// What came of a run.
pub struct Ran {
    pub status: i32,
    pub said: String,
    /// Reports by form, the one at the terminal among them.
    pub reports: BTreeMap<String, String>,
    /// The most memory that the program itself held.
    pub peak: u64,
    /// The time of the processor that it took.
    pub used: Duration,
}

/// Runs the program in a folder. It is killed, and the test fails, where it takes longer than it
/// may, or holds more memory.
pub fn run(
    folder: &Path,
    arguments: &[&str],
    reports: Option<&Path>,
    limits: &Limits,
    environment: &[(&str, &str)],
) -> Ran {
    let streams = crate::shared::scratch::folder().unwrap();
    let stream = |name: &str| streams.path().join(name);
    let mut command = Command::new(env!("CARGO_BIN_EXE_offing"));
    command
        .arg(arguments[0])
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .envs(environment.iter().copied())
        .stdin(Stdio::null())
        .stdout(File::create(stream("out")).unwrap())
        .stderr(File::create(stream("err")).unwrap());
    if let Some(reports) = reports {
        command.args(["--format", "terminal"]);
        for form in FORMS {
            command.arg(format!("--format={form}={}", reports.join(form).display()));
        }
    }
    command.args(&arguments[1..]);
    let started = Instant::now();
    let mut child = command.spawn().unwrap();
    let mut peak = 0;
    let mut used = Duration::ZERO;
    let status = loop {
        // The kernel's own mark of the most that was ever held.
        peak = peak.max(held(child.id()));
        used = used.max(taken(child.id()));
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        let late = started.elapsed() > Duration::from_secs(limits.seconds);
        if late || peak > limits.mebibytes << 10 {
            child.kill().unwrap();
            child.wait().unwrap();
            let taken = started.elapsed();
            panic!("{arguments:?} took {taken:?} and {peak} KiB, which is too much");
        }
        sleep(Duration::from_millis(5));
    };
    let text = |path: &Path| std::fs::read_to_string(path).unwrap_or_default();
    let mut all = BTreeMap::from([("terminal".to_owned(), text(&stream("out")))]);
    for form in FORMS {
        if let Some(reports) = reports {
            all.insert(form.to_owned(), text(&reports.join(form)));
        }
    }
    Ran {
        status: status.code().expect("it ends by itself"),
        said: text(&stream("err")),
        reports: all,
        peak,
        used,
    }
}

/// The time of the processor that a process took so far, of all its threads; nothing where it is gone.
fn taken(process: u32) -> Duration {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).unwrap_or_default();
    let fields = stat.rsplit_once(") ").map_or("", |(_, fields)| fields);
    // proc(5): utime and stime, in hundredths of a second.
    let ticks = fields.split(' ').skip(11).take(2);
    let ticks: u64 = ticks.filter_map(|one| one.parse::<u64>().ok()).sum();
    Duration::from_millis(ticks * 10)
}

/// The most memory that a process ever held, in KiB; 0 where it is gone.
fn held(process: u32) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let number = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
    number.unwrap_or(0)
}

impl Ran {
    /// What must hold whatever was read.
    pub fn is_sound(&self) {
        assert!(STATUSES.contains(&self.status), "{}", self.status);
        assert!(!self.said.contains("panicked"), "{}", self.said);
        inert::in_a_log("the error stream", &self.said);
        for (form, text) in &self.reports {
            inert::of_form(form, text);
        }
        // Where there is a result, every form has it.
        let empty = self.reports.values().filter(|text| text.is_empty()).count();
        let quiet = empty == self.reports.len();
        let formless = self.reports.get("github").is_some_and(String::is_empty);
        assert!(
            empty == 0 || quiet || formless && empty == 1,
            "{}",
            self.said
        );
    }

    /// Everything that it wrote.
    pub fn everything(&self) -> String {
        let reports: Vec<&str> = self.reports.values().map(String::as_str).collect();
        format!("{}\n{}", self.said, reports.join("\n"))
    }

    pub fn terminal(&self) -> &str {
        &self.reports["terminal"]
    }

    /// Fails unless it was refused: incomplete, with these words somewhere.
    pub fn refuses(&self, words: &str) {
        assert_eq!(self.status, 2, "{}", self.everything());
        // Words may be parted by the end of a line.
        let plain: Vec<String> = [&self.said, self.terminal()]
            .iter()
            .map(|text| text.split_whitespace().collect::<Vec<_>>().join(" "))
            .collect();
        assert!(
            plain.iter().any(|text| text.contains(words)),
            "{words}: {plain:?}"
        );
    }
}
