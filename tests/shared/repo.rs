//! A small repository of the demo's files that a test changes.

use std::io::Write as _;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::sync::LazyLock;

use serde_json::Value as Json;
use tempfile::TempDir;

use super::kept::Kept;
use super::schema;

pub const TEAM: &str = "plans/policy/team.yaml";
pub const UPWIND: &str = "plans/missions/headwind-return.yaml";
pub const NORTH: &str = "plans/missions/north-bay-lines.yaml";

/// The waiver that makes the one finding of the mission that runs upwind be accepted.
pub const WAIVER: &str = "waivers:
  - rule: upwind-run-length
    for: the leg to profile-end
    no_worse_than: 1400 m
    reason: The recovery crew lies off the far end for the whole run.
    approved_by: survey lead
    approved: 2027-07-05
    expires: 2027-07-13
";

pub struct Repo(TempDir);

impl Repo {
    /// A mission that fails by one rule, and one that passes, with what they need.
    pub fn new() -> Self {
        let repo = Self::empty();
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        for path in [
            UPWIND,
            NORTH,
            TEAM,
            "plans/orders/from-the-slip.yaml",
            "plans/vessels/goosander.yaml",
            "plans/site/quenderby.yaml",
            "plans/site/quenderby-shoreline.geojson",
            "plans/site/quenderby-soundings.geojson",
        ] {
            repo.write(path, &std::fs::read_to_string(root.join(path)).unwrap());
        }
        repo
    }

    /// One with nothing in it.
    pub fn empty() -> Self {
        static EMPTY: LazyLock<Kept> = LazyLock::new(|| {
            let repo = Repo(super::scratch::folder().unwrap());
            repo.git(&["init", "--quiet", "--template=", "--initial-branch=main"]);
            Kept::of(repo.path())
        });
        Self::laid_out(&EMPTY)
    }

    /// One as it was kept.
    pub fn laid_out(kept: &Kept) -> Self {
        Self(kept.lay_out())
    }

    /// A clone of another one.
    #[allow(dead_code)] // not every test has two
    pub fn cloned(from: &Path) -> Self {
        let repo = Self(super::scratch::folder().unwrap());
        repo.git(&[
            "clone",
            "--quiet",
            "--template=",
            from.to_str().unwrap(),
            ".",
        ]);
        repo
    }

    /// One that git reads in, from a file of this project.
    #[allow(dead_code)] // not every binary has a season
    pub fn imported(path: &str) -> Self {
        let repo = Self::empty();
        let stream = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap();
        let mut child = Command::new("git")
            .args(["fast-import", "--quiet"])
            .current_dir(repo.path())
            .stdin(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(&stream).unwrap();
        assert!(child.wait().unwrap().success());
        repo.git(&["checkout", "--quiet", "main"]);
        repo
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn write(&self, path: &str, text: &str) {
        let at = self.path().join(path);
        std::fs::create_dir_all(at.parent().unwrap()).unwrap();
        std::fs::write(at, text).unwrap();
    }

    pub fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.path().join(path)).unwrap()
    }

    pub fn append(&self, path: &str, text: &str) {
        self.write(path, &format!("{}\n{text}", self.read(path)));
    }

    pub fn edit(&self, path: &str, from: &str, to: &str) {
        let text = self.read(path);
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {path}");
        self.write(path, &text.replacen(from, to, 1));
    }

    pub fn git(&self, arguments: &[&str]) -> String {
        let output = Command::new("git")
            .args(["-c", "user.name=t", "-c", "user.email=t@example.com"])
            .args(["-c", "commit.gpgsign=false", "-c", "core.autocrlf=false"])
            .args(["-c", "maintenance.auto=false", "-c", "gc.auto=0"])
            .args(arguments)
            .current_dir(self.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "git {arguments:?}: {said}");
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    }

    pub fn commit(&self) -> String {
        self.commit_as("one")
    }

    /// Commits all that there is under a message.
    pub fn commit_as(&self, message: &str) -> String {
        self.git(&["add", "--all"]);
        self.git(&["commit", "--quiet", "--allow-empty", "--message", message]);
        self.git(&["rev-parse", "HEAD"])
    }

    /// Runs the program in the repository.
    pub fn offing<T: AsRef<std::ffi::OsStr>>(&self, arguments: &[T]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(arguments)
            .current_dir(self.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }

    /// Begins offing at a terminal, which `script` (of bsdutils) makes.
    pub fn terminal(&self, arguments: &str) -> Child {
        let command = format!("{} {arguments}", env!("CARGO_BIN_EXE_offing"));
        Command::new("script")
            .args(["-q", "-e", "-c", &command, "/dev/null"])
            .current_dir(self.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("`script` is there")
    }

    /// Runs offing at a terminal, and gives the answers: its status, and what the terminal shows.
    pub fn at_terminal(&self, arguments: &str, answers: &str) -> (Option<i32>, String) {
        let mut child = self.terminal(arguments);
        let mut stdin = child.stdin.take().unwrap();
        stdin.write_all(answers.as_bytes()).unwrap();
        drop(stdin);
        let output = child.wait_with_output().unwrap();
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        (output.status.code(), text)
    }

    /// Runs it, and gives its exit status and standard output.
    pub fn run(&self, arguments: &[&str]) -> (i32, String) {
        let output = self.offing(arguments);
        let text = String::from_utf8(output.stdout).unwrap();
        (output.status.code().unwrap(), text)
    }

    /// What a command writes as JSON, once it was held against its schema.
    pub fn json(&self, arguments: &[&str]) -> (i32, Json) {
        let (status, text) = self.run(&[arguments, &["--format", "json"]].concat());
        let output = serde_json::from_str(&text).expect("JSON");
        schema::hold(&output);
        (status, output)
    }
}

/// Rule and, where it is accepted, how, of every finding of a JSON report.
pub fn findings(report: &Json) -> Vec<(String, Option<String>)> {
    let all = report["findings"].as_array().unwrap();
    all.iter()
        .map(|finding| {
            let rule = finding["rule"].as_str().unwrap().to_owned();
            let how = finding["accepted"]["how"].as_str().map(str::to_owned);
            (rule, how)
        })
        .collect()
}

/// The rules of the findings that stand.
pub fn standing(report: &Json) -> Vec<String> {
    let all = findings(report).into_iter();
    all.filter(|(_, how)| how.is_none())
        .map(|(rule, _)| rule)
        .collect()
}
