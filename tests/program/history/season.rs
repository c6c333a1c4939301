//! Four days on the water, each with its plan, its decision, its run and its record.

use std::process::Output;
use std::sync::LazyLock;

use super::repo::{NORTH, Repo};
use super::water::{launching, track, with};
use crate::shared::kept::Kept;

pub const TRACK: &str = "tracks/track.gpx";

pub struct Run {
    day: &'static str,
    minutes: u32,
    outcome: &'static str,
    energy: Option<&'static str>,
    near_miss: Option<&'static str>,
}

impl Run {
    pub fn on(day: &'static str, minutes: u32, outcome: &'static str) -> Self {
        Self {
            day,
            minutes,
            outcome,
            energy: None,
            near_miss: None,
        }
    }
}

/// Records a run, some of what is said of it changed.
pub fn record(repo: &Repo, run: &Run, changes: &[(&str, &str)]) -> Output {
    repo.write(TRACK, &track(run.day));
    repo.offing(&arguments(run, changes))
}

/// The command that records a run.
pub fn arguments(run: &Run, changes: &[(&str, &str)]) -> Vec<String> {
    // Launched at 11:40 UTC.
    let minutes = 40 + run.minutes;
    let ended = format!(
        "{}T{:02}:{:02}:00Z",
        run.day,
        11 + minutes / 60,
        minutes % 60
    );
    let at = format!("{}T16:00:00Z", run.day);
    let mut options = vec![
        ("--track", TRACK),
        ("--outcome", run.outcome),
        ("--ended", ended.as_str()),
        ("--at", at.as_str()),
        ("--by", "survey lead"),
        ("--conditions", "Light wind from the south-west."),
    ];
    options.extend(run.energy.map(|energy| ("--energy", energy)));
    options.extend(run.near_miss.map(|miss| ("--near-miss", miss)));
    for (option, value) in changes {
        match options.iter_mut().find(|(known, _)| known == option) {
            Some(known) => known.1 = value,
            None => options.push((option, value)),
        }
    }
    let mut arguments = vec!["record".to_owned(), "north-bay-lines".to_owned()];
    for (option, value) in options {
        // Together, since a value may begin with a sign.
        arguments.push(format!("{option}={value}"));
    }
    arguments
}

/// The command that decides on a launch.
pub fn deciding(day: &str) -> Vec<String> {
    launching(
        "north-bay-lines",
        &with(&[("--at", &format!("{day}T09:40"))]),
    )
}

/// Exit status, standard output with its words a space apart, and what was said on the error stream.
pub fn told(output: &Output) -> (i32, String, String) {
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    (
        output.status.code().unwrap(),
        text.split_whitespace().collect::<Vec<_>>().join(" "),
        String::from_utf8_lossy(&output.stderr).into_owned(),
    )
}

pub struct Season {
    pub repo: Repo,
    pub runs: Vec<Run>,
}

impl Season {
    pub fn new() -> Self {
        static SEASON: LazyLock<Kept> =
            LazyLock::new(|| Kept::of(Season::of_four_runs().repo.path()));
        Self {
            runs: Self::four_runs(),
            ..Self::begun(Repo::laid_out(&SEASON))
        }
    }

    /// The runs of the four days.
    fn four_runs() -> Vec<Run> {
        vec![
            Run {
                energy: Some("14.5 Wh"),
                ..Run::on("2027-06-15", 40, "completed")
            },
            Run {
                energy: Some("9 Wh"),
                near_miss: Some("A swimmer came within 20 m, unseen from the slip."),
                ..Run::on("2027-06-16", 25, "aborted")
            },
            Run {
                energy: Some("13 Wh"),
                ..Run::on("2027-06-17", 38, "completed")
            },
            Run::on("2027-06-18", 20, "recovered"),
        ]
    }

    /// Begins a season and goes through its days.
    fn of_four_runs() -> Self {
        let season = Self {
            runs: Self::four_runs(),
            ..Self::begun(Repo::new())
        };
        for run in &season.runs {
            season.next_day(run.day);
            season.decide(run.day);
            let output = record(&season.repo, run, &[]);
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert!(output.status.success(), "{}: {said}", run.day);
            season.repo.commit();
        }
        season
    }

    /// A season of which no day has come.
    pub fn begun(repo: Repo) -> Self {
        Self {
            repo,
            runs: Vec::new(),
        }
    }

    /// Moves the mission on to a day, and commits it.
    pub fn next_day(&self, day: &str) -> String {
        let number: u32 = day[8..].parse().unwrap();
        let before = format!("{}{:02}", &day[..8], number - 1);
        let text = self.repo.read(NORTH);
        let at = text.find("time: 2027-").unwrap() + "time: ".len();
        let old = text[at..at + 10].to_owned();
        let old_number: u32 = old[8..].parse().unwrap();
        let old_before = format!("{}{:02}", &old[..8], old_number - 1);
        let text = text
            .replace(&old, "THE-DAY")
            .replace(&old_before, "DAY-BEFORE")
            .replace("THE-DAY", day)
            .replace("DAY-BEFORE", &before);
        self.repo.write(NORTH, &text);
        self.repo.commit();
        NORTH.to_owned()
    }

    pub fn decide(&self, day: &str) {
        let output = self.repo.offing(&deciding(day));
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{text}{said}");
        self.repo.commit();
    }

    pub fn run_on(&self, day: &'static str, minutes: u32, outcome: &'static str) {
        self.next_day(day);
        self.decide(day);
        let output = record(&self.repo, &Run::on(day, minutes, outcome), &[]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{day}: {said}");
    }
}
