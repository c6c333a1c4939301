//! What a check of one mission leaves unparsed makes no difference: it says byte for byte what it says where no
//! heading of another mission is plain, so that all of them are parsed.

use std::path::Path;
use std::sync::Mutex;

use offing::door::check::{CheckScope, Progress, check_folder, check_share, on_large_stacks};
use offing::door::plan::Heading;
use offing::door::report::json;
use offing::door::review::{PolicyFrom, ReviewOptions, review_as, to_json};
use offing::door::source::{MemoryTree, Tree as _};
use walkdir::WalkDir;

fn demo() -> MemoryTree {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    let mut tree = MemoryTree::default();
    for entry in WalkDir::new(&root).sort_by_file_name() {
        let path = entry.unwrap().into_path();
        if path.is_file()
            && let Ok(text) = std::fs::read_to_string(&path)
        {
            let below = path.strip_prefix(&root).unwrap().to_str().unwrap();
            tree.put(below.to_owned(), text);
        }
    }
    tree
}

fn missions(tree: &MemoryTree) -> Vec<String> {
    let paths = tree.files.keys();
    let of_missions = paths.filter(|path| path.starts_with("missions/"));
    of_missions.cloned().collect()
}

/// The same tree, in which no mission but one has a heading: a mark at the end of a document is no key.
fn without_headings(tree: &MemoryTree, but: &str) -> MemoryTree {
    let mut other = tree.clone();
    for path in missions(tree).iter().filter(|path| *path != but) {
        let text = format!("{}...\n", tree.files[path]);
        assert_eq!(Heading::parse(&text), None);
        other.put(path.clone(), text);
    }
    other
}

fn said(tree: &MemoryTree, path: &str) -> String {
    let outcome = check_share(tree, Some(path), CheckScope::default()).unwrap();
    json(&outcome).unwrap()
}

#[test]
#[ignore = "slow"]
fn a_check_of_one_mission_says_what_it_says_where_all_are_parsed() {
    on_large_stacks(|| {
        let tree = demo();
        assert!(!tree.list().unwrap().files.is_empty());
        for path in missions(&tree) {
            let all = without_headings(&tree, &path);
            assert_eq!(said(&tree, &path), said(&all, &path), "{path}");
        }
    });
}

/// Another mission has the boat out at the same time, or from a day before on and for days, or not at all.
#[test]
#[ignore = "slow"]
fn whichever_other_mission_has_the_boat_out_is_found() {
    on_large_stacks(|| {
        let path = "missions/north-bay-lines.yaml";
        let other = "missions/over-the-silt.yaml";
        for (time, back, meets) in [
            ("2027-06-15T10:30", "2027-06-15T12:30", true),
            ("2027-06-14T10:00", "2027-06-16T10:00", true),
            ("2027-06-14T12:00", "2027-06-30T10:00", true),
            ("2027-06-15T12:00", "2027-06-15T13:00", false),
            ("2027-06-14T12:00", "2027-06-14T13:00", false),
            ("2027-09-14T12:00", "2027-09-14T13:00", false),
        ] {
            let mut tree = demo();
            let text = tree.files[other]
                .replace("2027-06-16T09:30", time)
                .replace("2027-06-16T11:30", back);
            tree.put(other, text);
            let found = said(&tree, path);
            assert_eq!(found.contains("boat-out-twice"), meets, "{time} {back}");
            assert_eq!(found, said(&without_headings(&tree, path), path));
            let found = reviewed(&tree, path);
            assert_eq!(found.contains("boat-out-twice"), meets, "{time} {back}");
        }
    });
}

/// What a review says of a change of one mission, whether others are parsed or not.
fn reviewed(tree: &MemoryTree, path: &str) -> String {
    let mut changed = tree.clone();
    changed.put(path, format!("{}# changed\n", tree.files[path]));
    let of = |base: &MemoryTree, head: &MemoryTree| {
        let asked = ReviewOptions::by(PolicyFrom::Base);
        let found = review_as((base, "base"), (head, "head"), asked).unwrap();
        (
            to_json(&found).unwrap(),
            found.outcome.findings,
            found.still,
        )
    };
    let (text, found, still) = of(tree, &changed);
    let all = without_headings(tree, path);
    let (_, of_all, of_all_still) = of(&all, &without_headings(&changed, path));
    assert_eq!(
        (found.len(), still.len()),
        (of_all.len(), of_all_still.len())
    );
    text
}

/// The other mission's orders hold its launch up until the day of the first.
#[test]
fn a_delay_that_the_orders_state_brings_two_missions_together() {
    on_large_stacks(|| {
        let path = "missions/north-bay-lines.yaml";
        let other = "missions/over-the-silt.yaml";
        let mut tree = demo();
        let site =
            tree.files["site/quenderby.yaml"].replace("read: 2027-06-14", "read: 2027-06-01");
        tree.put("site/quenderby.yaml", site);
        let text = tree.files[other]
            .replace("2027-06-16T09:30", "2027-06-11T10:00")
            .replace("2027-06-16T11:30", "2027-06-11T13:00");
        let (before, after) = text.split_once("  delay: ").unwrap();
        let (_, after) = after.split_once('\n').unwrap();
        tree.put(other, format!("{before}{after}"));
        let orders = "orders/from-the-slip.yaml";
        let held_up = format!("{}launch: {{ delay: 100 h }}\n", tree.files[orders]);
        tree.put(orders, held_up);
        let found = said(&tree, path);
        assert!(found.contains("boat-out-twice"), "{found}");
        assert_eq!(found, said(&without_headings(&tree, path), path));
    });
}

/// Parts of a check parse only their own missions, and come to what the whole does.
#[test]
#[ignore = "slow"]
fn the_parts_of_a_check_find_what_the_whole_finds() {
    on_large_stacks(|| {
        let tree = demo();
        let whole = check_folder(&tree, &tree, "", CheckScope::default()).unwrap();
        let mut parts = Vec::new();
        let mut digests = Vec::new();
        for number in 1..=3 {
            let scope = CheckScope {
                partition: Some(format!("{number}/3").parse().unwrap()),
                ..CheckScope::default()
            };
            let part = check_folder(&tree, &tree, "", scope).unwrap();
            digests.push(part.part_of.as_ref().unwrap().digest.clone());
            parts.extend(part.findings.into_iter().map(|one| one.fingerprint));
        }
        digests.dedup();
        assert_eq!(digests.len(), 1, "of one state of the repository");
        let mut all: Vec<String> = whole
            .findings
            .into_iter()
            .map(|one| one.fingerprint)
            .collect();
        all.sort();
        parts.sort();
        assert_eq!(parts, all);
    });
}

/// More than 16 MiB of files are checked part by part, which comes to what the whole does; the parts are counted on.
#[test]
#[ignore = "slow"]
fn a_large_tree_comes_to_what_a_small_one_does_and_its_parts_are_counted_on() {
    on_large_stacks(|| {
        let mut small = demo();
        let text = small.files["missions/north-bay-lines.yaml"].clone();
        for number in 0..4 {
            let id = format!("id: north-bay-lines-{number}\n");
            let path = format!("missions/again-{number}.yaml");
            small.put(path, text.replace("id: north-bay-lines\n", &id));
        }
        let mut large = small.clone();
        let missions = small
            .files
            .keys()
            .filter(|path| path.starts_with("missions/"));
        let missions: Vec<&String> = missions.collect();
        let room = (18 << 20) / missions.len();
        for path in missions {
            let line = format!("# {}\n", "x".repeat(77));
            large.put(
                path,
                small.files[path].clone() + &line.repeat(room / line.len()),
            );
        }
        let told = Mutex::new(Vec::new());
        let watch = |progress: Progress| told.lock().unwrap().push((progress.done, progress.of));
        let scope = CheckScope {
            watch: Some(&watch),
            ..CheckScope::default()
        };
        let found = |tree: &MemoryTree, scope: CheckScope<'_>| -> Vec<String> {
            let outcome = check_folder(tree, tree, "", scope).unwrap();
            let all = outcome.findings.into_iter();
            all.map(|one| one.fingerprint).collect()
        };
        assert_eq!(found(&large, scope), found(&small, CheckScope::default()));
        let told = told.into_inner().unwrap();
        let of = told[0].1;
        assert!(of > 1000 && told.iter().all(|one| one.1 == of), "{told:?}");
        assert_eq!(told.iter().map(|one| one.0).max(), Some(of));
    });
}
