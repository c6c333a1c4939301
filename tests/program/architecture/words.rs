//! Words that have another word in their place: one word for one thing, everywhere that people read.

use std::path::{Path, PathBuf};

/// What is not written any more, with what is. Inflected forms stand on their own.
const INSTEAD: &[(&[&str], &str)] = &[
    (
        &["way home", "ways home", "way_home", "homeward"],
        "return leg",
    ),
    (&["flight", "flights", "flown"], "run, runs"),
    (
        &[
            "boat without power",
            "boats without power",
            "dead boat",
            "dead boats",
        ],
        "disabled boat",
    ),
    (
        &[
            "comes on to",
            "come on to",
            "came on to",
            "coming on to",
            "drift on to",
            "drifts on to",
            "drifted on to",
            "drifting on to",
        ],
        "drifts onto, is carried onto",
    ),
    (
        &["not kept", "rule is kept", "rules are kept", "limits kept"],
        "passed, failed; met, not met",
    ),
    (
        &["reckon", "reckons", "reckoned", "reckoning"],
        "calculated",
    ),
    (&["foretell", "foretells", "foretold"], "predicted"),
    (&["dear", "dearer", "dearest"], "costliest"),
    (&["how it was reckoned"], "calculation"),
    (&["what would make it pass"], "to fix (any one)"),
    (&["what would put it right"], "fix"),
    (&["what is needed to judge it"], "missing input"),
    (&["worst in"], "worst case"),
    (&["where the files do not say"], "assumptions"),
    (
        &["piece of advice", "pieces of advice"],
        "advisory, advisories",
    ),
    (&["nearest limit", "nearest limits"], "tightest limit"),
    (&["how the limits move"], "sensitivity"),
    (&["ways to go in the wind"], "alternatives"),
    (
        &["keeps the boat ashore", "kept the boat ashore"],
        "no-go because",
    ),
    (
        &["watch keeper", "watch keepers", "watch_keeper"],
        "lookout",
    ),
    (&["recovery craft", "recovery_craft"], "safety boat"),
    (
        &[
            "landing place",
            "landing places",
            "landing_place",
            "landing_places",
            "landing zone",
            "landing zones",
            "landing_zone",
        ],
        "launch site",
    ),
    (&["run-on", "run_on"], "overrun"),
    (
        &[
            "operator takes over",
            "operator who takes over",
            "operator_takes_over",
            "takeover",
        ],
        "manual override",
    ),
    (&["full cover", "full_cover"], "full coverage"),
    (&["order of survey", "orders of survey"], "survey order"),
    (&["sonar offset", "sonar's offset"], "lever arm"),
    (
        &["steerage speed", "steerage_speed", "steerage"],
        "minimum steerageway",
    ),
    (
        &["roll in step", "rolls in step", "rolling in step"],
        "synchronous roll",
    ),
    (&["where nothing is said"], "default:"),
    (&["off the legs"], "cross-track distance"),
    (&["closed water"], "keep-out area"),
    (&["alarm from elsewhere", "raised_by"], "shore contact"),
];

/// Other uses of such words: the file, the text, why it stays.
const ORDINARY: &[(&str, &str, &str)] = &[
    (
        "docs/decisions.md",
        "schemas are not kept here",
        "of files that are stored",
    ),
    (
        "plans/site/quenderby.yaml",
        "until the young have flown",
        "birds do fly",
    ),
    (
        "rules/configuration/minimum-steerageway.yaml",
        "keeping steerage way",
        "the seaman's phrase",
    ),
    (
        "docs/rules.md",
        "keeping steerage way",
        "the seaman's phrase",
    ),
];

/// A text in small letters on one line, without what begins and ends lines of comments and strings.
fn flat(text: &str) -> String {
    let lines = text.lines().map(|line| {
        let line = line.trim().trim_end_matches('\\').trim_end();
        let line = line
            .trim_start_matches("//")
            .trim_start_matches(['/', '!', '#']);
        line.trim().to_lowercase()
    });
    lines.collect::<Vec<_>>().join(" ")
}

/// Where a phrase stands by itself, no letter, digit or underscore beside it.
fn stands(text: &str, phrase: &str) -> Option<usize> {
    let apart = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '_');
    text.match_indices(phrase).map(|(at, _)| at).find(|at| {
        apart(text[..*at].chars().next_back()) && apart(text[at + phrase.len()..].chars().next())
    })
}

/// The texts that people read below the repository's root, recorded ones left out.
fn texts(at: &Path, into: &mut Vec<PathBuf>) {
    if at.is_dir() {
        for entry in std::fs::read_dir(at).unwrap() {
            texts(&entry.unwrap().path(), into);
        }
    } else if at
        .extension()
        .and_then(|ending| ending.to_str())
        .is_some_and(|ending| ["rs", "yaml", "json", "md"].contains(&ending))
    {
        into.push(at.to_owned());
    }
}

#[test]
fn one_word_stands_for_one_thing() {
    let mut wrong = Vec::new();
    let mut read = 0;
    let folders = [
        "src",
        "rules",
        "schemas",
        "docs",
        "plans",
        "README.md",
        "DEVELOPERS.md",
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for folder in folders {
        texts(&root.join(folder), &mut files);
    }
    for file in files {
        let path = file
            .strip_prefix(root)
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        let text = std::fs::read_to_string(&file).unwrap();
        // The table of old names is there to refuse them.
        if path == "src/schema/renamed.rs" {
            continue;
        }
        let mut text = flat(&text);
        for (_, ordinary, _) in ORDINARY.iter().filter(|(file, _, _)| *file == path) {
            assert!(
                text.contains(ordinary),
                "{path} has no {ordinary:?} any more"
            );
            text = text.replace(ordinary, "");
        }
        read += 1;
        for (old, new) in INSTEAD {
            for phrase in *old {
                if let Some(at) = stands(&text, phrase) {
                    let before: String = text[..at].chars().rev().take(40).collect();
                    let before: String = before.chars().rev().collect();
                    let after: String = text[at..].chars().take(60).collect();
                    wrong.push(format!(
                        "{path}: not {phrase:?} but {new:?}: …{before}{after}…"
                    ));
                }
            }
        }
    }
    assert!(read > 400, "only {read} files were read");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
