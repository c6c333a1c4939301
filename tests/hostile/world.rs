//! A repository that a test spoils, beside files that nobody may read through it.

use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use tempfile::TempDir;

use crate::run::{Limits, Ran, run};
use crate::shared::kept::Kept;

/// Stands in every file outside of the repository, and in no other.
pub const CANARY: &str = "canary-from-outside";

pub const MISSION: &str = "missions/north-bay-lines.yaml";
pub const VESSEL: &str = "vessels/goosander.yaml";
pub const SITE: &str = "site/quenderby.yaml";
pub const SHORELINE: &str = "site/quenderby-shoreline.geojson";
pub const POLICY: &str = "policy/team.yaml";

pub struct World {
    folder: TempDir,
}

impl World {
    /// The demo with one mission that passes, committed, and beside it, outside, files that would
    /// be read as well as those inside.
    pub fn new() -> Self {
        static MADE: LazyLock<Kept> = LazyLock::new(|| Kept::of(World::made().folder.path()));
        Self {
            folder: MADE.lay_out(),
        }
    }

    fn made() -> Self {
        let world = Self {
            folder: crate::shared::scratch::folder().unwrap(),
        };
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let soundings = "site/quenderby-soundings.geojson";
        for path in [MISSION, VESSEL, SITE, SHORELINE, soundings, POLICY] {
            let text = std::fs::read_to_string(demo.join(path)).unwrap();
            world.write(path, &text);
            let marked = text
                .replace("id: ", &format!("id: {CANARY}-"))
                .replace("\"name\": \"", &format!("\"name\": \"{CANARY} "));
            put(&world.outside().join(path), &marked);
        }
        put(&world.outside().join("secret.txt"), &format!("{CANARY}\n"));
        world.git(&["init", "--quiet", "--template=", "--initial-branch=main"]);
        world.commit("plans");
        world
    }

    pub fn repository(&self) -> PathBuf {
        self.folder.path().join("repository")
    }

    pub fn outside(&self) -> PathBuf {
        self.folder.path().join("outside")
    }

    /// A folder for reports, and for whatever a test wants elsewhere.
    pub fn aside(&self, name: &str) -> PathBuf {
        let path = self.folder.path().join("aside").join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        path
    }

    pub fn write(&self, path: &str, text: &str) {
        // The site marks the dam by two vertices of its shoreline; another one has none there.
        if path == SHORELINE && !text.contains("[-24.285339, 52.401111]") {
            let site = self.read(SITE);
            let end = site.find("\nstraight_shores:").unwrap_or(site.len());
            put(&self.repository().join(SITE), &site[..end]);
        }
        put(&self.repository().join(path), text);
    }

    pub fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.repository().join(path)).unwrap()
    }

    /// Puts one text in place of another that stands exactly once in a file.
    pub fn edit(&self, path: &str, from: &str, to: &str) {
        let text = self.read(path);
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {path}");
        self.write(path, &text.replacen(from, to, 1));
    }

    pub fn link(&self, to: impl AsRef<Path>, path: &str) {
        let at = self.repository().join(path);
        std::fs::create_dir_all(at.parent().unwrap()).unwrap();
        let _ = std::fs::remove_file(&at);
        symlink(to, at).unwrap();
    }

    pub fn git(&self, arguments: &[&str]) -> String {
        git_in(&self.repository(), arguments)
    }

    pub fn commit(&self, message: &str) -> String {
        self.git(&["add", "--all"]);
        self.git(&["commit", "--quiet", "--allow-empty", "--message", message]);
        self.git(&["rev-parse", "HEAD"])
    }

    /// Checks the repository, with every form of report written.
    pub fn check(&self) -> Ran {
        self.run(&["check"], Limits::CHECK)
    }

    /// Reviews the work tree against the last commit.
    pub fn review(&self) -> Ran {
        self.run(&["review", "HEAD"], Limits::REVIEW)
    }

    /// Runs a command in the repository, sound in every way that all of them must be.
    pub fn run(&self, arguments: &[&str], limits: Limits) -> Ran {
        let forms = arguments[0] == "check" || arguments[0] == "review";
        let reports = self.aside("reports");
        let _ = std::fs::remove_dir_all(&reports);
        std::fs::create_dir_all(&reports).unwrap();
        let forms = if forms { Some(reports.as_path()) } else { None };
        let ran = run(&self.repository(), arguments, forms, &limits, &[]);
        ran.is_sound();
        ran
    }

    /// Checks what a test spoiled, reviews the work tree, commits it, and reviews the commits; all
    /// three say the same of whether it can be read.
    pub fn everywhere(&self) -> [Ran; 3] {
        let checked = self.check();
        let reviewed = self.review();
        self.commit("what came in");
        let objects = self.run(&["review", "HEAD~1", "HEAD"], Limits::REVIEW);
        [checked, reviewed, objects]
    }
}

pub fn put(path: &Path, text: &str) {
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

/// git as its user runs it, with nothing of this machine's settings.
pub fn git_in(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("git")
        .args(["-c", "user.name=t", "-c", "user.email=t@example.com"])
        .args(["-c", "commit.gpgsign=false", "-c", "core.autocrlf=false"])
        .args([
            "-c",
            "core.protectNTFS=false",
            "-c",
            "core.hooksPath=/dev/null",
        ])
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "git {arguments:?}: {said}");
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}
