//! Links between documents.

use super::markdown::{anchors, links, parts};
use super::{documents, root, text_of};

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

#[test]
fn the_readme_leads_to_every_chapter() {
    let (_, prose) = parts("README.md", &text_of("README.md"));
    let targets = links(&prose);
    for path in documents() {
        let is_chapter = path.starts_with("docs/") || path.starts_with("plans/");
        if is_chapter {
            assert!(targets.contains(&path), "README.md does not lead to {path}");
        }
    }
}
