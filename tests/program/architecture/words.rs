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

/// Habits of speech that sentences for people do without. Comments of the source are not held to them.
const HABITS: &[(&[&str], &str)] = &[
    (
        &["is told", "are told", "was told", "be told"],
        "says, shows, reports",
    ),
    (
        &[
            "is asked for",
            "are asked for",
            "was asked for",
            "as asked for",
        ],
        "required, needed; the limit",
    ),
    (&["asks for less", "ask for less"], "is less strict"),
    (
        &["keeps every rule", "keep every rule"],
        "passes every rule",
    ),
    (&["as they are read"], "readings"),
    (&["on to a weir", "on to a shore"], "onto"),
    (
        &["run against the wind", "runs against the wind"],
        "upwind run",
    ),
    (&["not being stated"], "`…` not stated"),
    (&["for want of"], "for lack of, if there is no"),
    (&["bears on", "bear on"], "affects"),
    (&["dealt out"], "partitioned"),
    (
        &["written anew", "approved anew"],
        "rewritten, approved again",
    ),
    (
        &["taken away", "taken off", "takes off"],
        "removed; subtracted, less",
    ),
    (&["steerageway speed"], "minimum steerageway"),
    (&["put right"], "fix, correct"),
    (&["held against"], "compared with"),
    (&["drawn by lot"], "random"),
    (&["taken for granted"], "assumptions"),
    (&["others told"], "others notified"),
    (&["good signature"], "valid signature"),
];

/// Texts with such habits that others write: the files of the demo, which stand in records of runs by
/// their bytes, and what shows them.
const QUOTED: &[(&str, &[&str])] = &[(
    "docs/how-to/rules-of-your-own.md",
    &["run against the wind", "run against the", "asks for less"],
)];

/// Other uses of such words: the file, the text, why it stays.
const ORDINARY: &[(&str, &str, &str)] = &[
    (
        "docs/explanation/decisions.md",
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
        "docs/reference/rules.md",
        "keeping steerage way",
        "the seaman's phrase",
    ),
];

/// The source without its comments and its tests.
fn spoken(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
    let lines = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    lines.collect::<Vec<_>>().join("\n")
}

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
#[ignore = "slow"]
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

#[test]
fn sentences_do_without_habits_of_speech() {
    let mut wrong = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for folder in [
        "src",
        "rules",
        "schemas",
        "docs",
        "README.md",
        "DEVELOPERS.md",
    ] {
        texts(&root.join(folder), &mut files);
    }
    let mut read = 0;
    for file in files {
        let path = file
            .strip_prefix(root)
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        let of_tests = path.starts_with("src/") && path.contains("test");
        if of_tests || path.ends_with("-output.schema.json") || path == "src/schema/renamed.rs" {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        let text = match path.ends_with(".rs") {
            true => flat(&spoken(&text)),
            false => flat(&text),
        };
        read += 1;
        let quoted = QUOTED.iter().filter(|(file, _)| *file == path);
        let quoted: Vec<&str> = quoted.flat_map(|(_, texts)| *texts).copied().collect();
        for (habits, instead) in HABITS {
            for habit in habits.iter().filter(|habit| !quoted.contains(*habit)) {
                if let Some(at) = stands(&text, habit) {
                    let after: String = text[at..].chars().take(60).collect();
                    wrong.push(format!("{path}: not {habit:?} but {instead:?}: …{after}…"));
                }
            }
        }
    }
    assert!(read > 300, "only {read} files were read");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
