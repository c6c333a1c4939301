//! Links between documents.

use super::markdown::{anchors, links, parts};
use super::{documents, root, text_of, written_by_hand};

#[test]
fn every_link_leads_somewhere() {
    let mut followed = 0;
    for path in documents() {
        let (_, prose) = parts(&path, &text_of(&path));
        for target in links(&prose) {
            if target.starts_with("https://") {
                continue;
            }
            let (file, anchor) = target.split_once('#').unwrap_or((&target, ""));
            let from = root().join(&path);
            let to = match file {
                "" => from,
                _ => from.parent().unwrap().join(file),
            };
            assert!(to.exists(), "{path}: nothing is at {target}");
            assert!(
                to.canonicalize()
                    .unwrap()
                    .starts_with(root().canonicalize().unwrap()),
                "{path}: {target} leads out of the repository"
            );
            if !anchor.is_empty() {
                let (_, prose) = parts(file, &std::fs::read_to_string(&to).unwrap());
                assert!(
                    anchors(&prose).iter().any(|name| name == anchor),
                    "{path}: {target} names no heading"
                );
            }
            followed += 1;
        }
    }
    assert!(followed >= 15, "only {followed} links");
}

/// The groups of pages, in the order in which the index and the README list them.
const GROUPS: [&str; 4] = ["tutorial", "how-to", "reference", "explanation"];

/// Where a page is listed: in the README of its folder or of the nearest folder above that has one.
fn index_of(path: &str) -> String {
    let mut folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    loop {
        let index = format!("{folder}/README.md");
        if folder.is_empty() {
            return "README.md".to_owned();
        }
        if index != path && root().join(&index).exists() {
            return index;
        }
        folder = folder.rsplit_once('/').map_or("", |(above, _)| above);
    }
}

#[test]
fn every_page_is_in_one_of_the_groups_and_its_index_leads_to_it() {
    let leads = |from: &str, to: &str| {
        let (_, prose) = parts(from, &text_of(from));
        let folder = from.rsplit_once('/').map_or("", |(folder, _)| folder);
        let to = to
            .strip_prefix(folder)
            .unwrap_or(to)
            .trim_start_matches('/');
        links(&prose)
            .iter()
            .any(|target| target.split('#').next() == Some(to))
    };
    let mut grouped = 0;
    for path in documents() {
        if let Some(page) = path.strip_prefix("docs/") {
            let group = page.split_once('/').map(|(group, _)| group);
            assert!(
                page == "README.md" || group.is_some_and(|group| GROUPS.contains(&group)),
                "{path} is in none of the groups {GROUPS:?}"
            );
            grouped += 1;
        }
        if path != "README.md" {
            let index = index_of(&path);
            assert!(leads(&index, &path), "{index} does not lead to {path}");
        }
    }
    assert!(grouped >= 30, "only {grouped} pages");
}

/// Whoever looks for a kind of page finds the same groups, in the same order, on both pages.
#[test]
fn the_index_and_the_readme_list_the_groups_in_one_order() {
    let (_, index) = parts("docs/README.md", &text_of("docs/README.md"));
    let headings: Vec<String> = index
        .lines()
        .filter_map(|line| line.strip_prefix("## "))
        .map(|heading| heading.to_lowercase())
        .collect();
    assert_eq!(headings, GROUPS);
    let (_, readme) = parts("README.md", &text_of("README.md"));
    let targets = links(&readme);
    let at: Vec<Option<usize>> = GROUPS
        .iter()
        .map(|group| {
            let anchor = format!("docs/README.md#{group}");
            targets.iter().position(|target| *target == anchor)
        })
        .collect();
    assert!(at.iter().all(Option::is_some), "{at:?}");
    assert!(at.is_sorted(), "{at:?}");
}

/// A page that people write is short enough to be found through, and its last paragraph leads on.
#[test]
fn a_page_has_at_most_400_lines_and_ends_with_where_to_go_next() {
    let mut read = 0;
    for path in written_by_hand() {
        if !path.starts_with("docs/") || path == "docs/README.md" {
            continue;
        }
        let text = text_of(&path);
        let lines = text.lines().count();
        assert!(lines <= 400, "{path} has {lines} lines");
        let (_, prose) = parts(&path, &text);
        let last = prose.trim_end().rsplit("\n\n").next().unwrap();
        assert!(last.contains("]("), "{path} ends without a link: {last}");
        read += 1;
    }
    assert!(read >= 40, "only {read} pages");
}
