//! What a review leaves unread makes no difference: over many changes drawn by lot it says byte for
//! byte what it says where every file of both trees is parsed.

use std::path::Path;

use offing::door::check::{ChangeImpact, Reading};
use offing::door::document::{ParseLimits, parse};
use offing::door::plan::Heading;
use offing::door::review::to_json;
use offing::door::review::{PolicyFrom, ReviewOptions, review_as};
use offing::door::source::{MemoryTree, SourceId};
use proptest::prelude::*;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore as _, SeedableRng as _};

use crate::shared::cases::cases;

const BOAT: &str = "docs/start/boat.yaml";
const SITE: &str = "docs/start/pond.yaml";
const SHORE: &str = "docs/start/pond-shoreline.geojson";
const TEAM: &str = "plans/policy/team.yaml";
const RULE: &str = "plans/rules/second-try.yaml";
const SIGNERS: &str = "plans/policy/signers.txt";
const MISSION: &str = "docs/start/first-lines.yaml";

fn demo(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

fn mission(id: &str) -> String {
    let text = demo(MISSION);
    let own = format!("\nid: {id}\npolicy: team\n");
    let named = text.replace("\nid: first-lines\n", &own);
    assert_ne!(text, named);
    named
}

/// Two boats on two stretches of water, ten missions of theirs written in several ways, three of which repeat
/// others, and files that are wrong or no business of ours.
fn repository() -> MemoryTree {
    let mut tree = MemoryTree::default();
    for path in [BOAT, SITE, SHORE, TEAM, RULE] {
        tree.put(path, demo(path));
    }
    let named = |path: &str, from: &str, to: &str| {
        let text = demo(path);
        let other = text.replace(&format!("\nid: {from}\n"), &format!("\nid: {to}\n"));
        assert_ne!(text, other);
        other
    };
    tree.put("docs/start/other-boat.yaml", named(BOAT, "boat", "other"));
    tree.put("docs/start/other-pond.yaml", named(SITE, "pond", "other"));
    let with = |id: &str, from: &str, to: &str| mission(id).replace(from, to);
    tree.put("plans/missions/a.yaml", mission("a"));
    tree.put("plans/missions/b.yaml", mission("b"));
    tree.put(
        "plans/missions/c.yaml",
        with("c", "vessel: boat", "vessel: other"),
    );
    tree.put(
        "plans/missions/d.yaml",
        with("d", "site: pond", "site: \"other\""),
    );
    tree.put(
        "plans/missions/e.yaml",
        with("e", "charge_at_launch:", "charge_at_lunch:"),
    );
    tree.put("plans/missions/f.yaml", mission("f") + "\nroute: [\n");
    tree.put(
        "plans/missions/g.yaml",
        with("g", "vessel: boat", "vessel: nowhere"),
    );
    let again = |id: &str, plan: &str| {
        format!(
            "kind: mission\nformat: 1\nid: {id}\nrepeats: {plan}\nlaunch: {{ time: 2027-05-06T10:00Z, \
             latest_return: 2027-05-06T11:00Z }}\ncharged: 2027-05-05\n"
        )
    };
    tree.put("plans/missions/h.yaml", again("h", "a"));
    tree.put("plans/missions/i.yaml", again("i", "c"));
    tree.put("plans/missions/j.yaml", again("j", "e"));
    let team = demo(TEAM) + "approvals: { signers: signers.txt }\n";
    tree.put(TEAM, team);
    tree.put(SIGNERS, "survey-lead ssh-ed25519 AAAA\n");
    tree.put("plans/missions/b.survey-lead.approval", "signed\n");
    tree.put("build.yaml", "steps: [one, two]\n");
    tree.put("broken.yaml", "kind: vessel\nid: [\n");
    tree
}

/// What one change of a tree may do.
fn change(tree: &mut MemoryTree, rng: &mut ChaCha8Rng) -> String {
    let mut below = |n: usize| (rng.next_u32() as usize) % n;
    let missions: Vec<String> = tree
        .files
        .keys()
        .filter(|path| path.starts_with("plans/missions/") && path.ends_with(".yaml"))
        .cloned()
        .collect();
    let one = missions
        .get(below(missions.len().max(1)))
        .cloned()
        .unwrap_or_default();
    let other = missions
        .get(below(missions.len().max(1)))
        .cloned()
        .unwrap_or_default();
    let edit = |tree: &mut MemoryTree, path: &str, from: &str, to: &str| {
        if let Some(text) = tree.files.get(path).cloned() {
            tree.put(path, text.replace(from, to));
        }
        format!("{path}: `{from}` to `{to}`")
    };
    match below(30) {
        0 => edit(
            tree,
            &one,
            "charge_at_launch: 95 %",
            "charge_at_launch: 50 %",
        ),
        1 => edit(tree, &one, "kind: mission", "kind: misson"),
        2 => edit(tree, &one, "kind: mission\n", ""),
        3 => edit(tree, &one, "vessel: boat", "vessel: other"),
        4 => edit(tree, &one, "site: pond", "site: other"),
        5 => edit(tree, &one, "\nid: ", "\n# said twice\nid: "),
        6 => edit(tree, &one, "format: 1", "format: [1"),
        7 => edit(tree, &one, "policy: team", "policy: else"),
        8 => {
            tree.files.remove(&one);
            format!("{one} is gone")
        }
        9 | 10 => {
            let text = tree.files.remove(&one).unwrap_or_default();
            let path = format!("plans/missions/moved-{}.yaml", below(9));
            tree.put(path.clone(), text);
            format!("{one} to {path}")
        }
        11 | 12 => {
            // Two missions under one id, before or behind the first by path.
            let text = tree.files.get(&other).cloned().unwrap_or_default();
            let path = format!("{}twin.yaml", ["plans/missions/", "", "z/"][below(3)]);
            tree.put(path.clone(), text);
            format!("{other} again as {path}")
        }
        13 => edit(
            tree,
            BOAT,
            "nominal_capacity: 6 Ah",
            "nominal_capacity: 3 Ah",
        ),
        14 => edit(
            tree,
            "docs/start/other-boat.yaml",
            "\nid: other",
            "\nid: boat",
        ),
        15 => edit(tree, BOAT, "kind: vessel", "kind: boat"),
        16 => edit(tree, BOAT, "format: 1", "format: one"),
        17 => edit(tree, SHORE, "\"type\": \"Polygon\"", "\"type\": \"Point\""),
        18 => edit(
            tree,
            SHORE,
            "\"FeatureCollection\",",
            "\"FeatureCollection\", ",
        ),
        19 => edit(tree, SITE, "time_zone: ", "time_zone:  "),
        20 => edit(tree, TEAM, "at_least: 35 %", "at_least: 20 %"),
        21 => {
            tree.files.remove(RULE);
            format!("{RULE} is gone")
        }
        22 => {
            let text = demo(BOAT).replace("\nid: boat\n", "\nid: nowhere\n");
            tree.put("a-boat.yaml", text);
            "the boat that was not there".to_owned()
        }
        23 => {
            let stem = one.strip_suffix(".yaml").unwrap_or(&one);
            let role = ["survey-lead", "survey.lead", "operator"][below(3)];
            let path = format!("{stem}.{role}.approval");
            tree.put(path.clone(), "signed by nobody\n");
            format!("{path} is there")
        }
        24 => edit(
            tree,
            "plans/missions/b.survey-lead.approval",
            "signed",
            "signed anew",
        ),
        25 => edit(tree, SIGNERS, "AAAA", "AAAB"),
        26 => {
            let text = "kind: baseline\nformat: 1\nid: known\nreview_by: 2030-01-01\n\
                        by: survey lead\nreason: they were there\nfindings:\n  \
                        - { fingerprint: 0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef, rule: overdue-alarm, mission: a }\n";
            tree.put("baseline.yaml", text);
            "a baseline".to_owned()
        }
        27 => edit(tree, "plans/missions/h.yaml", "repeats: a", "repeats: b"),
        28 => edit(tree, "plans/missions/i.yaml", "id: i", "id: a"),
        _ => edit(tree, "broken.yaml", "id: [", "id: x"),
    }
}

fn said(base: &MemoryTree, head: &MemoryTree, from: PolicyFrom, reading: Reading) -> String {
    let asked = ReviewOptions {
        reading,
        ..ReviewOptions::by(from)
    };
    let found = review_as((base, "base"), (head, "head"), asked).unwrap();
    to_json(&found).unwrap()
}

#[test]
#[ignore = "slow"]
fn what_is_left_unread_changes_nothing() {
    let base = repository();
    let mut left_out = 0;
    let seeds = cases(36, 150);
    offing::door::check::on_large_stacks(|| {
        for seed in 0..seeds {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let mut from = base.clone();
            let mut head = base.clone();
            let mut told = Vec::new();
            // The tree that a change starts from may be out of order itself.
            if seed % 3 == 0 {
                told.push(format!("before: {}", change(&mut from, &mut rng)));
                head = from.clone();
            }
            for _ in 0..1 + seed % 3 {
                told.push(change(&mut head, &mut rng));
            }
            let policy = [PolicyFrom::Base, PolicyFrom::Head][(seed % 2) as usize];
            let few = said(&from, &head, policy, Reading::Headings);
            let all = said(&from, &head, policy, Reading::Everything);
            assert!(few == all, "{seed}: {told:#?}\n{}", difference(&few, &all));
            let extent = ChangeImpact::between(&from, &head, Reading::Headings).unwrap();
            left_out += extent.ids("").len();
        }
    });
    // It would hold of a review that leaves nothing out as well.
    assert!(left_out as u64 > seeds * 5 / 3, "{left_out}");
}

fn difference(few: &str, all: &str) -> String {
    let lines = few.lines().zip(all.lines());
    let first = lines.enumerate().find(|(_, (one, other))| one != other);
    format!("{first:?}")
}

#[test]
fn a_mission_is_told_by_its_heading_only_where_it_is_plain() {
    let heading = Heading::parse(&mission("a")).expect("the demo is plain");
    assert_eq!(
        (heading.id.as_str(), heading.vessel.as_str()),
        ("a", "boat")
    );
    let plain = "kind: mission\nid: a\nvessel: b # ours\nsite: c\nroute:\n- x: 1\n  y: \"q\"\n";
    assert!(Heading::parse(plain).is_some_and(|heading| heading.policy.is_none()));
    assert_eq!(heading.policy.as_deref(), Some("team"));
    for (from, to) in [
        ("kind: mission", "\"kind\": mission"),
        ("kind: mission", "kind: !mission x"),
        ("kind: mission", "kind: &k mission"),
        ("kind: mission", " kind: mission"),
        ("kind: mission", "---\nkind: mission"),
        ("kind: mission", "%YAML 1.2\n---\nkind: mission"),
        ("kind: mission", "{kind: mission}"),
        ("kind: mission", "? kind\n: mission"),
        ("kind: mission", "# kind\rkind: policy\nkind: mission"),
        ("kind: mission", "kind: policy"),
        ("kind: mission", "kind: mission\nkind: mission"),
        ("id: a", "id: *other"),
        ("id: a", "id: a\n  b"),
        ("id: a", "id: a\n\n# comment\n b"),
        ("id: a", "id: >\n  a"),
        ("id: a", "id: null"),
        ("id: a", "id: 12"),
        ("id: a", "id: 'a'"),
        ("id: a", "id:\n- a"),
        ("id: a", "id: [a]"),
        ("id: a", "name: a"),
        ("site: c", "site: c\npolicy: \"p\""),
        ("site: c", "site: c\npolicy: p\npolicy: q"),
        ("site: c", "site: c\npolicy:"),
        ("route:", "route: [\n]"),
        ("route:", "<<: *base\nroute:"),
        ("route:", "...\nroute:"),
        ("route:", "ro\u{2028}id: b"),
    ] {
        let text = plain.replacen(from, to, 1);
        assert_ne!(text, plain);
        assert_eq!(Heading::parse(&text), None, "{text}");
    }
}

/// Lines that a YAML file may be made of, ours among them.
fn lines() -> impl Strategy<Value = String> {
    let line = prop::sample::select(vec![
        "kind: mission",
        "kind: policy",
        "id: a",
        "id: b",
        "vessel: v",
        "site: s",
        "policy: p",
        "policy: \"p\"",
        "title: \"open",
        "title: 'open",
        "close\"",
        "close'",
        "route: [",
        "]",
        "route: {",
        "}",
        "  id: c",
        "  - x",
        "- y",
        "",
        "   ",
        "# id: d",
        "text: |",
        "text: >-",
        "text: plain",
        "  more: x",
        "  words",
        "\tid: e",
        "---",
        "...",
        "a: &x",
        "b: *x",
        "? id",
        ": z",
        "id: a # b",
        "kind: mission\r",
        "\"id\": f",
        "text: \"a\\",
        "text: a: b",
        "!t id: g",
        "kind : policy",
        "id:",
        "site: s t",
    ]);
    prop::collection::vec(line, 0..14).prop_map(|lines| lines.join("\n"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    /// A heading is what the parser reads too, or the parser reads nothing.
    #[test]
    fn a_heading_is_what_the_parser_reads(some in lines(), more in lines()) {
        let whole = format!("{some}\nkind: mission\nid: i\nvessel: v\nsite: s\n{more}");
        for text in [some, whole] {
            let Some(heading) = Heading::parse(&text) else { continue };
            let Ok(document) = parse(SourceId(0), &text, &ParseLimits::YAML) else { continue };
            let read = |key: &str| {
                document.root.get(key).and_then(|node| node.as_text()).map(str::to_owned)
            };
            prop_assert_eq!(read("kind"), Some("mission".to_owned()), "{:?}", text);
            prop_assert_eq!(read("id"), Some(heading.id), "{:?}", text);
            prop_assert_eq!(read("vessel"), Some(heading.vessel), "{:?}", text);
            prop_assert_eq!(read("site"), Some(heading.site), "{:?}", text);
            prop_assert_eq!(read("policy"), heading.policy, "{:?}", text);
        }
    }
}
