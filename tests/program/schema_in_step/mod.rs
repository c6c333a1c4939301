//! The schemas and the typed model in step. The files of `tests/data/full` use every field that
//! the schemas know. Each value in them is made bad, which must be an input error on its very
//! line; and each is changed to another good one, which must change what the program makes of the
//! files, lest a field be read by the schema and by nobody else.

mod leaves;
use crate::shared::folder_tree as tree;

use std::collections::{BTreeMap, BTreeSet};

use leaves::{Leaf, known_paths, schema, walk};
use offing::door::check::{Loaded, load, on_large_stacks};
use offing::door::document::{Document, ParseLimits, parse};
use offing::door::schema::Kind;
use offing::door::source::MemoryTree;
use offing::door::source::SourceId;
use offing::door::track::Columns;
use rayon::prelude::*;
use tree::of_folder;

/// Fields that are recorded for people, or for later, and change nothing that is judged.
const RECORDED: &[(&str, &str, &str)] = &[
    ("mission", "conditions.forecast.source", "for people"),
    (
        "mission",
        "links.control",
        "it may be `needed` and nothing else",
    ),
    ("vessel", "propulsion.trial.evidence", "for people"),
    ("vessel", "calibration.program", "for people"),
    ("vessel", "calibration.site", "for people"),
    ("vessel", "calibration.tracks[].file", "for people"),
    ("vessel", "calibration.tracks[].wind", "for people"),
    ("vessel", "calibration.tracks[].wind_known", "for people"),
    ("vessel", "calibration.tracks[].stretches", "for people"),
    ("vessel", "calibration.figures[].figure", "for people"),
    ("vessel", "calibration.figures[].was", "for people"),
    ("vessel", "calibration.figures[].fitted", "for people"),
    ("vessel", "calibration.figures[].low", "for people"),
    ("vessel", "calibration.figures[].high", "for people"),
    ("vessel", "calibration.figures[].taken", "for people"),
    ("vessel", "calibration.figures[].outcome", "for people"),
    ("vessel", "calibration.held_out.what", "for people"),
    ("site", "straight_shores[].what", "for people"),
    ("site", "launch_sites[].title", "for people"),
    ("site", "stations[].title", "for people"),
    (
        "orders",
        "links.control",
        "it may be `needed` and nothing else",
    ),
    ("orders", "title", "for people"),
    ("policy", "title", "for people"),
    ("launch", "taken[]", "for people"),
    ("launch", "signed[]", "for people"),
    ("launch", "reasons[].says", "for people"),
    ("launch", "warnings[].rule", "for people"),
    ("launch", "warnings[].says", "for people"),
    ("launch", "waived[].says", "for people"),
    ("launch", "waived[].accepted", "for people"),
    ("launch", "inputs[].path", "for people"),
    ("launch", "unused[].path", "for people"),
];

/// Fields that name something else, which must exist.
const REFERENCES: &[(&str, &str)] = &[
    ("mission", "vessel"),
    ("mission", "site"),
    ("mission", "policy"),
    ("mission", "orders"),
    ("mission", "launch.place"),
    ("mission", "recovery.place"),
    ("mission", "stations[].station"),
    ("mission", "antennas[].station"),
    ("mission", "other_users_notified[].users"),
    ("orders", "stations[].station"),
    ("orders", "other_users_notified[].users"),
    ("site", "shoreline.file"),
    ("site", "stations[].place"),
    ("site", "time_zone"),
    ("policy", "extends"),
    ("policy", "open[]"),
    ("rule", "measure"),
    ("rule", "applies_when"),
];

fn full() -> MemoryTree {
    of_folder("tests/data/full", |path| !path.ends_with(".md"))
}

fn parsed(text: &str) -> Document {
    parse(SourceId(0), text, &ParseLimits::YAML).unwrap()
}

/// The kind of a file, where it is one of the kinds.
fn kind_of(document: &Document) -> Option<Kind> {
    Kind::named(document.root.get("kind")?.as_text()?)
}

/// Every leaf of a tree, with its file.
fn leaves_of(tree: &MemoryTree) -> Vec<(String, Kind, Leaf)> {
    let mut all = Vec::new();
    for (path, text) in tree
        .files
        .iter()
        .filter(|(path, _)| path.ends_with(".yaml"))
    {
        let document = parsed(text);
        let kind = kind_of(&document).unwrap();
        let (mut paths, mut leaves) = (Vec::new(), Vec::new());
        let schema = schema(kind);
        walk(
            &schema,
            &schema,
            &document.root,
            "",
            &mut paths,
            &mut leaves,
        );
        all.extend(leaves.into_iter().map(|leaf| (path.clone(), kind, leaf)));
    }
    all
}

#[test]
fn the_full_files_are_sound() {
    on_large_stacks(|| {
        let problems = read(&full()).problems;
        assert!(problems.is_empty(), "{problems:?}");
    });
}

#[test]
fn every_field_of_every_schema_is_used_somewhere() {
    let mut used: BTreeMap<Kind, BTreeSet<String>> = BTreeMap::new();
    for folder in ["plans", "rules", "tests/data/full"] {
        let tree = of_folder(folder, |path| {
            path.ends_with(".yaml") || path.ends_with(".yaml.txt")
        });
        for text in tree.files.values() {
            let document = parsed(text);
            let Some(kind) = kind_of(&document) else {
                continue;
            };
            let (mut paths, mut leaves) = (Vec::new(), Vec::new());
            let schema = schema(kind);
            walk(
                &schema,
                &schema,
                &document.root,
                "",
                &mut paths,
                &mut leaves,
            );
            used.entry(kind).or_default().extend(paths);
        }
    }
    for kind in Kind::ALL {
        let schema = schema(kind);
        let mut known = Vec::new();
        known_paths(&schema, &schema, "", &mut known);
        assert!(known.len() > 10, "{kind} has only {} fields", known.len());
        let unused: Vec<&String> = known.iter().filter(|p| !used[&kind].contains(*p)).collect();
        assert!(unused.is_empty(), "{kind}: no file uses {unused:?}");
    }
}

/// Path, line and message of an input error.
type Problem = (String, u32, String);

/// What the program makes of a tree.
struct Read {
    problems: Vec<Problem>,
    /// The typed plans, policies and rules, without places in files.
    typed: String,
}

/// Every input error.
fn problems_of(loaded: &Loaded) -> Vec<Problem> {
    let mut problems = loaded.problems.clone();
    for plan in &loaded.linked.plans {
        let chosen = loaded
            .policies
            .choose(plan.policy.as_ref(), plan.mission.id.span());
        problems.extend(chosen.err().map(|problem| *problem));
    }
    problems
        .into_iter()
        .map(|problem| {
            let span = problem.span;
            let path = loaded.sources.path(span.source).to_owned();
            let line = loaded.sources.position(span).line;
            (path, line, problem.message)
        })
        .collect()
}

fn read(tree: &MemoryTree) -> Read {
    let loaded = load(tree, None).unwrap();
    let policies: Vec<_> = loaded.policies.team().collect();
    let launches = loaded
        .gathered
        .of_kind(Kind::Launch)
        .filter(|file| file.sound);
    let decided: Vec<_> = launches.map(offing::door::plan::decided).collect();
    let runs = loaded.gathered.of_kind(Kind::Run).filter(|file| file.sound);
    let records: Vec<_> = runs.map(offing::door::plan::run_record).collect();
    let columns = loaded
        .gathered
        .of_kind(Kind::TrackColumns)
        .filter(|file| file.sound);
    let columns: Vec<_> = columns
        .map(|file| Columns::from_node(&file.document.root))
        .collect();
    let typed = format!(
        "{:?}\n{policies:?}\n{:?}\n{:?}\n{decided:?}\n{records:?}\n{columns:?}",
        loaded.linked.plans,
        loaded.accepting.baseline,
        loaded.rules.rules()
    );
    Read {
        problems: problems_of(&loaded),
        typed: without_places(&typed),
    }
}

/// A debug text without spans and what the parser keeps of where things stand.
pub(crate) fn without_places(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("Span {") {
        out.push_str(&rest[..at]);
        let end = rest[at..].find('}').map_or(rest.len(), |end| at + end + 1);
        rest = &rest[end..];
    }
    out.push_str(rest);
    out
}

/// The tree with one leaf written otherwise.
fn changed(tree: &MemoryTree, path: &str, leaf: &Leaf, value: &str) -> MemoryTree {
    let mut tree = tree.clone();
    if let Some(text) = tree.files.get_mut(path) {
        text.replace_range(leaf.span.range(), value);
    }
    tree
}

/// Values that a leaf cannot have.
fn bad_values(kind: Kind, leaf: &Leaf) -> Vec<String> {
    let says = |key: &str| leaf.schema.get(key).and_then(|value| value.as_str());
    let reference = REFERENCES.contains(&(kind.name(), leaf.path.as_str()));
    let mut bad = vec!["{ a: 1 }".to_owned(), "[true]".to_owned()];
    if leaf.position {
        bad.extend(["[91, 0]", "[1, 2, 3]", "nowhere", "[1 m, 2]"].map(str::to_owned));
        // Somewhere else on the earth is not on the site.
        bad.push("[-33.0, 151.0]".to_owned());
    } else if let Some(quantity) = says("x-quantity") {
        let other = if quantity == "mass" { "5 m" } else { "5 kg" };
        bad.extend(["5 cubits", "5", "5.0 ", "much", "\"\"", "NaN m", other].map(str::to_owned));
    } else if says("x-time").is_some() {
        bad.extend(["yesterday", "2027-02-30", "2027-02-30T09:00Z", "9"].map(str::to_owned));
    } else if leaf.schema.get("enum").is_some() || leaf.schema.get("const").is_some() {
        bad.extend(["otherwise", "77"].map(str::to_owned));
    } else {
        match says("type") {
            Some("number" | "integer") => bad.extend(["many", "1e9", "-1"].map(str::to_owned)),
            Some("boolean") => bad.extend(["perhaps", "1"].map(str::to_owned)),
            _ => bad.extend(["7", "true", "\"\""].map(str::to_owned)),
        }
    }
    let limit = leaf.path.ends_with("at_least") || leaf.path.ends_with("at_most");
    if limit {
        bad.extend(["5 cubits", "5 kg", "much"].map(str::to_owned));
    }
    if says("pattern").is_some() {
        bad.push("\"not a name!\"".to_owned());
    }
    if reference {
        bad.push("nobody-here".to_owned());
    }
    bad
}

/// Whether an input error stands on a leaf's line.
fn refused_on_its_line(problems: &[Problem], path: &str, leaf: &Leaf, text: &str) -> bool {
    let start = leaf.span.range().start;
    let line = text[..start].matches('\n').count() as u32 + 1;
    problems.iter().any(|(at, on, _)| at == path && *on == line)
}

#[test]
#[ignore = "slow"]
fn every_bad_value_is_an_input_error_on_its_line() {
    let tree = full();
    let leaves = leaves_of(&tree);
    assert!(leaves.len() > 250, "only {} leaves", leaves.len());
    let wrong: Vec<String> = on_large_stacks(|| {
        leaves
            .par_iter()
            .flat_map_iter(|(path, kind, leaf)| {
                let tree = &tree;
                bad_values(*kind, leaf).into_iter().filter_map(move |bad| {
                    let loaded = load(&changed(tree, path, leaf, &bad), None).unwrap();
                    let problems = problems_of(&loaded);
                    (!refused_on_its_line(&problems, path, leaf, &tree.files[path])).then(|| {
                        let found: Vec<String> = problems
                            .iter()
                            .map(|(path, line, text)| format!("{path}:{line}: {text}"))
                            .collect();
                        format!("{path}: {}: {bad}: {found:?}", leaf.path)
                    })
                })
            })
            .collect()
    });
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
}

/// Other values that a leaf may have, as far as it alone says.
fn other_values(leaf: &Leaf, text: &str) -> Vec<String> {
    let says = |key: &str| leaf.schema.get(key).and_then(|value| value.as_str());
    let written = &text[leaf.span.range()];
    if leaf.position {
        let inner = written.trim_matches(['[', ']']);
        let (latitude, longitude) = inner.split_once(',').unwrap();
        let latitude: f64 = latitude.trim().parse().unwrap();
        return vec![format!("[{:.6}, {longitude}]", latitude + 2e-6)];
    }
    if let Some(words) = leaf.schema.get("enum").and_then(|e| e.as_array()) {
        let words = words.iter().filter_map(|word| word.as_str());
        return words.filter(|w| *w != written).map(str::to_owned).collect();
    }
    let limit = leaf.path.ends_with("at_least") || leaf.path.ends_with("at_most");
    if says("x-quantity").is_some() || limit {
        let digits = written
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-')))
            .unwrap();
        let number: f64 = written[..digits].parse().unwrap();
        let unit = &written[digits..];
        return [number * 1.04 + 0.01, number * 0.9, number * 30.0]
            .iter()
            .map(|number| format!("{number}{unit}"))
            .collect();
    }
    match says("x-time") {
        Some("moment") => {
            let zone = if written.ends_with('Z') { "Z" } else { "" };
            return ["2027-06-15T10:07", "2027-06-15T11:00", "2027-06-15T23:00"]
                .iter()
                .map(|time| format!("{time}{zone}"))
                .collect();
        }
        Some(_) => return vec!["2026-02-03".to_owned()],
        None => {}
    }
    match says("type") {
        Some("number") => vec![format!("{}", written.parse::<f64>().unwrap() * 0.9)],
        Some("integer") => vec![format!("{}", written.parse::<u32>().unwrap() + 1)],
        Some("boolean") => vec![(written != "true").to_string()],
        _ if leaf.path == "measure" => vec!["mission.shoreline_clearance".to_owned()],
        _ if leaf.path == "applies_when" => vec!["end.operator_in_sight".to_owned()],
        _ if leaf.path == "open[]" => vec!["shoreline".to_owned()],
        _ => vec!["another".to_owned()],
    }
}

#[test]
#[ignore = "slow"]
fn every_good_value_is_read_by_more_than_its_schema() {
    let tree = full();
    let leaves = leaves_of(&tree);
    let mut heeded: BTreeMap<(Kind, String), bool> = BTreeMap::new();
    let found: Vec<((Kind, String), bool)> = on_large_stacks(|| {
        let before = read(&tree).typed;
        leaves
            .par_iter()
            .filter(|(_, _, leaf)| leaf.schema.get("const").is_none())
            .map(|(path, kind, leaf)| {
                let text = &tree.files[path];
                let reacts = other_values(leaf, text).iter().any(|other| {
                    let read = read(&changed(&tree, path, leaf, other));
                    read.typed != before || !read.problems.is_empty()
                });
                ((*kind, leaf.path.clone()), reacts)
            })
            .collect()
    });
    for (path, reacts) in found {
        *heeded.entry(path).or_default() |= reacts;
    }
    let recorded = |kind: Kind, path: &str| {
        RECORDED
            .iter()
            .any(|(k, p, _)| *k == kind.name() && *p == path)
    };
    let mut wrong = Vec::new();
    for ((kind, path), reacts) in &heeded {
        if !reacts && !recorded(*kind, path) {
            wrong.push(format!("{kind}: nothing reads `{path}`"));
        } else if *reacts && recorded(*kind, path) {
            wrong.push(format!("{kind}: `{path}` is more than recorded by now"));
        }
    }
    for (kind, path, why) in RECORDED {
        let there = heeded.keys().any(|(k, p)| k.name() == *kind && p == path);
        if !there || why.is_empty() {
            wrong.push(format!("{kind}: `{path}` is listed and not there"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
