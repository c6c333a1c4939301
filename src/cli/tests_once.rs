//! A command reads and parses each file of a tree once, whatever it is asked.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::{Arc, Mutex};

use super::list;
use crate::check::{
    CheckScope, Reading, Since, asked, check_folder, check_share, check_share_on, file_of,
    on_large_stacks, reader,
};
use crate::document::counted::{MARK, take};
use crate::review::{PolicyFrom, ReviewOptions, review_as};
use crate::source::{Limit, Listing, MemoryTree, ReadError, Tree};

/// A tree that counts how often each of its files is read.
pub(super) struct Counted {
    files: MemoryTree,
    read: Mutex<BTreeMap<String, usize>>,
}

impl Tree for Counted {
    fn list(&self) -> Result<Listing, ReadError> {
        self.files.list()
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        let mut read = self.read.lock().expect("no other test has it");
        *read.entry(path.to_owned()).or_default() += 1;
        self.files.read(path, limit)
    }
}

/// A folder of a tree: only what lies in it is listed.
struct Folder<'a>(&'a dyn Tree, &'a str);

impl Tree for Folder<'_> {
    fn list(&self) -> Result<Listing, ReadError> {
        let mut listing = self.0.list()?;
        listing.files.retain(|file| file.path.starts_with(self.1));
        Ok(listing)
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        self.0.read(path, limit)
    }
}

const POLICY: &str =
    "kind: policy\nformat: 1\nid: team\ntitle: Team\nextends: builtin\nrules: {}\n";

/// The minimal repository with a second mission and a policy, each file marked by a name.
pub(super) fn files(name: &str) -> BTreeMap<String, String> {
    let start = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/start");
    let text = |file: &str| fs::read_to_string(start.join(file)).expect("the minimal repository");
    let first = text("first-lines.yaml");
    let second = first
        .replace("id: first-lines", "id: second-lines")
        .replace("2027-05-04", "2027-05-05")
        .replace("2027-05-03", "2027-05-04");
    let site = text("pond.yaml");
    let all = [
        ("missions/first-lines.yaml", first),
        ("missions/second-lines.yaml", second),
        ("boat.yaml", text("boat.yaml")),
        ("pond.yaml", site),
        ("policy.yaml", POLICY.to_owned()),
        ("other.yaml", "hello: world\n".to_owned()),
        ("pond-shoreline.geojson", text("pond-shoreline.geojson")),
    ];
    let marked = |(path, text): (&str, String)| {
        let marked = match path.ends_with(".yaml") {
            true => format!("{MARK}{name} {path}\n{text}"),
            false => text,
        };
        (path.to_owned(), marked)
    };
    all.into_iter().map(marked).collect()
}

pub(super) fn tree(files: &BTreeMap<String, String>) -> Counted {
    let mut tree = MemoryTree::default();
    for (path, text) in files {
        tree.put(path.as_str(), text.as_str());
    }
    Counted {
        files: tree,
        read: Mutex::default(),
    }
}

/// The tree of some files, and that in which the first mission is launched with less charge.
fn with_less_charge(before: &BTreeMap<String, String>) -> [Counted; 2] {
    let mut after = before.clone();
    let mission = after.get_mut("missions/first-lines.yaml").expect("there");
    *mission = mission.replace("charge_at_launch: 95 %", "charge_at_launch: 94 %");
    [tree(before), tree(&after)]
}

/// That no file of the trees was read twice, and no text parsed more often than there are trees that have
/// it; and that as many were parsed as are expected, so that something was counted.
#[track_caller]
fn once(name: &str, trees: &[&Counted], parsed: usize) {
    for tree in trees {
        let read = std::mem::take(&mut *tree.read.lock().expect("no other test has it"));
        let twice: Vec<_> = read.iter().filter(|(_, count)| **count > 1).collect();
        assert!(twice.is_empty(), "read more than once: {twice:?}");
    }
    let counted = take(name);
    let often: Vec<_> = counted
        .iter()
        .filter(|(_, count)| **count > trees.len())
        .collect();
    assert!(often.is_empty(), "parsed more than once: {often:?}");
    assert_eq!(counted.values().sum::<usize>(), parsed, "{counted:?}");
}

#[test]
fn a_check_of_all_of_one_file_of_an_id_and_of_a_folder() {
    on_large_stacks(|| {
        let tree = tree(&files("check"));
        let scope = CheckScope::default();
        check_folder(&tree, &tree, "", scope).expect("it can be listed");
        once("check ", &[&tree], 6);
        let file = "missions/first-lines.yaml";
        check_share(&tree, Some(file), scope).expect("it can be listed");
        // The other mission has its boat out the next day.
        once("check ", &[&tree], 5);
        // A file that a sweep would pass over, and that is requested.
        check_share(&tree, Some("other.yaml"), scope).expect("it can be listed");
        once("check ", &[&tree], 6);
        let mut read = reader();
        let tree_once = crate::source::Held::from_tree(&tree).expect("it can be listed");
        let file = file_of(&tree_once, "second-lines", &mut read).expect("the mission");
        check_share_on(&tree_once, Some(&file), scope, read).expect("it can be listed");
        once("check ", &[&tree], 5);
        // The folder has no vessel, which is looked for in the whole repository.
        let part = Folder(&tree, "missions/");
        let outcome = check_folder(&part, &tree, "missions", scope).expect("it can be listed");
        assert_eq!(outcome.checked.len(), 2);
        once("check ", &[&tree], 6);
        let found = asked(&tree, "first-lines", None).expect("the mission");
        assert_eq!(found.loaded.linked.plans.len(), 1);
        once("check ", &[&tree], 5);
    });
}

/// The record of a run, as far as its heading goes.
const RECORD: &str = "kind: run\nformat: 1\nid: first-lines-1\nmission: first-lines\nlaunched: \
                      \"2027-05-04T10:00:00Z\"\nended: \"2027-05-04T10:40:00Z\"\nrecorded: \
                      \"2027-05-04T12:00:00Z\"\n";

/// A mission in July, and the record of a run: nothing to one in May.
fn far_from_it(name: &str) -> BTreeMap<String, String> {
    let mut all = files(name);
    let first = all.get("missions/first-lines.yaml").expect("there");
    let mark = |path: &str, text: &str| format!("{MARK}{name} {path}\n{text}");
    let (_, plain) = first.split_once('\n').expect("several lines");
    let july = plain
        .replace("id: first-lines", "id: july-lines")
        .replace("2027-05-0", "2027-07-0");
    let path = "missions/july-lines.yaml";
    all.insert(path.to_owned(), mark(path, &july));
    let path = "runs/first-lines-1.yaml";
    all.insert(path.to_owned(), mark(path, RECORD));
    all
}

#[test]
fn of_a_mission_that_is_asked_for_no_other_is_parsed_that_cannot_bear_on_it() {
    on_large_stacks(|| {
        let files = far_from_it("about");
        let counted = tree(&files);
        let scope = CheckScope::default();
        let parsed = |path: &str| {
            check_share(&counted, Some(path), scope).expect("it can be listed");
        };
        check_folder(&counted, &counted, "", scope).expect("it can be listed");
        once("about ", &[&counted], 8);
        // Neither the mission of the next day, nor that in July, nor the record.
        parsed("missions/first-lines.yaml");
        once("about ", &[&counted], 5);
        parsed("missions/july-lines.yaml");
        once("about ", &[&counted], 5);
        asked(&counted, "july-lines", None).expect("the mission");
        once("about ", &[&counted], 5);
        let mut read = reader();
        let held = crate::source::Held::from_tree(&counted).expect("it can be listed");
        let file = file_of(&held, "july-lines", &mut read).expect("the mission");
        check_share_on(&held, Some(&file), scope, read).expect("it can be listed");
        once("about ", &[&counted], 5);
        // Whatever a vessel bears on is judged.
        parsed("boat.yaml");
        once("about ", &[&counted], 8);
    });
}

#[test]
fn of_a_mission_that_is_asked_for_another_of_its_boat_and_day_is_parsed() {
    on_large_stacks(|| {
        let mut files = far_from_it("same-day");
        let july = files.get_mut("missions/july-lines.yaml").expect("there");
        *july = july.replace("2027-07-0", "2027-05-0");
        let counted = tree(&files);
        let file = "missions/first-lines.yaml";
        let outcome = check_share(&counted, Some(file), CheckScope::default());
        let outcome = outcome.expect("it can be listed");
        let mut found = outcome.findings.iter();
        assert!(found.any(|one| one.rule == "boat-out-twice"));
        once("same-day ", &[&counted], 6);
    });
}

#[test]
fn a_mission_whose_heading_is_not_plain_may_bear_on_any_other() {
    on_large_stacks(|| {
        let july = "missions/july-lines.yaml";
        for (from, to) in [
            ("id: july-lines\n", "id: \"july-lines\"\n"),
            ("2027-07-04T10:00Z", "\"2027-07-04T10:00Z\""),
            ("delay: 10 min", "delay: soon"),
            ("vessel: boat\n", "\"vessel\": boat\n"),
        ] {
            let mut files = far_from_it("plainly");
            let text = files.get_mut(july).expect("there");
            let changed = text.replace(from, to);
            assert_ne!(*text, changed, "{from}");
            *text = changed;
            let counted = tree(&files);
            let scope = CheckScope::default();
            let file = "missions/first-lines.yaml";
            check_share(&counted, Some(file), scope).expect("it can be listed");
            once("plainly ", &[&counted], 6);
        }
        // So does one of the same id, and one that is repeated.
        let mut files = far_from_it("plainly");
        let text = files.get_mut(july).expect("there");
        *text = text.replace("id: july-lines", "id: first-lines");
        let counted = tree(&files);
        let file = "missions/first-lines.yaml";
        let outcome = check_share(&counted, Some(file), CheckScope::default());
        let outcome = outcome.expect("it can be listed");
        let twice = |finding: &crate::finding::Finding| finding.message.contains("have the id");
        assert!(outcome.findings.iter().any(twice), "{:?}", outcome.findings);
        once("plainly ", &[&counted], 6);
        let mut files = far_from_it("plainly");
        let again = "kind: mission\nformat: 1\nid: august-lines\nrepeats: july-lines\nlaunch: { time: \
                     2027-08-06T10:00Z, latest_return: 2027-08-06T11:00Z }\ncharged: 2027-08-05\n";
        let path = "missions/august-lines.yaml";
        files.insert(path.to_owned(), format!("{MARK}plainly {path}\n{again}"));
        let counted = tree(&files);
        let outcome = check_share(&counted, Some(path), CheckScope::default());
        assert_eq!(outcome.expect("it can be listed").checked.len(), 1);
        once("plainly ", &[&counted], 6);
    });
}

#[test]
fn a_change_that_is_reviewed_or_looked_back_on() {
    on_large_stacks(|| {
        let [base, head] = &with_less_charge(&files("review"));
        let options = ReviewOptions::by(PolicyFrom::Base);
        review_as((base, "base"), (head, "head"), options).expect("both can be listed");
        // Of the mission that is the same in both, its heading is enough: it is out the next day.
        once("review ", &[base, head], 10);
        let everything = ReviewOptions {
            reading: Reading::Everything,
            ..options
        };
        review_as((base, "base"), (head, "head"), everything).expect("both can be listed");
        once("review ", &[base, head], 12);
        let scope = CheckScope {
            since: Some(Since {
                name: "base",
                part: base,
                whole: base,
            }),
            ..CheckScope::default()
        };
        check_folder(head, head, "", scope).expect("both can be listed");
        // Here its heading is enough.
        once("review ", &[base, head], 10);
        // What the look at the change passes over is no longer, once it is asked for.
        let outcome = check_share(head, Some("other.yaml"), scope).expect("both can be listed");
        let skipped = outcome.notes.iter().any(|note| note.contains("skipped"));
        assert!(!skipped, "{:?}", outcome.notes);
        assert!(!outcome.findings.is_empty());
        take("review ");
    });
}

/// Of a mission that is out in another month nothing is parsed for a change of this one.
#[test]
fn a_change_that_is_reviewed_beside_missions_far_from_it() {
    on_large_stacks(|| {
        let [base, head] = &with_less_charge(&far_from_it("review-far"));
        let options = ReviewOptions::by(PolicyFrom::Base);
        review_as((base, "base"), (head, "head"), options).expect("both can be listed");
        // All but the one of the next day and the one of July, of each tree.
        once("review-far ", &[base, head], 12);
    });
}

/// Where a change's own policy does not judge it, the files are loaded once more, as a tree that has the
/// earlier policy in the later one's place.
#[test]
fn a_change_of_what_judges() {
    on_large_stacks(|| {
        let before = files("judging");
        let mut after = before.clone();
        after.get_mut("policy.yaml").expect("there").push('\n');
        let trees = [tree(&before), tree(&after)];
        let [base, head] = &trees;
        let options = ReviewOptions::by(PolicyFrom::Base);
        review_as((base, "base"), (head, "head"), options).expect("both can be listed");
        for one in [base, head] {
            let read = one.read.lock().expect("no other test has it");
            assert!(read.values().all(|count| *count == 1), "{read:?}");
        }
        let counted = take("judging ");
        assert!(counted.values().all(|count| *count <= 3), "{counted:?}");
    });
}

#[test]
fn what_is_listed_of_a_folder_of_a_repository() {
    let folder = tempfile::tempdir().expect("a folder");
    for (path, text) in files("list") {
        let path = folder.path().join(path);
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(path, text).expect("written");
    }
    fs::create_dir(folder.path().join(".git")).expect("made");
    on_large_stacks(|| {
        for at in ["", "missions"] {
            let (_, loaded) = list::loaded(&folder.path().join(at)).expect("read");
            assert_eq!(loaded.linked.plans.len(), 2, "{at}");
            once("list ", &[&tree(&BTreeMap::new())], 6);
        }
    });
}

/// Missions that all bear on one another, together more than is checked at once: they are checked together all the
/// same, and none is parsed with each part anew.
#[test]
fn missions_that_bear_on_one_another_are_parsed_once() {
    on_large_stacks(|| {
        let mut files = files("heap");
        let first = files.remove("missions/first-lines.yaml").expect("there");
        files.remove("missions/second-lines.yaml");
        let comment = format!("# {}\n", "x".repeat(1000)).repeat(950);
        for number in 0..20 {
            let text = first.replace("id: first-lines", &format!("id: lines-{number}"));
            let (_, text) = text.split_once('\n').expect("several lines");
            let path = format!("missions/{number}.yaml");
            let text = format!("{MARK}heap {path}\n{text}{comment}");
            files.insert(path, text);
        }
        let counted = tree(&files);
        let whole = check_folder(&counted, &counted, "", CheckScope::default());
        let whole = whole.expect("it can be listed");
        assert_eq!(whole.checked.len(), 20);
        let mut found = whole.findings.iter();
        assert!(found.any(|one| one.rule == "boat-out-twice"));
        once("heap ", &[&counted], 24);
    });
}

/// Missions of a month each, together more than is parsed at once: the whole is checked part by part, and so is
/// one of them or a share; what to do is reported where all were to be held.
#[test]
fn more_than_is_parsed_at_once_is_read_for_its_headings() {
    on_large_stacks(|| {
        let mut files = files("wall");
        let first = files.remove("missions/first-lines.yaml").expect("there");
        files.remove("missions/second-lines.yaml");
        let comment = format!("# {}\n", "x".repeat(1000)).repeat(950);
        for number in 0..72 {
            let (year, month) = (2028 + number / 12, number % 12 + 1);
            let text = first
                .replace("id: first-lines", &format!("id: lines-{number}"))
                .replace("2027-05-0", &format!("{year}-{month:02}-0"));
            let (_, text) = text.split_once('\n').expect("several lines");
            let path = format!("missions/{number}.yaml");
            let text = format!("{MARK}wall {path}\n{text}{comment}");
            files.insert(path, text);
        }
        let path = "runs/first-lines-1.yaml";
        files.insert(path.to_owned(), format!("{MARK}wall {path}\n{RECORD}"));
        let counted = tree(&files);
        let whole = check_folder(&counted, &counted, "", CheckScope::default());
        let whole = whole.expect("part by part");
        assert_eq!(whole.checked.len(), 72);
        assert!(whole.part_of.is_none() && whole.not_checked.is_empty());
        assert!(!whole.notes.iter().any(|note| note.contains("partition")));
        // Each mission with the part that has it, and a record, which bears on none, with the first.
        let parsed = take("wall ");
        assert!(parsed.contains_key("wall runs/first-lines-1.yaml"));
        assert!(parsed.values().all(|count| *count == 1), "{parsed:?}");
        let said = crate::check::load(&counted, None).map(|_| ());
        let said = said.expect_err("it is too much at once").to_string();
        assert!(
            said.contains("64 MiB") && said.contains("--partition"),
            "{said}"
        );
        let one = check_share(&counted, Some("missions/7.yaml"), CheckScope::default());
        assert_eq!(one.expect("it can be listed").checked.len(), 1);
        // The mission, and the four files that are none.
        assert_eq!(take("wall ").values().sum::<usize>(), 5);
        let found = asked(&counted, "lines-8", None).expect("the mission");
        assert_eq!(found.plan.mission.id.value, "lines-8");
        take("wall ");
        let scope = CheckScope {
            partition: Some("1/9".parse().expect("one of nine")),
            ..CheckScope::default()
        };
        let outcome = check_folder(&counted, &counted, "", scope).expect("a share of it");
        assert!(take("wall ").values().sum::<usize>() < 30);
        assert!((1..30).contains(&outcome.checked.len()));
    });
}
