//! What is said of a launch and a run stands in its file as it was said, and acts on nothing where it is
//! shown.

use offing::door::document::{ParseLimits, parse};
use offing::door::history::Records;
use offing::door::source::{Sources, WorkTree, printable};

use super::repo::Repo;
use super::season::{Run, Season, deciding, record};

const TEXTS: [&str; 9] = [
    "::error::x",
    "##[error]x and ##vso[task.x]y",
    "a\u{2028}b\u{2029}c\u{85}d",
    "  outer blanks \t",
    "line\nline\r\nline ",
    "\u{1b}[2J\u{7}",
    "\u{202e}dlrow\u{200b}\u{feff}",
    "\\u003a \" ' # - ? | > % @ ` &a *b !c {d} [e]",
    "1e3",
];

fn read(repo: &Repo) -> Records {
    Records::read(&WorkTree::open(repo.path()).unwrap()).unwrap()
}

/// Who decided, as the only decision has it.
fn by_of(repo: &Repo) -> String {
    let mut folder = std::fs::read_dir(repo.path().join("launches")).unwrap();
    let text = std::fs::read_to_string(folder.next().unwrap().unwrap().path()).unwrap();
    let source = Sources::new().add("launch.yaml", text.clone());
    let document = parse(source, &text, &ParseLimits::YAML).unwrap();
    let by = document.root.get("by").and_then(|node| node.as_text());
    by.unwrap().to_owned()
}

#[test]
#[ignore = "slow"]
fn a_record_and_a_decision_read_back_what_was_said() {
    for text in TEXTS {
        let season = Season::begun(Repo::new());
        season.next_day("2027-06-15");
        let mut arguments = deciding("2027-06-15");
        let by = arguments.iter().position(|one| one == "--by").unwrap() + 1;
        arguments[by] = text.to_owned();
        let output = season.repo.offing(&arguments);
        // Whoever is not in charge decides nothing; the answer is recorded all the same.
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{text:?}: {said}");
        season.repo.commit();
        let run = Run::on("2027-06-15", 40, "completed");
        let output = record(
            &season.repo,
            &run,
            &[
                ("--by", text),
                ("--conditions", text),
                ("--near-miss", text),
                ("--kept", text),
            ],
        );
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{text:?}: {said}");
        let records = read(&season.repo);
        assert!(
            records.problems.is_empty(),
            "{text:?}: {:?}",
            records.problems
        );
        assert_eq!(by_of(&season.repo), text);
        let run = &records.records[0].run;
        assert_eq!(run.by, text);
        assert_eq!(run.near_misses, [text]);
        assert_eq!(run.conditions.as_deref(), Some(text));
        for folder in ["launches", "runs"] {
            for entry in std::fs::read_dir(season.repo.path().join(folder)).unwrap() {
                let file = std::fs::read_to_string(entry.unwrap().path()).unwrap();
                assert_eq!(printable(&file), file, "the file itself acts on nothing");
            }
        }
        season.repo.commit();
        for arguments in [
            &["history"][..],
            &["history", "--format", "json"],
            &["history", "verify"],
            &["check", "."],
        ] {
            let (_, shown) = season.repo.run(arguments);
            assert_eq!(printable(&shown), shown, "{arguments:?}");
        }
    }
}

#[test]
fn what_is_longer_than_a_file_holds_is_refused_and_not_cut() {
    let season = Season::begun(Repo::new());
    season.next_day("2027-06-15");
    season.decide("2027-06-15");
    let run = Run::on("2027-06-15", 40, "completed");
    // Nobody may record whom nothing names, and no decision is written that would name a longer role.
    let long = "é".repeat(201);
    let output = record(&season.repo, &run, &[("--by", &long)]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(64), "{said}");
    assert!(said.contains("names `éé"), "{said}");
    assert!(!season.repo.path().join("runs").exists());
    let mut arguments = deciding("2027-06-15");
    let by = arguments.iter().position(|one| one == "--by").unwrap() + 1;
    arguments[by] = long;
    let output = season.repo.offing(&arguments);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(64), "{said}");
    assert!(said.contains("nothing was written"), "{said}");
    let decisions = std::fs::read_dir(season.repo.path().join("launches")).unwrap();
    assert_eq!(decisions.count(), 1, "the one that was made before");
    for (option, most) in [("--near-miss", 2000), ("--conditions", 500)] {
        let long = "é".repeat(most + 1);
        let output = record(&season.repo, &run, &[(option, &long)]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(64), "{option}: {said}");
        assert!(said.contains("nothing was written"), "{option}: {said}");
        assert!(!season.repo.path().join("runs").exists(), "{option}");
    }
    let whole = "é".repeat(2000);
    let output = record(&season.repo, &run, &[("--near-miss", &whole)]);
    assert!(output.status.success(), "{output:?}");
    assert_eq!(read(&season.repo).records[0].run.near_misses, [whole]);
}

/// What can hurt people is read where a file is opened later, whatever was decided.
#[test]
fn every_record_and_decision_has_the_cautions_in_its_head() {
    let season = Season::begun(Repo::new());
    season.run_on("2027-06-15", 40, "completed");
    season.next_day("2027-06-16");
    let mut arguments = deciding("2027-06-16");
    let by = arguments.iter().position(|one| one == "--by").unwrap() + 1;
    "nobody in charge".clone_into(&mut arguments[by]);
    let output = season.repo.offing(&arguments);
    assert_eq!(output.status.code(), Some(1));
    let (mut decisions, mut records) = (Vec::new(), 0);
    for folder in ["launches", "runs"] {
        for entry in std::fs::read_dir(season.repo.path().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "yaml") {
                continue;
            }
            let text = std::fs::read_to_string(path).unwrap();
            let head = text.lines().take_while(|line| line.starts_with("# "));
            let head: Vec<&str> = head.collect();
            for begins in [
                "# People: flotation at",
                "# Weir and pack: ",
                "# Local rules, ",
            ] {
                let found = head.iter().filter(|line| line.starts_with(begins));
                assert_eq!(found.count(), 1, "{begins}: {text}");
            }
            assert!(
                head.iter().all(|line| line.chars().count() <= 100),
                "{text}"
            );
            match text
                .lines()
                .find_map(|line| line.strip_prefix("decision: "))
            {
                Some(word) if folder == "launches" => decisions.push(word.to_owned()),
                _ => records += 1,
            }
        }
    }
    decisions.sort();
    assert_eq!(decisions, ["go", "no-go"]);
    assert_eq!(records, 1);
}
