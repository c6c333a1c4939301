//! Folders with several files of which one is broken, and paths that lead nowhere good.

use super::tree::{Files, MARK, SHORELINE, SITE, VESSEL, check_folder, mission, places, told};
use offing::door::check::{CheckScope, Outcome, check_folder as check_in};
use offing::door::source::{WorkTree, open_argument};

const IDS: &[&str] = &["long-run-downwind", "north-bay-lines", "headwind-return"];

fn checked(outcome: &Outcome) -> Vec<&str> {
    let checked = outcome.checked.iter();
    checked.map(|one| one.mission.as_str()).collect()
}

fn reasons(outcome: &Outcome) -> Vec<(&str, &str)> {
    let files = outcome.not_checked.iter();
    files
        .map(|one| (one.path.as_str(), one.why.as_str()))
        .collect()
}

fn status(outcome: &Outcome) -> u8 {
    offing::door::report::exit_status(outcome, offing::door::finding::Severity::Error)
}

#[test]
#[ignore = "slow"]
fn one_broken_mission() {
    let whole = Files::demo(IDS).check();
    for (from, to, why) in [
        (
            "at_end: { action: hold }\non_lost_link:",
            "at_end: { action: hold\n§on_lost_link:",
            "it cannot be read",
        ),
        (
            "charge_at_launch: 95 %",
            "charge_at_launch: §95",
            "it does not fit its schema",
        ),
        (
            "charge_at_launch: 95 %",
            "charge_at_launch: §195 %",
            "it has errors",
        ),
        (
            "vessel: goosander",
            "vessel: §teal",
            "it names something that does not exist",
        ),
    ] {
        let mut files = Files::demo(IDS);
        files.edit(&mission("north-bay-lines"), from, to);
        let outcome = files.check();
        assert_eq!(places(&outcome), files.marks(), "{to}");
        assert_eq!(checked(&outcome), ["headwind-return", "long-run-downwind"]);
        assert_eq!(reasons(&outcome), [("missions/north-bay-lines.yaml", why)]);
        assert_eq!(status(&outcome), 2);
        // What is found in the others is as it was.
        for other in &outcome.checked {
            let before = whole.checked.iter().find(|one| one.path == other.path);
            assert_eq!(Some(other), before);
        }
    }
}

/// A second vessel and a second site, one of each broken.
#[test]
fn one_broken_vessel_and_site() {
    let mut whole = Files::demo(IDS);
    let teal = whole.text(VESSEL).replace("id: goosander", "id: teal");
    whole.write("vessels/teal.yaml", teal);
    let upper = whole.text(SITE).replace("id: quenderby", "id: upper");
    whole.write("site/upper.yaml", upper);
    whole.edit(
        &mission("north-bay-lines"),
        "vessel: goosander",
        "vessel: teal",
    );
    whole.edit(
        &mission("headwind-return"),
        "site: quenderby",
        "site: upper",
    );
    let outcome = whole.check();
    assert_eq!(checked(&outcome).len(), 3);
    assert_eq!(reasons(&outcome), []);

    let mut files = whole.clone();
    files.edit(
        "vessels/teal.yaml",
        "displacement: 20 kg",
        "displacement: §20",
    );
    files.edit("site/upper.yaml", "water: fresh", "water: §brackish");
    files.edit(&mission("north-bay-lines"), "vessel: teal", "vessel: §teal");
    files.edit(&mission("headwind-return"), "site: upper", "site: §upper");
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert_eq!(checked(&outcome), ["long-run-downwind"]);
    assert_eq!(
        reasons(&outcome),
        [
            (
                "missions/headwind-return.yaml",
                "its site `upper` cannot be used"
            ),
            (
                "missions/north-bay-lines.yaml",
                "its vessel `teal` cannot be used"
            ),
        ]
    );
    assert_eq!(status(&outcome), 2);

    let mut files = whole;
    let cut = files.text("vessels/teal.yaml").replace("hull:", "hull: §]");
    files.write("vessels/teal.yaml", cut);
    files.edit(&mission("north-bay-lines"), "vessel: teal", "vessel: §teal");
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert_eq!(checked(&outcome), ["headwind-return", "long-run-downwind"]);
    assert_eq!(
        reasons(&outcome),
        [
            (
                "missions/north-bay-lines.yaml",
                "it names something that does not exist"
            ),
            ("vessels/teal.yaml", "it cannot be read"),
        ]
    );
    insta::assert_snapshot!(told(&outcome));
}

/// Two sites that share one broken shoreline each say so on their own line.
#[test]
fn one_broken_shoreline_of_two_sites() {
    let mut files = Files::demo(IDS);
    let upper = files.text(SITE).replace("id: quenderby", "id: upper");
    files.write("site/upper.yaml", upper);
    files.edit(
        &mission("headwind-return"),
        "site: quenderby",
        "site: §upper",
    );
    for id in ["long-run-downwind", "north-bay-lines"] {
        files.edit(&mission(id), "site: quenderby", "site: §quenderby");
    }
    for path in [SITE, "site/upper.yaml"] {
        files.edit(
            path,
            "file: quenderby-shoreline",
            "file: §quenderby-shoreline",
        );
    }
    files.write(
        SHORELINE,
        "{ \"type\": \"Polygon\", \"coordinates\": [§[[1, 2] }\n",
    );
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks(), "{}", told(&outcome));
    assert_eq!(checked(&outcome), [""; 0]);
    assert_eq!(reasons(&outcome).len(), 3);
    insta::assert_snapshot!(told(&outcome));
}

#[test]
fn two_files_with_one_id() {
    let mut files = Files::demo(IDS);
    let other = files
        .text(VESSEL)
        .replace("id: goosander", "id: §goosander");
    files.write("vessels/other.yaml", other);
    // Files are read in order of their paths: `goosander.yaml` comes first.
    for id in IDS {
        files.edit(&mission(id), "vessel: goosander", "vessel: §goosander");
    }
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert_eq!(checked(&outcome), [""; 0]);
    let vessels = told(&outcome);

    let mut files = Files::demo(&["north-bay-lines"]);
    let other = files.text("missions/north-bay-lines.yaml");
    let other = other.replace("id: north-bay-lines", "id: §north-bay-lines");
    files.write("missions/other.yaml", other);
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert_eq!(status(&outcome), 2);
    insta::assert_snapshot!(vessels + &told(&outcome));
}

#[test]
fn nothing_to_check() {
    let empty = Files::default();
    let no_mission = Files::demo(&[]);
    let mut text = String::new();
    for files in [empty, no_mission] {
        let outcome = files.check();
        assert_eq!(places(&outcome), []);
        assert_eq!(status(&outcome), 2);
        text += &told(&outcome);
        text += "\n";
    }
    insta::assert_snapshot!(text);
}

#[test]
fn a_folder_that_is_not_there() {
    let folder = crate::shared::scratch::folder().expect("a folder");
    let error = check_folder(&folder.path().join("nowhere"), None).expect_err("nothing is there");
    let shown = error
        .to_string()
        .replace(&folder.path().display().to_string(), "");
    assert_eq!(shown, "/nowhere: not found");
}

/// Links, pipes and repositories within the repository might hold a plan, so they are reported.
#[cfg(unix)]
#[test]
fn links_and_other_repositories() {
    let files = Files::demo(&["north-bay-lines"]);
    let folder = files.lay_out();
    let outside = Files::demo(IDS).lay_out();
    let link = |from: &str, to: &str| {
        std::os::unix::fs::symlink(outside.path().join(from), folder.path().join(to))
            .expect("linked");
    };
    link("missions/headwind-return.yaml", "missions/linked.yaml");
    link("missions", "linked-missions");
    link("missions", "missions.2027");
    link("site/quenderby-shoreline.geojson", "a-map.geojson");
    std::fs::create_dir_all(folder.path().join("boats.d/.git")).expect("folders");
    std::fs::create_dir_all(folder.path().join("a/".repeat(40))).expect("folders");
    let outcome = check_folder(folder.path(), None).expect("listed");
    assert_eq!(checked(&outcome), ["north-bay-lines"]);
    assert_eq!(status(&outcome), 2);
    insta::assert_snapshot!(told(&outcome));
}

/// One named file: a mission is checked by itself, a vessel with the missions that it bears on.
#[test]
fn one_file_of_many() {
    let mut files = Files::demo(IDS);
    files.edit(
        &mission("headwind-return"),
        "charge_at_launch: 100 %",
        "charge_at_launch: §100",
    );
    files.write(
        "notes.md",
        "# Notes\n\nNothing here: neither [a plan nor a boat.\n",
    );
    files.write("list.yaml", "- 1\n");
    files.write("manifest.yaml", "spec: {}\n");
    files.write("sentence.yaml", "Nothing here.\n");
    let folder = files.lay_out();
    let look = |path: &str| check_folder(folder.path(), Some(path)).expect("readable");

    let outcome = look("missions/north-bay-lines.yaml");
    assert_eq!(checked(&outcome), ["north-bay-lines"]);
    assert_eq!(status(&outcome), 0, "{}", told(&outcome));

    let outcome = look("missions/headwind-return.yaml");
    assert_eq!(places(&outcome), files.marks());
    assert_eq!(status(&outcome), 2);

    let outcome = look(VESSEL);
    assert_eq!(checked(&outcome), ["long-run-downwind", "north-bay-lines"]);

    let mut text = String::new();
    for path in [
        "notes.md",
        "list.yaml",
        "manifest.yaml",
        "sentence.yaml",
        SHORELINE,
    ] {
        let outcome = look(path);
        assert_eq!(checked(&outcome), [""; 0], "{path}");
        assert!(!places(&outcome).is_empty(), "{path}");
        assert_eq!(status(&outcome), 2, "{path}");
        text += &format!("## {path} at {:?}\n{}\n", places(&outcome), told(&outcome));
    }
    insta::assert_snapshot!(text);
    let error = check_folder(folder.path(), Some("missions/nowhere.yaml")).expect_err("not there");
    assert_eq!(error.to_string(), "missions/nowhere.yaml: not found");
}

/// A broken vessel that is requested by name still shows which missions hang on it.
#[test]
fn one_broken_file_of_many() {
    let mut files = Files::demo(IDS);
    files.edit(VESSEL, "displacement: 20 kg", "displacement: §20");
    let folder = files.lay_out();
    let outcome = check_folder(folder.path(), Some(VESSEL)).expect("readable");
    let own: Vec<_> = places(&outcome);
    assert!(own.contains(&files.marks()[0]), "{own:?}");
    assert_eq!(reasons(&outcome).len(), 3, "{}", told(&outcome));
    let site = check_folder(folder.path(), Some(SITE)).expect("readable");
    assert_eq!(status(&site), 2);
    assert_eq!(reasons(&site).len(), 3, "{}", told(&site));
    insta::assert_snapshot!(told(&outcome));
    assert!(!files.text(SITE).contains(MARK));
}

/// A folder of missions alone is checked with the vessel, site and policy of its repository.
#[test]
fn a_folder_of_missions_alone() {
    let mut files = Files::demo(IDS);
    files.write("drafts/other.yaml", "kind: mission\nid: other\n");
    let folder = files.lay_out();
    std::fs::create_dir(folder.path().join(".git")).expect("a folder");
    let opened = open_argument(&folder.path().join("missions")).expect("there");
    let whole = WorkTree::open(opened.tree.root()).expect("there");
    let look = |within: &str| {
        check_in(&opened.tree, &whole, within, CheckScope::default()).expect("listed")
    };
    let outcome = look(&opened.within);
    let mut expected = IDS.to_vec();
    expected.sort_unstable();
    assert_eq!(checked(&outcome), expected);
    assert_eq!(reasons(&outcome), []);
    assert!(outcome.checked.iter().all(|one| one.policy == "team"));
    // By itself the folder lacks what its missions name.
    assert_eq!(checked(&look("")), [""; 0]);
}

/// A file that cannot be read is reported once, and a map is no plan.
#[test]
fn told_once() {
    let files = Files::demo(IDS);
    let folder = files.lay_out();
    std::fs::write(
        folder.path().join("latin.yaml"),
        b"kind: mission\nid: \xe9\n",
    )
    .expect("written");
    let outcome = check_folder(folder.path(), Some("latin.yaml")).expect("listed");
    assert_eq!(outcome.findings.len(), 1, "{}", told(&outcome));
    assert_eq!(outcome.findings[0].rule, "input-unreadable");
    assert_eq!(reasons(&outcome).len(), 1, "{}", told(&outcome));
    let map = check_folder(folder.path(), Some(SHORELINE)).expect("listed");
    assert!(
        map.findings[0].message.contains("through the site"),
        "{}",
        told(&map)
    );
}
