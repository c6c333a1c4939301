//! The digests of a plan's files, held against coreutils' `sha256sum`.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

fn report(folder: &Path) -> Value {
    let out = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(["check", "--format", "json"])
        .arg(folder)
        .output()
        .expect("offing runs");
    serde_json::from_slice(&out.stdout).expect("a JSON report")
}

fn sha256sum(of: &[u8]) -> String {
    let folder = crate::shared::scratch::folder().expect("a folder");
    let path = folder.path().join("bytes");
    std::fs::write(&path, of).expect("written");
    let out = Command::new("sha256sum").arg(&path).output().expect("runs");
    let text = String::from_utf8(out.stdout).expect("text");
    text[..64].to_owned()
}

#[test]
fn every_file_of_a_plan_has_the_digest_that_sha256sum_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let report = report(&root.join("plans"));
    let mission = &report["missions"][0];
    let inputs = mission["inputs"].as_array().expect("inputs");
    let roles: Vec<&str> = inputs
        .iter()
        .map(|input| input["role"].as_str().expect("a role"))
        .collect();
    let expected = [
        "mission",
        "vessel",
        "site",
        "shoreline",
        "soundings",
        "orders",
        "policy",
        "rule",
    ];
    assert_eq!(roles, expected);
    let mut statement = format!(
        "offing plan 1\npolicy {}\n",
        mission["policy"].as_str().expect("a policy")
    );
    for input in inputs {
        let path = input["path"].as_str().expect("a path");
        let bytes = [root.join(path), root.join("plans").join(path)]
            .iter()
            .find_map(|path| std::fs::read(path).ok())
            .expect("the file is there");
        let digest = sha256sum(&bytes);
        assert_eq!(input["sha256"], digest.as_str(), "{path}");
        let (role, name) = (
            input["role"].as_str().expect("role"),
            input["name"].as_str().expect("name"),
        );
        statement.push_str(&format!("{digest}  {role} {name}\n"));
    }
    assert_eq!(
        mission["digest"],
        sha256sum(statement.as_bytes()).as_str(),
        "the digest of the whole"
    );
}

#[test]
fn one_byte_of_any_file_changes_the_digest_and_a_path_does_not() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/start");
    let digest = |change: &dyn Fn(&Path)| {
        let folder = crate::shared::scratch::folder().expect("a folder");
        for entry in walkdir(&root) {
            let target = folder
                .path()
                .join(entry.strip_prefix(&root).expect("inside"));
            std::fs::create_dir_all(target.parent().expect("a parent")).expect("made");
            std::fs::copy(&entry, target).expect("copied");
        }
        change(folder.path());
        report(folder.path())["missions"][0]["digest"]
            .as_str()
            .expect("a digest")
            .to_owned()
    };
    let plain = digest(&|_| {});
    for file in walkdir(&root) {
        if file.extension().is_none_or(|ending| ending == "md") {
            continue;
        }
        let inside = file.strip_prefix(&root).expect("inside").to_owned();
        let changed = digest(&|folder| {
            let path = folder.join(&inside);
            let mut text = std::fs::read_to_string(&path).expect("read");
            text.push('\n');
            std::fs::write(&path, text).expect("written");
        });
        assert_ne!(plain, changed, "{}", inside.display());
    }
    let moved = digest(&|folder| {
        let mission = walkdir(folder)
            .into_iter()
            .find(|path| {
                let text = std::fs::read_to_string(path).unwrap_or_default();
                text.contains("kind: mission")
            })
            .expect("a mission");
        std::fs::rename(&mission, folder.join("elsewhere.yaml")).expect("moved");
    });
    assert_eq!(plain, moved);
}

/// Every file below a folder.
fn walkdir(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).expect("listed") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            all.extend(walkdir(&path));
        } else {
            all.push(path);
        }
    }
    all.sort();
    all
}

/// The built-in rules lie in this repository too, as files; they judge from inside the program.
#[test]
#[ignore = "slow"]
fn a_copy_of_a_built_in_rule_is_no_part_of_a_plan() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let alone = report(&root.join("plans/missions/north-bay-lines.yaml"));
    let inputs = alone["missions"][0]["inputs"].as_array().expect("inputs");
    let rules: Vec<&str> = inputs
        .iter()
        .filter(|input| input["role"] == "rule")
        .map(|input| input["name"].as_str().expect("a name"))
        .collect();
    assert_eq!(rules, ["second-try"]);
    let folder = report(&root.join("plans"));
    let missions = folder["missions"].as_array().expect("missions");
    let same = missions
        .iter()
        .find(|mission| mission["mission"] == "north-bay-lines")
        .expect("the mission");
    assert_eq!(alone["missions"][0]["digest"], same["digest"]);
}
