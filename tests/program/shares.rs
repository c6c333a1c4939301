//! Shares of a check: what changed since a revision, one of several partitions, and the reports of
//! all partitions joined again.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value as Json;
use tempfile::TempDir;

const NORTH: &str = "plans/missions/north-bay-lines.yaml";
const TEAM: &str = "plans/policy/team.yaml";
const VESSEL: &str = "plans/vessels/goosander.yaml";
const SHORE: &str = "plans/site/quenderby-shoreline.geojson";

/// A folder that holds a repository, and room for reports beside it.
struct Repo(TempDir);

impl Repo {
    /// A repository that holds the demo with four of its missions.
    fn demo() -> Self {
        let repo = Self(crate::shared::scratch::folder().unwrap());
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        for path in [
            NORTH,
            "plans/missions/dam-to-bay-transects.yaml",
            "plans/missions/careless-end.yaml",
            "plans/missions/slow-hands.yaml",
            TEAM,
            "plans/orders/from-the-slip.yaml",
            "plans/orders/from-the-dam.yaml",
            VESSEL,
            "plans/site/quenderby.yaml",
            SHORE,
            "plans/site/quenderby-soundings.geojson",
        ] {
            repo.write(path, &std::fs::read_to_string(root.join(path)).unwrap());
        }
        repo.git(&["init", "--quiet", "--template=", "--initial-branch=main"]);
        repo.commit("first");
        repo
    }

    /// The same with much that is wrong in missions and beside them.
    fn wrong() -> Self {
        let repo = Self::demo();
        let north = repo.read(NORTH);
        let named = |id: &str| north.replace("\nid: north-bay-lines\n", &format!("\nid: {id}\n"));
        repo.write("plans/missions/a.yaml", &named("north-bay-lines"));
        repo.write(
            "plans/missions/b.yaml",
            &named("b").replace("policy: team\n", ""),
        );
        repo.write("plans/missions/c.yaml", &named("c").replace("95 %", "95 m"));
        repo.write(
            "plans/missions/d.yaml",
            &named("d").replace("vessel: ", "vessel: not-"),
        );
        repo.write("plans/missions/e.yaml", &(named("e") + "x: [\n"));
        repo.write("plans/missions/f.yaml", "kind: mission\nformat: 1\n");
        repo.write(
            "plans/vessels/broken.yaml",
            "kind: vessel\nformat: 1\nid: broken\n",
        );
        repo.write("plans/torn.yaml", "kind: vessel\nid: [\n");
        repo.write("build.yaml", "steps: []\n");
        std::fs::write(repo.path().join("latin.yaml"), b"kind: \xe9\n").unwrap();
        repo
    }

    fn path(&self) -> PathBuf {
        self.0.path().join("repository")
    }

    fn write(&self, path: &str, text: &str) {
        let at = self.path().join(path);
        std::fs::create_dir_all(at.parent().unwrap()).unwrap();
        std::fs::write(at, text).unwrap();
    }

    fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.path().join(path)).unwrap()
    }

    fn edit(&self, path: &str, from: &str, to: &str) {
        let text = self.read(path);
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {path}");
        self.write(path, &text.replacen(from, to, 1));
    }

    fn git(&self, arguments: &[&str]) -> String {
        let output = Command::new("git")
            .args(["-c", "user.name=t", "-c", "user.email=t@example.com"])
            .args(["-c", "commit.gpgsign=false", "-c", "core.autocrlf=false"])
            .args(arguments)
            .current_dir(self.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "git {arguments:?}: {said}");
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    }

    fn commit(&self, message: &str) -> String {
        self.git(&["add", "--all"]);
        self.git(&["commit", "--quiet", "--allow-empty", "--message", message]);
        self.git(&["rev-parse", "HEAD"])
    }

    fn offing(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(arguments)
            .current_dir(self.path())
            .output()
            .unwrap()
    }

    /// What is printed, with the exit status.
    fn told(&self, arguments: &[&str]) -> (String, i32) {
        let output = self.offing(arguments);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(said, "", "{arguments:?}");
        (
            String::from_utf8(output.stdout).unwrap(),
            output.status.code().unwrap(),
        )
    }

    fn json(&self, arguments: &[&str]) -> (Json, i32) {
        let mut all = arguments.to_vec();
        all.extend(["--format", "json"]);
        let (text, status) = self.told(&all);
        (serde_json::from_str(&text).unwrap(), status)
    }

    /// The first line of what is said of a refusal, with the exit status.
    fn refused(&self, arguments: &[&str]) -> (String, i32) {
        let output = self.offing(arguments);
        assert_eq!(String::from_utf8_lossy(&output.stdout), "", "{arguments:?}");
        let said = String::from_utf8(output.stderr).unwrap();
        (said, output.status.code().unwrap())
    }

    /// Runs a command for each of so many partitions into files, and returns their names.
    fn parts(&self, command: &[&str], of: u32) -> Vec<String> {
        let mut files = Vec::new();
        for number in 1..=of {
            let partition = format!("{number}/{of}");
            let names = ["json", "sarif"].map(|form| format!("../part-{number}.{form}"));
            let [json, sarif] = [format!("json={}", names[0]), format!("sarif={}", names[1])];
            let mut all = command.to_vec();
            all.extend([
                "--partition",
                &partition,
                "--format",
                &json,
                "--format",
                &sarif,
            ]);
            self.told(&all);
            files.extend(names);
        }
        // In whatever order they arrive.
        files.rotate_left(1);
        files
    }

    /// The joined reports of so many partitions are those of the whole, byte for byte.
    fn joins(&self, command: &[&str], of: u32) {
        let files = self.parts(command, of);
        for form in ["json", "sarif"] {
            let mut whole = command.to_vec();
            whole.extend(["--format", form]);
            let (whole, status) = self.told(&whole);
            let mut merge = vec!["merge", "--format", form];
            merge.extend(
                files
                    .iter()
                    .filter(|file| file.ends_with(form))
                    .map(String::as_str),
            );
            let (joined, joined_status) = self.told(&merge);
            for (line, (one, other)) in whole.lines().zip(joined.lines()).enumerate() {
                assert_eq!(one, other, "{command:?} {of} {form} line {line}");
            }
            assert_eq!(whole.len(), joined.len(), "{command:?} {of} {form}");
            assert_eq!(status, joined_status, "{command:?} {of} {form}");
        }
    }
}

fn missions(report: &Json) -> Vec<String> {
    let all = report["missions"].as_array().unwrap();
    all.iter()
        .map(|one| one["mission"].as_str().unwrap().to_owned())
        .collect()
}

fn notes(report: &Json) -> Vec<String> {
    let all = report["notes"].as_array().unwrap();
    all.iter()
        .map(|one| one.as_str().unwrap().to_owned())
        .collect()
}

#[test]
#[ignore = "slow"]
fn the_joined_reports_of_a_check_are_that_of_the_whole() {
    let repo = Repo::wrong();
    for of in [1, 2, 5] {
        repo.joins(&["check"], of);
    }
    repo.joins(&["check", "--spread", "3", "plans/missions"], 3);
}

#[test]
#[ignore = "slow"]
fn the_joined_reports_of_what_changed_are_that_of_the_whole() {
    let repo = Repo::wrong();
    repo.commit("much is wrong");
    repo.edit(VESSEL, "nominal_capacity: 10 Ah", "nominal_capacity: 9 Ah");
    repo.edit("plans/missions/b.yaml", "95 %", "94 %");
    repo.joins(&["check", "--changed-since", "HEAD"], 3);
    let clean = Repo::demo();
    clean.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 60 %");
    clean.joins(&["check", "--changed-since", "HEAD"], 2);
}

#[test]
#[ignore = "slow"]
fn the_joined_reports_of_a_review_are_that_of_the_whole() {
    let repo = Repo::wrong();
    repo.commit("much is wrong");
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 76 %");
    repo.edit("plans/missions/c.yaml", "95 m", "95 %");
    repo.edit(
        "plans/missions/careless-end.yaml",
        "kind: mission",
        "kind: misson",
    );
    repo.joins(&["review", "HEAD"], 3);
    repo.edit(TEAM, "at_least: 35 %", "at_least: 25 %");
    repo.edit(
        "plans/missions/b.yaml",
        "vessel: goosander\n",
        "vessel: goosander\npolicy: team\n",
    );
    repo.joins(&["review", "HEAD"], 2);
    repo.joins(&["review", "HEAD", "--policy-from", "head"], 2);
}

#[test]
#[ignore = "slow"]
fn every_error_of_a_file_is_told_by_one_partition() {
    let repo = Repo::wrong();
    let (whole, _) = repo.json(&["check"]);
    let prints = |report: &Json| -> Vec<String> {
        let all = report["findings"].as_array().unwrap();
        let input = all.iter().filter(|finding| finding["nature"] == "input");
        input
            .map(|finding| finding["fingerprint"].as_str().unwrap().to_owned())
            .collect()
    };
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let mut all = Vec::new();
    for number in 1..=4 {
        let (part, status) = repo.json(&["check", "--partition", &format!("{number}/4")]);
        for print in prints(&part) {
            *counts.entry(print).or_default() += 1;
        }
        // A mission that was judged beside files that cannot be read is in doubt in every partition.
        let own = prints(&part).len() + part["not_checked"].as_array().unwrap().len();
        let judged = part["missions"].as_array().unwrap().len();
        assert_eq!(own + judged > 0, status == 2, "{number}");
        // What files beside them leave in doubt is so in every partition.
        let records = part["missions"].as_array().unwrap();
        let known = whole["missions"].as_array().unwrap();
        assert!(records.iter().all(|record| known.contains(record)));
        all.extend(missions(&part));
    }
    let expected = prints(&whole);
    assert!(expected.len() >= 6, "{expected:?}");
    assert_eq!(counts.len(), expected.len());
    assert!(counts.values().all(|count| *count == 1), "{counts:?}");
    all.sort();
    let mut known = missions(&whole);
    known.sort();
    assert_eq!(all, known);
}

#[test]
#[ignore = "slow"]
fn a_mission_that_is_added_moves_no_other() {
    let repo = Repo::demo();
    let parts = |repo: &Repo| -> Vec<Vec<String>> {
        let of = |number: u32| {
            repo.json(&["check", "--partition", &format!("{number}/3")])
                .0
        };
        (1..=3).map(|number| missions(&of(number))).collect()
    };
    let before = parts(&repo);
    let north = repo
        .read(NORTH)
        .replace("\nid: north-bay-lines\n", "\nid: a-new-one\n");
    repo.write("a/new-one.yaml", &north);
    let mut after = parts(&repo);
    for part in &mut after {
        part.retain(|id| id != "a-new-one");
    }
    assert_eq!(before, after);
    assert_eq!(before.concat().len(), 4);
}

#[test]
#[ignore = "slow"]
fn only_what_changed_is_checked() {
    let repo = Repo::demo();
    let since = |arguments: &[&str]| {
        let mut all = vec!["check", "--changed-since", "HEAD"];
        all.extend(arguments);
        repo.json(&all)
    };
    let none = "4 missions left out: no change since HEAD affects them";
    let (report, status) = since(&[]);
    assert_eq!((missions(&report), status), (vec![], 0));
    assert_eq!(notes(&report), [none]);

    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 60 %");
    let (report, status) = since(&[]);
    assert_eq!(
        (missions(&report), status),
        (vec!["north-bay-lines".to_owned()], 1)
    );
    assert_eq!(notes(&report), [none.replace('4', "3")]);
    // What is found is what a whole check finds.
    let (whole, _) = repo.json(&["check"]);
    let about = |report: &Json| -> Vec<Json> {
        let all = report["findings"].as_array().unwrap().iter();
        all.filter(|one| one["mission"] == "north-bay-lines")
            .cloned()
            .collect()
    };
    assert_eq!(about(&report), about(&whole));
    assert!(!about(&report).is_empty());
    // A folder and a file as well.
    let (report, _) = since(&["plans/missions"]);
    assert_eq!(missions(&report), ["north-bay-lines"]);
    let (report, _) = since(&[NORTH]);
    assert_eq!(missions(&report), ["north-bay-lines"]);
    let (report, status) = since(&["plans/missions/careless-end.yaml"]);
    assert_eq!((missions(&report), status), (vec![], 0));

    // A file that git does not know, or is told to pass over, counts like any other.
    repo.write(".gitignore", "hidden.yaml\n");
    let north = repo
        .read(NORTH)
        .replace("\nid: north-bay-lines\n", "\nid: hidden\n");
    repo.write("plans/missions/hidden.yaml", &north);
    repo.git(&[
        "update-index",
        "--assume-unchanged",
        "plans/missions/slow-hands.yaml",
    ]);
    repo.edit(
        "plans/missions/slow-hands.yaml",
        "kind: mission\n",
        "kind: mission\n# changed\n",
    );
    let (report, _) = since(&[]);
    assert_eq!(
        missions(&report),
        ["hidden", "north-bay-lines", "slow-hands"]
    );

    // What all of them are made of, or judged by.
    let text = repo.read(SHORE);
    repo.write(SHORE, &format!("{text} \n"));
    let (report, _) = since(&[]);
    assert_eq!(missions(&report).len(), 5);
    assert_eq!(
        notes(&report),
        ["no mission left out: since HEAD the change affects all of them"]
    );
    repo.write(SHORE, &text);
    repo.edit(TEAM, "at_least: 35 %", "at_least: 36 %");
    let (report, _) = since(&[]);
    assert_eq!(missions(&report).len(), 5);
    assert_eq!(
        notes(&report),
        ["no mission left out: since HEAD what judges them changed"]
    );
}

#[test]
#[ignore = "slow"]
fn what_git_hashes_in_another_way_is_told_apart_too() {
    let repo = Repo::demo();
    std::fs::remove_dir_all(repo.path().join(".git")).unwrap();
    repo.git(&["init", "--quiet", "--object-format=sha256"]);
    repo.commit("first");
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 60 %");
    let (report, _) = repo.json(&["check", "--changed-since", "HEAD"]);
    assert_eq!(missions(&report), ["north-bay-lines"]);
}

#[test]
fn what_cannot_be_looked_back_on_is_said() {
    let repo = Repo::demo();
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 60 %");
    repo.commit("second");
    let since = |repo: &Repo, revision: &str| {
        let since = format!("--changed-since={revision}");
        repo.refused(&["check", &since, "--format", "json"])
    };
    let (said, status) = since(&repo, "nowhere");
    assert_eq!(
        said,
        "offing: there is no revision `nowhere` in this repository\n"
    );
    assert_eq!(status, 2);
    let (said, _) = since(&repo, "--output=x");
    assert!(said.contains("there is no revision"), "{said}");
    assert!(!repo.path().join("x").exists());

    let from = format!("file://{}", repo.path().display());
    let shallow = Repo(crate::shared::scratch::folder().unwrap());
    let target = shallow.path();
    repo.git(&[
        "clone",
        "--quiet",
        "--depth",
        "1",
        &from,
        target.to_str().unwrap(),
    ]);
    let (said, status) = since(&shallow, "HEAD~1");
    assert!(said.contains("the clone is shallow"), "{said}");
    assert_eq!(status, 2);

    std::fs::remove_dir_all(repo.path().join(".git")).unwrap();
    let (said, status) = since(&repo, "HEAD");
    assert!(
        said.contains("no git repository is here or above"),
        "{said}"
    );
    assert_eq!(status, 2);
}

#[test]
fn what_is_no_partition_is_a_mistake_of_the_command_line() {
    let repo = Repo::demo();
    for (text, why) in [
        ("0/3", "partitions count from 1"),
        ("4/3", "the last 3/3"),
        ("a/b", "write a partition as K/N"),
        ("1/0", "there can be 1 to 1000 partitions"),
        ("1/100000", "there can be 1 to 1000 partitions"),
    ] {
        for command in [["check", "."].as_slice(), &["review", "HEAD"]] {
            let mut all = command.to_vec();
            all.extend(["--partition", text]);
            let (said, status) = repo.refused(&all);
            assert!(said.contains(why), "{text}: {said}");
            assert_eq!(status, 64, "{text}");
        }
    }
    let (said, status) = repo.refused(&["check", NORTH, "--partition", "1/2"]);
    assert!(said.contains("one file cannot be partitioned"), "{said}");
    assert_eq!(status, 64);
}

#[test]
#[ignore = "slow"]
fn reports_that_are_not_all_parts_of_one_whole_are_not_joined() {
    let repo = Repo::demo();
    repo.parts(&["check"], 2);
    let part = |number: u32| format!("../part-{number}.json");
    let text = |number: u32| repo.read(&part(number));
    let (first, second) = (text(1), text(2));
    let refused = |files: &[&str], form: &str| {
        let mut all = vec!["merge", "--format", form];
        all.extend(files);
        repo.refused(&all)
    };
    let two = |name: &str, other: &str| {
        repo.write(&format!("../{name}"), other);
        let name = format!("../{name}");
        let (said, status) = refused(&["../part-1.json", &name], "json");
        assert_eq!(status, 2, "{said}");
        said
    };
    let said = two("again.json", &first);
    assert!(
        said.contains("../part-1.json and ../again.json are both partition 1/2"),
        "{said}"
    );
    let version = env!("CARGO_PKG_VERSION");
    let said = two(
        "older.json",
        &second.replacen(&format!("\"{version}\""), "\"0.0.1\"", 1),
    );
    assert!(said.contains("offing 0.0.1 wrote it"), "{said}");
    let said = two("many.json", &second.replacen("\"of\": 2", "\"of\": 3", 1));
    assert!(said.contains("it is partition 2/3"), "{said}");
    let said = two(
        "zero.json",
        &second.replacen("\"number\": 2", "\"number\": 3", 1),
    );
    assert!(said.contains("its partition is not one of"), "{said}");
    let said = two("torn.json", &second[..second.len() / 2]);
    assert!(said.contains("it is not a report"), "{said}");
    let said = two("other.json", "{\"kind\": \"mission\"}");
    assert!(said.contains("it is not a report that"), "{said}");
    let said = two(
        "none.json",
        &second.replacen("\"findings\": [", "\"findngs\": [", 1),
    );
    assert!(
        said.contains("it is not as `offing check --format json` writes it"),
        "{said}"
    );
    let limit = second.replacen(
        "\"bound\": \"at least 35 %\"",
        "\"bound\": \"at least 5 %\"",
        1,
    );
    assert_ne!(limit, second);
    assert!(two("limit.json", &limit).contains("different limits of policy `team`"));

    let (said, status) = refused(&["../part-2.json"], "json");
    assert!(said.contains("partitions missing: 1/2"), "{said}");
    assert_eq!(status, 2);
    let (said, status) = refused(&["../part-1.json", "../nowhere.json"], "json");
    assert!(said.contains("../nowhere.json: "), "{said}");
    assert_eq!(status, 2);
    let (said, _) = refused(&["../part-1.json", "."], "json");
    assert!(said.contains("it is not a regular file"), "{said}");

    // Another policy, vessel or mission is another whole.
    let vessel = repo.read(VESSEL);
    for (path, more) in [
        (TEAM, "# another\n"),
        (VESSEL, "# another\n"),
        (NORTH, "# another\n"),
    ] {
        let before = repo.read(path);
        repo.write(path, &format!("{before}{more}"));
        repo.told(&[
            "check",
            "--partition",
            "2/2",
            "--format",
            "json=../else.json",
        ]);
        repo.write(path, &before);
        let (said, status) = refused(&["../part-1.json", "../else.json"], "json");
        assert!(
            said.contains("its plans, policies, rules or options differ"),
            "{path}: {said}"
        );
        assert_eq!(status, 2);
    }
    assert_eq!(repo.read(VESSEL), vessel);

    // What was requested without a partition is a whole already.
    repo.told(&[
        "check",
        "--format",
        "json=../whole.json",
        "--format",
        "sarif=../whole.sarif",
    ]);
    for form in ["json", "sarif"] {
        let (said, status) = refused(&[&format!("../whole.{form}")], form);
        assert!(
            said.contains("it was written without `--partition K/N`"),
            "{said}"
        );
        assert_eq!(status, 2);
    }
}

#[test]
#[ignore = "slow"]
fn the_forms_that_are_joined_are_those_asked_for() {
    let repo = Repo::demo();
    let files = repo.parts(&["check"], 2);
    let all: Vec<&str> = files.iter().map(String::as_str).collect();
    let mut both = vec![
        "merge",
        "--format",
        "json=../all.json",
        "--format",
        "sarif=../all.sarif",
    ];
    both.extend(&all);
    let (said, status) = repo.told(&both);
    assert_eq!((said.as_str(), status), ("", 1));
    let (whole, _) = repo.told(&["check", "--format", "json"]);
    assert_eq!(repo.read("../all.json"), whole);
    assert!(repo.read("../all.sarif").contains("\"2.1.0\""));

    let refused = |form: &str, some: &[&str]| {
        let mut words = vec!["merge", "--format", form];
        words.extend(some);
        let (said, status) = repo.refused(&words);
        assert_eq!(status, 64, "{said}");
        said
    };
    assert!(refused("json", &all).contains("does not name that format"));
    assert!(refused("markdown", &all).contains("merge writes json or sarif"));
    assert!(refused("json", &[]).contains("FILE"));
    let sarif: Vec<&str> = all
        .iter()
        .filter(|file| file.ends_with("sarif"))
        .copied()
        .collect();
    assert!(refused("json", &sarif).contains("does not name that format"));

    // A check and a review are not of one whole.
    repo.told(&[
        "review",
        "HEAD",
        "--partition",
        "2/2",
        "--format",
        "json=../review.json",
    ]);
    let words = [
        "merge",
        "--format",
        "json",
        "../part-1.json",
        "../review.json",
    ];
    let (said, status) = repo.refused(&words);
    assert!(
        said.contains("../review.json is a review's report as JSON"),
        "{said}"
    );
    assert_eq!(status, 2);
}
