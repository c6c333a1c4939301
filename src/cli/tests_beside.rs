//! What bears on a mission is found whatever is asked, and however the files beside it are written.

use std::collections::BTreeMap;

use super::tests_once::{files, tree};
use crate::check::{CheckScope, Outcome, check_folder, check_share, on_large_stacks};
use crate::document::counted::MARK;
use crate::report::json;
use crate::review::{PolicyFrom, ReviewOptions, review_as};

const FIRST: &str = "missions/first-lines.yaml";

/// The minimal repository without its second mission, its files unmarked, with some more.
fn with(more: &[(&str, String)]) -> BTreeMap<String, String> {
    let mut all = files("beside");
    all.remove("missions/second-lines.yaml");
    for text in all.values_mut() {
        if text.starts_with(MARK) {
            let (_, rest) = text.split_once('\n').expect("several lines");
            *text = rest.to_owned();
        }
    }
    let more = more.iter();
    all.extend(more.map(|(path, text)| ((*path).to_owned(), text.clone())));
    all
}

/// The first mission under another id, of another time.
fn another(id: &str, day: &str) -> String {
    let first = with(&[]).remove(FIRST).expect("there");
    let (month, number) = day.split_once('-').expect("a month and a day");
    let before: u8 = number.parse::<u8>().expect("a number") - 1;
    first
        .replace("id: first-lines", &format!("id: {id}"))
        .replace("2027-05-04", &format!("2027-{day}"))
        .replace("2027-05-03", &format!("2027-{month}-{before:02}"))
}

fn repeat(id: &str, of: &str, day: &str) -> String {
    format!(
        "kind: mission\nformat: 1\nid: {id}\nrepeats: {of}\nlaunch: {{ time: 2027-{day}T10:00Z, latest_return: \
         2027-{day}T11:00Z }}\ncharged: 2027-05-02\n"
    )
}

fn checked(files: &BTreeMap<String, String>, path: Option<&str>) -> Outcome {
    let tree = tree(files);
    let scope = CheckScope::default();
    let outcome = match path {
        Some(_) => check_share(&tree, path, scope),
        None => check_folder(&tree, &tree, "", scope),
    };
    outcome.expect("it can be listed")
}

/// The missions that have a boat out which another one has.
fn twice(outcome: &Outcome) -> Vec<&str> {
    let found = outcome.findings.iter();
    let found = found.filter(|one| one.rule == "boat-out-twice");
    found.filter_map(|one| one.mission.as_deref()).collect()
}

#[test]
fn a_repeat_has_the_boat_out_though_its_plan_is_of_another_day() {
    on_large_stacks(|| {
        let files = with(&[
            ("missions/july.yaml", another("july", "07-14")),
            ("missions/again.yaml", repeat("again", "july", "05-04")),
        ]);
        assert_eq!(twice(&checked(&files, None)), ["again", "first-lines"]);
        assert_eq!(twice(&checked(&files, Some(FIRST))), ["first-lines"]);
        // A plan is judged with what repeats it, each beside what has its boat out.
        let plan = checked(&files, Some("missions/july.yaml"));
        assert_eq!(plan.checked.len(), 2);
        assert_eq!(twice(&plan), ["again"]);
        assert_eq!(
            twice(&checked(&files, Some("missions/again.yaml"))),
            ["again"]
        );
        // A review of a change that brings the first mission to that day.
        let mut before = files.clone();
        before.insert(FIRST.to_owned(), another("first-lines", "05-25"));
        let (base, head) = (tree(&before), tree(&files));
        let options = ReviewOptions::by(PolicyFrom::Base);
        let review = review_as((&base, "base"), (&head, "head"), options).expect("listed");
        assert!(twice(&review.outcome).contains(&"first-lines"));
    });
}

/// A text in quotes may go on at the margin, to the parser at hand, and look like keys there.
#[test]
fn no_quoted_text_hides_when_and_where_a_boat_is_out() {
    on_large_stacks(|| {
        for quote in ['"', '\''] {
            for hidden in [
                "launch: { time: 2030-06-15T09:30Z, latest_return: 2030-06-15T10:30Z }\n",
                "vessel: coot\n",
            ] {
                let text = another("other", "05-04");
                let text = format!("{text}title: {quote}a\n{hidden}note: b{quote}\n");
                let titled = text.matches("\ntitle:").count() > 1;
                assert!(!titled, "the mission has a title already");
                let files = with(&[("missions/other.yaml", text)]);
                let whole = checked(&files, None);
                let one = checked(&files, Some(FIRST));
                assert_eq!(
                    twice(&whole).contains(&"first-lines"),
                    twice(&one) == ["first-lines"]
                );
            }
            // A repeat states neither boat nor site.
            let text = repeat("again", "july", "05-04");
            let text = format!("{text}title: {quote}a\nvessel: coot\nsite: sea\nnote: b{quote}\n");
            let files = with(&[
                ("missions/july.yaml", another("july", "07-14")),
                ("missions/again.yaml", text),
            ]);
            let whole = checked(&files, None);
            let one = checked(&files, Some(FIRST));
            assert_eq!(
                twice(&whole).contains(&"first-lines"),
                twice(&one) == ["first-lines"]
            );
        }
    });
}

/// More than is checked together, of missions far from each other: its parts come to what the whole does.
#[test]
fn parts_come_to_what_the_whole_does() {
    on_large_stacks(|| {
        let comment = format!("# {}\n", "x".repeat(1000)).repeat(950);
        let mut files = with(&[]);
        for number in 0..20 {
            let day = format!("{:02}-{:02}", number % 12 + 1, number / 12 * 14 + 2);
            let id = format!("lines-{number}");
            let text = another(&id, &day) + &comment;
            files.insert(format!("missions/{number:02}.yaml"), text);
        }
        for number in [3, 7, 12] {
            let (id, of) = (format!("again-{number}"), format!("lines-{number}"));
            files.insert(format!("missions/{id}.yaml"), repeat(&id, &of, "05-04"));
        }
        let broken = another("broken", "09-28").replace("speed:", "sped:");
        files.insert("missions/broken.yaml".to_owned(), broken);
        files.insert(
            "missions/no-yaml.yaml".to_owned(),
            "kind: mission\n\tid: x\n".to_owned(),
        );
        let parts = checked(&files, None);
        assert!(twice(&parts).len() > 3, "{:?}", twice(&parts));
        // Without the comments they are checked together.
        for text in files.values_mut() {
            if let Some(rest) = text.strip_suffix(comment.as_str()) {
                *text = rest.to_owned();
            }
        }
        let whole = checked(&files, None);
        assert_eq!(parts.checked.len(), whole.checked.len());
        let without_digests = |outcome: &Outcome| {
            let mut value: serde_json::Value =
                serde_json::from_str(&json(outcome).expect("text")).expect("JSON");
            let missions = value["missions"].as_array_mut().expect("a list");
            for mission in missions {
                for of_bytes in ["digest", "inputs", "digests"] {
                    mission.as_object_mut().expect("a mission").remove(of_bytes);
                }
            }
            value
        };
        assert_eq!(without_digests(&parts), without_digests(&whole));
    });
}

/// Of many errors as many are told as of few files, and none of them is passed over in silence.
#[test]
fn errors_of_all_parts_are_bounded_and_counted() {
    on_large_stacks(|| {
        let comment = format!("# {}\n", "x".repeat(1000)).repeat(950);
        let mut files = with(&[]);
        files.remove(FIRST);
        let wrong: String = (0..90)
            .map(|number| format!("wrong-{number}: 1\n"))
            .collect();
        for number in 0..70 {
            let id = format!("lines-{number}");
            let text = another(&id, "05-04") + &wrong;
            // A few are as large as they may be.
            let text = if number < 20 { text + &comment } else { text };
            files.insert(format!("missions/{number:02}.yaml"), text);
        }
        let outcome = checked(&files, None);
        assert!(
            outcome.findings.len() <= 5_000,
            "{}",
            outcome.findings.len()
        );
        let untold = outcome.not_checked.iter();
        let untold: Vec<_> = untold.filter(|one| one.path == ".").collect();
        assert_eq!(untold.len(), 1, "{untold:?}");
        let expected = format!("{} more errors", 70 * 90 - outcome.findings.len());
        assert!(untold[0].why.contains(&expected), "{untold:?}: {expected}");
    });
}
